//! The roadmap: which steps a client's sets and sessions grow by, how fast strength grows, and the next load that can
//! be made.
//!
//! Steps are what is asked, not what will happen: a step is taken when the client is ready for it, and how likely that
//! is by some week is for `estimate` to draw. Nothing here plans a session and nothing here is random.

use crate::curve::{self, Curve};
use crate::progress::{self, NOVICE};
use crate::rules::Rules;
use setwright_gym::loads::Loadable;
use setwright_model::brief::{Brief, Ceiling, TrainingAge};
use setwright_model::exercise::LoadKind;
use setwright_model::{Exercise, Kilograms, Reps, Share};

/// Repetitions under the goal that still count as at the goal (judgement: half of one).
pub const AT_GOAL: f64 = -0.5;
/// Weeks of one number of sets before a trained client is asked for more (judgement).
pub const BLOCK_WEEKS: f64 = 4.0;
/// Share of its sets that a lighter week keeps (judgement).
pub const LIGHTER: f64 = 0.5;
/// Week of training from which a beginner's rules give way to an intermediate's (about six months: Ratamess 2009,
/// MSSE 41:687 (A)).
pub const INTERMEDIATE_FROM_WEEK: f64 = 26.0;
/// Weeks in which nearly all of a client's training lies behind, for who says no more than "a beginner" (the novice
/// table's second step), "intermediate" (a year) or "advanced" (four years) (judgement).
const USUAL_WEEKS: [f64; 4] = [0.0, 4.0, 52.0, 208.0];

/// Growth of strength over a training life, as the logarithm of its multiple: `GAIN ln(1 + weeks / GAIN_WEEKS)`. The
/// two are chosen so that half a year brings two fifths and the next year and a half a fifth, as the position stand
/// has them for the untrained and the moderately trained (Ratamess 2009, MSSE 41:687 (M): 40, 20, 16, 10 and 2 % for
/// untrained, moderately trained, trained, advanced and elite over 4 weeks to 2 years).
pub const GAIN: f64 = 0.148;
/// Weeks after which the growth of strength has slowed to a half (chosen with [`GAIN`] by the same rows (M)).
pub const GAIN_WEEKS: f64 = 3.0;

/// Where a client stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoadmapStanding {
    /// How the brief calls the client.
    pub age: TrainingAge,
    /// Weeks of steady training behind.
    pub weeks: f64,
    /// Sets of a movement that were tolerated lately, where known.
    pub tolerated: Option<u32>,
}

impl RoadmapStanding {
    /// What the training age says when nothing more is known.
    pub const fn usual(age: TrainingAge) -> Self {
        let [first, beginner, intermediate, advanced] = USUAL_WEEKS;
        let weeks = match age {
            TrainingAge::FirstWeeks => first,
            TrainingAge::Beginner => beginner,
            TrainingAge::Intermediate => intermediate,
            TrainingAge::Advanced => advanced,
        };
        Self { age, weeks, tolerated: None }
    }
}

/// One step of a roadmap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Weeks of steady training from now before it may be taken.
    pub from_week: f64,
    /// Whose rules its sessions keep.
    pub age: TrainingAge,
    /// Least and most sets of a movement.
    pub sets_of_a_movement: (u32, u32),
    /// Sets of a session that are meant; none where the minutes and the exercises decide.
    pub sets_of_a_session: Option<(u32, u32)>,
    /// Sessions a cycle.
    pub sessions: u32,
    /// Sessions a cycle that common practice would have, were there days for them.
    pub wanted: u32,
}

impl Step {
    /// What a session may hold; `exercises` are those of the client's usual session, for who is no novice.
    pub fn ceiling(&self, exercises: u32) -> Ceiling {
        let (least, most) = self.sets_of_a_movement;
        let by_table = self.sets_of_a_session.map(|(_, all)| all / most.max(1));
        Ceiling { sets: (least, most), exercises: by_table.unwrap_or(exercises).max(1) }
    }
}

/// Sessions a cycle that the brief has days for: the fixed days, the possible ones, or every day.
pub fn days_held(brief: &Brief) -> u32 {
    let time = &brief.time;
    let listed = if time.days.is_empty() { time.possible_days.len() } else { time.days.len() };
    if listed == 0 { time.cycle_days } else { listed as u32 }
}

/// The steps of a client from now on, the first from week 0.
pub fn steps(brief: &Brief, standing: RoadmapStanding) -> Vec<Step> {
    match standing.age {
        TrainingAge::FirstWeeks | TrainingAge::Beginner => novice(brief, standing.weeks.max(0.0)),
        TrainingAge::Intermediate | TrainingAge::Advanced => trained(brief, standing),
    }
}

/// The novice table from where the client stands. Days beyond the brief's are not taken; such a step then keeps the
/// sets and the rules of the one before.
fn novice(brief: &Brief, weeks: f64) -> Vec<Step> {
    let now = NOVICE.iter().rposition(|s| weeks >= s.from_week).unwrap_or(0);
    let held = days_held(brief);
    let mut steps: Vec<Step> = Vec::new();
    for (i, stage) in NOVICE.iter().enumerate().skip(now) {
        let wanted = in_a_cycle(stage.sessions_a_week, brief.time.cycle_days);
        let sessions = wanted.max(brief.time.sessions).min(held);
        let from_week = (stage.from_week - weeks).max(0.0);
        steps.push(match steps.last() {
            Some(before) if wanted > sessions => Step { from_week, wanted, ..*before },
            _ => Step {
                from_week,
                age: novice_age(i, stage.from_week),
                sets_of_a_movement: stage.sets_of_a_movement,
                sets_of_a_session: Some(stage.sets_of_a_session),
                sessions,
                wanted,
            },
        });
    }
    steps
}

