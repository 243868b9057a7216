//! What must hold for any session and any dose, beyond the published figures.

use proptest::prelude::*;
use setwright_evidence::bench::exercise;
use setwright_model::exercise::CurveFamily;
use setwright_model::{
    Block, BlockKind, Catalogue, Exercise, FractionalSets, Hours, Muscle, Pattern, Prescription, RampStep,
    Seconds, Session,
};
use setwright_science::clock::{self, CHANGE_OF_BLOCK_MAX_S};
use setwright_science::dose;

/// Nine exercises that differ in every time the clock looks at.
fn catalogue() -> Catalogue {
    Catalogue::new((0..9).map(|i| {
        let n = f64::from(i);
        Exercise {
            setup_s: Seconds(7.0 * n),
            changeover_s: Seconds(3.0 * n),
            seconds_per_rep: Seconds(2.0 + 0.25 * n),
            unilateral: i % 4 == 3,
            ..exercise(&format!("e{i}"), Pattern::HorizontalRow, CurveFamily::Upper, &[Muscle::Lats], 1)
        }
    }))
}

fn prescription() -> impl Strategy<Value = Prescription> {
    (0_u32..9, 1_u32..=5, 3_u32..20, 0_u32..=3).prop_map(|(i, sets, reps, steps)| Prescription {
        id: format!("e{i}").as_str().into(),
        sets,
        reps: [reps, reps + 2],
        rir: 2,
        load_kg: None,
        ramp: (0..steps).map(|s| RampStep { reps: 12 - 4 * s, load_kg: None }).collect(),
    })
}

fn block() -> impl Strategy<Value = Block> {
    (prop::collection::vec(prescription(), 1..=2), 0.0..240.0).prop_map(|(exercises, rest_s)| Block {
        kind: if exercises.len() == 1 { BlockKind::Straight } else { BlockKind::Alternating },
        rest_s: Seconds(rest_s),
        exercises,
    })
}

fn total_s(blocks: &[Block], catalogue: &Catalogue) -> f64 {
    let session = Session { day: 1, focus: String::new(), blocks: blocks.to_vec() };
    clock::session(&session, catalogue, false).unwrap().total.get()
}

/// Seconds that a block brings when it is not the first: its own, and the rest of the change that its set-up does
/// not fill.
fn brings_s(block: &Block, catalogue: &Catalogue) -> f64 {
    let setup_s: f64 = block.exercises.iter().map(|p| catalogue.get(&p.id).unwrap().setup_s.get()).sum();
    let wait_s = (block.rest_s.get().min(CHANGE_OF_BLOCK_MAX_S) - setup_s).max(0.0);
    total_s(std::slice::from_ref(block), catalogue) + wait_s
}

fn doses() -> impl Strategy<Value = (Vec<FractionalSets>, Vec<Hours>)> {
    prop::collection::btree_map(0_u32..167, 0.0..12.0, 1..6).prop_map(|sessions| {
        let starts = sessions.keys().map(|h| Hours(f64::from(*h))).collect();
        (sessions.values().map(|d| FractionalSets(*d)).collect(), starts)
    })
}

const WEEK: Hours = Hours(168.0);

proptest! {
    #[test]
    fn a_session_takes_the_sum_of_what_its_blocks_bring(blocks in prop::collection::vec(block(), 1..8)) {
        let catalogue = catalogue();
        let first = total_s(&blocks[..1], &catalogue);
        let sum: f64 = first + blocks[1..].iter().map(|b| brings_s(b, &catalogue)).sum::<f64>();
        prop_assert!((total_s(&blocks, &catalogue) - sum).abs() < 1e-6);
    }

    #[test]
    fn events_of_a_session_touch_and_never_overlap(blocks in prop::collection::vec(block(), 1..6)) {
        let session = Session { day: 1, focus: String::new(), blocks };
        let timeline = clock::session(&session, &catalogue(), true).unwrap();
        let mut clock_s = 0.0;
        for event in &timeline.events {
            prop_assert!((event.start.get() - clock_s).abs() < 1e-6);
            clock_s += event.length.get();
        }
        prop_assert!((timeline.total.get() - clock_s).abs() < 1e-6);
    }

    #[test]
    fn another_set_never_lowers_a_dose_or_its_worth(sets in 0_u32..10, index in 0_usize..9) {
        let catalogue = catalogue();
        let e = catalogue.iter().nth(index).unwrap();
        for muscle in Muscle::ALL {
            prop_assert!(dose::of_sets(e, muscle, sets + 1) >= dose::of_sets(e, muscle, sets));
        }
        prop_assert!(dose::worth(sets + 1) >= dose::worth(sets));
        let (more, less) = (FractionalSets(f64::from(sets + 1)), FractionalSets(f64::from(sets)));
        prop_assert!(dose::benefit(more) > dose::benefit(less));
    }

    #[test]
    fn starting_the_cycle_on_another_day_changes_no_debt(
        (doses, starts) in doses(), shift in 0.0..400.0, tau in 5.0..60.0,
    ) {
        let moved: Vec<Hours> = starts.iter().map(|s| Hours(s.get() + shift)).collect();
        let before = dose::debts(&doses, &starts, WEEK, Hours(tau));
        let after = dose::debts(&doses, &moved, WEEK, Hours(tau));
        for (b, a) in before.iter().zip(after) {
            prop_assert!((b.get() - a.get()).abs() < 1e-6);
        }
    }

    #[test]
    fn a_longer_gap_or_a_quicker_muscle_lowers_the_debt(
        first in 0.5..12.0, second in 0.5..12.0, gap in 1.0..80.0, longer in 0.5..80.0, tau in 5.0..60.0,
    ) {
        let doses = [FractionalSets(first), FractionalSets(second)];
        let meets = |gap_h: f64, tau_h: f64| {
            let cycle = Hours(gap_h + WEEK.get());
            dose::debts(&doses, &[Hours(0.0), Hours(gap_h)], cycle, Hours(tau_h))[1].get()
        };
        prop_assert!(meets(gap + longer, tau) < meets(gap, tau));
        prop_assert!(meets(gap, tau * 0.8) < meets(gap, tau));
    }
}
