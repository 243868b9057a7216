//! The bound: a Lagrangian over whole sessions. Every rule that ties sessions or muscles together is priced;
//! what is left falls apart into sessions, each solved exactly.
//!
//! For any prices the sum is a bound on every plan of the frame. It is reckoned in whole numbers, so no
//! rounding of floats stands between it and the truth. What is left out (sessions a muscle must have, order, all of
//! pairing that no cut says) only makes the bound larger.

use crate::cuts::{Cut, Pairing};
use crate::layout::{Layout, SolvedMeasure};
use crate::own::{Asked, Own};
pub use crate::prices::Prices;
use crate::prices::{BUDGETS, FINE, PriceIndex};
use crate::session_dp::{Bests, Narrow, SessionQuery, SessionTable};
use setwright_formulate::frame::Frame;
use setwright_formulate::lift::{COST_EFFORT, EFFORT_MOST};
use setwright_formulate::problem::Problem;
use setwright_formulate::rules::same_muscle::MOST as SAME_MUSCLE_MOST;
use setwright_formulate::tables::{DOSE_UNIT, STRAIN_UNIT, UNLIMITED};
use setwright_model::Muscle;
use setwright_model::brief::Focus;
use setwright_science::rules::FREE_STRAIN_SETS;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

const M: usize = Muscle::COUNT;
/// Sums of a session up to this are exact in narrow numbers.
const NARROW: f64 = 16_777_216.0;
/// Profits are rounded up to this many parts of 1/1024 millionth where sums are narrow: four millionths.
const COARSE: f64 = 4.0 * FINE;
/// Where sums are narrow no profit is taken to be lower than some floor; it must be below this, or sums are wide.
const FLOOR: f64 = -131_072.0;

/// A bound with what it was made of.
#[derive(Clone, Debug)]
pub struct Evaluation {
    /// Bound in millionths.
    pub bound: i64,
    /// Offers taken in each session.
    pub taken: Vec<Vec<u32>>,
}

/// A frame laid out for its bound.
#[derive(Debug)]
pub struct Dual<'a> {
    /// The problem.
    pub problem: &'a Problem,
    /// The frame.
    pub frame: &'a Frame,
    /// Where prices stand.
    pub places: PriceIndex,
    /// Sessions.
    plots: Vec<Arc<Plot>>,
    /// Doses that are best at some price, by muscle.
    doses: Vec<Vec<(f64, f64)>>,
    /// What belongs to no session.
    pub own: Own,
    /// Sessions that have to be solved together, because only one of them may load the spine heavily.
    pub blocks: Vec<Vec<usize>>,
}

/// A session laid out.
#[derive(Debug)]
struct Plot {
    layout: Layout,
    /// Who may stand beside whom, once somebody asks.
    pairing: OnceLock<Pairing>,
}

/// Sessions laid out once for all frames that give them the same focus.
#[derive(Debug)]
pub struct SessionLayouts {
    plots: BTreeMap<(usize, Focus), Arc<Plot>>,
    measures: Vec<SolvedMeasure>,
}

impl SessionLayouts {
    /// The sessions of these frames.
    pub fn new(problem: &Problem, frames: &[Frame], measures: &[SolvedMeasure]) -> Self {
        let mut plots = BTreeMap::new();
        for frame in frames {
            for (session, focus) in frame.focus.iter().enumerate().take(frame.parts()) {
                let measure = measures[session];
                plots.entry((session, *focus)).or_insert_with(|| Plot::new(problem, frame, session, measure));
            }
        }
        Self { plots, measures: measures.to_vec() }
    }

    /// The same, all measured in time.
    pub fn by_time(problem: &Problem, frames: &[Frame]) -> Self {
        Self::new(problem, frames, &vec![SolvedMeasure::Time; problem.parts()])
    }

    fn of(&self, problem: &Problem, frame: &Frame) -> Vec<Arc<Plot>> {
        let plot = |(session, focus): (usize, &Focus)| {
            let known = self.plots.get(&(session, *focus)).cloned();
            known.unwrap_or_else(|| Plot::new(problem, frame, session, self.measures[session]))
        };
        frame.focus.iter().enumerate().take(frame.parts()).map(plot).collect()
    }
}

impl Plot {
    fn new(problem: &Problem, frame: &Frame, session: usize, measure: SolvedMeasure) -> Arc<Self> {
        Arc::new(Self { layout: Layout::new(problem, frame, session, measure), pairing: OnceLock::new() })
    }
}