fn novice_age(stage: usize, from_week: f64) -> TrainingAge {
    match stage {
        0 => TrainingAge::FirstWeeks,
        _ if from_week < INTERMEDIATE_FROM_WEEK => TrainingAge::Beginner,
        _ => TrainingAge::Intermediate,
    }
}

/// Sessions a cycle for sessions a week: the nearest number, the lower of two.
fn in_a_cycle(a_week: u32, cycle_days: u32) -> u32 {
    ((2 * a_week * cycle_days + 6) / 14).max(1)
}

/// The same exercises with one set more in each block of weeks, up to what the training age may be asked.
fn trained(brief: &Brief, standing: RoadmapStanding) -> Vec<Step> {
    let (least, most) = Rules::of(&Brief { training_age: standing.age, ..brief.clone() }).sets;
    let from = standing.tolerated.unwrap_or(least).clamp(least, most);
    (from..=most)
        .map(|sets| Step {
            from_week: BLOCK_WEEKS * f64::from(sets - from),
            age: standing.age,
            sets_of_a_movement: (least, sets),
            sets_of_a_session: None,
            sessions: brief.time.sessions,
            wanted: brief.time.sessions,
        })
        .collect()
}

/// Logarithm of the multiple of strength that steady training brings between two points of a training life, in weeks.
pub fn gain(from: f64, to: f64) -> f64 {
    GAIN * (libm::log1p(to.max(0.0) / GAIN_WEEKS) - libm::log1p(from.max(0.0) / GAIN_WEEKS))
}

/// What a lift is loaded with, as far as its next load needs it.
#[derive(Clone, Debug, PartialEq)]
pub struct LiftLoading {
    /// Its load-rep curve.
    pub curve: Curve,
    /// Share of the body that moves with the load.
    pub body: Kilograms,
    /// Whether the load helps.
    pub assisted: bool,
    /// What can be made; none when the loads are only known as shares of the first.
    pub loadable: Option<Loadable>,
}

impl LiftLoading {
    /// The loading of an exercise; none when the body moves and its mass is not known.
    pub fn of(exercise: &Exercise, body_mass: Option<Kilograms>, loadable: Option<Loadable>) -> Option<Self> {
        let body = match exercise.body_share.get() {
            share if share <= 0.0 => Kilograms::ZERO,
            share => body_mass? * share,
        };
        let assisted = exercise.load == LoadKind::Assisted;
        Some(Self { curve: Curve::of(exercise.curve), body, assisted, loadable })
    }

    /// All that moves at a load.
    pub fn moved(&self, load: Kilograms) -> Kilograms {
        if self.assisted { self.body - load } else { self.body + load }
    }

    /// The load that can be made with which no more than this moves.
    pub fn for_moved(&self, moved: Kilograms) -> Option<Kilograms> {
        let load = if self.assisted { self.body - moved } else { moved - self.body };
        match &self.loadable {
            None => (load.get() > 0.0).then_some(load),
            Some(loadable) if self.assisted => loadable.round_up(load.max(Kilograms::ZERO)),
            Some(loadable) => loadable.round_down(load),
        }
    }

    /// The load for some reps with some in reserve.
    pub fn for_reps(&self, one_rm: Kilograms, reps: Reps, rir: Reps) -> Option<Kilograms> {
        self.for_moved(curve::load_for(one_rm, reps, rir, self.curve))
    }

    /// Reps that a load allows with some in reserve; not a whole number.
    pub fn reps(&self, one_rm: Kilograms, load: Kilograms, rir: Reps) -> Reps {
        let share = self.moved(load).get() / one_rm.get();
        Reps(self.curve.reps(Share(share)).get() - rir.get())
    }

    /// The 1RM behind reps done at a load with some in reserve.
    pub fn one_rm(&self, load: Kilograms, reps: Reps, rir: Reps) -> Kilograms {
        curve::one_rm(self.moved(load), reps.max(Reps(0.0)), rir, self.curve)
    }

    /// The next load after sessions that went `over` the middle of `reps` (oldest first), or the same. A rise goes to
    /// the heaviest that can be made within it. Where the next step is larger than the rise, it is taken only if the
    /// last sessions show that at least the lowest reps can be done with it.
    pub fn next(&self, load: Kilograms, over: &[Reps], reps: [u32; 2], rir: u32) -> Kilograms {
        let change = progress::load_change(over).get();
        let wanted = self.moved(load) * (1.0 + change);
        if change < 0.0 {
            return self.for_moved(wanted).unwrap_or(load);
        }
        let within = self.for_moved(wanted).filter(|l| self.moved(*l) >= self.moved(load)).unwrap_or(load);
        if change <= 0.0 || self.moved(within) > self.moved(load) {
            return within;
        }
        self.step_up(load).filter(|up| self.allows(*up, load, over, reps, rir)).unwrap_or(load)
    }

    fn step_up(&self, load: Kilograms) -> Option<Kilograms> {
        let loadable = self.loadable.as_ref()?;
        if self.assisted { loadable.below(load) } else { loadable.above(load) }
    }

    fn allows(&self, up: Kilograms, load: Kilograms, over: &[Reps], reps: [u32; 2], rir: u32) -> bool {
        let recent = over.iter().rev().take(progress::SESSIONS_RUNNING).map(|r| r.get());
        let mid = f64::midpoint(f64::from(reps[0]), f64::from(reps[1]));
        let rir = Reps(f64::from(rir));
        let shown = self.one_rm(load, Reps(mid + recent.fold(f64::MAX, f64::min)), rir);
        self.reps(shown, up, rir).get() >= f64::from(reps[0])
    }
}

#[cfg(test)]
mod tests;
