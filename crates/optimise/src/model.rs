//! What is known of the bound at other prices: selections that sessions have answered with, lifts' best sessions, and what
//! belongs to neither. The model lies nowhere above the bound. It finds the prices at which it is lowest near others, by
//! moving weight between selections until none is worth more than those that carry weight.

use crate::cuts::Cut;
use crate::dual::Dual;
use crate::own::Row;
use crate::prices::PriceIndex;
use std::sync::Arc;

/// Most sweeps over all sessions and lifts in one step.
const SWEEPS: usize = 8;
/// Moves of weight in a session and sweep.
const MOVES: usize = 2;

/// A selection in one or several sessions.
#[derive(Clone, Debug)]
pub struct Column {
    /// Offers by session of the block.
    pub taken: Vec<Vec<u32>>,
    /// What it is worth without any prices, in millionths.
    pub constant: f64,
    /// What it does to each rule.
    pub slopes: Vec<(u32, f64)>,
}

impl Column {
    /// What it is worth at prices.
    fn worth(&self, prices: &[f64]) -> f64 {
        self.constant + self.slopes.iter().map(|(r, g)| g * prices[*r as usize]).sum::<f64>()
    }
}

/// A selection with its weight. Parts of a frame share what they know.
#[derive(Clone, Debug)]
struct Weighed {
    column: Arc<Column>,
    weight: f64,
}

impl std::ops::Deref for Weighed {
    type Target = Column;
    fn deref(&self) -> &Column {
        &self.column
    }
}

/// Sessions that are solved together.
#[derive(Clone, Debug)]
struct Block {
    sessions: Vec<usize>,
    columns: Vec<Weighed>,
}

/// The sessions that a lift may be in (bits), with their weights.
#[derive(Clone, Debug)]
struct Spread {
    lift: usize,
    columns: Vec<(u32, f64)>,
    /// When it was looked at last, counted in moves of a step.
    seen: u32,
}

/// The model.
#[derive(Clone, Debug)]
pub struct Model {
    blocks: Vec<Block>,
    spreads: Vec<Spread>,
    /// Rules that were added.
    added: Vec<Cut>,
}

/// Prices on their way to rest.
struct PriceDescent<'a> {
    near: &'a [f64],
    reach: f64,
    /// What sessions and lifts do to each rule.
    x: Vec<f64>,
    price: &'a mut Vec<f64>,
    give: Vec<f64>,
    /// A direction: rules and by how much.
    along: Vec<f64>,
    touched: Vec<u32>,
    /// A gain for a whole selection that is not worth a move, in millionths.
    nothing: f64,
    /// When each price moved last, counted in moves.
    moved: Vec<u32>,
    moves: u32,
}

impl Model {
    /// A model that knows no selection yet.
    pub fn new(dual: &Dual<'_>) -> Self {
        let blocks = dual.blocks.iter().map(|s| Block { sessions: s.clone(), columns: Vec::new() });
        let valued = |l: &usize| dual.problem.tables.lift_value[*l].iter().any(|v| *v != 0);
        let lifts = (0..dual.problem.lifts.len()).filter(valued);
        Self {
            blocks: blocks.collect(),
            spreads: lifts.map(|lift| Spread { lift, columns: vec![(0, 1.0)], seen: 0 }).collect(),
            added: Vec::new(),
        }
    }

    /// Columns of what was taken in each session, by block.
    pub fn columns_of(&self, dual: &Dual<'_>, taken: &[Vec<u32>]) -> Vec<Column> {
        let of = |block: &Block| {
            let own: Vec<Vec<u32>> = block.sessions.iter().map(|s| taken[*s].clone()).collect();
            self.column(dual, &block.sessions, own)
        };
        self.blocks.iter().map(of).collect()
    }

    fn column(&self, dual: &Dual<'_>, sessions: &[usize], taken: Vec<Vec<u32>>) -> Column {
        let mut slopes = vec![0.0; dual.places.len()];
        let mut constant = 0.0;
        for (session, taken) in sessions.iter().zip(&taken) {
            let layout = dual.layout(*session);
            layout.add_slopes(dual.problem, dual.frame, &dual.places, taken, &mut slopes);
            constant += layout.constant(dual.problem, taken);
        }
        slopes.extend(self.added.iter().map(|cut| {
            let at = sessions.iter().position(|s| *s == cut.session);
            -at.map_or(0.0, |at| cut.sum(&taken[at]))
        }));
        let slopes = slopes.into_iter().enumerate().filter(|(_, g)| *g != 0.0);
        let slopes = slopes.map(|(r, g)| (r as u32, g)).collect();
        Column { taken, constant, slopes }
    }