/// What is left of the sessions' offers: the rest was proven to be of no use, or is looked at elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenOffers {
    /// By session and offer: may not be taken.
    pub closed: Vec<Vec<bool>>,
    /// By session and group: one of its offers has to be taken.
    pub must: Vec<Vec<bool>>,
    /// Rules of pairing; their prices come after those of the problem.
    pub cuts: Vec<Cut>,
}

/// Room to reckon in, kept from one round to the next.
#[derive(Debug, Default)]
pub struct Workspace {
    narrow: SessionTable<Narrow>,
    wide: SessionTable<f64>,
    profits: Vec<f64>,
    small: Vec<Narrow>,
}

/// What a lift in a session falls short of the session's best at given prices, in millionths and at most 0: by
/// session and lift, `None` where it cannot be done. A lift near 0 is worth trying there.
pub fn marginals(problem: &Problem, frame: &Frame, prices: &Prices) -> Vec<Vec<Option<f64>>> {
    let dual = Dual::new(problem, frame, &SessionLayouts::by_time(problem, std::slice::from_ref(frame)));
    let (limits, whole) = (dual.limits(), prices.whole(&dual.places));
    let mut profits = Vec::new();
    let of = |layout: &Layout| {
        dual.profits(layout, &whole, &limits, &mut profits);
        let ask = SessionQuery { profit: &profits, must: &layout.must, light: false };
        let mut table = SessionTable::<f64>::default();
        let with = table.completions(&layout.shape, layout.room, &ask);
        let top = with.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut out = vec![None; problem.lifts.len()];
        for (offer, with) in layout.shape.offers.iter().zip(with).filter(|(_, with)| with.is_finite()) {
            let best = &mut out[usize::from(offer.lift)];
            let short = (with - top) / FINE;
            *best = Some(best.map_or(short, |known: f64| known.max(short)));
        }
        out
    };
    dual.layouts().map(of).collect()
}

impl<'a> Dual<'a> {
    /// Lays a frame out with sessions that are laid out.
    pub fn new(problem: &'a Problem, frame: &'a Frame, plots: &SessionLayouts) -> Self {
        let places = PriceIndex::new(problem);
        let doses: Vec<_> = (0..M).map(|m| doses(problem, frame, m)).collect();
        let asked = Asked {
            least: &|part, k| frame.least[part][k],
            most: &|part, k| budgets(problem, part)[k],
            balanced: &|part| frame.balanced(part),
            doses: &doses,
        };
        let own = Own::new(problem, &places, &asked);
        Self { problem, frame, places, plots: plots.of(problem, frame), own, doses, blocks: blocks(frame) }
    }

    /// The sessions.
    pub fn layouts(&self) -> impl ExactSizeIterator<Item = &Layout> {
        self.plots.iter().map(|p| &p.layout)
    }

    /// A session.
    pub fn layout(&self, session: usize) -> &Layout {
        &self.plots[session].layout
    }

    /// Who may stand beside whom in a session.
    pub fn pairing(&self, session: usize) -> &Pairing {
        let plot = &self.plots[session];
        plot.pairing.get_or_init(|| Pairing::new(self.problem, &plot.layout))
    }

    /// Whether some session cannot hold what its locks ask for, whatever its day.
    pub fn is_overlocked(&self) -> bool {
        self.layouts().any(|l| l.impossible)
    }

    /// No limits but the layout's own.
    pub fn limits(&self) -> OpenOffers {
        OpenOffers {
            closed: self.layouts().map(|l| vec![false; l.shape.offers.len()]).collect(),
            must: self.layouts().map(|l| l.must.clone()).collect(),
            cuts: Vec::new(),
        }
    }

    /// The bound at given prices. `None` when some session cannot hold what it must.
    pub fn evaluate(
        &self,
        prices: &Prices,
        limits: &OpenOffers,
        workspace: &mut Workspace,
    ) -> Option<Evaluation> {
        let whole = prices.whole(&self.places);
        let own = self.own_parts(&whole);
        let bests = self.sessions(&whole, limits, workspace)?;
        let mask = best_spread(self.frame, &bests)?;
        let mut sum = own;
        let mut taken = Vec::with_capacity(bests.len());
        for (layout, bests) in self.layouts().zip(bests) {
            let best = if mask >> layout.session & 1 == 1 { bests.heavy } else { bests.light }?;
            sum += best.profit;
            taken.push(best.taken);
        }
        let added = &whole[self.places.len()..];
        sum += limits.cuts.iter().zip(added).map(|(cut, price)| cut.most * price).sum::<f64>();
        Some(Evaluation { bound: (sum / FINE).ceil() as i64, taken })
    }

