//! What of the bound belongs to no session, rule by rule, and where its price would come to rest.
//!
//! It is used for choosing prices only; the bound itself is reckoned in whole numbers by `dual`.

use crate::prices::{BUDGETS, PriceIndex};
use setwright_formulate::lift::COST_EFFORT;
use setwright_formulate::problem::Problem;
use setwright_formulate::tables::{DOSE_UNIT, STRAIN_UNIT, UNLIMITED};
use setwright_model::Muscle;
use setwright_science::rules::FREE_STRAIN_SETS;

/// A convex function of the price of one rule.
#[derive(Clone, Debug)]
pub enum Row {
    /// Says nothing: the price of a lift's being in a session, which the lift answers for.
    Free,
    /// A rule that does not apply: its price is nothing.
    Idle,
    /// What lies between a least and a most: its slope at prices above nothing and below, where those are allowed.
    Range(Option<f64>, Option<f64>),
    /// The best dose of a muscle, less its price.
    Dose(usize),
    /// The strain of a muscle that pays most: the price of a square set.
    Strain(f64, f64),
    /// The effort that pays most, by part.
    Effort(usize),
}

/// A price at rest, and how it moves against what the sessions do to the rule.
#[derive(Clone, Copy, Debug)]
pub struct Rest {
    /// The price.
    pub price: f64,
    /// By how much it falls for a unit more; nothing where it is held.
    pub give: f64,
}

/// What a frame asks.
#[derive(Clone, Copy)]
pub struct Asked<'a> {
    /// The least of a count in a part; `i16::MIN` where nothing is asked.
    pub least: &'a dyn Fn(usize, usize) -> i16,
    /// The most of a budget of a part.
    pub most: &'a dyn Fn(usize, usize) -> f64,
    /// Whether a part keeps the balances by itself.
    pub balanced: &'a dyn Fn(usize) -> bool,
    /// Corners of the hull of benefit by dose unit, by muscle, in millionths.
    pub doses: &'a [Vec<(f64, f64)>],
}

/// What the rows are reckoned from.
#[derive(Clone, Debug)]
pub struct Own {
    /// By place.
    pub rows: Vec<Row>,
    /// Corners of the hull of benefit by dose, by muscle: sets and millionths.
    doses: Vec<Vec<(f64, f64)>>,
    /// Price of effort over the cycle, by part and effort.
    efforts: Vec<Vec<f64>>,
}

impl Own {
    /// The rows of a problem.
    pub fn new(problem: &Problem, places: &PriceIndex, asked: &Asked<'_>) -> Self {
        let mut rows = vec![Row::Idle; places.len()];
        let tables = &problem.tables;
        for m in 0..Muscle::COUNT {
            rows[places.quality(m)] = Row::Dose(m);
            rows[places.raw(m)] = raw_row(problem, m);
            let curve = tables.strain_factor[m] * STRAIN_UNIT * STRAIN_UNIT;
            for s in 0..problem.part_of.len() {
                rows[places.strain(m, s)] = Row::Strain(curve, tables.strain_max as f64 / STRAIN_UNIT);
            }
        }
        let slack = f64::from(problem.balance_slack);
        let parts = problem.parts();
        for side in (0..4).filter(|side| problem.balances[side / 2]) {
            rows[places.balance(side)] = Row::Range(Some(slack), None);
            for s in (0..parts).filter(|s| (asked.balanced)(*s)) {
                rows[places.own_balance(s, side)] = Row::Range(Some(slack), None);
            }
        }
        for s in 0..parts {
            for k in 0..BUDGETS {
                let row = if k == COST_EFFORT {
                    Row::Effort(s)
                } else {
                    Row::Range(Some((asked.most)(s, k)), None)
                };
                rows[places.budget(s, k)] = row;
            }
        }
        for (k, _) in problem.locks.iter().enumerate().filter(|(_, (_, l))| l.session.is_none()) {
            rows[places.lock(k)] = Row::Range(Some(-1.0), None);
        }
        let quotas = &problem.quotas;
        for k in 0..quotas.counts.len() {
            for part in 0..parts {
                rows[places.count(part, k)] = range((asked.least)(part, k), quotas.session_most[k]);
            }
            rows[places.cycle_count(k)] = range(quotas.cycle_least[k], quotas.cycle_most[k]);
        }
        for l in (0..problem.lifts.len()).filter(|l| tables.lift_value[*l].iter().any(|v| *v != 0)) {
            for s in 0..parts {
                rows[places.lift(l, s)] = Row::Free;
            }
        }
        let sets = |own: &Vec<(f64, f64)>| own.iter().map(|(d, b)| (d / DOSE_UNIT, *b)).collect();
        let efforts = |part: usize| {
            let copies = f64::from(problem.copies[part]);
            (0..tables.efforts(part) as u32).map(|e| copies * tables.effort(part, e) as f64).collect()
        };
        Self {
            rows,
            doses: asked.doses.iter().map(sets).collect(),
            efforts: (0..parts).map(efforts).collect(),
        }
    }

