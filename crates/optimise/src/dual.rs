//! The bound: a Lagrangian over whole sessions. Every rule that ties sessions or muscles together is priced;
//! what is left falls apart into sessions, each solved exactly.
//!
//! For any prices the sum is a bound on every plan of the frame. It is reckoned in whole numbers, so no
//! rounding of floats stands between it and the truth. What is left out (who can pair with whom, sessions a
//! muscle must have, order) only makes the bound larger.

use crate::frame::{Frame, SESSIONS};
use crate::problem::{MODES, Problem, SETS};
use crate::session_dp::{Best, Group, Offer, Run, Stages, solve};
use crate::state::State;
use crate::tables::{DOSE_UNIT, STRAIN_UNIT};
use setwright_model::{BlockKind, Muscle, Pattern};
use setwright_science::rules::{BALANCE_SHARE, FREE_STRAIN_SETS};
use setwright_science::warmup::RampFamily;
use std::collections::BTreeMap;

const M: usize = Muscle::COUNT;
/// Prices are whole numbers of 1/1024 millionth.
const FINE: f64 = 1024.0;

/// Prices of the rules that tie things together. Per set where nothing else is said, in millionths.
#[derive(Clone, Debug, PartialEq)]
pub struct Prices {
    /// Worth of a set of quality dose, by muscle.
    quality: [f64; M],
    /// Price of a set of strain, by muscle and session; not negative.
    strain: [[f64; SESSIONS]; M],
    /// Worth of a raw set; positive for a least, negative for a most.
    raw: [f64; M],
    /// Worth of keeping a balance over the cycle: push short, pull short, knee short, hip short; not negative.
    balance: [f64; 4],
    /// The same within each whole-body session.
    own_balance: [[f64; 4]; SESSIONS],
    /// Price of systemic, spinal, grip cost and of an exercise, by session; not negative.
    budget: [[f64; 4]; SESSIONS],
    /// Worth of a lock that may be kept in any session; not negative.
    locks: Vec<f64>,
}

impl Prices {
    /// No prices at all.
    pub fn zero(problem: &Problem) -> Self {
        Self {
            quality: [0.0; M],
            strain: [[0.0; SESSIONS]; M],
            raw: [0.0; M],
            balance: [0.0; 4],
            own_balance: [[0.0; 4]; SESSIONS],
            budget: [[0.0; 4]; SESSIONS],
            locks: vec![0.0; problem.locks.len()],
        }
    }

    /// Prices at which a found plan is nearly best: slopes of benefit and strain price at its doses.
    pub fn from_state(problem: &Problem, frame: &Frame, state: &State<'_>) -> Self {
        let mut prices = Self::zero(problem);
        let tables = &problem.tables;
        for m in 0..M {
            let dose = i64::from(state.quality(m)).max(DOSE_UNIT as i64 / 4);
            let half = DOSE_UNIT as i64 / 4;
            let slope = tables.benefit(m, dose + half) - tables.benefit(m, dose - half);
            prices.quality[m] = slope as f64 * DOSE_UNIT / (2.0 * half as f64);
            for s in 0..frame.sessions() {
                let strain = state.strain(m, s);
                let step = STRAIN_UNIT as i64 / 4;
                let slope = tables.strain_price(m, strain + step) - tables.strain_price(m, strain - step);
                prices.strain[m][s] = slope as f64 * STRAIN_UNIT / (2.0 * step as f64);
            }
        }
        prices
    }
}

/// How far the selection is from each tied rule; the direction in which the bound falls.
type Slopes = Prices;

/// A bound with what it was made of.
struct Evaluation {
    /// Bound in millionths.
    bound: i64,
    slopes: Slopes,
}

/// The best bound found for a frame, in millionths, and the prices that gave it. `None` when some session
/// cannot even hold its locks: then there is no plan.
pub fn bound(
    problem: &Problem,
    frame: &Frame,
    start: &Prices,
    target: i64,
    rounds: u32,
    out_of_time: &dyn Fn() -> bool,
) -> Option<(i64, Prices)> {
    let layouts: Vec<Layout> = (0..frame.sessions()).map(|s| Layout::new(problem, frame, s)).collect();
    let mut descent = Descent::new(start.clone(), target);
    for _ in 0..rounds {
        if descent.settled() || out_of_time() && descent.best < i64::MAX {
            break;
        }
        let evaluation = evaluate(problem, frame, &layouts, &descent.at)?;
        descent.take(problem, evaluation);
    }
    Some((descent.best, descent.best_at))
}