    fn sessions(&self, whole: &[f64], limits: &OpenOffers, workspace: &mut Workspace) -> Option<Vec<Bests>> {
        self.layouts().map(|l| self.session(l, whole, limits, workspace)).collect()
    }

    fn session(
        &self,
        layout: &Layout,
        whole: &[f64],
        limits: &OpenOffers,
        workspace: &mut Workspace,
    ) -> Option<Bests> {
        if layout.impossible {
            return None;
        }
        self.profits(layout, whole, limits, &mut workspace.profits);
        let light = self.is_near(layout.session);
        let must = &limits.must[layout.session];
        if narrow(layout, must, &workspace.profits, &mut workspace.small) {
            let ask = SessionQuery { profit: &workspace.small, must, light };
            let mut bests = workspace.narrow.solve(&layout.shape, layout.room, &ask);
            for best in [&mut bests.heavy, &mut bests.light].into_iter().flatten() {
                best.profit *= COARSE;
            }
            return Some(bests);
        }
        let ask = SessionQuery { profit: &workspace.profits, must, light };
        Some(workspace.wide.solve(&layout.shape, layout.room, &ask))
    }

    fn profits(&self, layout: &Layout, whole: &[f64], limits: &OpenOffers, out: &mut Vec<f64>) {
        layout.profits(self.problem, self.frame, &self.places, whole, out);
        for (cut, price) in limits.cuts.iter().zip(&whole[self.places.len()..]) {
            if cut.session == layout.session && *price != 0.0 {
                cut.terms.iter().for_each(|(offer, sign)| out[*offer as usize] -= price * sign);
            }
        }
        for (profit, closed) in out.iter_mut().zip(&limits.closed[layout.session]) {
            *profit = if *closed { f64::NEG_INFINITY } else { *profit };
        }
    }

    /// Whether a session has a near one, where only one may load the spine heavily.
    fn is_near(&self, session: usize) -> bool {
        self.frame.spine_pairs.iter().any(|&(a, b)| a == session || b == session)
    }

    /// The parts of the bound that belong to no session: benefit, strain, ranges, budgets, balances, locks.
    fn own_parts(&self, whole: &[f64]) -> f64 {
        let (problem, places) = (self.problem, &self.places);
        let mut sum: f64 = (0..M).map(|m| self.own_muscle(m, whole)).sum();
        for s in 0..self.frame.parts() {
            for (k, most) in budgets(problem, s).into_iter().enumerate().filter(|(k, _)| *k != COST_EFFORT) {
                sum += whole[places.budget(s, k)] * most;
            }
            sum += self.best_effort(s, whole[places.budget(s, COST_EFFORT)]);
        }
        sum += self.own_counts(whole);
        // less >= share * more - slack - (up to one set of rounding)
        let slack = f64::from(problem.balance_slack);
        for side in (0..4).filter(|side| problem.balances[side / 2]) {
            sum += whole[places.balance(side)] * slack;
            let balanced = (0..self.frame.parts()).filter(|s| self.frame.balanced(*s));
            sum += balanced.map(|s| whole[places.own_balance(s, side)] * slack).sum::<f64>();
        }
        sum += (0..problem.lifts.len()).map(|l| self.lift_best(l, FINE, whole).0).sum::<f64>();
        let anywhere = problem.locks.iter().enumerate().filter(|(_, (_, l))| l.session.is_none());
        sum - anywhere.map(|(k, _)| whole[places.lock(k)]).sum::<f64>()
    }

    /// What the rules count: what lies between its least and its most.
    fn own_counts(&self, whole: &[f64]) -> f64 {
        let (quotas, places) = (&self.problem.quotas, &self.places);
        let range = |place: usize, least: i16, most: i16| {
            let wanted = if whole[place] > 0.0 || most == i16::MAX { least } else { most };
            if wanted > i16::MIN && wanted < i16::MAX { -whole[place] * f64::from(wanted) } else { 0.0 }
        };
        let of = |k: usize| {
            let part = |p: usize| range(places.count(p, k), self.frame.least[p][k], quotas.session_most[k]);
            let cycle = range(places.cycle_count(k), quotas.cycle_least[k], quotas.cycle_most[k]);
            (0..self.frame.parts()).map(part).sum::<f64>() + cycle
        };
        (0..quotas.counts.len()).map(of).sum()
    }