    /// Where the price of a row comes to rest when sessions do `x` to its rule, drawn to `near` by a spring that gives way
    /// by `reach`.
    pub fn rest(&self, row: &Row, x: f64, near: f64, reach: f64) -> Rest {
        match row {
            Row::Free => Rest { price: near - reach * x, give: reach },
            Row::Idle => Rest { price: 0.0, give: 0.0 },
            Row::Range(up, down) => {
                let above = up.map(|slope| near - reach * (x + slope)).filter(|p| *p > 0.0);
                let below = || down.map(|slope| near - reach * (x + slope)).filter(|p| *p < 0.0);
                let price = above.or_else(below);
                Rest { price: price.unwrap_or(0.0), give: price.map_or(0.0, |_| reach) }
            }
            Row::Dose(m) => dose_rest(&self.doses[*m], x, near, reach),
            Row::Strain(curve, most) => strain_rest(*curve, *most, x, near, reach),
            Row::Effort(part) => effort_rest(&self.efforts[*part], x, near, reach),
        }
    }

    /// Value and slope of a row at a price.
    pub fn at(&self, row: &Row, price: f64) -> (f64, f64) {
        match row {
            Row::Free | Row::Idle => (0.0, 0.0),
            Row::Range(up, down) => {
                let slope = if price > 0.0 { *up } else { *down };
                let slope = slope.or(*up).or(*down).unwrap_or(0.0);
                (slope * price, slope)
            }
            Row::Dose(m) => {
                let doses = &self.doses[*m];
                let value = |i: usize| doses[i].1 - price * doses[i].0;
                let best = last_rising(doses.len(), |i| value(i) > value(i - 1));
                (value(best), -doses[best].0)
            }
            Row::Strain(curve, most) => {
                let top =
                    if *curve > 0.0 { (FREE_STRAIN_SETS + price / (2.0 * curve)).min(*most) } else { *most };
                let over = (top - FREE_STRAIN_SETS).max(0.0);
                (price * top - curve * over * over, top)
            }
            Row::Effort(part) => {
                let prices = &self.efforts[*part];
                let value = |e: usize| price * e as f64 - prices[e];
                let best = last_rising(prices.len(), |e| value(e) > value(e - 1));
                (value(best), best as f64)
            }
        }
    }
}

fn raw_row(problem: &Problem, m: usize) -> Row {
    let (least, most) = (problem.raw_least[m], problem.tables.most[m]);
    let up = (least > 0).then(|| -f64::from(least) / 4.0);
    let down = (most < UNLIMITED).then(|| -f64::from(most) / 4.0);
    if up.is_none() && down.is_none() { Row::Idle } else { Row::Range(up, down) }
}

fn range(least: i16, most: i16) -> Row {
    let up = (least > i16::MIN).then(|| -f64::from(least));
    let down = (most < i16::MAX).then(|| -f64::from(most));
    if up.is_none() && down.is_none() { Row::Idle } else { Row::Range(up, down) }
}

