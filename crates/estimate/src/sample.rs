//! Draws of the recovery parameters by elliptical slice sampling (Murray 2010).
//!
//! Parameters are standard normal effects of the person and of each muscle. A sweep moves each muscle's, then the
//! person's with the muscles' held, then shifts weight between person and muscles with what they add up to held.

use crate::fatigue::Grid;
use crate::landscape::{Landscape, Mix};
use crate::prior::{Prior, Spread};
use crate::soreness::SorenessReports;
use setwright_chance::Chance;
use setwright_model::Muscle;

/// Sweeps before the first draw is kept, draws kept, and sweeps for each (numeric).
const SETTLE: usize = 100;
pub const DRAWS: usize = 800;
const SWEEPS: usize = 2;
/// Steps of a slice before it is given up; it halves on average, so it never comes to this (numeric).
const SHRINKS_MAX: usize = 200;

/// Effects of the person or of a muscle: time constant, depth, soreness beyond the deficit, gain of soreness.
type Effects = [f64; 4];

/// One draw of a client's recovery, in the order of [`Muscle::ALL`].
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// Logarithm of the time constant in hours.
    pub log_tau: [f64; Muscle::COUNT],
    /// Depth of fatigue as a multiple of `science::recovery::drop`.
    pub depth: [f64; Muscle::COUNT],
}

/// A muscle that the log can tell of, with its columns.
#[derive(Clone, Copy, Debug)]
pub struct FollowedMuscle {
    pub muscle: Muscle,
    pub grid: Grid,
    /// First of its columns, counted from the first of fatigue.
    pub start: usize,
}

impl FollowedMuscle {
    /// Columns of a draw.
    pub fn mix(&self, draw: &Draw) -> Mix {
        let m = self.muscle.index();
        Mix::of(&self.grid, self.start, draw.log_tau[m], draw.depth[m])
    }
}

/// Draws from the posterior.
pub fn draws(
    landscape: Landscape,
    followed: &[FollowedMuscle],
    soreness: &SorenessReports,
    prior: &Prior,
    chance: &mut Chance,
) -> Vec<Draw> {
    let mut walk = Walk::new(landscape, followed, soreness, prior);
    for _ in 0..SETTLE {
        walk.sweep(chance);
    }
    let mut kept = Vec::with_capacity(DRAWS);
    for _ in 0..DRAWS {
        for _ in 0..SWEEPS {
            walk.sweep(chance);
        }
        kept.push(walk.draw(chance));
    }
    kept
}

/// Draws from the prior, as many as from a posterior.
pub fn prior_draws(prior: &Prior, chance: &mut Chance) -> Vec<Draw> {
    (0..DRAWS)
        .map(|_| {
            let person = [chance.normal(), chance.normal(), 0.0, 0.0];
            let mut draw = Draw { log_tau: [0.0; Muscle::COUNT], depth: [0.0; Muscle::COUNT] };
            for m in Muscle::ALL {
                let own = [chance.normal(), chance.normal(), 0.0, 0.0];
                fill(&mut draw, prior, m, &person, &own);
            }
            draw
        })
        .collect()
}

fn fill(draw: &mut Draw, prior: &Prior, muscle: Muscle, person: &Effects, own: &Effects) {
    let m = muscle.index();
    draw.log_tau[m] = log_tau(prior, muscle, person, own);
    draw.depth[m] = depth(prior, muscle, person, own);
}

fn effect(spread: Spread, person: f64, muscle: f64) -> f64 {
    spread.person * person + spread.muscle * muscle
}

fn log_tau(prior: &Prior, muscle: Muscle, person: &Effects, own: &Effects) -> f64 {
    libm::log(prior.tau[muscle.index()].get()) + effect(prior.tau_spread, person[0], own[0])
}

fn depth(prior: &Prior, muscle: Muscle, person: &Effects, own: &Effects) -> f64 {
    prior.depth[muscle.index()] * libm::exp(effect(prior.depth_spread, person[1], own[1]))
}

/// State of the sampler.
struct Walk<'a> {
    landscape: Landscape,
    followed: &'a [FollowedMuscle],
    soreness: &'a SorenessReports,
    /// Whether soreness says anything; if not its effects are not sampled.
    sore: bool,
    prior: &'a Prior,
    person: Effects,
    own: Vec<Effects>,
}

impl<'a> Walk<'a> {
    fn new(
        landscape: Landscape,
        followed: &'a [FollowedMuscle],
        soreness: &'a SorenessReports,
        prior: &'a Prior,
    ) -> Self {
        let sore = !soreness.is_silent();
        let mut walk = Self {
            landscape,
            followed,
            soreness,
            sore,
            prior,
            person: [0.0; 4],
            own: vec![[0.0; 4]; followed.len()],
        };
        let mixes = walk.mixes(&walk.person);
        walk.landscape.set_all(&mixes);
        walk
    }