/// Descent of the bound by deflected subgradients with Polyak's step.
struct Descent {
    at: Prices,
    best: i64,
    best_at: Prices,
    direction: Option<Slopes>,
    target: i64,
    scale: f64,
    stale: u32,
}

impl Descent {
    fn new(start: Prices, target: i64) -> Self {
        Self {
            best_at: start.clone(),
            at: start,
            best: i64::MAX,
            direction: None,
            target,
            scale: 1.0,
            stale: 0,
        }
    }

    fn settled(&self) -> bool {
        self.best <= self.target || self.scale < 0.002
    }

    fn take(&mut self, problem: &Problem, evaluation: Evaluation) {
        let gained = self.best.saturating_sub(evaluation.bound);
        if gained > 0 {
            self.best = evaluation.bound;
            self.best_at = self.at.clone();
        }
        self.stale = if gained > (self.best.abs() / 100_000).max(1) { 0 } else { self.stale + 1 };
        if self.stale >= 8 {
            self.scale *= 0.6;
            self.stale = 0;
            self.at = self.best_at.clone();
            self.direction = None;
        }
        let slopes = evaluation.slopes;
        let direction = match self.direction.take() {
            Some(old) => combine(problem, &slopes, 0.7, &old, 0.3),
            None => slopes,
        };
        let norm = square(&direction);
        if norm > 0.0 {
            let over = (evaluation.bound - self.target).max(1) as f64;
            self.at = step(problem, &self.at, &direction, self.scale * over / norm);
        }
        self.direction = Some(direction);
    }
}

fn combine(problem: &Problem, a: &Prices, wa: f64, b: &Prices, wb: f64) -> Prices {
    let mut out = Prices::zero(problem);
    for_each3(&mut out, a, b, |o, x, y| *o = wa * x + wb * y);
    out
}

fn square(p: &Prices) -> f64 {
    let mut sum = 0.0;
    let mut copy = p.clone();
    for_each3(&mut copy, p, p, |_, x, y| sum += x * y);
    sum
}

/// Moves against the slopes; prices of one-sided rules stay on their side.
fn step(problem: &Problem, at: &Prices, slopes: &Slopes, length: f64) -> Prices {
    let mut out = Prices::zero(problem);
    for_each3(&mut out, at, slopes, |o, x, g| *o = x - length * g);
    let tables = &problem.tables;
    for m in 0..M {
        out.strain[m].iter_mut().for_each(|p| *p = p.max(0.0));
        if tables.least[m] == 0 {
            out.raw[m] = out.raw[m].min(0.0);
        }
        if tables.most[m] >= i32::MAX / 4 {
            out.raw[m] = out.raw[m].max(0.0);
        }
    }
    out.balance.iter_mut().for_each(|p| *p = p.max(0.0));
    out.own_balance.iter_mut().flatten().for_each(|p| *p = p.max(0.0));
    out.budget.iter_mut().flatten().for_each(|p| *p = p.max(0.0));
    out.locks.iter_mut().for_each(|p| *p = p.max(0.0));
    out
}

fn for_each3(out: &mut Prices, a: &Prices, b: &Prices, mut f: impl FnMut(&mut f64, f64, f64)) {
    for m in 0..M {
        f(&mut out.quality[m], a.quality[m], b.quality[m]);
        f(&mut out.raw[m], a.raw[m], b.raw[m]);
        for s in 0..SESSIONS {
            f(&mut out.strain[m][s], a.strain[m][s], b.strain[m][s]);
        }
    }
    for k in 0..4 {
        f(&mut out.balance[k], a.balance[k], b.balance[k]);
        for s in 0..SESSIONS {
            f(&mut out.budget[s][k], a.budget[s][k], b.budget[s][k]);
            f(&mut out.own_balance[s][k], a.own_balance[s][k], b.own_balance[s][k]);
        }
    }
    for (k, o) in out.locks.iter_mut().enumerate() {
        f(o, a.locks[k], b.locks[k]);
    }
}

/// Lifts of which one may be taken, and whether one must be.
type LiftGroup = (Vec<usize>, bool);
/// Groups of one pattern, and how many of them may be used.
type LiftRun = (Vec<LiftGroup>, usize);

/// The order in which a session's lifts are gone through, fixed for a frame.
struct Layout {
    /// By family: runs of (lifts of a group, must), and how many groups may be used.
    families: Vec<Vec<LiftRun>>,
    /// Least lead time in a family, by compound or not.
    leads: [[u16; 2]; 6],
    capacity: u32,
}

