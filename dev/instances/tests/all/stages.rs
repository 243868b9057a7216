//! The solver of a session against all selections of its offers.

use setwright_instances::dice::Dice;
use setwright_optimise::session_dp::{Best, Narrow, Number, SessionQuery, SessionRoom, SessionTable};
use setwright_optimise::session_shape::{LiftOffer, Shape};

#[derive(Clone, Debug)]
struct Group {
    offers: Vec<(LiftOffer, f64)>,
    must: bool,
}

#[derive(Clone, Debug)]
struct Run {
    groups: Vec<Group>,
    most: usize,
}

/// Runs by family.
type Stages = Vec<Vec<Run>>;

/// An offer whose steps are its time.
fn offer(rng: &mut Dice, lift: u16) -> (LiftOffer, f64) {
    let (mode, sets, time) = (rng.below(4) as u8, 1 + rng.below(3) as u8, 1 + rng.below(9) as u16);
    let offer = LiftOffer {
        lift,
        mode,
        sets,
        time,
        step: time,
        lead: rng.below(4) as u16,
        opens: rng.below(3) > 0,
        paired: rng.below(2) == 0,
        heavy: rng.below(6) == 0,
    };
    (offer, rng.below(30) as f64 - 9.0)
}

fn stages(seed: u64) -> Stages {
    let mut rng = Dice::new(seed, 5);
    let rng = &mut rng;
    let mut lift = 0;
    let mut group = |rng: &mut Dice| {
        let offers = (0..=rng.below(3)).map(|_| {
            lift += 1;
            offer(rng, lift)
        });
        Group { offers: offers.collect(), must: rng.below(8) == 0 }
    };
    let mut run = |rng: &mut Dice| {
        let n = 1 + rng.below(2);
        Run { groups: (0..n).map(|_| group(rng)).collect(), most: 1 + rng.below(2) }
    };
    (0..=rng.below(3)).map(|_| (0..=rng.below(2)).map(|_| run(rng)).collect()).collect()
}

/// The stages as the planner lays them out, with the profit of each of its offers and which groups must be served.
/// Lifts are numbered from 1, each once.
fn laid_out(stages: &Stages) -> (Shape, Vec<f64>, Vec<bool>) {
    let offers = |g: &Group| g.offers.iter().map(|(o, _)| *o).collect::<Vec<_>>();
    let run = |r: &Run| (r.groups.iter().map(offers).collect(), r.most);
    let shape = Shape::new(stages.iter().map(|f| f.iter().map(run).collect()).collect());
    let groups = || stages.iter().flatten().flat_map(|r| &r.groups);
    let of = |lift: u16| groups().find(|g| g.offers.iter().any(|(o, _)| o.lift == lift)).unwrap();
    let profit = |o: &LiftOffer| of(o.lift).offers.iter().find(|(other, _)| other == o).unwrap().1;
    let profits = shape.offers.iter().map(profit).collect();
    let must = shape.groups.iter().map(|g| of(shape.offers[g.start].lift).must).collect();
    (shape, profits, must)
}

/// What the planner takes, with spine-heavy lifts allowed and without.
fn solve<N: Number>(stages: &Stages, room: SessionRoom) -> [Option<Best>; 2] {
    let (shape, profits, must) = laid_out(stages);
    let profit: Vec<N> = profits.iter().map(|p| N::of(*p)).collect();
    let bests = SessionTable::default().solve(
        &shape,
        room,
        &SessionQuery { profit: &profit, must: &must, light: true },
    );
    [bests.heavy, bests.light]
}

/// What has been chosen so far.
#[derive(Clone, Copy, Default)]
struct Chosen {
    time: u32,
    profit: f64,
    paired: u32,
    open: bool,
    ramped: bool,
    used: usize,
}

/// Goes through all selections in the order of the stages.
fn brute(stages: &Stages, room: SessionRoom, heavy: bool) -> Option<f64> {
    let mut best = None;
    family(stages, 0, Chosen::default(), (room, heavy), &mut best);
    best
}

fn family(stages: &Stages, at: usize, chosen: Chosen, limits: (SessionRoom, bool), best: &mut Option<f64>) {
    if at == stages.len() {
        let start = if chosen.ramped { limits.0.start } else { 0 };
        let fits = chosen.time + start <= limits.0.capacity && chosen.paired.is_multiple_of(2);
        if fits && best.is_none_or(|b| chosen.profit > b) {
            *best = Some(chosen.profit);
        }
        return;
    }
    let groups: Vec<(usize, &Run, &Group)> = stages[at]
        .iter()
        .enumerate()
        .flat_map(|(i, run)| run.groups.iter().map(move |g| (i, run, g)))
        .collect();
    let fresh = Chosen { open: false, used: 0, ..chosen };
    choose(stages, at, &groups, usize::MAX, fresh, limits, best);
}