/// The last of so many, of which the first ones rise each above the one before.
fn last_rising(count: usize, rises: impl Fn(usize) -> bool) -> usize {
    let (mut low, mut high) = (0, count.saturating_sub(1));
    while low < high {
        let middle = usize::midpoint(low, high) + 1;
        if rises(middle) {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    low
}

/// At a corner the price may lie anywhere between the slopes beside it; along an edge it is its slope.
fn dose_rest(doses: &[(f64, f64)], x: f64, near: f64, reach: f64) -> Rest {
    let slope = |i: usize| (doses[i].1 - doses[i - 1].1) / (doses[i].0 - doses[i - 1].0);
    let price = |i: usize| near - reach * (x - doses[i].0);
    // A dose is passed as long as its price would lie under the slope of what comes after it.
    let corner = last_rising(doses.len(), |i| price(i - 1) < slope(i));
    let edge = if corner > 0 { slope(corner) } else { f64::INFINITY };
    let free = price(corner).max(0.0);
    if free > 0.0 && free < edge {
        Rest { price: free, give: reach }
    } else {
        Rest { price: free.min(edge), give: 0.0 }
    }
}

fn strain_rest(curve: f64, most: f64, x: f64, near: f64, reach: f64) -> Rest {
    let stretch = if curve > 0.0 { 1.0 + reach / (2.0 * curve) } else { f64::INFINITY };
    let inside = (near - reach * (x + FREE_STRAIN_SETS)) / stretch;
    let top = if curve > 0.0 { FREE_STRAIN_SETS + inside / (2.0 * curve) } else { f64::INFINITY };
    if inside <= 0.0 && curve > 0.0 {
        return Rest { price: 0.0, give: 0.0 };
    }
    if top <= most {
        return Rest { price: inside, give: reach / stretch };
    }
    let price = (near - reach * (x + most)).max(0.0);
    Rest { price, give: if price > 0.0 { reach } else { 0.0 } }
}

fn effort_rest(prices: &[f64], x: f64, near: f64, reach: f64) -> Rest {
    let slope = |e: usize| prices[e] - prices[e - 1];
    let price = |e: usize| near - reach * (x + e as f64);
    let best = last_rising(prices.len(), |e| price(e) >= slope(e));
    let edge = if best + 1 < prices.len() { slope(best + 1) } else { f64::INFINITY };
    let free = price(best).max(0.0);
    if free > 0.0 && free < edge {
        Rest { price: free, give: reach }
    } else {
        Rest { price: free.min(edge), give: 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Corners of a hull whose last edge falls.
    fn own() -> Own {
        let doses = vec![vec![(0.0, 0.0), (2.0, 800.0), (5.0, 1_400.0), (8.0, 1_500.0), (9.0, 1_450.0)]];
        let efforts = vec![(0..40).map(|e| f64::from((e - 10).max(0) * (e - 10).max(0)) * 3.0).collect()];
        Own { rows: Vec::new(), doses, efforts }
    }

    fn rows() -> Vec<Row> {
        vec![
            Row::Range(Some(4.0), None),
            Row::Range(Some(-2.0), Some(-6.0)),
            Row::Range(None, Some(-6.0)),
            Row::Dose(0),
            Row::Strain(16.0, 12.0),
            Row::Effort(0),
        ]
    }

    /// Prices that a row may have, close together.
    fn prices(row: &Row) -> impl Iterator<Item = f64> {
        let (least, most) = match row {
            Row::Range(None, _) => (-3000, 0),
            Row::Range(_, Some(_)) => (-3000, 3000),
            _ => (0, 3000),
        };
        (least..=most).map(|p| f64::from(p) / 4.0)
    }

    #[test]
    fn a_price_rests_where_row_and_spring_are_lowest_together() {
        let own = own();
        for row in rows() {
            for x in [-14.0, -6.0, -3.0, 0.0, 1.5, 4.0, 7.5, 12.0] {
                for (near, reach) in [(0.0, 10.0), (40.0, 25.0), (150.0, 3.0), (300.0, 60.0)] {
                    let sum = |p: f64| own.at(&row, p).0 + x * p + (p - near) * (p - near) / (2.0 * reach);
                    let rest = own.rest(&row, x, near, reach);
                    let lowest = prices(&row).map(sum).fold(f64::INFINITY, f64::min);
                    let beyond = rest.price.abs() > 750.0;
                    assert!(
                        beyond || sum(rest.price) <= lowest + 1e-6,
                        "{row:?} {x} {near} {reach}: {rest:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_price_gives_way_as_it_says() {
        let own = own();
        for row in rows() {
            for x in [-8.3, -3.7, 0.4, 2.6, 6.1] {
                let (at, by) = (own.rest(&row, x, 120.0, 20.0), 1e-6);
                let given = (at.price - own.rest(&row, x + by, 120.0, 20.0).price) / by;
                assert!((given - at.give).abs() < 1e-3, "{row:?} {x}: {given} {}", at.give);
            }
        }
    }
}