const NO_FAMILY: usize = RampFamily::ALL.len();

fn layout_family(pattern: Pattern) -> usize {
    RampFamily::of(pattern).map_or(NO_FAMILY, |f| f as usize)
}

impl Layout {
    fn new(problem: &Problem, frame: &Frame, session: usize) -> Self {
        let mut by_pattern: BTreeMap<(usize, bool, Pattern), Vec<usize>> = BTreeMap::new();
        let mut locked: BTreeMap<(usize, bool, usize), bool> = BTreeMap::new();
        for (index, lift) in problem.lifts.iter().enumerate().filter(|(l, _)| frame.eligible[session][*l]) {
            let pattern = lift.exercise.pattern;
            let key = (layout_family(pattern), !pattern.is_compound());
            let own: Vec<_> = problem.locks.iter().filter(|(l, _)| *l == index).collect();
            if own.is_empty() {
                by_pattern.entry((key.0, key.1, pattern)).or_default().push(index);
            } else {
                let must = own.iter().any(|(_, lock)| lock.session == Some(session as u32 + 1));
                locked.insert((key.0, key.1, index), must);
            }
        }
        let mut layout = Self {
            families: Vec::new(),
            leads: leads(problem, frame, session),
            capacity: problem.minutes_units[session],
        };
        for family in 0..=NO_FAMILY {
            let mut runs = Vec::new();
            for late in [false, true] {
                let of = |f: usize, l: bool| f == family && l == late;
                for ((_, _, lift), must) in locked.iter().filter(|((f, l, _), _)| of(*f, *l)) {
                    runs.push((vec![(vec![*lift], *must)], 1));
                }
                for ((_, _, pattern), lifts) in by_pattern.iter().filter(|((f, l, _), _)| of(*f, *l)) {
                    runs.push(run_of(lifts, problem.variants[*pattern as usize] as usize));
                }
            }
            layout.families.push(runs);
        }
        layout
    }

    /// The offers at given prices. `spine` says whether spine-heavy lifts are offered, `ramped` whether ramped
    /// ones are.
    fn stages(&self, problem: &Problem, profits: &Profits, spine: bool, ramped: bool) -> Stages {
        let groups = |run: &LiftRun| Run {
            groups: run
                .0
                .iter()
                .map(|(lifts, must)| Group {
                    offers: lifts
                        .iter()
                        .filter(|l| spine || !problem.lifts[**l].spine_heavy)
                        .filter(|l| ramped || problem.lifts[**l].family.is_none())
                        .flat_map(|l| self.offers(problem, profits, *l))
                        .collect(),
                    must: *must,
                })
                .collect(),
            most: run.1,
        };
        Stages { families: self.families.iter().map(|f| f.iter().map(groups).collect()).collect() }
    }

    fn offers(&self, problem: &Problem, profits: &Profits, index: usize) -> Vec<Offer> {
        let lift = &problem.lifts[index];
        let per_worth = profits.worth[index];
        let per_set = profits.set[index];
        let mut out = Vec::new();
        for mode in 0..MODES.len() as u8 {
            for sets in 1..=SETS as u8 {
                let choice = lift.choice(mode, sets);
                if !choice.allowed || profits.fixed_sets[index].is_some_and(|n| n != sets) {
                    continue;
                }
                let lead = lift
                    .family
                    .map_or(0, |f| self.leads[f as usize][usize::from(!lift.exercise.pattern.is_compound())]);
                let price = profits.time_price * f64::from(choice.time);
                out.push(Offer {
                    lift: index as u16,
                    mode,
                    sets,
                    time: u32::from(choice.time),
                    lead: u32::from(lead),
                    opens: lift.family.is_some(),
                    paired: MODES[mode as usize].kind != BlockKind::Straight,
                    profit: per_worth * f64::from(choice.worth) + per_set * f64::from(sets) - price
                        + profits.flat[index],
                });
            }
        }
        out
    }
}

fn run_of(lifts: &[usize], most: usize) -> LiftRun {
    if most <= 1 {
        (vec![(lifts.to_vec(), false)], 1)
    } else {
        (lifts.iter().map(|l| (vec![*l], false)).collect(), most)
    }
}

