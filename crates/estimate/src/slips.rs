//! Sets that cannot be meant as they were logged: pounds for kilograms, a digit too many.
//!
//! A doubted set is flagged and abstains; its load is never repaired in silence. Sets are held against the median
//! of the same exercise in sessions nearby, so a client who got stronger for good is not doubted.

use crate::history::{History, LoggedSession};
use crate::intake::Intake;
use setwright_model::units::KG_PER_LB;
use setwright_model::{Catalogue, ExerciseId, Hours, Kilograms, Reps};
use std::collections::{BTreeMap, BTreeSet};

/// Factor from the usual beyond which a set is doubted, as a logarithm: half as much again (judgement).
const DOUBTED: f64 = 0.45;
/// How near a factor must be to that of pounds, as a logarithm (judgement).
const POUNDS_WITHIN: f64 = 0.25;
/// Sessions on each side that are looked at, and the fewest in all from which a set can be doubted (judgement).
const NEARBY: usize = 6;
const NEARBY_MIN: usize = 3;
/// Reserve taken where none was reported, for this comparison alone (judgement).
const RIR_ASSUMED: f64 = 2.0;

/// A set that is doubted.
#[derive(Clone, Debug, PartialEq)]
pub struct Slip {
    /// Session it was logged in.
    pub at: Hours,
    /// Its place among the sets of that session, from 0.
    pub nth: usize,
    /// Exercise.
    pub exercise: ExerciseId,
    /// Load as logged.
    pub load: Kilograms,
    /// What it looks like.
    pub kind: SlipKind,
}

/// What a doubted set looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlipKind {
    /// The number of pounds, logged as kilograms.
    PoundsAsKilograms,
    /// The number of kilograms, taken for pounds.
    KilogramsAsPounds,
    /// Some other number that is far from what was usual.
    Typing,
}

/// All doubted sets of a history.
#[derive(Clone, Debug, Default)]
pub struct Slips {
    pub list: Vec<Slip>,
    places: BTreeSet<(u64, usize)>,
}

impl Slips {
    /// Whether the set at this place of the session at this hour is doubted.
    pub fn is_doubted(&self, at_h: f64, nth: usize) -> bool {
        self.places.contains(&(at_h.to_bits(), nth))
    }

    fn add(&mut self, slip: Slip) {
        self.places.insert((slip.at.get().to_bits(), slip.nth));
        self.list.push(slip);
    }
}

/// What a set told when it was looked at for slips.
#[derive(Clone)]
struct Seen {
    session: usize,
    at: Hours,
    nth: usize,
    load: Kilograms,
    y: f64,
}

/// Doubted sets of a history in order of time.
pub fn find(history: &History, intake: &mut Intake, catalogue: &Catalogue) -> Slips {
    let mut seen: BTreeMap<ExerciseId, Vec<Seen>> = BTreeMap::new();
    for (session, logged) in history.sessions.iter().enumerate() {
        for (id, one) in look(session, logged, intake, catalogue) {
            seen.entry(id).or_default().push(one);
        }
    }
    let mut slips = Slips::default();
    for (id, all) in &seen {
        judge(id, all, &mut slips);
    }
    slips
}

fn look(
    session: usize,
    logged: &LoggedSession,
    intake: &mut Intake,
    catalogue: &Catalogue,
) -> Vec<(ExerciseId, Seen)> {
    let mut found = Vec::new();
    for (nth, set) in logged.sets.iter().enumerate() {
        let Some(load) = set.load.filter(|kg| kg.get() > 0.0 && kg.get().is_finite()) else { continue };
        let Some(place) = intake.place(&set.exercise, catalogue) else { continue };
        let Some(lift) = intake.lifts.get(place) else { continue };
        let rir = set.rir.unwrap_or(Reps(RIR_ASSUMED));
        let y = lift.log_max(load, set.reps.max(Reps(1.0)), rir);
        found.push((set.exercise.clone(), Seen { session, at: logged.at, nth, load, y }));
    }
    found
}

fn judge(id: &ExerciseId, all: &[Seen], slips: &mut Slips) {
    let usual = by_session(all);
    for one in all {
        let Some(median) = nearby(&usual, one.session) else { continue };
        if let Some(kind) = kind_of(one.y - median) {
            slips.add(Slip { at: one.at, nth: one.nth, exercise: id.clone(), load: one.load, kind });
        }
    }
}

/// Median of each session.
fn by_session(all: &[Seen]) -> Vec<(usize, f64)> {
    let mut groups: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    for one in all {
        groups.entry(one.session).or_default().push(one.y);
    }
    groups.into_iter().filter_map(|(session, ys)| Some((session, median(ys)?))).collect()
}

/// Median of the sessions around one, itself left out.
fn nearby(usual: &[(usize, f64)], session: usize) -> Option<f64> {
    let earlier = usual.iter().rev().filter(|(s, _)| *s < session).take(NEARBY);
    let later = usual.iter().filter(|(s, _)| *s > session).take(NEARBY);
    let ys: Vec<f64> = earlier.chain(later).map(|(_, y)| *y).collect();
    if ys.len() < NEARBY_MIN { None } else { median(ys) }
}

fn median(mut ys: Vec<f64>) -> Option<f64> {
    ys.sort_by(f64::total_cmp);
    let low = ys.get(ys.len().checked_sub(1)? / 2)?;
    Some(f64::midpoint(*low, *ys.get(ys.len() / 2)?))
}

fn kind_of(deviation: f64) -> Option<SlipKind> {
    let pounds = -libm::log(KG_PER_LB);
    if deviation.abs() <= DOUBTED {
        None
    } else if (deviation - pounds).abs() <= POUNDS_WITHIN {
        Some(SlipKind::PoundsAsKilograms)
    } else if (deviation + pounds).abs() <= POUNDS_WITHIN {
        Some(SlipKind::KilogramsAsPounds)
    } else {
        Some(SlipKind::Typing)
    }
}

/// Doubted sets of one more session, against the client's usual by lift.
pub fn against(session: &LoggedSession, intake: &Intake, usual: impl Fn(usize) -> Option<f64>) -> Slips {
    let mut slips = Slips::default();
    for (nth, set) in session.sets.iter().enumerate() {
        let Some(load) = set.load.filter(|kg| kg.get() > 0.0 && kg.get().is_finite()) else { continue };
        let Some(place) = intake.known(&set.exercise) else { continue };
        let (Some(lift), Some(usual)) = (intake.lifts.get(place), usual(place)) else { continue };
        let y = lift.log_max(load, set.reps.max(Reps(1.0)), set.rir.unwrap_or(Reps(RIR_ASSUMED)));
        if let Some(kind) = kind_of(y - usual) {
            slips.add(Slip { at: session.at, nth, exercise: set.exercise.clone(), load, kind });
        }
    }
    slips
}
