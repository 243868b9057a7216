//! How prices move so that the bound falls: a proximal bundle. Every evaluation leaves a plane that nowhere lies
//! above the bound; the next prices are where the highest plane is lowest, but not too far from the best prices so
//! far (Kiwiel 1990, Math Program 46:105).
//!
//! Nothing here can make a bound wrong: any prices give a valid one.

use crate::dual::Evaluation;
use crate::prices::{Places, Prices};
use crate::problem::Problem;

/// Most planes that are kept.
const PLANES: usize = 40;
/// Share of the hoped-for fall from which prices are taken over, and from which the next step goes further.
const SERIOUS: f64 = 0.1;
const FAR: f64 = 0.5;
/// Longer and shorter reach.
const LONGER: f64 = 1.6;
const SHORTER: f64 = 0.7;
/// Most exchanges of weight between planes in a step, and most changes of the rules held at no price.
const EXCHANGES: usize = 60;
const TURNS: usize = 8;
/// Share of the bound below which a hoped-for fall is nothing.
const NOTHING: f64 = 2e-6;

/// What an evaluation says of the bound everywhere: nowhere is it below this plane.
#[derive(Clone, Debug)]
struct Plane {
    slopes: Vec<f64>,
    /// How far the plane lies below the bound at the best prices.
    error: f64,
    /// Its part in the average of planes that the next step follows.
    weight: f64,
    /// Offers taken in each session.
    taken: Vec<Vec<u32>>,
}

/// Descent of the bound.
#[derive(Clone, Debug)]
pub struct Descent {
    /// Prices to try next.
    pub at: Prices,
    /// The least bound so far, in millionths.
    pub best: i64,
    /// Prices from which steps are made: the best, or as good as.
    pub best_at: Prices,
    /// Bound at them.
    centre: f64,
    planes: Vec<Plane>,
    /// Products of the planes' slopes, over the rules that are not held.
    products: Vec<Vec<f64>>,
    /// Rules whose price stays at zero in this step, because it would change sides.
    held: Vec<bool>,
    target: i64,
    /// How far a step goes along the slopes.
    reach: f64,
    /// How far the bound would fall if the planes were all there is.
    hoped: f64,
    /// Steps since prices were taken over.
    stale: u32,
    /// What may be selected was narrowed since the last evaluation.
    narrowed: bool,
}

impl Descent {
    /// Starts at prices; `target` is what the bound is hoped to reach.
    pub fn new(start: Prices, target: i64) -> Self {
        Self {
            held: vec![false; start.at.len()],
            best_at: start.clone(),
            at: start,
            best: i64::MAX,
            centre: f64::INFINITY,
            planes: Vec::new(),
            products: Vec::new(),
            target,
            reach: 0.0,
            hoped: f64::INFINITY,
            stale: 0,
            narrowed: false,
        }
    }

    /// Whether going on would bring nothing.
    pub fn settled(&self) -> bool {
        self.best <= self.target || self.hoped < NOTHING * self.best.abs() as f64
    }

    /// Takes an evaluation of [`Descent::at`] over and moves on.
    pub fn take(&mut self, problem: &Problem, places: &Places, evaluation: Evaluation) {
        let Evaluation { bound, slopes, taken } = evaluation;
        let mut plane = Plane { slopes, error: 0.0, weight: 0.0, taken };
        self.best = self.best.min(bound);
        let value = bound as f64;
        if self.planes.is_empty() || self.narrowed {
            self.centre_anew(value);
            let square: f64 = plane.slopes.iter().map(|g| g * g).sum();
            let usual = (bound - self.target).max(1) as f64 / square.max(1.0);
            self.reach = if self.reach > 0.0 { self.reach } else { usual };
        } else {
            let fallen = self.centre - value;
            if fallen >= SERIOUS * self.hoped {
                self.take_over(value);
                self.reach *= if fallen > FAR * self.hoped { LONGER } else { 1.0 };
            } else {
                plane.error = (fallen - along(&plane.slopes, &self.at, &self.best_at)).max(0.0);
                self.stale += 1;
                let overshot = self.stale > 1 && plane.error > 2.0 * self.hoped;
                self.reach *= if overshot { SHORTER } else { 1.0 };
            }
        }
        if self.planes.iter().all(|p| p.weight <= 0.0) {
            plane.weight = 1.0;
        }
        self.add(plane);
        self.step(problem, places);
    }

