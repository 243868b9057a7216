//! A plan becomes a programme: order, reps, loads, ramps.

use crate::order::ordered;
use setwright_formulate::frame::Frame;
use setwright_formulate::lift::Candidate;
use setwright_formulate::plan::{Plan, PlanBlock};
use setwright_formulate::problem::{MODES, Problem};
use setwright_formulate::rules::main_lifts::{FROM_THE_FLOOR, PRESS, SQUAT, turn};
use setwright_formulate::rules::sport_days::{RESERVE_ON_AN_EVE, is_before_a_match};
use setwright_gym::loads::Loadable;
use setwright_model::brief::Focus;
use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::{Belief, Block, Exercise, Prescription, Programme, Seconds, Session};
use setwright_science::curve::Curve;
use setwright_science::prescribe::{self, Scheme};
use setwright_science::warmup::{WarmUpRole, roles};
use setwright_science::{capability::Capability, ramp, strength};

/// Longest rest on a light day, in seconds (Ratamess 2009, MSSE 41:687 (A): three minutes; more is for near the limit).
const LIGHT_REST_S: f64 = 180.0;

/// The programme of a plan: every session of the cycle, whichever of the different ones it is.
pub fn programme(problem: &Problem, frame: &Frame, plan: &Plan, belief: &Belief) -> Programme {
    let orders: Vec<Vec<PlanBlock>> = plan.sessions.iter().map(|blocks| ordered(problem, blocks)).collect();
    let mut visits = Visits::new(problem, &orders);
    let session = |(s, day): (usize, &u32)| Session {
        day: *day,
        focus: focus_name(frame.focus[s]).to_owned(),
        blocks: {
            let reserve = if is_before_a_match(&problem.brief, *day) { RESERVE_ON_AN_EVE } else { 0 };
            blocks_of(problem, &orders[problem.part_of[s]], belief, reserve, &mut visits)
        },
    };
    Programme {
        client: problem.brief.name.clone(),
        cycle_days: problem.brief.time.cycle_days,
        sessions: frame.days.iter().enumerate().map(session).collect(),
    }
}

/// Which visits of the main lifts are heavy and which light: in turn. A squat that comes more than once is light beside a pull from
/// the floor that comes once, and what comes from the floor begins light where a squat is heavy in the same session.
struct Visits {
    /// By lift: whether the next visit is light, where visits take turns at all.
    light_next: Vec<Option<bool>>,
}

impl Visits {
    fn new(problem: &Problem, orders: &[Vec<PlanBlock>]) -> Self {
        let has = |part: usize, l: usize| orders[part].iter().any(|s| s.has(l as u16));
        let sessions = |l: usize| -> Vec<usize> {
            (0..problem.part_of.len()).filter(|s| has(problem.part_of[*s], l)).collect()
        };
        let mains = |of: u8| {
            let is_of = move |l: &usize| problem.lifts[*l].main && turn(&problem.lifts[*l].exercise) == of;
            (0..problem.lifts.len()).filter(is_of).map(|l| (l, sessions(l)))
        };
        let pulled_once: Vec<usize> =
            mains(FROM_THE_FLOOR).filter(|(_, at)| at.len() == 1).flat_map(|(_, at)| at).collect();
        let mut light_next = vec![None; problem.lifts.len()];
        let mut squatted_heavily = Vec::new();
        for (l, at) in mains(SQUAT) {
            let beside = at.iter().position(|s| pulled_once.contains(s)).filter(|_| at.len() > 1);
            let begins_light = beside.is_some_and(|visit| visit % 2 == 0);
            light_next[l] = (at.len() > 1).then_some(begins_light);
            squatted_heavily.extend(at.into_iter().skip(usize::from(begins_light)).step_by(2));
        }
        for (l, at) in mains(PRESS).chain(mains(FROM_THE_FLOOR)).filter(|(_, at)| at.len() > 1) {
            let floor = turn(&problem.lifts[l].exercise) == FROM_THE_FLOOR;
            light_next[l] = Some(floor && squatted_heavily.contains(&at[0]));
        }
        Self { light_next }
    }

    /// Whether this visit is light; the next one is the other.
    fn is_light(&mut self, lift: usize) -> bool {
        let Some(light) = &mut self.light_next[lift] else { return false };
        let now = *light;
        *light = !now;
        now
    }
}

/// The plain name of a focus.
pub const fn focus_name(focus: Focus) -> &'static str {
    match focus {
        Focus::WholeBody => "whole body",
        Focus::Upper => "upper",
        Focus::Lower => "lower",
        Focus::Push => "push",
        Focus::Pull => "pull",
        Focus::Legs => "legs",
    }
}

