//! What the client wants to be able to do is trained itself, or a step towards it, twice a week; no exercise of a machine stands
//! for it.

use super::{Client, Count, GIVEN_UP_FIRST, Rule, Unit};
use setwright_model::brief::Aim;
use setwright_model::exercise::{Exercise, Standing};
use setwright_science::aims;

/// The rule.
pub struct Aims;

impl Rule for Aims {
    fn name(&self) -> &'static str {
        "aims"
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let visits = aims::visits(c.brief) as i16;
        let every = visits >= c.brief.time.sessions as i16;
        let of = |aim: Aim| {
            let count = Count::new("aims", aim.name(), Unit::Exercise, sign(aim));
            let own = Count { soft: GIVEN_UP_FIRST, weight: 3, ..count };
            if every {
                Count { session_least: Some((1, |_| true)), ..own }
            } else {
                Count { cycle_least: Some(visits), session_most: Some(MOST_IN_A_SESSION), ..own }
            }
        };
        c.aims.iter().copied().map(of).collect()
    }
}

/// Exercises of a session for one aim: the second visit is worth more than a third kind of step (judgement).
const MOST_IN_A_SESSION: i16 = 2;

/// How exercises count for an aim.
const fn sign(aim: Aim) -> fn(&Exercise, &Client<'_>) -> i16 {
    match aim {
        Aim::Stairs => |e, _| counts(Aim::Stairs, e),
        Aim::Rising => |e, _| counts(Aim::Rising, e),
        Aim::Steady => |e, _| counts(Aim::Steady, e),
        Aim::Carrying => |e, _| counts(Aim::Carrying, e),
        Aim::PullUps => |e, _| counts(Aim::PullUps, e),
        Aim::PressUps => |e, _| counts(Aim::PressUps, e),
        Aim::Jumping => |e, _| counts(Aim::Jumping, e),
        Aim::LessWeight => |_, _| 0,
    }
}

fn counts(aim: Aim, e: &Exercise) -> i16 {
    i16::from(aims::serves(aim, e))
}

/// Whether it is of the aims that are lost first in tired arms.
pub fn is_skill(e: &Exercise, c: &Client<'_>) -> bool {
    let skills = c.aims.iter().filter(|aim| matches!(aim, Aim::PullUps | Aim::PressUps));
    skills.into_iter().any(|aim| aims::serves(*aim, e))
}

/// Whether an exercise is for what the client wants to be able to do, and needs no other reason: a plain one, or a step that takes
/// little teaching.
pub fn is_reason(e: &Exercise, c: &Client<'_>) -> bool {
    let plain = e.standing != Standing::Special || e.skill <= 1;
    plain && c.aims.iter().any(|aim| aims::serves(*aim, e))
}
