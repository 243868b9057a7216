//! What a guide can say of a client: what is out, how hard, what is wanted, and the sentence that goes with it.

use super::kind::MovementKind;
use setwright_model::exercise::{Ask, Exercise};
use setwright_model::{Pattern, Seconds, Share};

/// Something that exercises have in common and a guide speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SharedFeature {
    /// All that ask this of the client.
    Ask(Ask),
    /// A whole pattern.
    Pattern(Pattern),
    /// A kind of movement.
    Kind(MovementKind),
}

impl SharedFeature {
    /// Whether the exercise is one of them.
    pub fn fits(self, exercise: &Exercise) -> bool {
        match self {
            Self::Ask(ask) => exercise.asks.contains(&ask),
            Self::Pattern(pattern) => exercise.pattern == pattern,
            Self::Kind(kind) => kind.fits(exercise),
        }
    }

    /// What the exercise does, as it follows "it".
    pub fn words(self) -> String {
        match self {
            Self::Ask(ask) => of_ask(ask).to_owned(),
            Self::Pattern(pattern) => format!("is a {}", pattern.name()),
            Self::Kind(kind) => kind.words().to_owned(),
        }
    }
}

const fn of_ask(ask: Ask) -> &'static str {
    match ask {
        Ask::Overhead => "takes the arms overhead",
        Ask::DeepKnee => "bends the knees deeply",
        Ask::Hinge => "bends the trunk forward under load",
        Ask::LyingSupine => "is done lying on the back",
        Ask::LyingProne => "is done lying face down",
        Ask::Impact => "has jumps or hard landings",
        Ask::WristSupport => "bears weight on the hands",
        Ask::Kneeling => "is done kneeling",
        Ask::Grip => "takes a strong grip",
        Ask::Balance => "takes balance",
        Ask::SpineLoad => "loads the spine from above",
        Ask::ShoulderExtreme => "takes the shoulder to the end of its range",
        Ask::SpineBend => "bends the back against a load",
        Ask::Twist => "turns the trunk against a load",
        Ask::AboveShoulder => "works with the hands above the shoulder",
        Ask::BreathHold => "is easily done holding the breath",
        Ask::Floor => "means getting down to the floor and up again",
    }
}

/// How hard a client may be trained. What bounds an exercise (`systemic_max`, `spinal_max`, `skill_max`) bounds only
/// what the client has not told of.
#[expect(clippy::struct_excessive_bools, reason = "each is a limit of its own and is tightened on its own")]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Highest systemic cost of an exercise that was not told.
    pub systemic_max: u8,
    /// Highest spinal cost of an exercise that was not told.
    pub spinal_max: u8,
    /// Highest skill of an exercise that was not told.
    pub skill_max: u8,
    /// Fewest reps left in reserve at the end of any work set.
    pub rir_least: u32,
    /// Fewest reps of a work set, which keeps the load down.
    pub reps_least: u32,
    /// Fewest reps of a work set for age alone: a lift that was told with fewer keeps those it was told with.
    pub age_reps_least: u32,
    /// Shortest rest between two sets of an exercise, or between two exercises of a block.
    pub rest_least: Seconds,
    /// Share of the usual number of sets.
    pub sets_factor: Share,
    /// Five brisk minutes come first, as for a cold client.
    pub warm_first: bool,
    /// What is seated or in a machine goes before what is not, among exercises that would do as well.
    pub supported_first: bool,
    /// Whether a session may open with a press.
    pub press_may_open: bool,
    /// Whether a session may open with a carry.
    pub carry_may_open: bool,
    /// Compound pulls are at least as many sets as compound presses, over the cycle.
    pub pulls_lead: bool,
}

impl Limits {
    /// No limit at all (exact by definition).
    pub const FREE: Self = Self {
        systemic_max: 3,
        spinal_max: 3,
        skill_max: 3,
        rir_least: 0,
        reps_least: 1,
        age_reps_least: 1,
        rest_least: Seconds(0.0),
        sets_factor: Share(1.0),
        warm_first: false,
        supported_first: false,
        press_may_open: true,
        carry_may_open: true,
        pulls_lead: false,
    };

    /// The tighter of two in every respect. Factors are not multiplied: two reasons for fewer sets are one.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            systemic_max: self.systemic_max.min(other.systemic_max),
            spinal_max: self.spinal_max.min(other.spinal_max),
            skill_max: self.skill_max.min(other.skill_max),
            rir_least: self.rir_least.max(other.rir_least),
            reps_least: self.reps_least.max(other.reps_least),
            age_reps_least: self.age_reps_least.max(other.age_reps_least),
            rest_least: if self.rest_least < other.rest_least { other.rest_least } else { self.rest_least },
            sets_factor: if self.sets_factor < other.sets_factor {
                self.sets_factor
            } else {
                other.sets_factor
            },
            warm_first: self.warm_first || other.warm_first,
            supported_first: self.supported_first || other.supported_first,
            press_may_open: self.press_may_open && other.press_may_open,
            carry_may_open: self.carry_may_open && other.carry_may_open,
            pulls_lead: self.pulls_lead || other.pulls_lead,
        }
    }

    /// What of an exercise is beyond these, as it follows "it".
    pub(super) fn passed_by(&self, e: &Exercise) -> Option<&'static str> {
        if e.systemic > self.systemic_max {
            Some("costs the whole body much")
        } else if e.spinal > self.spinal_max {
            Some("loads the spine much")
        } else if e.skill > self.skill_max {
            Some("takes more skill")
        } else {
            None
        }
    }
}

/// What one reason (a condition, an age, a pain, a return) asks of a programme.
#[derive(Clone, Copy, Debug)]
pub(super) struct Guide {
    /// Out, even if the client tells of it.
    pub never: &'static [SharedFeature],
    /// Out unless the client tells of it.
    pub untold: &'static [SharedFeature],
    /// How hard.
    pub limits: Limits,
    /// Reps in reserve at least, for some movements.
    pub reserve: &'static [(SharedFeature, u32)],
    /// Patterns that should be in the cycle.
    pub wanted: &'static [Pattern],
    /// What the coach and the client should know; empty when there is nothing to say.
    pub caution: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

impl Guide {
    /// A guide that asks nothing.
    pub const NOTHING: Self = Self {
        never: &[],
        untold: &[],
        limits: Limits::FREE,
        reserve: &[],
        wanted: &[],
        caution: "",
        source: "",
    };
}
