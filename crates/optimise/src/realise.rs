//! A plan becomes a programme: order, reps, loads, ramps.

use crate::frame::Frame;
use crate::order::ordered;
use crate::plan::{Plan, Slot};
use crate::problem::{MODES, Problem};
use setwright_model::brief::Focus;
use setwright_model::{Belief, Block, Exercise, Prescription, Programme, Seconds, Session};
use setwright_science::curve::Curve;
use setwright_science::loads::Loadable;
use setwright_science::warmup::{Role, roles};
use setwright_science::{prescribe, ramp, strength};

/// The programme of a plan.
pub fn programme(problem: &Problem, frame: &Frame, plan: &Plan, belief: &Belief) -> Programme {
    let sessions = plan.sessions.iter().enumerate().map(|(s, blocks)| {
        let order = ordered(problem, blocks);
        Session {
            day: frame.days[s],
            focus: focus_name(frame.focus[s]).to_owned(),
            blocks: blocks_of(problem, &order, belief),
        }
    });
    Programme {
        client: problem.brief.name.clone(),
        cycle_days: problem.brief.time.cycle_days,
        sessions: sessions.collect(),
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

fn blocks_of(problem: &Problem, order: &[Slot], belief: &Belief) -> Vec<Block> {
    let in_order: Vec<&Exercise> =
        order.iter().flat_map(|s| s.lifts()).map(|(l, _)| &problem.lifts[l].exercise).collect();
    let mut roles = roles(&in_order).into_iter();
    order
        .iter()
        .map(|slot| {
            let mode = MODES[slot.mode as usize];
            let exercises = slot
                .lifts()
                .map(|(l, _)| {
                    let role = roles.next().unwrap_or(Role::Follower);
                    prescription(problem, &problem.lifts[l].exercise, slot.sets, role, belief)
                })
                .collect();
            Block { kind: mode.kind, rest_s: Seconds(f64::from(mode.rest_s)), exercises }
        })
        .collect()
}

fn prescription(
    problem: &Problem,
    exercise: &Exercise,
    sets: u8,
    role: Role,
    belief: &Belief,
) -> Prescription {
    let brief = &problem.brief;
    let scheme = prescribe::scheme(exercise, brief.goal, brief.training_age);
    let mid_reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0;
    let light = problem.rules.sets.1 == 1;
    // An entry of the equipment that makes no sense was refused when the brief was read.
    let loadable = Loadable::of(&brief.equipment, exercise).unwrap_or_else(|_| Loadable::none());
    let load_kg = strength::work_load(exercise, scheme, belief, &loadable, brief.body.mass_kg);
    let curve = Curve::of(exercise.curve);
    let ramp = ramp::ramp(exercise, role, mid_reps, scheme.rir, load_kg, &loadable, curve, light);
    Prescription {
        id: exercise.id.clone(),
        sets: u32::from(sets),
        reps: scheme.reps,
        rir: scheme.rir,
        load_kg,
        ramp,
    }
}
