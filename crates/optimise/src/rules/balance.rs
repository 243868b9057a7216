//! Push and pull, knee and hip: the lesser side gets its share over the cycle and in a whole-body session, unless it
//! cannot be trained or the client came for the other one.

use super::{Client, Rule};
use crate::lift::Lift;
use setwright_model::brief::Priority;
use setwright_model::pattern::Side;

/// The rule. It is kept by the sums of the sides.
pub struct Balance;

impl Rule for Balance {
    fn name(&self) -> &'static str {
        "balance"
    }
}

/// Which balances apply: push against pull, knee against hip.
pub fn applies(c: &Client<'_>, lifts: &[Lift]) -> [bool; 2] {
    let top = |sides: [Side; 2]| {
        c.brief.muscles.iter().any(|(m, w)| {
            w.priority == Some(Priority::Top)
                && lifts
                    .iter()
                    .any(|l| l.exercise.prime() == Some(*m) && sides.contains(&l.exercise.pattern.side()))
        })
    };
    let has = |side: u8| lifts.iter().any(|l| l.side == Some(side));
    [has(0) && has(1) && !top([Side::Push, Side::Pull]), has(2) && has(3) && !top([Side::Knee, Side::Hip])]
}
