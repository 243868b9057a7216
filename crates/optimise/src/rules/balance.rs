//! Push and pull, knee and hip: the lesser side gets its share over the cycle and in a whole-body session, unless it
//! cannot be trained or the client came for the other one.

use super::{Client, Rule};
use setwright_model::Pattern;
use setwright_model::brief::Priority;
use setwright_model::exercise::Exercise;
use setwright_model::pattern::{Region, Side};

/// The rule. It is kept by the sums of the sides.
pub struct Balance;

impl Rule for Balance {
    fn name(&self) -> &'static str {
        "balance"
    }
}

/// Which balances apply to these exercises: push against pull, knee against hip.
pub fn applies(c: &Client<'_>, exercises: &[&Exercise]) -> [bool; 2] {
    let top = |sides: [Side; 2]| {
        c.brief.muscles.iter().any(|(m, w)| {
            w.priority == Some(Priority::Top)
                && exercises.iter().any(|e| e.prime() == Some(*m) && sides.contains(&e.pattern.side()))
        })
    };
    let has = |one: u8| exercises.iter().any(|e| side(e.pattern) == Some(one));
    [has(0) && has(1) && !top([Side::Push, Side::Pull]), has(2) && has(3) && !top([Side::Knee, Side::Hip])]
}

/// The side that a pattern counts for in the balances: of the upper body compounds only.
pub fn side(pattern: Pattern) -> Option<u8> {
    if pattern.region() == Region::Upper && !pattern.is_compound() {
        return None;
    }
    match pattern.side() {
        Side::Push => Some(0),
        Side::Pull => Some(1),
        Side::Knee => Some(2),
        Side::Hip => Some(3),
        Side::Other | Side::Whole => None,
    }
}