fn leads(problem: &Problem, frame: &Frame, session: usize) -> [[u16; 2]; 6] {
    let mut out = [[u16::MAX; 2]; 6];
    for (_, lift) in problem.lifts.iter().enumerate().filter(|(l, _)| frame.eligible[session][*l]) {
        if let Some(family) = lift.family {
            let least = lift.choices.iter().flatten().filter(|c| c.allowed).map(|c| c.lead).min();
            let slot = &mut out[family as usize][usize::from(!lift.exercise.pattern.is_compound())];
            *slot = (*slot).min(least.unwrap_or(u16::MAX));
        }
    }
    out.map(|pair| pair.map(|l| if l == u16::MAX { 0 } else { l }))
}

/// Profits of a session at given prices, whole numbers of 1/1024 millionth.
struct Profits {
    /// By lift: per unit of worth.
    worth: Vec<f64>,
    /// By lift: per set.
    set: Vec<f64>,
    /// By lift: once.
    flat: Vec<f64>,
    /// By lift: the sets a lock of this session fixes.
    fixed_sets: Vec<Option<u8>>,
    time_price: f64,
}

/// Prices as whole numbers.
struct Whole {
    /// Per dose unit.
    quality: [f64; M],
    /// Per strain unit.
    strain: [[f64; SESSIONS]; M],
    /// Per quarter-set.
    raw: [f64; M],
    balance: [f64; 4],
    own_balance: [[f64; 4]; SESSIONS],
    budget: [[f64; 4]; SESSIONS],
    locks: Vec<f64>,
}

impl Whole {
    fn of(prices: &Prices) -> Self {
        let whole = |p: f64, unit: f64| (p * FINE / unit).round();
        Self {
            quality: prices.quality.map(|p| whole(p, DOSE_UNIT)),
            strain: prices.strain.map(|row| row.map(|p| whole(p, STRAIN_UNIT))),
            raw: prices.raw.map(|p| whole(p, 4.0)),
            balance: prices.balance.map(|p| 5.0 * whole(p, 5.0)),
            own_balance: prices.own_balance.map(|row| row.map(|p| 5.0 * whole(p, 5.0))),
            budget: prices.budget.map(|row| row.map(|p| whole(p, 1.0))),
            locks: prices.locks.iter().map(|p| whole(*p, 1.0)).collect(),
        }
    }
}

fn profits(problem: &Problem, frame: &Frame, session: usize, whole: &Whole) -> Profits {
    let tables = &problem.tables;
    let mut out = Profits {
        worth: Vec::with_capacity(problem.lifts.len()),
        set: Vec::with_capacity(problem.lifts.len()),
        flat: Vec::with_capacity(problem.lifts.len()),
        fixed_sets: vec![None; problem.lifts.len()],
        time_price: tables.time_price as f64 * FINE,
    };
    // What a quarter-set of each muscle in this session costs in strain and brings towards a least.
    let per_quarter: Vec<f64> = (0..M)
        .map(|m| {
            let strain: f64 = (0..frame.sessions())
                .map(|to| whole.strain[m][to] * frame.carry[m][session][to] as f64)
                .sum();
            whole.raw[m] - strain
        })
        .collect();
    for lift in &problem.lifts {
        let sum = |per: &dyn Fn(usize) -> f64| -> f64 {
            lift.quarters.iter().map(|&(m, q)| per(usize::from(m)) * f64::from(q)).sum()
        };
        let costs: f64 = (0..3).map(|k| whole.budget[session][k] * f64::from(lift.costs[k])).sum();
        out.worth.push(sum(&|m| whole.quality[m]));
        out.set.push(
            sum(&|m| per_quarter[m]) - costs
                + balance_profit(&whole.balance, lift.side)
                + balance_profit(&whole.own_balance[session], lift.side),
        );
        out.flat.push(-(tables.exercise_price as f64) * FINE - whole.budget[session][3]);
    }
    for ((index, lock), price) in problem.locks.iter().zip(&whole.locks) {
        match lock.session {
            None => out.flat[*index] += price,
            Some(s) if s as usize == session + 1 => {
                out.fixed_sets[*index] = both(out.fixed_sets[*index], lock.sets.map(|n| n as u8));
            }
            Some(_) => {}
        }
    }
    out
}

/// What two locks on a lift in a session leave: 0 sets, which nothing offers, when they clash.
fn both(one: Option<u8>, other: Option<u8>) -> Option<u8> {
    match (one, other) {
        (Some(a), Some(b)) if a != b => Some(0),
        _ => one.or(other),
    }
}

