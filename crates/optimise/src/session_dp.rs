//! One session solved exactly for given profits: a multiple-choice knapsack over time steps, by dynamic
//! programming, with the ramp of each family's first lift and the parity of lifts that stand in pairs.
//!
//! It relaxes a session (who can pair with whom is left out, budgets are priced), so its value is never below
//! the best real session's. Profits are whole numbers small enough for the type they are held in, so sums are
//! exact.

use crate::session_shape::{AllowedOffers, LiftOffer, Run, Shape};
use std::ops::{Add, Range};

/// Time steps that are reckoned together.
pub(crate) const LANES: usize = 32;
/// Most variants of a pattern that the states can count.
const COUNT: usize = 3;
/// States besides time: variants used, family open or not, odd or even number of paired lifts.
pub(crate) const STATES: usize = 4 * COUNT;
pub(crate) const NO_ROW: u32 = u32::MAX;
pub(crate) const NO_OFFER: u32 = u32::MAX;

const fn state(count: usize, open: usize, odd: usize) -> usize {
    (count * 2 + open) * 2 + odd
}

/// What sums are held in.
pub trait Number: Copy + PartialOrd + PartialEq + Add<Output = Self> {
    /// Stands for what cannot be reached.
    const NEVER: Self;
    /// Nothing.
    const ZERO: Self;
    /// A whole number that fits.
    fn of(whole: f64) -> Self;
    /// As a wide number.
    fn wide(self) -> f64;
}

/// Narrow sums go twice as fast; only sums and comparisons of whole numbers are made in them.
#[allow(clippy::disallowed_types, reason = "no function of floats is called on it")]
pub type Narrow = f32;

impl Number for Narrow {
    const NEVER: Self = Narrow::NEG_INFINITY;
    const ZERO: Self = 0.0;
    fn of(whole: f64) -> Self {
        whole as Narrow
    }
    fn wide(self) -> f64 {
        f64::from(self)
    }
}

impl Number for f64 {
    const NEVER: Self = f64::NEG_INFINITY;
    const ZERO: Self = 0.0;
    fn of(whole: f64) -> Self {
        whole
    }
    fn wide(self) -> f64 {
        self
    }
}

/// What a session has to spend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SessionRoom {
    /// Steps: of time, or sets.
    pub capacity: u32,
    /// Steps lost when any lift is ramped.
    pub start: u32,
}

/// What is asked of the offers.
#[derive(Clone, Copy, Debug)]
pub struct SessionQuery<'a, N> {
    /// Profit of each offer of the shape; [`Number::NEVER`] where it may not be taken.
    pub profit: &'a [N],
    /// Groups of which one offer has to be taken.
    pub must: &'a [bool],
    /// Whether the best without spine-heavy lifts is wanted beside the best with them.
    pub light: bool,
}

/// The best selection of the offers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Best {
    /// Sum of profits.
    pub profit: f64,
    /// Offers taken, as indices into the shape's.
    pub taken: Vec<u32>,
}

/// The best with spine-heavy lifts allowed, and without any. `None` where some group that must be served cannot be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bests {
    /// With them.
    pub heavy: Option<Best>,
    /// Without; also `None` when it was not asked for.
    pub light: Option<Best>,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Source<N> {
    pub(crate) from: u8,
    pub(crate) shift: u32,
    pub(crate) profit: N,
    pub(crate) offer: u32,
}

/// What is known after a group was gone through or states were merged.
#[derive(Clone, Debug)]
pub(crate) struct Layer {
    pub(crate) parent: usize,
    /// The group it is about, if any.
    pub(crate) group: Option<Step>,
    /// Where each state's row begins.
    pub(crate) rows: [u32; STATES],
    /// Where each state came from.
    pub(crate) sources: [(u32, u32); STATES],
}

/// Going through a group: which, what it may take, and how many of its run.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    pub(crate) group: usize,
    pub(crate) part: AllowedOffers,
    pub(crate) most: usize,
}

/// A way through the shape: its last layer, and whether spine-heavy and ramped lifts were allowed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct End {
    pub(crate) layer: usize,
    pub(crate) heavy: bool,
    pub(crate) ramped: bool,
}

