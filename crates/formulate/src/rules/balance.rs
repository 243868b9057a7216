//! Push and pull, knee and hip: the lesser side gets its share over the cycle and in a whole-body session, unless it
//! cannot be trained or the client came for the other one; and rows are not far fewer than presses ahead, whatever is pulled
//! from above.

use super::movements::ALL_MIN;
use super::{Client, Count, Rule, Unit};
use setwright_model::brief::{Goal, Priority};
use setwright_model::exercise::Exercise;
use setwright_model::pattern::{Region, Side};
use setwright_model::{Muscle, Pattern};

/// The rule. It is kept by the sums of the sides.
pub struct Balance;

impl Rule for Balance {
    fn name(&self) -> &'static str {
        "balance"
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let spared = c.limits.pulls_lead || c.first_weeks() || c.brief.goal == Goal::Strength;
        let wanted = c.priority_of(Muscle::Chest) > Some(Priority::Normal);
        if spared || wanted || c.cycle_minutes() < ROWS_MIN {
            return Vec::new();
        }
        let rows = Count::new("balance", "rows beside presses ahead", Unit::Set, |e, _| rows_less_presses(e));
        let fewer = ROWS_FEWER * c.brief.time.sessions as i16;
        vec![Count { cycle_least: Some(-fewer), ..rows }]
    }
}

/// Minutes of a cycle from which rows are held to presses ahead, and sets a session by which they may be fewer (judgement).
const ROWS_MIN: f64 = 120.0;
const ROWS_FEWER: i16 = 2;

fn rows_less_presses(e: &Exercise) -> i16 {
    match e.pattern {
        Pattern::HorizontalRow => 1,
        Pattern::HorizontalPress | Pattern::InclinePress => -1,
        _ => 0,
    }
}

/// Which balances apply to these exercises: push against pull, knee against hip; none where there is hardly room for a lift.
pub fn applies(c: &Client<'_>, exercises: &[&Exercise]) -> [bool; 2] {
    if c.cycle_minutes() < ALL_MIN {
        return [false; 2];
    }
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
