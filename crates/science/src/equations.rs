//! Published equations for the 1RM, for comparison only: the planner and the log use [`crate::curve`].
//!
//! They are kept as printed, faults included. Only Brzycki and Lombardi give back the load at one rep; the
//! linear ones are not for more than 10 reps (Reynolds 2006, JSCR 20:584 (A)); two have a pole. Where an
//! equation has no meaning it gives nothing.

use setwright_model::{Kilograms, Reps};

/// An equation for the 1RM from a load lifted r times to failure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Equation {
    /// Epley 1985 (B).
    Epley,
    /// Brzycki 1993 (B); pole at 37 reps.
    Brzycki,
    /// Lombardi 1989 (B).
    Lombardi,
    /// Mayhew 1992 (B).
    Mayhew,
    /// O'Conner 1989 (B).
    OConner,
    /// Wathan 1994 (B).
    Wathan,
    /// Lander 1985 (B); pole at 37.92 reps.
    Lander,
    /// Reynolds 2006, chest press (M); levels off at 48 % of the 1RM.
    ReynoldsChest,
    /// Reynolds 2006, leg press (M); levels off at 26 % of the 1RM.
    ReynoldsLeg,
}

impl Equation {
    /// All equations.
    pub const ALL: [Equation; 9] = [
        Equation::Epley,
        Equation::Brzycki,
        Equation::Lombardi,
        Equation::Mayhew,
        Equation::OConner,
        Equation::Wathan,
        Equation::Lander,
        Equation::ReynoldsChest,
        Equation::ReynoldsLeg,
    ];

    /// Author and year.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Epley => "Epley 1985",
            Self::Brzycki => "Brzycki 1993",
            Self::Lombardi => "Lombardi 1989",
            Self::Mayhew => "Mayhew 1992",
            Self::OConner => "O'Conner 1989",
            Self::Wathan => "Wathan 1994",
            Self::Lander => "Lander 1985",
            Self::ReynoldsChest => "Reynolds 2006, chest press",
            Self::ReynoldsLeg => "Reynolds 2006, leg press",
        }
    }

    /// The 1RM from `load` lifted `reps` times; nothing below one rep and at or after a pole.
    pub fn one_rm(self, load: Kilograms, reps: Reps) -> Option<Kilograms> {
        let factor = self.factor(reps.get());
        (reps.get() >= 1.0 && factor.is_finite() && factor > 0.0).then(|| load * factor)
    }

    /// The printed constants, each with its source at the name of its equation ((B); Reynolds (M)).
    fn factor(self, r: f64) -> f64 {
        match self {
            Self::Epley => 1.0 + r / 30.0,
            Self::Brzycki => 36.0 / (37.0 - r),
            Self::Lombardi => libm::pow(r, 0.10),
            Self::Mayhew => 100.0 / (52.2 + 41.9 * libm::exp(-0.055 * r)),
            Self::OConner => 1.0 + 0.025 * r,
            Self::Wathan => 100.0 / (48.8 + 53.8 * libm::exp(-0.075 * r)),
            Self::Lander => 100.0 / (101.3 - 2.671_23 * r),
            Self::ReynoldsChest => 1.0 / (0.5551 * libm::exp(-0.0723 * r) + 0.4847),
            Self::ReynoldsLeg => 1.0 / (0.7817 * libm::exp(-0.0569 * r) + 0.2641),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pole_gives_nothing() {
        let load = Kilograms(100.0);
        assert_eq!(Equation::Brzycki.one_rm(load, Reps(37.0)), None);
        assert_eq!(Equation::Brzycki.one_rm(load, Reps(60.0)), None);
        assert_eq!(Equation::Lander.one_rm(load, Reps(38.0)), None);
        assert!(Equation::Lander.one_rm(load, Reps(37.0)).is_some());
    }

    #[test]
    fn less_than_one_rep_gives_nothing() {
        for equation in Equation::ALL {
            assert_eq!(equation.one_rm(Kilograms(100.0), Reps(0.0)), None, "{}", equation.name());
            assert_eq!(equation.one_rm(Kilograms(100.0), Reps(f64::NAN)), None, "{}", equation.name());
        }
    }
}