    /// Keeps only the planes whose selections are `possible` still, because what may be selected was narrowed. Bounds
    /// so far stay true; the next evaluation is at the best prices.
    pub fn narrow(&mut self, possible: impl Fn(&[Vec<u32>]) -> bool) {
        let planes = std::mem::take(&mut self.planes);
        self.products.clear();
        for plane in planes.into_iter().filter(|p| possible(&p.taken)) {
            self.add(plane);
        }
        let left: f64 = self.planes.iter().map(|p| p.weight).sum();
        for plane in &mut self.planes {
            plane.weight = if left > 0.0 { plane.weight / left } else { 0.0 };
        }
        self.at.clone_from(&self.best_at);
        self.hoped = f64::INFINITY;
        self.narrowed = true;
    }

    /// Further rules, without a price yet: `slope` says what a selection does to each.
    pub fn add_rules(
        &mut self,
        problem: &Problem,
        places: &Places,
        count: usize,
        slope: impl Fn(&[Vec<u32>], usize) -> f64,
    ) {
        let length = self.at.at.len() + count;
        self.at.at.resize(length, 0.0);
        self.best_at.at.resize(length, 0.0);
        self.held.resize(length, false);
        self.products.clear();
        for mut plane in std::mem::take(&mut self.planes) {
            plane.slopes.extend((0..count).map(|rule| slope(&plane.taken, rule)));
            self.add(plane);
        }
        if !self.narrowed {
            self.step(problem, places);
        }
    }

    /// The bound at the best prices has changed.
    fn centre_anew(&mut self, value: f64) {
        for plane in &mut self.planes {
            plane.error = (plane.error + value - self.centre).max(0.0);
        }
        self.centre = value;
        self.narrowed = false;
        self.stale = 0;
    }

    /// The average of the selections that the step follows: how often each offer is taken, by session.
    pub fn average(&self, session: usize, offers: usize) -> Vec<f64> {
        let mut out = vec![0.0; offers];
        for plane in &self.planes {
            for offer in plane.taken.get(session).into_iter().flatten() {
                out[*offer as usize] += plane.weight;
            }
        }
        out
    }

    /// The prices tried become the best ones: planes are measured from there.
    fn take_over(&mut self, value: f64) {
        for plane in &mut self.planes {
            let rise = along(&plane.slopes, &self.best_at, &self.at);
            plane.error = (plane.error + value - self.centre - rise).max(0.0);
        }
        self.centre = value;
        self.best_at.clone_from(&self.at);
        self.stale = 0;
    }

    fn add(&mut self, plane: Plane) {
        if self.planes.len() >= PLANES {
            self.drop_one();
        }
        let mut row: Vec<f64> = self.planes.iter().map(|p| self.product(p, &plane)).collect();
        for (old, product) in self.products.iter_mut().zip(&row) {
            old.push(*product);
        }
        row.push(self.product(&plane, &plane));
        self.products.push(row);
        self.planes.push(plane);
    }

    /// Drops the plane that has least part in the step, and of those the lowest.
    fn drop_one(&mut self) {
        let key = |p: &Plane| (p.weight, -p.error);
        let order = |a: &Plane, b: &Plane| {
            let ((wa, ea), (wb, eb)) = (key(a), key(b));
            wa.total_cmp(&wb).then(ea.total_cmp(&eb))
        };
        let Some(worst) = (0..self.planes.len()).min_by(|a, b| order(&self.planes[*a], &self.planes[*b]))
        else {
            return;
        };
        let left = 1.0 - self.planes[worst].weight;
        self.planes.swap_remove(worst);
        self.products.swap_remove(worst);
        for row in &mut self.products {
            row.swap_remove(worst);
        }
        for plane in &mut self.planes {
            plane.weight /= left;
        }
    }

    fn product(&self, a: &Plane, b: &Plane) -> f64 {
        let both = a.slopes.iter().zip(&b.slopes).zip(&self.held);
        both.map(|((a, b), held)| if *held { 0.0 } else { a * b }).sum()
    }