/// Worth of a set to the balances: its own side's shortness eased, the other's made worse. The prices are
/// multiples of five, so that three fifths of them is whole.
fn balance_profit(prices: &[f64; 4], side: Option<u8>) -> f64 {
    side.map_or(0.0, |side| {
        let side = usize::from(side);
        prices[side] - (BALANCE_SHARE * prices[side ^ 1]).round()
    })
}

fn evaluate(problem: &Problem, frame: &Frame, layouts: &[Layout], prices: &Prices) -> Option<Evaluation> {
    let whole = Whole::of(prices);
    let mut slopes = Prices::zero(problem);
    let mut bound = own_parts(problem, frame, &whole, &mut slopes);
    let chosen = choose_sessions(problem, frame, layouts, &whole)?;
    for (session, best) in chosen.iter().enumerate() {
        bound += best.profit;
        add_selection(problem, frame, session, &best.taken, &mut slopes);
    }
    for (k, applies) in problem.balances.iter().enumerate() {
        if !applies {
            for side in [2 * k, 2 * k + 1] {
                slopes.balance[side] = 0.0;
                slopes.own_balance.iter_mut().for_each(|row| row[side] = 0.0);
            }
        }
    }
    Some(Evaluation { bound: (bound / FINE).ceil() as i64, slopes })
}

/// The parts of the bound that belong to no session: benefit, strain, ranges, budgets, balances, locks.
/// Fills the slopes with what these parts would take.
fn own_parts(problem: &Problem, frame: &Frame, whole: &Whole, slopes: &mut Slopes) -> f64 {
    let tables = &problem.tables;
    let rules = &problem.rules;
    let mut sum = 0.0;
    for m in 0..M {
        let (value, dose) = best_dose(problem, frame, m, whole.quality[m]);
        sum += value;
        slopes.quality[m] = -(dose as f64) / DOSE_UNIT;
        for s in 0..frame.sessions() {
            let (value, strain) = best_strain(problem, m, whole.strain[m][s]);
            sum += value;
            slopes.strain[m][s] = strain / STRAIN_UNIT;
        }
        let range = if whole.raw[m] >= 0.0 { tables.least[m] } else { tables.most[m] };
        if whole.raw[m] != 0.0 || tables.least[m] > 0 || tables.most[m] < i32::MAX / 4 {
            let range = if range >= i32::MAX / 4 { tables.least[m] } else { range };
            sum -= whole.raw[m] * f64::from(range);
            slopes.raw[m] = -f64::from(range) / 4.0;
        }
    }
    let most = [rules.systemic, rules.spinal, rules.grip, rules.exercises];
    for s in 0..frame.sessions() {
        for (k, &most) in most.iter().enumerate() {
            sum += whole.budget[s][k] * f64::from(most);
            slopes.budget[s][k] = f64::from(most);
        }
    }
    for k in 0..4 {
        if problem.balances[k / 2] {
            // less >= share * more - slack - (up to one set of rounding)
            let slack = f64::from(problem.balance_slack);
            sum += whole.balance[k] * (slack + 1e-9);
            slopes.balance[k] = slack;
            for s in (0..frame.sessions()).filter(|s| frame.balanced(*s)) {
                sum += whole.own_balance[s][k] * (slack + 1e-9);
                slopes.own_balance[s][k] = slack;
            }
        }
    }
    for ((_, lock), (price, slope)) in
        problem.locks.iter().zip(whole.locks.iter().zip(slopes.locks.iter_mut()))
    {
        if lock.session.is_none() {
            sum -= price;
            *slope = -1.0;
        }
    }
    sum
}

/// The dose that brings most at a price per unit, over the doses that strain allows.
fn best_dose(problem: &Problem, frame: &Frame, muscle: usize, price: f64) -> (f64, i64) {
    let tables = &problem.tables;
    let most = (tables.strain_max as f64 / STRAIN_UNIT * frame.sessions() as f64 * DOSE_UNIT) as i64 + 1;
    let value = |d: i64| tables.benefit(muscle, d) as f64 * FINE - price * d as f64;
    let mut best = (0, value(0));
    for dose in 1..most.min(tables.benefit.len() as i64) {
        let here = value(dose);
        if here > best.1 {
            best = (dose, here);
        }
    }
    (best.1, best.0)
}