    /// How far new selections lie under the known ones at prices.
    pub fn error(&self, columns: &[Column], prices: &[f64]) -> f64 {
        let of = |(block, new): (&Block, &Column)| {
            let known = block.columns.iter().map(|c| c.worth(prices)).fold(f64::NEG_INFINITY, f64::max);
            (known - new.worth(prices)).max(0.0)
        };
        self.blocks.iter().zip(columns).map(of).sum()
    }

    /// Takes new selections in; where there are too many, those go that are worth least at the prices.
    pub fn add(&mut self, columns: Vec<Column>, prices: &[f64], most: usize) {
        for (block, new) in self.blocks.iter_mut().zip(columns) {
            if block.columns.iter().any(|c| c.taken == new.taken) {
                continue;
            }
            let weight = if block.columns.is_empty() { 1.0 } else { 0.0 };
            if block.columns.len() >= most {
                let idle = block.columns.iter().enumerate().filter(|(_, c)| c.weight <= 0.0);
                let least = idle.min_by(|(_, a), (_, b)| a.worth(prices).total_cmp(&b.worth(prices)));
                if let Some((index, _)) = least {
                    block.columns.swap_remove(index);
                }
            }
            block.columns.push(Weighed { column: Arc::new(new), weight });
        }
    }

    /// Keeps only selections that are possible in their sessions.
    pub fn keep(&mut self, possible: impl Fn(usize, &[u32]) -> bool) {
        for block in &mut self.blocks {
            let sessions = &block.sessions;
            block.columns.retain(|c| sessions.iter().zip(&c.taken).all(|(s, taken)| possible(*s, taken)));
            let left: f64 = block.columns.iter().map(|c| c.weight).sum();
            let even = 1.0 / block.columns.len().max(1) as f64;
            for column in &mut block.columns {
                column.weight = if left > 0.0 { column.weight / left } else { even };
            }
        }
    }

    /// Further rules.
    pub fn add_rules(&mut self, places: &PriceIndex, cuts: &[Cut]) {
        for cut in cuts {
            let row = (places.len() + self.added.len()) as u32;
            self.added.push(cut.clone());
            for block in &mut self.blocks {
                let Some(at) = block.sessions.iter().position(|s| *s == cut.session) else { continue };
                for column in &mut block.columns {
                    let sum = cut.sum(&column.taken[at]);
                    if sum != 0.0 {
                        Arc::make_mut(&mut column.column).slopes.push((row, -sum));
                    }
                }
            }
        }
    }

    /// The selections of a model whose sessions are laid out alike and solved together alike.
    pub fn seed(&mut self, dual: &Dual<'_>, from: &Self) {
        for index in 0..self.blocks.len() {
            let Some(known) = from.blocks.get(index).filter(|b| b.sessions == self.blocks[index].sessions)
            else {
                continue;
            };
            let columns = known.columns.iter().map(|c| {
                let own = self.column(dual, &known.sessions, c.taken.clone());
                Weighed { column: Arc::new(own), weight: c.weight }
            });
            self.blocks[index].columns = columns.collect();
        }
    }

    /// The selection of each session that carries most weight.
    pub fn heaviest(&self, sessions: usize) -> Vec<Vec<u32>> {
        let mut out = vec![Vec::new(); sessions];
        for block in &self.blocks {
            let heaviest = block.columns.iter().max_by(|a, b| a.weight.total_cmp(&b.weight));
            for (session, taken) in block.sessions.iter().zip(heaviest.iter().flat_map(|c| &c.taken)) {
                out[*session].clone_from(taken);
            }
        }
        out
    }

    /// How often each offer of a session is taken on average.
    pub fn average(&self, session: usize, offers: usize) -> Vec<f64> {
        let mut out = vec![0.0; offers];
        for block in &self.blocks {
            let Some(at) = block.sessions.iter().position(|s| *s == session) else { continue };
            for column in block.columns.iter().filter(|c| c.weight > 0.0) {
                column.taken[at].iter().for_each(|offer| out[*offer as usize] += column.weight);
            }
        }
        out
    }