    /// Chooses the next prices.
    fn step(&mut self, problem: &Problem, places: &Places) {
        let sides = |far: f64| {
            let mut prices = Prices { at: vec![far; self.at.at.len()] };
            prices.keep_sides(problem, places);
            prices.at
        };
        let (least, most) = (sides(f64::NEG_INFINITY), sides(f64::INFINITY));
        let mut slopes = self.averaged();
        for _ in 0..TURNS {
            self.weigh();
            slopes = self.averaged();
            let free = |r: usize| self.best_at.at[r] - self.reach * slopes[r];
            let changed: Vec<usize> = (0..slopes.len())
                .filter(|&r| self.held[r] != (free(r) < least[r] || free(r) > most[r]))
                .collect();
            if changed.is_empty() {
                break;
            }
            for rule in changed {
                self.hold_or_free(rule);
            }
        }
        for ((at, best), slope) in self.at.at.iter_mut().zip(&self.best_at.at).zip(&slopes) {
            *at = best - self.reach * slope;
        }
        self.at.keep_sides(problem, places);
        let error: f64 = self.planes.iter().map(|p| p.weight * p.error).sum();
        self.hoped = along(&slopes, &self.at, &self.best_at) + error;
    }

    fn averaged(&self) -> Vec<f64> {
        let mut out = vec![0.0; self.at.at.len()];
        for plane in self.planes.iter().filter(|p| p.weight > 0.0) {
            out.iter_mut().zip(&plane.slopes).for_each(|(sum, slope)| *sum += plane.weight * slope);
        }
        out
    }

    fn hold_or_free(&mut self, rule: usize) {
        let sign = if self.held[rule] { 1.0 } else { -1.0 };
        self.held[rule] = !self.held[rule];
        for (plane, row) in self.planes.iter().zip(&mut self.products) {
            let slope = sign * plane.slopes[rule];
            if slope != 0.0 {
                row.iter_mut().zip(&self.planes).for_each(|(product, p)| *product += slope * p.slopes[rule]);
            }
        }
    }

    /// Weighs the planes: the average that is lowest where the step along it leads. Weight goes from the worst plane
    /// to the best until nothing is to be gained.
    fn weigh(&mut self) {
        let mut costs = self.costs();
        for _ in 0..EXCHANGES {
            let Some((from, to)) = self.exchange(&costs) else { return };
            let gain = costs[from] - costs[to];
            let curve = self.products[from][from] + self.products[to][to] - 2.0 * self.products[from][to];
            let most = self.planes[from].weight;
            let part = if curve > 0.0 { (gain / (self.reach * curve)).min(most) } else { most };
            self.planes[to].weight += part;
            self.planes[from].weight = if part < most { most - part } else { 0.0 };
            for (cost, row) in costs.iter_mut().zip(&self.products) {
                *cost += self.reach * part * (row[to] - row[from]);
            }
        }
    }

    /// What a little more weight of each plane would cost.
    fn costs(&self) -> Vec<f64> {
        let held: Vec<f64> =
            self.held.iter().zip(&self.best_at.at).map(|(h, price)| if *h { *price } else { 0.0 }).collect();
        let of = |(plane, row): (&Plane, &Vec<f64>)| {
            let to_zero: f64 = plane.slopes.iter().zip(&held).map(|(g, price)| g * price).sum();
            let step: f64 = row.iter().zip(&self.planes).map(|(product, p)| product * p.weight).sum();
            plane.error + to_zero + self.reach * step
        };
        self.planes.iter().zip(&self.products).map(of).collect()
    }

    /// From which plane weight should go, and to which.
    fn exchange(&self, costs: &[f64]) -> Option<(usize, usize)> {
        let all = 0..costs.len();
        let by_cost = |a: &usize, b: &usize| costs[*a].total_cmp(&costs[*b]);
        let from = all.clone().filter(|i| self.planes[*i].weight > 0.0).max_by(by_cost)?;
        let to = all.min_by(by_cost)?;
        (costs[from] - costs[to] > 1.0).then_some((from, to))
    }
}

/// What a plane rises by from some prices to others.
fn along(slopes: &[f64], from: &Prices, to: &Prices) -> f64 {
    slopes.iter().zip(from.at.iter().zip(&to.at)).map(|(slope, (from, to))| slope * (to - from)).sum()
}