/// The strain that pays most at a price per unit: -price(strain) + strain * unit price, under the ceiling.
fn best_strain(problem: &Problem, muscle: usize, price: f64) -> (f64, f64) {
    let tables = &problem.tables;
    let curve = tables.strain_factor[muscle] * FINE;
    let free = FREE_STRAIN_SETS * STRAIN_UNIT;
    let most = tables.strain_max as f64;
    let top = if curve > 0.0 { (free + price / (2.0 * curve)).min(most) } else { most };
    let over = (top - free).max(0.0);
    // The table's prices are rounded down by less than a millionth: the margin covers it.
    ((price * top - curve * over * over).ceil() + FINE, top)
}

fn choose_sessions(problem: &Problem, frame: &Frame, layouts: &[Layout], whole: &Whole) -> Option<Vec<Best>> {
    let n = frame.sessions();
    let mut heavy = Vec::with_capacity(n);
    let mut light = Vec::with_capacity(n);
    for (session, layout) in layouts.iter().enumerate() {
        let profits = profits(problem, frame, session, whole);
        let near = frame.spine_pairs.iter().any(|&(a, b)| a == session || b == session);
        let allowed = problem.rules.spine_heavy > 0;
        heavy.push(if allowed { best_session(problem, layout, &profits, true) } else { None });
        light.push(if near || !allowed { best_session(problem, layout, &profits, false) } else { None });
    }
    best_spread(frame, heavy, light)
}

/// Sessions with and without heavy spinal work, so that no two near ones have it.
fn best_spread(frame: &Frame, heavy: Vec<Option<Best>>, light: Vec<Option<Best>>) -> Option<Vec<Best>> {
    let n = heavy.len();
    let mut top: Option<(f64, u32)> = None;
    for mask in 0..1u32 << n {
        let clash = frame.spine_pairs.iter().any(|&(a, b)| mask >> a & 1 == 1 && mask >> b & 1 == 1);
        let pick = |s: usize| if mask >> s & 1 == 1 { &heavy[s] } else { &light[s] };
        let sum: Option<f64> = (0..n).map(|s| pick(s).as_ref().map(|b| b.profit)).sum();
        if let Some(sum) = sum.filter(|_| !clash)
            && top.is_none_or(|(best, _)| sum > best)
        {
            top = Some((sum, mask));
        }
    }
    let (_, mask) = top?;
    heavy
        .into_iter()
        .zip(light)
        .enumerate()
        .map(|(s, (h, l))| if mask >> s & 1 == 1 { h } else { l })
        .collect()
}

/// The best of a session: with ramped lifts in what the start leaves, or without any in all its time.
fn best_session(problem: &Problem, layout: &Layout, profits: &Profits, spine: bool) -> Option<Best> {
    let with_ramp = layout
        .capacity
        .checked_sub(problem.start_units)
        .and_then(|left| solve(&layout.stages(problem, profits, spine, true), left));
    let without = solve(&layout.stages(problem, profits, spine, false), layout.capacity);
    match (with_ramp, without) {
        (Some(a), Some(b)) => Some(if a.profit >= b.profit { a } else { b }),
        (a, b) => a.or(b),
    }
}

fn add_selection(problem: &Problem, frame: &Frame, session: usize, taken: &[Offer], slopes: &mut Slopes) {
    for offer in taken {
        let index = usize::from(offer.lift);
        let lift = &problem.lifts[index];
        let sets = f64::from(offer.sets);
        let worth = f64::from(lift.choice(offer.mode, offer.sets).worth);
        for &(muscle, quarters) in &lift.quarters {
            let m = usize::from(muscle);
            let raw = f64::from(quarters) * sets;
            slopes.quality[m] += f64::from(quarters) * worth / DOSE_UNIT;
            slopes.raw[m] += raw / 4.0;
            for to in 0..frame.sessions() {
                slopes.strain[m][to] -= raw * frame.carry[m][session][to] as f64 / STRAIN_UNIT;
            }
        }
        for (k, cost) in lift.costs.iter().enumerate() {
            slopes.budget[session][k] -= f64::from(*cost) * sets;
        }
        slopes.budget[session][3] -= 1.0;
        if let Some(side) = lift.side {
            let side = usize::from(side);
            slopes.balance[side] += sets;
            slopes.balance[side ^ 1] -= BALANCE_SHARE * sets;
            if frame.balanced(session) {
                slopes.own_balance[session][side] += sets;
                slopes.own_balance[session][side ^ 1] -= BALANCE_SHARE * sets;
            }
        }
        for (slope, (l, lock)) in slopes.locks.iter_mut().zip(&problem.locks) {
            *slope += if *l == index && lock.session.is_none() { 1.0 } else { 0.0 };
        }
    }
}
