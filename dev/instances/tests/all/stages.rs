//! The solver of a session against all selections of its offers.

use setwright_optimise::rng::Rng;
use setwright_optimise::session_dp::{Group, Offer, Run, Stages, solve};

fn offer(rng: &mut Rng, lift: u16) -> Offer {
    Offer {
        lift,
        mode: rng.below(4) as u8,
        sets: 1 + rng.below(3) as u8,
        time: 1 + rng.below(9) as u32,
        lead: rng.below(4) as u32,
        opens: rng.below(3) > 0,
        paired: rng.below(2) == 0,
        profit: rng.below(30) as f64 - 9.0,
    }
}

fn stages(seed: u64) -> Stages {
    let mut rng = Rng::new(seed, 5);
    let rng = &mut rng;
    let mut lift = 0;
    let mut group = |rng: &mut Rng| {
        let offers = (0..=rng.below(3)).map(|_| {
            lift += 1;
            offer(rng, lift)
        });
        Group { offers: offers.collect(), must: rng.below(8) == 0 }
    };
    let mut run = |rng: &mut Rng| {
        let n = 1 + rng.below(2);
        Run { groups: (0..n).map(|_| group(rng)).collect(), most: 1 + rng.below(2) }
    };
    let families = (0..=rng.below(3)).map(|_| (0..=rng.below(2)).map(|_| run(rng)).collect()).collect();
    Stages { families }
}

/// What has been chosen so far.
#[derive(Clone, Copy, Default)]
struct Chosen {
    time: u32,
    profit: f64,
    paired: u32,
    open: bool,
    used: usize,
}

/// Goes through all selections in the order of the stages.
fn brute(stages: &Stages, capacity: u32) -> Option<f64> {
    let mut best = None;
    family(stages, 0, Chosen::default(), capacity, &mut best);
    best
}

fn family(stages: &Stages, at: usize, chosen: Chosen, capacity: u32, best: &mut Option<f64>) {
    if at == stages.families.len() {
        if chosen.paired.is_multiple_of(2) && best.is_none_or(|b| chosen.profit > b) {
            *best = Some(chosen.profit);
        }
        return;
    }
    let groups: Vec<(usize, &Run, &Group)> = stages.families[at]
        .iter()
        .enumerate()
        .flat_map(|(i, run)| run.groups.iter().map(move |g| (i, run, g)))
        .collect();
    let fresh = Chosen { open: false, used: 0, ..chosen };
    choose(stages, at, &groups, usize::MAX, fresh, capacity, best);
}

fn choose(
    stages: &Stages,
    at: usize,
    groups: &[(usize, &Run, &Group)],
    last_run: usize,
    chosen: Chosen,
    capacity: u32,
    best: &mut Option<f64>,
) {
    let Some(((index, run, group), rest)) = groups.split_first() else {
        return family(stages, at + 1, chosen, capacity, best);
    };
    let used = if *index == last_run { chosen.used } else { 0 };
    if !group.must {
        choose(stages, at, rest, *index, Chosen { used, ..chosen }, capacity, best);
    }
    for offer in group.offers.iter().filter(|_| used < run.most) {
        let lead = if offer.opens && !chosen.open { offer.lead } else { 0 };
        let next = Chosen {
            time: chosen.time + offer.time + lead,
            profit: chosen.profit + offer.profit,
            paired: chosen.paired + u32::from(offer.paired),
            open: chosen.open || offer.opens,
            used: used + 1,
        };
        if next.time <= capacity {
            choose(stages, at, rest, *index, next, capacity, best);
        }
    }
}

#[test]
fn the_best_session_equals_brute_force_over_its_offers() {
    let mut wrong = Vec::new();
    for seed in 0..4000 {
        let stages = stages(seed);
        let capacity = 6 + (seed % 29) as u32;
        let got = solve(&stages, capacity);
        let wanted = brute(&stages, capacity);
        if got.as_ref().map(|b| b.profit) != wanted {
            wrong.push(format!("{seed}: {:?} instead of {wanted:?}", got.map(|b| b.profit)));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} disagree, the first:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(5)].join("\n")
    );
}

#[test]
fn what_was_taken_adds_up_to_the_profit() {
    for seed in 0..2000 {
        let stages = stages(seed);
        if let Some(best) = solve(&stages, 25) {
            let sum: f64 = best.taken.iter().map(|o| o.profit).sum();
            assert!((sum - best.profit).abs() < 1e-9, "{seed}: {sum} is not {}", best.profit);
            let paired = best.taken.iter().filter(|o| o.paired).count();
            assert!(paired.is_multiple_of(2), "{seed}: {paired} stand in pairs");
            let musts = stages.families.iter().flatten().flat_map(|r| &r.groups).filter(|g| g.must);
            let served = |g: &Group| best.taken.iter().any(|t| g.offers.contains(t));
            assert!(musts.clone().all(served), "{seed}: a must is not served");
        }
    }
}
