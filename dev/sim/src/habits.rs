//! What kind of client is simulated: days, habits, and which assumption of the estimator is broken.

/// A family of clients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kind {
    /// Sessions a week.
    pub sessions: u32,
    /// Whether days and hours vary from week to week.
    pub varied: bool,
    /// Weeks simulated.
    pub weeks: u32,
    /// What they say of soreness.
    pub soreness: Soreness,
    /// What is unlike the estimator's model.
    pub misfit: Misfit,
    /// Week in which growth stops, if it does.
    pub stall_week: Option<u32>,
}

impl Kind {
    /// Three sessions a week on varied days, for a year, as the model assumes.
    pub const PLAIN: Self = Self {
        sessions: 3,
        varied: true,
        weeks: 52,
        soreness: Soreness::None,
        misfit: Misfit::None,
        stall_week: None,
    };
}

/// What clients say of soreness.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Soreness {
    /// Nothing.
    None,
    /// What the model assumes, clipped and rounded.
    Plain,
    /// It lasts half as long again.
    Shifted,
    /// They feel a fifth of it.
    Insensitive,
}

/// What is unlike the estimator's model.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// Nothing.
    None,
    /// Three sets in ten come without reps in reserve.
    RirSometimesMissing,
    /// No set comes with reps in reserve.
    RirAlwaysMissing,
    /// Every sixth week is easy, and half of these are marked.
    Deloads,
    /// Exercises load muscles otherwise than the catalogue says.
    WrongMap,
    /// Fatigue decays in two phases: three tenths of it three times as slowly.
    TwoPhase,
    /// The drop grows with the power 0.6 of the dose.
    DoseLaw,
    /// One set in a hundred is logged in pounds as kilograms.
    Pounds,
    /// One day in twenty is a sick day that nobody marks.
    SickDays,
    /// All at once and mildly: late logs, missing reserve, slips, sick days, a holiday of two weeks.
    Sloppy,
}

impl Misfit {
    /// All of them, the fitting one first.
    pub const ALL: [Self; 10] = [
        Self::None,
        Self::RirSometimesMissing,
        Self::RirAlwaysMissing,
        Self::Deloads,
        Self::WrongMap,
        Self::TwoPhase,
        Self::DoseLaw,
        Self::Pounds,
        Self::SickDays,
        Self::Sloppy,
    ];

    /// Share of sets without reps in reserve.
    pub const fn rir_missing(self) -> f64 {
        match self {
            Self::RirSometimesMissing => 0.3,
            Self::RirAlwaysMissing => 1.0,
            Self::Sloppy => 0.1,
            _ => 0.0,
        }
    }

    /// Share of sets logged in the wrong unit.
    pub const fn pounds(self) -> f64 {
        match self {
            Self::Pounds => 0.01,
            Self::Sloppy => 0.005,
            _ => 0.0,
        }
    }

    /// Share of sick days.
    pub const fn sick(self) -> f64 {
        match self {
            Self::SickDays => 0.05,
            Self::Sloppy => 0.02,
            _ => 0.0,
        }
    }
}