    /// What a lift brings in some sessions (bits) at prices of its being there; `scale` says how many of the prices' units a
    /// millionth has.
    pub fn lift_value(&self, l: usize, sessions: u32, scale: f64, prices: &[f64]) -> f64 {
        let open = (0..self.frame.parts()).filter(|s| sessions >> s & 1 == 1);
        let (mut count, mut price) = (0, 0.0);
        for s in open {
            count += self.problem.copies[s];
            price += prices[self.places.lift(l, s)];
        }
        self.problem.tables.lift_value[l][count as usize] as f64 * scale - price
    }

    /// The sessions that a lift had best be in (bits), and what it brings there less their prices.
    pub fn lift_best(&self, l: usize, scale: f64, prices: &[f64]) -> (f64, u32) {
        let copies = &self.problem.copies;
        let price = |s: &usize| prices[self.places.lift(l, *s)];
        let mut open: Vec<usize> = (0..self.frame.parts()).filter(|s| self.frame.eligible[*s][l]).collect();
        // Where sessions come equally often, the cheapest come first; else any of them may be the best.
        let alike = open.iter().all(|s| copies[*s] == copies[open[0]]);
        open.sort_by(|a, b| price(a).total_cmp(&price(b)));
        let some = |n: u32| open.iter().take(n as usize).fold(0, |bits, s| bits | 1 << s);
        let any =
            |n: u32| open.iter().enumerate().filter(|(i, _)| n >> i & 1 == 1).fold(0, |b, (_, s)| b | 1 << s);
        let count = if alike { open.len() as u32 } else { (1 << open.len()) - 1 };
        let mut best = (0.0, 0);
        for n in 0..=count {
            let sessions = if alike { some(n) } else { any(n) };
            let value = self.lift_value(l, sessions, scale, prices);
            if n == 0 || value > best.0 {
                best = (value, sessions);
            }
        }
        best
    }

