//! Whether intervals of recovery hold what they promise, and how much a log teaches.

use crate::habits::{Kind, Soreness};
use crate::stats;
use crate::training::{self, Client};
use setwright_estimate::{NotYet, Posterior, Prior, fit};
use setwright_gym::catalogue;
use setwright_model::{Catalogue, FractionalSets, Hours, Muscle, Reps};
use std::thread;

/// Weeks after which a client is asked about.
pub const WEEKS: [u32; 4] = [8, 16, 26, 52];
/// Muscles asked about: those that the plan trains directly.
pub const MUSCLES: [Muscle; 8] = [
    Muscle::Chest,
    Muscle::Quads,
    Muscle::Hamstrings,
    Muscle::Lats,
    Muscle::Biceps,
    Muscle::Triceps,
    Muscle::SideDelts,
    Muscle::Calves,
];
/// The dose asked about, reserve as reported, and the gap.
pub const DOSE: FractionalSets = FractionalSets(6.0);
/// Reserve as reported.
pub const RESERVE: Reps = Reps(2.0);
/// The gap of the residual.
pub const GAP: Hours = Hours(48.0);

/// One muscle of one client at one time.
#[derive(Clone, Debug)]
pub struct Case {
    /// Weeks of log.
    pub weeks: u32,
    /// Muscle.
    pub muscle: Muscle,
    /// Hours to be ready: truth, median after the log, median before it.
    pub ready_h: (f64, f64, f64),
    /// Whether the intervals hold the truth: hours to be ready, residual, time constant.
    pub ready_held: bool,
    /// Residual at the gap.
    pub residual_held: bool,
    /// Time constant.
    pub tau_held: bool,
    /// Share of the prior's variance that is gone.
    pub learned: f64,
    /// Share of draws of the time constant under the truth.
    pub rank: f64,
    /// What the answer warned of.
    pub warned: Vec<NotYet>,
    /// Logarithm of the time constant: truth and median.
    pub log_tau: (f64, f64),
}

/// All cases of one client.
pub type Cases = Vec<Case>;

/// Cases of clients `0..count` of a kind, in order.
pub fn cases(kind: Kind, weeks: &[u32], count: u64, seed: u64) -> Vec<Cases> {
    each(count, |nth| of_client(kind, weeks, seed, nth))
}

/// Runs something for each client on all cores; the answers come in order.
pub fn each<T: Send>(count: u64, run: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let workers = thread::available_parallelism().map_or(1, usize::from) as u64;
    let run = &run;
    let mut found: Vec<(u64, T)> = thread::scope(|scope| {
        let one = |first: u64| {
            scope.spawn(move || {
                (first..count).step_by(workers as usize).map(|n| (n, run(n))).collect::<Vec<_>>()
            })
        };
        let all: Vec<_> = (0..workers).map(one).collect();
        all.into_iter().filter_map(|t| t.join().ok()).flatten().collect()
    });
    found.sort_by_key(|(n, _)| *n);
    found.into_iter().map(|(_, t)| t).collect()
}

fn of_client(kind: Kind, weeks: &[u32], seed: u64, nth: u64) -> Cases {
    let (prior, catalogue) = (Prior::population(), catalogue::builtin());
    let kind = Kind { weeks: weeks.iter().copied().max().unwrap_or(kind.weeks), ..kind };
    let client = training::client(kind, &prior, catalogue, seed, nth);
    weeks.iter().flat_map(|w| at_week(&client, *w, &prior, catalogue, nth)).collect()
}

fn at_week(client: &Client, weeks: u32, prior: &Prior, catalogue: &Catalogue, seed: u64) -> Cases {
    let history = client.history.until(Hours(f64::from(weeks) * crate::client::WEEK_H));
    let posterior = fit(&history, catalogue, prior, seed);
    MUSCLES.map(|muscle| case(client, &posterior, weeks, muscle)).into()
}

