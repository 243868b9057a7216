//! What a log tells about a client: how strong, and how fast each muscle recovers, with intervals that hold what
//! they promise.
//!
//! A [`History`] goes in, a [`Posterior`] comes out: `fit(&history, &catalogue, &prior, seed)`. Strength of each
//! exercise, growth, the habit of misjudging reserve and the day are a linear state that one Kalman pass follows.
//! Its gains do not depend on how the client recovers, so columns of fatigue for a grid of time constants pass
//! through it with the observations, and the likelihood of any recovery is a small quadratic form. Recovery is then
//! drawn by slice sampling under a prior that persons and muscles share.
//!
//! Invariant: pure functions of their arguments, chance included: the same history, prior and seed give the same
//! belief on any machine. Nothing is made up for what was not logged, and what is not yet known is said
//! ([`NotYet`]). Nothing here decides what a client should do.
//!
//! In the order in which a log goes through it: `history` is what goes in; `slips` flags sets that cannot be meant; `intake` makes one
//! observation of an exercise and a session; `prior` and `roster` say what is thought before anything is known; `filter` follows
//! strength, `fatigue` and `soreness` what a session leaves; `landscape` and `sample` draw recovery; `fit` puts these together and
//! `posterior` answers. `learner` steps a belief without reading the whole log again. `advice`, `frequency`, `design` and `roadmap` ask
//! the posterior what a change would bring.

pub mod advice;
pub mod design;
pub mod evidence;
mod fatigue;
mod filter;
mod fit;
pub mod frequency;
mod history;
mod intake;
mod interval;
mod landscape;
mod learner;
mod posterior;
mod prior;
mod reading;
pub mod roadmap;
mod roster;
mod sample;
mod seen;
mod slips;
mod soreness;

pub use fit::fit;
pub use frequency::Frequency;
pub use history::{History, LoggedSession, LoggedSet, Mark, MarkKind, PlannedExercise, SorenessReport};
pub use interval::Interval;
pub use posterior::{
    Forecast, LEARNED_MIN, NotYet, Posterior, Recovery, Residual, STALL_GROWTH, STALL_WEEKS, Stall, Strength,
};
pub use prior::{Prior, Spread, StrengthPrior};
pub use roster::{CLIENTS_MIN, RosterPrior, prior_of_roster};
pub use sample::Draw;
pub use slips::{Slip, SlipKind};