    fn row<'a>(&'a self, dual: &'a Dual<'_>, index: usize, room: &'a mut Row) -> &'a Row {
        match index.checked_sub(dual.places.len()) {
            None => &dual.own.rows[index],
            Some(added) => {
                *room = Row::Range(Some(self.added[added].most), None);
                room
            }
        }
    }

    /// The slope of the model's rows at prices, with the selections as they are weighed.
    pub fn slopes(&self, dual: &Dual<'_>, prices: &[f64]) -> Vec<f64> {
        let x = self.sums(dual, prices.len());
        let mut room = Row::Idle;
        let slope = |(index, x): (usize, f64)| {
            let row = self.row(dual, index, &mut room);
            if matches!(row, Row::Idle) { 0.0 } else { x + dual.own.at(row, prices[index]).1 }
        };
        x.into_iter().enumerate().map(slope).collect()
    }

    /// What sessions and lifts do to each rule.
    fn sums(&self, dual: &Dual<'_>, length: usize) -> Vec<f64> {
        let mut x = vec![0.0; length];
        for column in self.blocks.iter().flat_map(|b| &b.columns).filter(|c| c.weight > 0.0) {
            column.slopes.iter().for_each(|(r, g)| x[*r as usize] += column.weight * g);
        }
        for spread in &self.spreads {
            for (sessions, weight) in &spread.columns {
                for s in bits(*sessions) {
                    x[dual.places.lift(spread.lift, s)] -= weight;
                }
            }
        }
        x
    }

    /// Prices at which the model is lowest near others, and what it is there.
    pub fn settle(
        &mut self,
        dual: &Dual<'_>,
        near: &[f64],
        reach: f64,
        nothing: f64,
        price: &mut Vec<f64>,
    ) -> f64 {
        let x = self.sums(dual, near.len());
        let n = near.len();
        let none = || vec![0.0; n];
        let (give, along, moved) = (none(), none(), vec![1; n]);
        let mut descent = PriceDescent {
            near,
            reach,
            x,
            price,
            give,
            along,
            touched: Vec::new(),
            nothing,
            moved,
            moves: 1,
        };
        (0..n).for_each(|r| descent.rest(self, dual, r));
        self.spreads.iter_mut().for_each(|s| s.seen = 0);
        for _ in 0..SWEEPS {
            let mut gained = 0.0f64;
            for block in 0..self.blocks.len() {
                for _ in 0..MOVES {
                    gained = gained.max(self.move_weight(dual, &mut descent, block));
                }
            }
            for spread in 0..self.spreads.len() {
                gained = gained.max(self.spread(dual, &mut descent, spread));
            }
            if gained <= 0.0 {
                break;
            }
        }
        let prices: &[f64] = descent.price;
        self.lowest(dual, prices)
    }

    /// The model at prices.
    fn lowest(&self, dual: &Dual<'_>, prices: &[f64]) -> f64 {
        let mut room = Row::Idle;
        let own: f64 =
            (0..prices.len()).map(|r| dual.own.at(self.row(dual, r, &mut room), prices[r]).0).sum();
        let lifts: f64 = self.spreads.iter().map(|s| dual.lift_best(s.lift, 1.0, prices).0).sum();
        let best = |b: &Block| b.columns.iter().map(|c| c.worth(prices)).fold(f64::NEG_INFINITY, f64::max);
        own + lifts + self.blocks.iter().map(best).sum::<f64>()
    }

    /// Moves weight in a block from the selection worth least to the one worth most; what it gains a unit.
    fn move_weight(&mut self, dual: &Dual<'_>, descent: &mut PriceDescent<'_>, block: usize) -> f64 {
        let columns = &self.blocks[block].columns;
        let (mut from, mut to) = ((f64::INFINITY, usize::MAX), (f64::NEG_INFINITY, usize::MAX));
        for (index, column) in columns.iter().enumerate() {
            let worth = column.worth(descent.price);
            if column.weight > 0.0 && worth < from.0 {
                from = (worth, index);
            }
            if worth > to.0 {
                to = (worth, index);
            }
        }
        let gain = to.0 - from.0;
        if from.1 == usize::MAX || from.1 == to.1 || gain <= descent.nothing {
            return 0.0;
        }
        columns[to.1].slopes.iter().for_each(|(r, g)| descent.head(*r, *g));
        columns[from.1].slopes.iter().for_each(|(r, g)| descent.head(*r, -*g));
        let most = columns[from.1].weight;
        let moved = self.go(dual, descent, gain, most);
        let columns = &mut self.blocks[block].columns;
        columns[to.1].weight += moved;
        columns[from.1].weight = if moved < most { most - moved } else { 0.0 };
        gain
    }

