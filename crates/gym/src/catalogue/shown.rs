//! What a lift that was told shows of the client: who squats a bar can be given another bar squat, who has done neither
//! is not surprised with one.
//!
//! Derived from pattern, load and cost, so that a new exercise needs no list; must not look at names.

use setwright_model::exercise::{Exercise, LoadKind};
use setwright_model::pattern::Pattern;

/// What a lift shows that the client handles.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shown {
    /// A squat with a bar.
    BarSquat,
    /// A heavy pull of a bar from the floor, or near it.
    FloorPull,
    /// Their own weight pulled up to a bar.
    PullUp,
}

impl Shown {
    /// What this lift shows, if it shows anything of the kind.
    pub fn by(exercise: &Exercise) -> Option<Self> {
        let bar = exercise.load == LoadKind::Bar;
        let body = matches!(exercise.load, LoadKind::Body | LoadKind::BodyPlus);
        match exercise.pattern {
            Pattern::Squat if bar && !exercise.unilateral => Some(Self::BarSquat),
            Pattern::Hinge if bar && exercise.is_taxing() => Some(Self::FloorPull),
            // One that is only lowered tires less, and shows nothing yet.
            Pattern::VerticalPull if body && exercise.systemic >= 2 => Some(Self::PullUp),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;

    fn check(shown: Shown, expected: &[&str]) {
        let found: Vec<&str> =
            builtin().iter().filter(|e| Shown::by(e) == Some(shown)).map(|e| e.id.as_str()).collect();
        assert_eq!(found, expected, "{shown:?}");
    }

    #[test]
    fn a_bar_on_the_legs_is_shown_by_bar_squats_alone() {
        check(
            Shown::BarSquat,
            &[
                "back_squat",
                "box_squat",
                "front_squat",
                "low_bar_squat",
                "overhead_squat",
                "paused_front_squat",
                "paused_squat",
                "pin_squat",
                "safety_bar_squat",
                "zercher_squat",
            ],
        );
    }

    #[test]
    fn a_pull_from_the_floor_is_shown_by_heavy_deadlifts_alone() {
        check(
            Shown::FloorPull,
            &[
                "block_pull",
                "deadlift",
                "deficit_deadlift",
                "paused_deadlift",
                "snatch_grip_deadlift",
                "sumo_deadlift",
                "trap_bar_deadlift",
            ],
        );
    }

    #[test]
    fn a_pull_up_is_shown_by_pull_ups_without_help() {
        check(Shown::PullUp, &["chin_up", "neutral_pull_up", "pull_up", "ring_pull_up", "towel_pull_up"]);
    }
}