    /// The effort that pays most at a price per unit.
    fn best_effort(&self, part: usize, price: f64) -> f64 {
        let (problem, copies) = (self.problem, f64::from(self.problem.copies[part]));
        let value = |e: u32| price * f64::from(e) - copies * problem.tables.effort(part, e) as f64 * FINE;
        let most = problem.tables.efforts(part) as u32 - 1;
        // The price is convex: what pays falls after its best.
        let (mut low, mut high) = (0, most);
        while low < high {
            let middle = u32::midpoint(low, high);
            if value(middle + 1) > value(middle) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        // Prices are whole, so that slopes may be off by one: the margin covers it.
        value(low) + copies * FINE * f64::from(EFFORT_MOST)
    }

    fn own_muscle(&self, m: usize, whole: &[f64]) -> f64 {
        let (tables, places) = (&self.problem.tables, &self.places);
        let strain = |s: usize| best_strain(self.problem, m, whole[places.strain(m, s)]);
        let sum =
            self.best_dose(m, whole[places.quality(m)]) + (0..self.frame.sessions()).map(strain).sum::<f64>();
        let raw = whole[places.raw(m)];
        let least = self.problem.raw_least[m];
        let range = if raw >= 0.0 || tables.most[m] >= UNLIMITED { least } else { tables.most[m] };
        sum - raw * f64::from(range)
    }

    /// The dose that brings most at a price per unit, over the doses that strain allows.
    fn best_dose(&self, muscle: usize, price: f64) -> f64 {
        // Weights are in 1/1024 and so are the parts of a millionth.
        let doses = &self.doses[muscle];
        let value = |(dose, benefit): (f64, f64)| FINE * benefit - price * dose;
        let (mut low, mut high) = (0, doses.len() - 1);
        while low < high {
            let middle = usize::midpoint(low, high);
            if value(doses[middle + 1]) > value(doses[middle]) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        value(doses[low])
    }
}

/// Most of each budget of a session.
fn budgets(problem: &Problem, part: usize) -> [f64; BUDGETS] {
    let rules = &problem.rules;
    [
        rules.systemic,
        rules.spinal,
        rules.grip,
        problem.sets_most[part],
        0,
        problem.exercises_most[part],
        SAME_MUSCLE_MOST,
        problem.minutes_units[part],
    ]
    .map(f64::from)
}

/// Sessions by what ties them: those that are near each other somewhere in the cycle are together.
fn blocks(frame: &Frame) -> Vec<Vec<usize>> {
    let mut block: Vec<usize> = (0..frame.parts()).collect();
    for &(a, b) in &frame.spine_pairs {
        let (from, to) = (block[a].max(block[b]), block[a].min(block[b]));
        block.iter_mut().filter(|x| **x == from).for_each(|x| *x = to);
    }
    let of = |x: usize| (0..frame.parts()).filter(|s| block[*s] == x).collect::<Vec<_>>();
    (0..frame.parts()).map(of).filter(|b| !b.is_empty()).collect()
}

/// The upper hull of benefit by dose, up to the dose that strain allows: only its corners can be best at a price.
fn doses(problem: &Problem, frame: &Frame, muscle: usize) -> Vec<(f64, f64)> {
    let tables = &problem.tables;
    let most = (tables.strain_max as f64 / STRAIN_UNIT * frame.sessions() as f64 * DOSE_UNIT) as usize + 1;
    let mut hull: Vec<(f64, f64)> = Vec::new();
    for dose in 0..most.min(tables.longest_dose() + 1) {
        let new = (dose as f64, tables.benefit(muscle, dose as i64) as f64);
        while let [.., a, b] = hull[..] {
            if (b.1 - a.1) * (new.0 - a.0) > (new.1 - a.1) * (b.0 - a.0) {
                break;
            }
            hull.pop();
        }
        hull.push(new);
    }
    hull
}

/// The strain that pays most at a price per unit: -price(strain) + strain * unit price, under the ceiling.
fn best_strain(problem: &Problem, muscle: usize, price: f64) -> f64 {
    let tables = &problem.tables;
    let curve = tables.strain_factor[muscle] * FINE;
    let free = FREE_STRAIN_SETS * STRAIN_UNIT;
    let most = tables.strain_max as f64;
    let top = if curve > 0.0 { (free + price / (2.0 * curve)).min(most) } else { most };
    let over = (top - free).max(0.0);
    // The table's prices are rounded down by less than a millionth: the margin covers it.
    (price * top - curve * over * over).ceil() + FINE
}

/// Profits rounded up to a coarse grid, if all sums of them are then exact in narrow numbers. Very low ones are
/// raised to a floor. Both can only raise the bound.
fn narrow(layout: &Layout, must: &[bool], profits: &[f64], out: &mut Vec<Narrow>) -> bool {
    let coarse = |p: f64| (p / COARSE).ceil();
    let most = |own: &[f64]| own.iter().map(|p| coarse(*p)).fold(f64::NEG_INFINITY, f64::max);
    let groups = || layout.shape.groups.iter().map(|g| &profits[g.clone()]).zip(must);
    let top = |(own, must): (&[f64], &bool)| if *must { most(own).abs() } else { most(own).max(0.0) };
    let room = NARROW - groups().map(top).sum::<f64>();
    let floor = -(room / (must.len().max(1) as f64)).floor();
    out.clear();
    if !room.is_finite() || floor > FLOOR {
        return false;
    }
    for (own, must) in groups() {
        let lowest = if *must { most(own).min(0.0) + floor } else { floor };
        let raised = |p: &f64| if *p == f64::NEG_INFINITY { *p } else { coarse(*p).max(lowest) };
        out.extend(own.iter().map(|p| raised(p) as Narrow));
    }
    true
}

/// Which sessions have heavy spinal work (bits), so that no two near ones have it and all bring most together.
fn best_spread(frame: &Frame, bests: &[Bests]) -> Option<u32> {
    let all = (1u32 << bests.len()) - 1;
    let near = frame.spine_pairs.iter().fold(0u32, |bits, &(a, b)| bits | 1 << a | 1 << b);
    let mut top: Option<(f64, u32)> = None;
    for mask in (0..=all).filter(|mask| mask & !near == all & !near) {
        let clash = frame.spine_pairs.iter().any(|&(a, b)| mask >> a & 1 == 1 && mask >> b & 1 == 1);
        let pick = |s: usize| if mask >> s & 1 == 1 { &bests[s].heavy } else { &bests[s].light };
        let sum: Option<f64> = (0..bests.len()).map(|s| pick(s).as_ref().map(|b| b.profit)).sum();
        if let Some(sum) = sum.filter(|_| !clash)
            && top.is_none_or(|(best, _)| sum > best)
        {
            top = Some((sum, mask));
        }
    }
    top.map(|(_, mask)| mask)
}