    /// The same for the sessions of a lift, among all that it may be in.
    fn spread(&mut self, dual: &Dual<'_>, descent: &mut PriceDescent<'_>, spread: usize) -> f64 {
        let lift = self.spreads[spread].lift;
        let first = dual.places.lift(lift, 0);
        let seen = std::mem::replace(&mut self.spreads[spread].seen, descent.moves);
        if descent.moved[first..first + dual.frame.parts()].iter().all(|moved| *moved <= seen) {
            return 0.0;
        }
        let value = |sessions: u32, price: &[f64]| dual.lift_value(lift, sessions, 1.0, price);
        let (most_worth, best) = dual.lift_best(lift, 1.0, descent.price);
        let worst =
            self.spreads[spread].columns.iter().enumerate().map(|(i, c)| (value(c.0, descent.price), i));
        let Some((least, from)) = worst.min_by(|a, b| a.0.total_cmp(&b.0)) else { return 0.0 };
        let gain = most_worth - least;
        let (old, most) = self.spreads[spread].columns[from];
        if gain <= descent.nothing || old == best {
            return 0.0;
        }
        bits(best).for_each(|s| descent.head(dual.places.lift(lift, s) as u32, -1.0));
        bits(old).for_each(|s| descent.head(dual.places.lift(lift, s) as u32, 1.0));
        let moved = self.go(dual, descent, gain, most);
        let columns = &mut self.spreads[spread].columns;
        columns[from].1 = most - moved;
        match columns.iter_mut().find(|c| c.0 == best) {
            Some(column) => column.1 += moved,
            None => columns.push((best, moved)),
        }
        columns.retain(|c| c.1 > 1e-12);
        gain
    }

    /// Goes along the direction as far as it gains, and no further than `most`; how far.
    fn go(&self, dual: &Dual<'_>, descent: &mut PriceDescent<'_>, gain: f64, most: f64) -> f64 {
        let bend =
            |r: &u32| descent.give[*r as usize] * descent.along[*r as usize] * descent.along[*r as usize];
        let curve: f64 = descent.touched.iter().map(bend).sum();
        let mut step = if curve * most > gain { gain / curve } else { most };
        let before: f64 =
            descent.touched.iter().map(|r| descent.along[*r as usize] * descent.price[*r as usize]).sum();
        self.shift(dual, descent, step);
        let after: f64 =
            descent.touched.iter().map(|r| descent.along[*r as usize] * descent.price[*r as usize]).sum();
        let left = gain + after - before;
        if left < -0.1 * gain {
            // It went past the top, because prices gave way that had been held.
            let back = step * left / (left - gain);
            self.shift(dual, descent, -back);
            step -= back;
        }
        for r in std::mem::take(&mut descent.touched) {
            descent.along[r as usize] = 0.0;
        }
        step
    }

    fn shift(&self, dual: &Dual<'_>, descent: &mut PriceDescent<'_>, step: f64) {
        descent.moves += 1;
        for k in 0..descent.touched.len() {
            let r = descent.touched[k] as usize;
            descent.x[r] += step * descent.along[r];
            let before = descent.price[r];
            descent.rest(self, dual, r);
            if descent.price[r].to_bits() != before.to_bits() {
                descent.moved[r] = descent.moves;
            }
        }
    }
}

impl PriceDescent<'_> {
    fn head(&mut self, r: u32, by: f64) {
        if self.along[r as usize] == 0.0 {
            self.touched.push(r);
        }
        self.along[r as usize] += by;
    }

    fn rest(&mut self, model: &Model, dual: &Dual<'_>, r: usize) {
        let mut room = Row::Idle;
        let row = model.row(dual, r, &mut room);
        let rest = dual.own.rest(row, self.x[r], self.near[r], self.reach);
        self.price[r] = rest.price;
        self.give[r] = rest.give;
    }
}

fn bits(mut set: u32) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let next = (set != 0).then(|| set.trailing_zeros() as usize)?;
        set &= set - 1;
        Some(next)
    })
}