fn choose(
    stages: &Stages,
    at: usize,
    groups: &[(usize, &Run, &Group)],
    last_run: usize,
    chosen: Chosen,
    limits: (SessionRoom, bool),
    best: &mut Option<f64>,
) {
    let Some(((index, run, group), rest)) = groups.split_first() else {
        return family(stages, at + 1, chosen, limits, best);
    };
    let used = if *index == last_run { chosen.used } else { 0 };
    if !group.must {
        choose(stages, at, rest, *index, Chosen { used, ..chosen }, limits, best);
    }
    let allowed = |o: &LiftOffer| used < run.most && (limits.1 || !o.heavy);
    for (offer, profit) in group.offers.iter().filter(|(o, _)| allowed(o)) {
        let lead = if offer.opens && !chosen.open { offer.lead } else { 0 };
        let next = Chosen {
            time: chosen.time + u32::from(offer.time + lead),
            profit: chosen.profit + profit,
            paired: chosen.paired + u32::from(offer.paired),
            open: chosen.open || offer.opens,
            ramped: chosen.ramped || offer.opens,
            used: used + 1,
        };
        if next.time <= limits.0.capacity {
            choose(stages, at, rest, *index, next, limits, best);
        }
    }
}

fn room(seed: u64) -> SessionRoom {
    SessionRoom { capacity: 6 + (seed % 29) as u32, start: (seed % 5) as u32 }
}

#[test]
fn the_best_session_equals_brute_force_over_its_offers() {
    let mut wrong = Vec::new();
    for seed in 0..4000 {
        let (stages, room) = (stages(seed), room(seed));
        for (heavy, got) in [true, false].into_iter().zip(solve::<Narrow>(&stages, room)) {
            let wanted = brute(&stages, room, heavy);
            if got.as_ref().map(|b| b.profit) != wanted {
                let got = got.map(|b| b.profit);
                wrong.push(format!("{seed}, heavy {heavy}: {got:?} instead of {wanted:?}"));
            }
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
fn narrow_and_wide_sums_agree() {
    for seed in 0..1000 {
        let stages = stages(seed);
        assert_eq!(solve::<Narrow>(&stages, room(seed)), solve::<f64>(&stages, room(seed)), "{seed}");
    }
}

#[test]
fn what_was_taken_adds_up_to_the_profit_and_fits() {
    for seed in 0..2000 {
        let (stages, room) = (stages(seed), room(seed));
        let (shape, profits, must) = laid_out(&stages);
        for (heavy, best) in [true, false].into_iter().zip(solve::<Narrow>(&stages, room)) {
            let Some(best) = best else { continue };
            let sum: f64 = best.taken.iter().map(|o| profits[*o as usize]).sum();
            assert!((sum - best.profit).abs() < 1e-9, "{seed}: {sum} is not {}", best.profit);
            let taken: Vec<&LiftOffer> = best.taken.iter().map(|o| &shape.offers[*o as usize]).collect();
            let paired = taken.iter().filter(|o| o.paired).count();
            assert!(paired.is_multiple_of(2), "{seed}: {paired} stand in pairs");
            assert!(heavy || taken.iter().all(|o| !o.heavy), "{seed}: the spine is loaded");
            let time: u32 = taken.iter().map(|o| u32::from(o.time)).sum();
            let start = if taken.iter().any(|o| o.opens) { room.start } else { 0 };
            assert!(time + start <= room.capacity, "{seed}: it takes too long");
            for (group, must) in shape.groups.iter().zip(&must) {
                let used = best.taken.iter().filter(|o| group.contains(&(**o as usize))).count();
                assert!(used <= 1 && (used == 1 || !must), "{seed}: {used} of a group");
            }
        }
    }
}

/// The stages with one offer of a group and no other, and that group to be served.
fn only_with(stages: &Stages, lift: u16) -> Stages {
    let mut out = stages.clone();
    for group in out.iter_mut().flatten().flat_map(|run| &mut run.groups) {
        if group.offers.iter().any(|(o, _)| o.lift == lift) {
            group.offers.retain(|(o, _)| o.lift == lift);
            group.must = true;
        }
    }
    out
}

#[test]
fn the_best_with_an_offer_equals_brute_force_with_that_offer_alone() {
    for seed in 0..600 {
        let (stages, room) = (stages(seed), room(seed));
        let (shape, profits, must) = laid_out(&stages);
        let ask = SessionQuery { profit: &profits, must: &must, light: seed % 2 == 0 };
        let with = SessionTable::default().completions(&shape, room, &ask);
        for (offer, with) in shape.offers.iter().zip(with) {
            let wanted = brute(&only_with(&stages, offer.lift), room, true);
            let with = Some(with).filter(|value| value.is_finite());
            assert_eq!(with, wanted, "{seed}, lift {}", offer.lift);
        }
    }
}