/// Room to reckon in, kept from one session to the next.
#[derive(Clone, Debug)]
pub struct SessionTable<N> {
    width: usize,
    pub(crate) rows: Vec<N>,
    used: usize,
    pub(crate) layers: Vec<Layer>,
    pub(crate) sources: Vec<Source<N>>,
    kept: Vec<(u32, N)>,
    /// Keeps offers that cannot be in the best selection too.
    pub(crate) keep_all: bool,
    into: Vec<(u8, Source<N>)>,
    pub(crate) starts: Vec<(usize, usize, N)>,
}

impl<N: Number> Default for SessionTable<N> {
    fn default() -> Self {
        Self {
            width: 0,
            rows: Vec::new(),
            used: 0,
            layers: Vec::new(),
            sources: Vec::new(),
            kept: Vec::new(),
            keep_all: false,
            into: Vec::new(),
            starts: Vec::new(),
        }
    }
}

impl<N: Number> SessionTable<N> {
    /// Solves a session.
    pub fn solve(&mut self, shape: &Shape, room: SessionRoom, ask: &SessionQuery<'_, N>) -> Bests {
        let ends = self.fill(shape, room, ask);
        let best = |heavy: bool| {
            let value = |end: &End| self.value(end, room);
            let top = ends
                .iter()
                .filter(|e| e.heavy == heavy)
                .reduce(|a, b| if value(b) > value(a) { b } else { a })?;
            (value(top) > N::NEVER).then(|| self.trace(top, room))
        };
        Bests { heavy: best(true), light: if ask.light { best(false) } else { None } }
    }

    fn value(&self, end: &End, room: SessionRoom) -> N {
        match (self.layers[end.layer].rows[0], last_step(*end, room)) {
            (NO_ROW, _) | (_, None) => N::NEVER,
            (row, Some(step)) => self.rows[row as usize + LANES + step],
        }
    }

    /// Goes through the shape in each of the ways that are asked for; what they begin with is shared.
    pub(crate) fn fill(&mut self, shape: &Shape, room: SessionRoom, ask: &SessionQuery<'_, N>) -> Vec<End> {
        self.begin(room.capacity as usize + 1);
        let mut ends = Vec::with_capacity(4);
        let all = AllowedOffers { heavy: true, ramped: true };
        let plain = self.go(0, shape, &shape.plain, all, ask);
        for ramped in [true, false] {
            let families = self.go(plain, shape, &shape.families, AllowedOffers { heavy: true, ramped }, ask);
            for heavy in [true, false] {
                if heavy || ask.light {
                    let part = AllowedOffers { heavy, ramped };
                    let layer = self.go(families, shape, &shape.heavy, part, ask);
                    let layer = self.go(layer, shape, &shape.heavy_families, part, ask);
                    ends.push(End { layer, heavy, ramped });
                }
            }
        }
        ends
    }

    fn begin(&mut self, width: usize) {
        if self.width != width {
            self.width = width;
            self.rows.clear();
        }
        self.used = 0;
        self.layers.clear();
        self.sources.clear();
        let row = self.new_row();
        let (first, last) = (row as usize + LANES, row as usize + self.stride());
        self.rows[first..last].fill(N::ZERO);
        let mut rows = [NO_ROW; STATES];
        rows[0] = row;
        self.layers.push(Layer { parent: 0, group: None, rows, sources: [(0, 0); STATES] });
    }

    pub(crate) fn stride(&self) -> usize {
        (self.width.div_ceil(LANES) + 1) * LANES
    }

    /// A row for each time step, after as many steps before the start as are reckoned together.
    pub(crate) fn new_row(&mut self) -> u32 {
        let at = self.used;
        self.used += self.stride();
        if self.rows.len() < self.used {
            self.rows.resize(self.used, N::NEVER);
        }
        at as u32
    }

    fn go(
        &mut self,
        from: usize,
        shape: &Shape,
        families: &[Vec<Run>],
        part: AllowedOffers,
        ask: &SessionQuery<'_, N>,
    ) -> usize {
        let mut at = from;
        for family in families {
            for run in family {
                // Where more are allowed than there are groups or states, nothing needs to be counted.
                let counted = run.most < COUNT && run.groups.len() > 1;
                let most = if counted { run.most } else { usize::MAX };
                for group in run.groups.clone() {
                    at = self.group(at, shape, group, part, most, ask);
                }
                if counted {
                    at = self.merge(at, |s| s % 4);
                }
            }
            at = self.merge(at, |s| s & !2);
        }
        at
    }