fn case(client: &Client, posterior: &Posterior, weeks: u32, muscle: Muscle) -> Case {
    let truth = &client.truth;
    let m = muscle.index();
    let recovery = posterior.recovery(muscle, DOSE, RESERVE);
    let residual = posterior.residual(muscle, DOSE, RESERVE, GAP);
    let ready = truth.ready_h(muscle, DOSE.get(), RESERVE.get());
    let missing = truth.missing(muscle, DOSE.get(), RESERVE.get(), GAP.get());
    let log_tau = libm::log(truth.tau_h[m]);
    let below = posterior.draws().filter(|d| d.log_tau[m] < log_tau).count();
    Case {
        weeks,
        muscle,
        ready_h: (ready, recovery.ready.median.get(), posterior.ready_before(muscle, DOSE, RESERVE).get()),
        ready_held: recovery.ready.holds(&Hours(ready)),
        residual_held: residual.missing.holds(&setwright_model::Share(missing)),
        tau_held: recovery.tau.holds(&Hours(truth.tau_h[m])),
        learned: recovery.learned.get(),
        rank: below as f64 / posterior.draws().len().max(1) as f64,
        warned: recovery.not_yet,
        log_tau: (log_tau, libm::log(recovery.tau.median.get())),
    }
}

/// What many cases of one length of log come to.
#[derive(Clone, Debug)]
pub struct Summary {
    /// Weeks of log.
    pub weeks: u32,
    /// Coverage of hours to be ready and its standard error.
    pub ready: (f64, f64),
    /// Coverage of the residual and its standard error.
    pub residual: (f64, f64),
    /// Coverage of the time constant.
    pub tau: f64,
    /// Root mean square error of days to be ready, after the log and before it.
    pub days: (f64, f64),
    /// Mean share of the prior's variance that is gone.
    pub learned: f64,
    /// Share of answers called the client's own, and their coverage of hours to be ready.
    pub own: (f64, f64),
    /// Smallest probability, over muscles, that the ranks are uniform.
    pub uniform: f64,
}

/// Summary of the cases of some length.
pub fn summary(clients: &[Cases], weeks: u32) -> Summary {
    let at = |c: &Cases| c.iter().filter(|case| case.weeks == weeks).cloned().collect::<Cases>();
    let clients: Vec<Cases> = clients.iter().map(at).collect();
    let all: Vec<&Case> = clients.iter().flatten().collect();
    let cover = |of: &dyn Fn(&Case) -> bool| {
        let clusters: Vec<Vec<bool>> = clients.iter().map(|c| c.iter().map(of).collect()).collect();
        (stats::share(&clusters.concat()), stats::clustered_error(&clusters))
    };
    let days = |of: &dyn Fn(&Case) -> f64| {
        stats::rms(&all.iter().map(|c| (of(c) - c.ready_h.0) / 24.0).collect::<Vec<_>>())
    };
    let own: Vec<bool> = all.iter().filter(|c| c.warned.is_empty()).map(|c| c.ready_held).collect();
    let uniform = MUSCLES.map(|muscle| {
        let ranks: Vec<f64> = all.iter().filter(|c| c.muscle == muscle).map(|c| c.rank).collect();
        stats::uniformity(&ranks, 10).1
    });
    Summary {
        weeks,
        ready: cover(&|c| c.ready_held),
        residual: cover(&|c| c.residual_held),
        tau: cover(&|c| c.tau_held).0,
        days: (days(&|c| c.ready_h.1), days(&|c| c.ready_h.2)),
        learned: all.iter().map(|c| c.learned).sum::<f64>() / all.len().max(1) as f64,
        own: (own.len() as f64 / all.len().max(1) as f64, stats::share(&own)),
        uniform: uniform.into_iter().fold(1.0, f64::min),
    }
}

/// A kind with one more word for tables.
pub fn name(kind: Kind) -> String {
    let days = if kind.varied { "varied" } else { "fixed" };
    let sore = match kind.soreness {
        Soreness::None => String::new(),
        other => format!(", soreness {other:?}").to_lowercase(),
    };
    let misfit = match kind.misfit {
        crate::Misfit::None => String::new(),
        other => format!(", {other:?}"),
    };
    format!("{days} {}{sore}{misfit}", kind.sessions)
}
