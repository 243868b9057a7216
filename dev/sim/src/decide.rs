//! Once, twice or three times a week: what the model, the population and two rules of thumb choose, against the
//! best for the client as it truly is.

use crate::calibrate::{MUSCLES, each};
use crate::client::WEEK_H;
use crate::habits::Kind;
use crate::training::{self, Client};
use setwright_chance::Chance;
use setwright_estimate::frequency::{self, FREQUENCIES, Frequency};
use setwright_estimate::{History, Prior, fit};
use setwright_gym::catalogue;
use setwright_model::{FractionalSets, Hours, Muscle, Reps, Share};
use setwright_science::curve::{self, Curve};
use std::collections::BTreeMap;

/// Weekly sets and reserves that a coach may have planned, each as likely.
const WEEKLY: [f64; 4] = [8.0, 12.0, 16.0, 20.0];
const RESERVES: [f64; 3] = [0.0, 1.0, 2.0];
/// Who chooses: the model, the population, always twice, the rule on drops.
const CHOOSERS: usize = 4;
/// From this stated probability advice counts as sure.
const SURE: f64 = 0.8;

/// One muscle of one client at one time.
#[derive(Clone, Debug)]
pub struct Case {
    /// Weeks of log.
    pub weeks: u32,
    /// True worth of each frequency.
    pub worths: Vec<f64>,
    /// Which frequency each chooses, as a place.
    pub choices: [usize; CHOOSERS],
    /// Probability that the model states for its choice.
    pub stated: f64,
}

/// What many cases come to.
#[derive(Clone, Debug)]
pub struct Summary {
    /// Share of choices that were the best, by chooser.
    pub right: [f64; CHOOSERS],
    /// Mean worth lost, by chooser.
    pub regret: [f64; CHOOSERS],
    /// Share of sure advice, and how much of it was right.
    pub sure: (f64, f64),
    /// By class of stated probability: its mean, how much it was above what happened, and cases.
    pub off: Vec<(f64, f64, usize)>,
}

/// Cases of clients `0..count` of a kind.
pub fn cases(kind: Kind, weeks: &[u32], count: u64, seed: u64) -> Vec<Case> {
    let of = |nth| {
        let (prior, catalogue) = (Prior::population(), catalogue::builtin());
        let client = training::client(kind, &prior, catalogue, seed, nth);
        let mut found = Vec::new();
        for w in weeks {
            let history = client.history.until(Hours(f64::from(*w) * WEEK_H));
            let posterior = fit(&history, catalogue, &prior, nth);
            let mut chance = Chance::new(seed + 1, nth);
            for muscle in MUSCLES {
                let weekly = FractionalSets(WEEKLY[chance.below(WEEKLY.len())]);
                let reserve = Reps(RESERVES[chance.below(RESERVES.len())]);
                let (model, stated) = chosen(&posterior.frequencies(muscle, weekly, reserve));
                let (default, _) = chosen(&posterior.frequencies_before(muscle, weekly, reserve));
                let choices = [model, default, 1, by_drops(&history, muscle)];
                found.push(Case {
                    weeks: *w,
                    worths: worths(&client, muscle, weekly, reserve),
                    choices,
                    stated,
                });
            }
        }
        found
    };
    each(count, of).concat()
}

fn chosen(frequencies: &[Frequency]) -> (usize, f64) {
    let best = frequencies.iter().enumerate().max_by(|a, b| a.1.worth.get().total_cmp(&b.1.worth.get()));
    best.map_or((0, 0.0), |(place, f)| (place, f.best.get()))
}

fn worths(client: &Client, muscle: Muscle, weekly: FractionalSets, reserve: Reps) -> Vec<f64> {
    let worth = |per_week: u32| {
        let dose = weekly.get() / f64::from(per_week);
        let gap_h = WEEK_H / f64::from(per_week);
        let missing: f64 =
            (1..40).map(|n| client.truth.missing(muscle, dose, reserve.get(), f64::from(n) * gap_h)).sum();
        frequency::worth(per_week, Share(missing)).get()
    };
    FREQUENCIES.map(worth).into()
}

/// The rule of thumb: performance fell from one session to the next, so rest longer. Three times a week if it fell in
/// fewer than a third of the sessions of exercises for the muscle, once if in more than half.
fn by_drops(history: &History, muscle: Muscle) -> usize {
    let mut last: BTreeMap<&str, f64> = BTreeMap::new();
    let (mut fell, mut all) = (0, 0);
    for session in &history.sessions {
        let mut best: BTreeMap<&str, f64> = BTreeMap::new();
        for set in &session.sets {
            let Some(exercise) = catalogue::builtin().get(&set.exercise) else { continue };
            let (Some(load), Some(rir)) = (set.load, set.rir) else { continue };
            if exercise.contribution(muscle) >= 1.0 {
                let told = curve::one_rm(load, set.reps, rir, Curve::of(exercise.curve)).get();
                let entry = best.entry(set.exercise.as_str()).or_insert(told);
                *entry = entry.max(told);
            }
        }
        for (id, told) in best {
            if let Some(before) = last.insert(id, told) {
                all += 1;
                fell += u32::from(told < 0.98 * before);
            }
        }
    }
    let share = f64::from(fell) / f64::from(all.max(1));
    usize::from(share <= 0.5) + usize::from(share < 1.0 / 3.0)
}

/// Summary of cases.
pub fn summary(cases: &[&Case]) -> Summary {
    let n = cases.len().max(1) as f64;
    let best = |c: &Case| c.worths.iter().copied().fold(f64::MIN, f64::max);
    let lost = |c: &Case, chooser: usize| {
        best(c) - c.choices.get(chooser).and_then(|p| c.worths.get(*p)).copied().unwrap_or(0.0)
    };
    let right = |c: &Case, chooser: usize| lost(c, chooser) <= 1e-12;
    let share = |chooser| cases.iter().filter(|c| right(c, chooser)).count() as f64 / n;
    let sure: Vec<&&Case> = cases.iter().filter(|c| c.stated >= SURE).collect();
    let classes = [0.0, 0.5, 0.6, 0.7, 0.8, 0.9, 1.01];
    let off = classes.windows(2).filter_map(|edge| {
        let class: Vec<&&Case> = cases.iter().filter(|c| edge[0] <= c.stated && c.stated < edge[1]).collect();
        let count = class.len();
        let said = class.iter().map(|c| c.stated).sum::<f64>() / count.max(1) as f64;
        let happened = class.iter().filter(|c| right(c, 0)).count() as f64 / count.max(1) as f64;
        (count > 0).then_some((said, said - happened, count))
    });
    Summary {
        right: std::array::from_fn(share),
        regret: std::array::from_fn(|k| cases.iter().map(|c| lost(c, k)).sum::<f64>() / n),
        sure: (
            sure.len() as f64 / n,
            sure.iter().filter(|c| right(c, 0)).count() as f64 / sure.len().max(1) as f64,
        ),
        off: off.collect(),
    }
}