fn blocks_of(
    problem: &Problem,
    order: &[PlanBlock],
    belief: &Belief,
    reserve: u32,
    visits: &mut Visits,
) -> Vec<Block> {
    let in_order: Vec<&Exercise> =
        order.iter().flat_map(|s| s.lifts()).map(|(l, _)| &problem.lifts[l].exercise).collect();
    let mut roles = roles(&in_order).into_iter();
    order
        .iter()
        .map(|slot| {
            let mode = MODES[slot.mode as usize];
            let mut rest_s = f64::from(mode.rest_s);
            let exercises = slot
                .lifts()
                .map(|(l, _)| {
                    let role = roles.next().unwrap_or(WarmUpRole::Follower);
                    let light = visits.is_light(l);
                    rest_s = if light { rest_s.min(LIGHT_REST_S) } else { rest_s };
                    let scheme = scheme(&problem.lifts[l], light, reserve);
                    prescription(problem, &problem.lifts[l], scheme, slot.sets, role, belief)
                })
                .collect();
            Block { kind: mode.kind, rest_s: Seconds(rest_s), exercises }
        })
        .collect()
}

/// Reps and reserve of a visit, with so much in reserve at least: by a lighter load, or by fewer reps where the body is the load.
fn scheme(lift: &Candidate, light_day: bool, reserve: u32) -> Scheme {
    let usual = if light_day { prescribe::light_day(lift.scheme, &lift.exercise) } else { lift.scheme };
    let more = reserve.saturating_sub(usual.rir);
    let body = matches!(lift.exercise.load, LoadKind::Body | LoadKind::BodyPlus);
    let fewer = if body && lift.exercise.measure == Measure::Reps { more } else { 0 };
    let reps = usual.reps.map(|reps| reps.saturating_sub(fewer).max(1));
    Scheme { rir: usual.rir + more, reps }
}

fn prescription(
    problem: &Problem,
    lift: &Candidate,
    scheme: Scheme,
    sets: u8,
    role: WarmUpRole,
    belief: &Belief,
) -> Prescription {
    let (brief, exercise) = (&problem.brief, &lift.exercise);
    let mid_reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0;
    // An entry of the equipment that makes no sense was refused when the brief was read.
    let loadable = Loadable::of_client(brief, exercise).unwrap_or_else(|_| Loadable::none());
    let known = strength::work_load(exercise, scheme, belief, &loadable, brief.body.mass_kg);
    let fewer = || strength::fewer_reps(exercise, scheme, belief, &loadable, brief);
    let (load_kg, reps) = match known {
        Some(load) => (Some(load), scheme.reps),
        None => fewer().map_or_else(
            || (Capability::of(brief, belief).expected_bell(exercise, scheme), scheme.reps),
            |(load, reps)| (Some(load), reps),
        ),
    };
    let curve = Curve::of(exercise.curve);
    let first_weeks = brief.training_age.is_first_weeks();
    let ramp = ramp::ramp(exercise, role, mid_reps, scheme.rir, load_kg, &loadable, curve, first_weeks);
    Prescription { id: exercise.id.clone(), sets: u32::from(sets), reps, rir: scheme.rir, load_kg, ramp }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_formulate::plan::NONE;
    use setwright_formulate::problem::{STRAIGHT, compile};
    use setwright_gym::catalogue::builtin;
    use setwright_model::Brief;

    /// By session whether each of these lifts is light in it.
    fn light(sessions: [&[&str]; 3]) -> Vec<Vec<bool>> {
        let lift = |id: &str| format!("{{ exercise = \"{id}\", load_kg = 100.0, reps = 3, rir = 2 }}");
        let told = ["back_squat", "bench_press", "deadlift"].map(lift).join(", ");
        let text = format!(
            "name = \"A\"\ngoal = \"strength\"\ntraining_age = \"advanced\"\nlift = [{told}]\n\
             time = {{ sessions = 3, minutes = 90, days = [1, 3, 5] }}\nequipment = {{ place = \"full_gym\" }}"
        );
        let brief: Brief = toml::from_str(&text).unwrap();
        let mut problem = compile(&brief, builtin(), &strength::belief(&brief, builtin()), false);
        problem.part_of = vec![0, 1, 2];
        let place = |id: &str| problem.lifts.iter().position(|l| l.exercise.id.as_str() == id).expect(id);
        let block = |id: &&str| PlanBlock { a: place(id) as u16, b: NONE, sets: 3, mode: STRAIGHT.start };
        let orders: Vec<Vec<PlanBlock>> =
            sessions.iter().map(|ids| ids.iter().map(block).collect()).collect();
        let mut visits = Visits::new(&problem, &orders);
        sessions.iter().map(|ids| ids.iter().map(|id| visits.is_light(place(id))).collect()).collect()
    }

    #[test]
    fn a_squat_is_light_beside_the_one_pull_from_the_floor() {
        let (squat, pull) = ("back_squat", "deadlift");
        assert_eq!(
            light([&[squat, pull], &["bench_press"], &[squat]]),
            [vec![true, false], vec![false], vec![false]]
        );
        assert_eq!(
            light([&[squat], &["bench_press"], &[squat, pull]]),
            [vec![false], vec![false], vec![true, false]]
        );
        assert_eq!(
            light([&[squat, pull], &[], &[squat, pull]]),
            [vec![false, true], vec![], vec![true, false]]
        );
    }
}
