//! Dose and response: how sets are counted and what they are worth.

use setwright_evidence::bench::prescription;
use setwright_gym::catalogue;
use setwright_model::{Block, BlockKind, FractionalSets, Muscle, Seconds, Session};
use setwright_science::dose;

/// Arithmetic on Pelland 2025's count, Sports Med, doi 10.1007/s40279-025-02344-w (A, D): 4 sets of bench press, 3 of
/// overhead press and 3 of triceps extension are chest 4, triceps 6.5, front shoulder 5.
#[test]
fn the_worked_count_holds_with_the_real_catalogue() {
    let all = catalogue::builtin();
    let lifts = [("bench_press", 4), ("overhead_press", 3), ("triceps_pushdown", 3)];
    let blocks = lifts
        .iter()
        .map(|(id, sets)| Block {
            kind: BlockKind::Straight,
            rest_s: Seconds(120.0),
            exercises: vec![prescription(
                all.get(&(*id).into()).unwrap_or_else(|| panic!("no {id}")),
                *sets,
                10,
            )],
        })
        .collect();
    let doses = dose::of_session(&Session { day: 1, focus: String::new(), blocks }, all);
    for (muscle, sets) in [(Muscle::Chest, 4.0), (Muscle::Triceps, 6.5), (Muscle::FrontDelts, 5.0)] {
        assert_eq!(doses[muscle.index()], FractionalSets(sets), "{muscle}");
    }
}

/// Schoenfeld 2017, J Sports Sci 35:1073 (M): under 5, 5-9 and 10 or more weekly sets gave 5.4, 6.6 and 9.8 %. With 3,
/// 7 and 13 sets as the middles (judgement), each within a fifth after one common scale.
#[test]
fn benefit_rises_like_growth_over_weekly_sets() {
    let rows = [(3.0, 5.4), (7.0, 6.6), (13.0, 9.8)];
    let model = rows.map(|(sets, _)| dose::benefit(FractionalSets(sets)));
    let scale = rows.iter().map(|r| r.1).sum::<f64>() / model.iter().sum::<f64>();
    for ((sets, published), said) in rows.iter().zip(model) {
        let off = said * scale / published - 1.0;
        println!("{sets} sets: published {published}, model {:.1} ({:+.0} %)", said * scale, off * 100.0);
        assert!(off.abs() < 0.2, "{sets}: {off}");
    }
}

/// From memory (m): within one session further sets stop mattering around 11 fractional sets; the flattening begins
/// at about 6. A loose band, for a muscle trained once a week without any debt.
#[test]
fn in_one_session_further_sets_stop_mattering_near_eleven() {
    let net = |sets: f64| dose::benefit(FractionalSets(sets)) - dose::strain_price(FractionalSets(sets));
    let best = (1..=20).map(f64::from).max_by(|a, b| net(*a).total_cmp(&net(*b))).unwrap();
    println!("best single session: {best} sets");
    assert!((8.0..=13.0).contains(&best), "{best}");
    assert!(net(11.0) - net(10.0) < (net(4.0) - net(3.0)) / 4.0);
}
