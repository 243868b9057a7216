//! Every programme has something for the knee, the hip, a press and a pull; with time for both, a row and a pull from
//! above; and legs bend in every session that trains them.

use super::{Client, Count, GIVEN_UP_FIRST, Rule, Unit};
use setwright_model::brief::{Aim, Focus, Goal};
use setwright_model::exercise::Exercise;
use setwright_model::pattern::Region;
use setwright_model::{Muscle, Pattern};

/// Minutes of a cycle from which rows and pulls from above are asked apart (common practice, no source (T)).
const BOTH_PULLS_MIN: f64 = 80.0;

/// Minutes of a cycle that hold all of them, and under which there is hardly a lift (judgement).
pub const ALL_MIN: f64 = 30.0;
const SOME_MIN: f64 = 15.0;

/// Minutes of a cycle from which there is time for something on one leg beside a sport (common practice, no source (T)).
const ONE_LEG_MIN: f64 = 60.0;

/// Minutes of a session from which there is time for a step and for a squat or leg press (judgement).
const STEP_BESIDE_MIN: f64 = 30.0;

/// Minutes of a session from which one for the whole body holds a press too (common practice, no source (T)).
const PRESS_EACH_MIN: f64 = 20.0;

/// The rule.
pub struct Movements;

impl Rule for Movements {
    fn name(&self) -> &'static str {
        "movements"
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        let of = |what, sign| Count {
            cycle_least: Some(1),
            weight: 3,
            ..Count::new("movements", what, Unit::Exercise, sign)
        };
        let trains_legs = |f: Focus| matches!(f, Focus::WholeBody | Focus::Lower | Focus::Legs);
        // Unless the legs matter little to the client, or the coach has said how much they get at most.
        let few = c.is_minor(Muscle::Quads)
            || c.brief.muscles.get(&Muscle::Quads).is_some_and(|w| w.most.is_some());
        let varied = c.brief.goal != Goal::Strength || c.is_new();
        let each_session = (varied && !few).then_some((1, trains_legs as fn(Focus) -> bool));
        // A session for the whole body pushes too, where it has the minutes.
        let whole = |f: Focus| f == Focus::WholeBody;
        let minor = c.is_minor(Muscle::Chest);
        let pushes = varied && !minor && !super::spared_shoulder::presses_wait(c);
        let press_each =
            (pushes && c.shortest_minutes() >= PRESS_EACH_MIN).then_some((1, whole as fn(Focus) -> bool));
        if c.cycle_minutes() < SOME_MIN {
            return Vec::new();
        }
        let mut out = vec![
            Count { session_least: each_session, ..of("a squat, lunge or leg press", bends_the_knee) },
            Count {
                session_least: press_each,
                ..of("a press", |e, _| i16::from(broad_need(e.pattern) == Some(Need::Press)))
            },
        ];
        let sporty = c.brief.sport.has_days() && c.is_seasoned();
        if sporty && c.cycle_minutes() >= ONE_LEG_MIN && !few {
            // Who runs, kicks or jumps stands on one leg, once the first lifts are learnt.
            let of = of("something on one leg", |e, _| i16::from(is_on_one_leg(e)));
            out.push(Count { weight: 1, soft: GIVEN_UP_FIRST, ..of });
        }
        if !minor {
            out.push(of("a press ahead", |e, _| is(e, Need::Press)));
        }
        if c.cycle_minutes() >= ALL_MIN {
            out.push(of("a hinge, hip or leg curl", |e, _| is(e, Need::Hip)));
        }
        if c.cycle_minutes() >= BOTH_PULLS_MIN && !c.first_weeks() {
            out.push(of("a row", |e, _| is(e, Need::Row)));
            out.push(of("a pull from above", |e, _| is(e, Need::Pull)));
        } else {
            out.push(of("a row or pull from above", |e, _| is(e, Need::Row) + is(e, Need::Pull)));
            out.push(of("a pull", |e, _| i16::from(last_need(e.pattern) == Some(Need::Pull))));
        }
        if varied && !c.is_minor(Muscle::Lats) && c.shortest_minutes() >= PRESS_EACH_MIN {
            // And it pulls.
            let pull =
                of("a pull in each session", |e, _| i16::from(broad_need(e.pattern) == Some(Need::Pull)));
            out.push(Count { session_least: Some((1, whole)), soft: GIVEN_UP_FIRST, ..pull });
        }
        out
    }
}

/// What a programme must have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Squat, lunge, leg press.
    Knee,
    /// Hinge, hip extension, leg curl.
    Hip,
    /// Press ahead.
    Press,
    /// Row.
    Row,
    /// Pull from above.
    Pull,
}

/// What a pattern serves.
pub fn serves(pattern: Pattern) -> Option<Need> {
    Some(match pattern {
        Pattern::Squat | Pattern::LegPress | Pattern::Lunge => Need::Knee,
        Pattern::Hinge | Pattern::HipExtension | Pattern::KneeFlexion => Need::Hip,
        Pattern::HorizontalPress => Need::Press,
        Pattern::HorizontalRow => Need::Row,
        Pattern::VerticalPull => Need::Pull,
        _ => return None,
    })
}

/// What is stepped for an aim stands beside what bends the knee with a load, where there is time for both.
fn bends_the_knee(e: &Exercise, c: &Client<'_>) -> i16 {
    let steps = c.aims.iter().any(|aim| matches!(aim, Aim::Stairs | Aim::Steady));
    let beside = steps && e.pattern == Pattern::Lunge && c.shortest_minutes() >= STEP_BESIDE_MIN;
    if beside { 0 } else { is(e, Need::Knee) }
}

fn is_on_one_leg(e: &Exercise) -> bool {
    let compound = e.pattern.is_compound() && e.pattern.region() == Region::Lower;
    compound && (e.unilateral || e.pattern == Pattern::Lunge)
}

fn is(e: &Exercise, need: Need) -> i16 {
    i16::from(serves(e.pattern) == Some(need))
}

/// The need that a pattern serves where nothing serves it better: a row for a pull from above, any press for one ahead.
pub fn broad_need(pattern: Pattern) -> Option<Need> {
    match pattern {
        Pattern::InclinePress | Pattern::VerticalPress | Pattern::Dip => Some(Need::Press),
        _ => serves(pattern).map(|need| if need == Need::Row { Need::Pull } else { need }),
    }
}

/// The same, and at the very least: arms drawn down for a pull.
pub fn last_need(pattern: Pattern) -> Option<Need> {
    if pattern == Pattern::Pullover { Some(Need::Pull) } else { broad_need(pattern) }
}
