//! Pulls from the floor are rationed as one family: a deadlift and a trap-bar deadlift tire the same back.

use super::{Client, Count, Rule, Unit};
use setwright_model::Pattern;
use setwright_model::brief::{Condition, Goal};
use setwright_model::exercise::Exercise;

/// Sessions a week that pull from the floor: for strength, and for anything else (common practice, no source (T)).
const STRENGTH: f64 = 2.0;
const OTHER: f64 = 1.0;

/// Years from which backs are judged more strictly (judgement).
const CAREFUL_YEARS: u32 = 60;

/// The rule.
pub struct FloorPulls;

impl Rule for FloorPulls {
    fn name(&self) -> &'static str {
        "floor_pulls"
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let troubled = c.brief.conditions.contains(&Condition::LowBackPain);
        let often = if c.brief.goal == Goal::Strength && !troubled { STRENGTH } else { OTHER };
        // Who does the same session again pulls again.
        let again = c.brief.time.sessions as usize / super::familiar::different_sessions(c).max(1);
        let usual =
            ((often * c.weeks()).round().max(1.0) as i16).max(if troubled { 1 } else { again.min(2) as i16 });
        // Whoever is new, old or back is refused more than two a week, however the days of a cycle round.
        let aged = c.brief.body.age.is_some_and(|age| age >= CAREFUL_YEARS);
        let spared = c.is_new() || aged || c.is_returning();
        let refused = (STRENGTH * c.weeks()).floor().max(1.0) as i16;
        let most = if spared { usual.min(refused) } else { usual };
        let sign = |e: &Exercise, _: &Client<'_>| i16::from(is_one(e));
        let once = Count::new("floor_pulls", "heavy pulls from the floor", Unit::Exercise, sign);
        vec![Count { session_most: Some(1), cycle_most: Some(most), ..once }]
    }
}

/// Whether an exercise is a heavy pull from the floor.
pub fn is_one(e: &Exercise) -> bool {
    e.pattern == Pattern::Hinge && e.is_taxing()
}