    fn group(
        &mut self,
        parent: usize,
        shape: &Shape,
        group: usize,
        part: AllowedOffers,
        most: usize,
        ask: &SessionQuery<'_, N>,
    ) -> usize {
        self.keep_offers(shape, shape.groups[group].clone(), part, ask.profit, ask.must[group]);
        let rows = self.layers[parent].rows;
        self.into.clear();
        for from in (0..STATES).filter(|s| rows[*s] != NO_ROW) {
            let (count, open, odd) = (from / 4, from / 2 % 2, from % 2);
            if !ask.must[group] {
                let stay = Source { from: from as u8, shift: 0, profit: N::ZERO, offer: NO_OFFER };
                self.into.push((from as u8, stay));
            }
            if count >= most {
                continue;
            }
            for &(index, profit) in &self.kept {
                let offer = &shape.offers[index as usize];
                let after = if most == usize::MAX { count } else { count + 1 };
                let (shift, to) = transition(offer, after, open, odd);
                self.into.push((to as u8, Source { from: from as u8, shift, profit, offer: index }));
            }
        }
        self.layer(parent, Some(Step { group, part, most }))
    }

    fn merge(&mut self, parent: usize, target: impl Fn(usize) -> usize) -> usize {
        let rows = self.layers[parent].rows;
        if (0..STATES).all(|s| rows[s] == NO_ROW || target(s) == s) {
            return parent;
        }
        self.into.clear();
        for from in (0..STATES).filter(|s| rows[*s] != NO_ROW) {
            let stay = Source { from: from as u8, shift: 0, profit: N::ZERO, offer: NO_OFFER };
            self.into.push((target(from) as u8, stay));
        }
        self.layer(parent, None)
    }

    /// Makes a layer of what was gathered in `into`.
    fn layer(&mut self, parent: usize, group: Option<Step>) -> usize {
        let old = self.layers[parent].rows;
        let mut layer = Layer { parent, group, rows: [NO_ROW; STATES], sources: [(0, 0); STATES] };
        self.sort_sources(&mut layer.sources);
        for to in 0..STATES {
            let (first, last) = (layer.sources[to].0 as usize, layer.sources[to].1 as usize);
            layer.rows[to] = match &self.sources[first..last] {
                [] => NO_ROW,
                [one] if one.offer == NO_OFFER => old[usize::from(one.from)],
                _ => self.gather(&old, first..last),
            };
        }
        self.layers.push(layer);
        self.layers.len() - 1
    }

    /// Moves what is in `into` to the sources, by the state it leads to, and says where each state's lie.
    fn sort_sources(&mut self, ranges: &mut [(u32, u32); STATES]) {
        let start = self.sources.len();
        for (to, _) in &self.into {
            ranges[usize::from(*to)].1 += 1;
        }
        let mut at = start as u32;
        for range in ranges.iter_mut() {
            let count = range.1;
            *range = (at, at);
            at += count;
        }
        if let Some((_, filler)) = self.into.first() {
            self.sources.resize(at as usize, *filler);
        }
        for (to, source) in &self.into {
            let range = &mut ranges[usize::from(*to)];
            self.sources[range.1 as usize] = *source;
            range.1 += 1;
        }
    }

    /// A new row: at each time the best that any of the sources leads to.
    fn gather(&mut self, rows: &[u32; STATES], sources: Range<usize>) -> u32 {
        let new = self.new_row() as usize;
        let stride = self.stride();
        let start = |s: &Source<N>| (rows[usize::from(s.from)] as usize + LANES, s.shift as usize, s.profit);
        self.starts.clear();
        self.starts.extend(self.sources[sources].iter().map(start));
        let (old, out) = self.rows.split_at_mut(new);
        better_of(old, &self.starts, &mut out[LANES..stride]);
        new as u32
    }