    fn sweep(&mut self, chance: &mut Chance) {
        for place in 0..self.followed.len() {
            self.move_muscle(place, chance);
        }
        self.move_person(chance);
        self.shift(chance);
    }

    fn move_muscle(&mut self, place: usize, chance: &mut Chance) {
        let followed = self.followed[place];
        let now = self.own[place];
        let value = |own: &Effects| {
            self.landscape.change(place, &self.mix(followed, &self.person, own))
                + self.sore_likelihood(followed.muscle, &self.person, own)
        };
        let start = self.sore_likelihood(followed.muscle, &self.person, &now);
        let to = slice(chance, now, start, self.sore, value);
        self.own[place] = to;
        let mix = self.mix(followed, &self.person, &to);
        self.landscape.set(place, mix);
    }

    fn move_person(&mut self, chance: &mut Chance) {
        let value = |person: &Effects| {
            let sore: f64 = self.pairs().map(|(f, own)| self.sore_likelihood(f.muscle, person, own)).sum();
            self.landscape.log_likelihood(&self.mixes(person)) + sore
        };
        let to = slice(chance, self.person, value(&self.person), self.sore, value);
        self.person = to;
        let mixes = self.mixes(&to);
        self.landscape.set_all(&mixes);
    }

    /// Draws the person's effects anew given the sums of person and muscle, which stay as they are.
    fn shift(&mut self, chance: &mut Chance) {
        let spreads = [
            self.prior.tau_spread,
            self.prior.depth_spread,
            self.prior.soreness_spread,
            self.prior.gain_spread,
        ];
        let count = self.own.len() as f64;
        for (e, spread) in spreads.iter().enumerate().take(if self.sore { 4 } else { 2 }) {
            if spread.muscle <= 0.0 {
                continue;
            }
            let ratio = spread.person / spread.muscle;
            let precision = 1.0 + count * ratio * ratio;
            let sum: f64 = self.own.iter().map(|own| own[e] + ratio * self.person[e]).sum();
            let to = ratio * sum / precision + chance.normal() / precision.sqrt();
            let moved = ratio * (self.person[e] - to);
            self.person[e] = to;
            for own in &mut self.own {
                own[e] += moved;
            }
        }
    }

    fn pairs(&self) -> impl Iterator<Item = (&FollowedMuscle, &Effects)> {
        self.followed.iter().zip(&self.own)
    }

    fn mix(&self, followed: FollowedMuscle, person: &Effects, own: &Effects) -> Mix {
        let muscle = followed.muscle;
        let tau = log_tau(self.prior, muscle, person, own);
        Mix::of(&followed.grid, followed.start, tau, depth(self.prior, muscle, person, own))
    }

    fn mixes(&self, person: &Effects) -> Vec<Mix> {
        self.pairs().map(|(f, own)| self.mix(*f, person, own)).collect()
    }

    fn sore_likelihood(&self, muscle: Muscle, person: &Effects, own: &Effects) -> f64 {
        if !self.sore || !self.soreness.knows(muscle) {
            return 0.0;
        }
        let beyond = effect(self.prior.soreness_spread, person[2], own[2]);
        let gain = effect(self.prior.gain_spread, person[3], own[3]);
        let tau = log_tau(self.prior, muscle, person, own) + beyond;
        self.soreness.log_likelihood(muscle, tau, libm::log(self.prior.soreness_gain) + gain)
    }

    /// The present parameters; those of muscles that the log does not tell of are drawn about the person's.
    fn draw(&self, chance: &mut Chance) -> Draw {
        let mut draw = Draw { log_tau: [0.0; Muscle::COUNT], depth: [0.0; Muscle::COUNT] };
        for muscle in Muscle::ALL {
            let place = self.followed.iter().position(|f| f.muscle == muscle);
            let own = place
                .and_then(|p| self.own.get(p).copied())
                .unwrap_or_else(|| [chance.normal(), chance.normal(), 0.0, 0.0]);
            fill(&mut draw, self.prior, muscle, &self.person, &own);
        }
        draw
    }
}

/// One elliptical slice: a point of the same standard normal law, as likely by the data as chance asks.
fn slice(
    chance: &mut Chance,
    now: Effects,
    value_now: f64,
    all: bool,
    value: impl Fn(&Effects) -> f64,
) -> Effects {
    let other: Effects = std::array::from_fn(|e| if all || e < 2 { chance.normal() } else { 0.0 });
    let least = value_now + libm::log(chance.unit());
    let turn = 2.0 * std::f64::consts::PI;
    let mut angle = turn * chance.unit();
    let (mut low, mut high) = (angle - turn, angle);
    for _ in 0..SHRINKS_MAX {
        let (sin, cos) = libm::sincos(angle);
        let to: Effects = std::array::from_fn(|e| now[e] * cos + other[e] * sin);
        if value(&to) > least {
            return to;
        }
        if angle < 0.0 {
            low = angle;
        } else {
            high = angle;
        }
        angle = low + (high - low) * chance.unit();
    }
    now
}
