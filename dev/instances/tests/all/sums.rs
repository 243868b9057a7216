//! Sums kept up to date against sums made anew.

use setwright_formulate::frame::{Frame, frames};
use setwright_formulate::problem::Problem;
use setwright_formulate::state::{PlanChange, PlanState};
use setwright_instances::generator::{Instance, Size, sized, tiny};
use setwright_optimise::found::{Found, state_of};
use setwright_optimise::merits::Merits;
use setwright_optimise::moves::{Pools, draw};
use setwright_optimise::rng::Rng;

/// Makes whatever move is possible, for better or worse, and compares now and then. Returns the moves made.
fn wander(problem: &Problem, frame: &Frame, draws: u32, seed: u64, name: &str) -> u32 {
    let pools = Pools::new(problem, frame);
    let mut state = PlanState::new(problem, frame);
    let mut rng = Rng::new(seed, 8);
    let mut change = PlanChange::default();
    let mut merits = Merits::default();
    merits.refresh(problem, frame, &state);
    let mut made = 0;
    for _ in 0..draws {
        let Some(drawn) = draw(frame, &pools, &merits, &state, &mut rng) else { continue };
        if !state.weigh_edits(drawn.edits(), &mut change) || !change.settle(&state, drawn.edits()) {
            continue;
        }
        // Mostly uphill, so that sessions fill.
        if change.score() < state.score() && rng.below(8) > 0 {
            continue;
        }
        let score = change.score();
        state.apply(&change);
        made += 1;
        assert_eq!(score, state.score(), "{name}: the score after a change was foretold wrongly");
        if made % 20 == 0 {
            compare(problem, frame, &state, name);
        }
    }
    compare(problem, frame, &state, name);
    made
}

fn compare(problem: &Problem, frame: &Frame, state: &PlanState<'_>, name: &str) {
    let found = Found { plan: state.plan(), value: state.value(), short: state.short() };
    let anew = state_of(problem, frame, &found);
    assert_eq!(anew.plan(), found.plan, "{name}: the plan cannot be made anew");
    assert_eq!((anew.value(), anew.short()), (found.value, found.short), "{name}");
    for muscle in 0..setwright_model::Muscle::COUNT {
        assert_eq!(anew.raw(muscle), state.raw(muscle), "{name}");
        assert_eq!(anew.quality(muscle), state.quality(muscle), "{name}");
        for session in 0..frame.sessions() {
            assert_eq!(anew.strain(muscle, session), state.strain(muscle, session), "{name}");
        }
    }
}

fn wander_in(instance: &Instance, draws: u32, seed: u64) -> u32 {
    let problem = instance.problem();
    frames(&problem).iter().take(2).map(|f| wander(&problem, f, draws, seed, &instance.name)).sum()
}

#[test]
fn sums_kept_up_to_date_equal_sums_made_anew() {
    let tiny: u32 = (0..60).map(|seed| wander_in(&tiny(seed), 1500, seed)).sum();
    let sized: u32 = Size::ALL.into_iter().map(|size| wander_in(&sized(size, 1), 6000, 1)).sum();
    assert!(tiny > 5000 && sized > 500, "only {tiny} and {sized} moves were made");
}