    /// Offers worth keeping at these profits: none is left out that could serve. One that loses may still make a pair
    /// or open a family more cheaply; one that does neither is beaten by taking nothing.
    fn keep_offers(
        &mut self,
        shape: &Shape,
        range: Range<usize>,
        part: AllowedOffers,
        profit: &[N],
        must: bool,
    ) {
        self.kept.clear();
        let mut class = None;
        let mut best = N::NEVER;
        for index in range {
            let offer = &shape.offers[index];
            // Offers lie by class, and within a class by steps.
            if class != Some(offer.class()) {
                class = Some(offer.class());
                best = if must || offer.paired || offer.opens { N::NEVER } else { N::ZERO };
            }
            let keep = if self.keep_all { profit[index] > N::NEVER } else { profit[index] > best };
            if keep && part.allows(offer) {
                best = profit[index];
                self.kept.push((index as u32, profit[index]));
            }
        }
    }

    fn trace(&self, end: &End, room: SessionRoom) -> Best {
        let profit = self.value(end, room).wide();
        let mut taken = Vec::new();
        let (mut at, mut state) = (end.layer, 0);
        let mut step = last_step(*end, room).unwrap_or(0);
        while at != 0 {
            let layer = &self.layers[at];
            let (first, last) = layer.sources[state];
            let here = self.rows[layer.rows[state] as usize + LANES + step];
            let parent = &self.layers[layer.parent];
            let came = self.sources[first as usize..last as usize].iter().find(|s| {
                step.checked_sub(s.shift as usize).is_some_and(|t| {
                    let row = parent.rows[usize::from(s.from)] as usize;
                    self.rows[row + LANES + t] + s.profit == here
                })
            });
            if let Some(source) = came {
                step -= source.shift as usize;
                state = usize::from(source.from);
                if source.offer != NO_OFFER {
                    taken.push(source.offer);
                }
            }
            at = layer.parent;
        }
        Best { profit, taken }
    }
}

/// At each time the best of the rows that begin at `starts`, shifted and raised by a profit.
#[allow(clippy::many_single_char_names, reason = "lanes have no better names")]
pub(crate) fn better_of<N: Number>(rows: &[N], starts: &[(usize, usize, N)], out: &mut [N]) {
    for (block, out) in out.as_chunks_mut::<LANES>().0.iter_mut().enumerate() {
        let time = block * LANES;
        // Kept apart in fours so that all of them stay in registers.
        let mut best = [[N::NEVER; 4]; LANES / 4];
        for &(row, shift, profit) in starts.iter().filter(|(_, shift, _)| *shift < time + LANES) {
            let Some(values) = rows.get(row + time - shift..).and_then(|v| v.first_chunk::<LANES>()) else {
                continue;
            };
            let [a, b, c, d, e, f, g, h] = best;
            let v = values.as_chunks::<4>().0;
            best = [
                better(a, v[0], profit),
                better(b, v[1], profit),
                better(c, v[2], profit),
                better(d, v[3], profit),
                better(e, v[4], profit),
                better(f, v[5], profit),
                better(g, v[6], profit),
                better(h, v[7], profit),
            ];
        }
        out.as_chunks_mut::<4>().0.copy_from_slice(&best);
    }
}

fn better<N: Number>(best: [N; 4], values: [N; 4], profit: N) -> [N; 4] {
    let pick = |best: N, value: N| {
        let sum = value + profit;
        if sum > best { sum } else { best }
    };
    [pick(best[0], values[0]), pick(best[1], values[1]), pick(best[2], values[2]), pick(best[3], values[3])]
}

/// The last step that a way through may use.
pub(crate) fn last_step(end: End, room: SessionRoom) -> Option<usize> {
    room.capacity.checked_sub(if end.ramped { room.start } else { 0 }).map(|t| t as usize)
}

/// Steps the offer takes from a state, and the state it leads to.
pub(crate) fn transition(offer: &LiftOffer, count: usize, open: usize, odd: usize) -> (u32, usize) {
    let lead = if open == 0 && offer.opens { u32::from(offer.lead) } else { 0 };
    let open_after = open | usize::from(offer.opens);
    (u32::from(offer.step) + lead, state(count, open_after, odd ^ usize::from(offer.paired)))
}
