//! The session clock: a discrete-event pass over a session, in seconds.
//!
//! It knows nothing of limits or of what would be better; it only says when each thing happens. The time of a
//! block is the sum of what its exercises bring, so the planner can reckon with the same numbers.

use setwright_model::{
    Block, BlockKind, Catalogue, Exercise, ExerciseId, Minutes, Prescription, Seconds, Session,
};

/// Rest after a ramp step in a straight block: one to two minutes (common practice, no source (T)).
pub const RAMP_REST_STRAIGHT_S: f64 = 60.0;
/// Rest after a ramp step in a block of two: the other exercise fills part of the pause (judgement).
pub const RAMP_REST_SHARED_S: f64 = 30.0;
/// Going to another block waits for the block's own rest, but no longer than this (judgement).
pub const CHANGE_OF_BLOCK_MAX_S: f64 = 90.0;
/// Brisk movement for a cold client or room (common practice, no source (T)).
pub const COLD_START_S: f64 = 300.0;

/// What is going on at a moment of a session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Activity {
    /// Five brisk minutes before anything else.
    ColdStart,
    /// Going to the station and making it ready.
    SetUp,
    /// A warm-up step, counted from 0.
    Ramp(u32),
    /// A work set, counted from 0.
    Work(u32),
    /// Walking between the two stations of a block.
    Walk,
    /// Rest.
    Rest,
}

/// A stretch of time.
#[derive(Clone, Debug, PartialEq)]
pub struct ClockSpan {
    /// When it begins, from the start of the session.
    pub start: Seconds,
    /// How long it lasts.
    pub length: Seconds,
    /// Which block, from 0.
    pub block: usize,
    /// Which exercise of the block, from 0.
    pub lane: usize,
    /// What it is.
    pub activity: Activity,
}

/// A session laid out in time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Timeline {
    /// Everything that happens, in order.
    pub events: Vec<ClockSpan>,
    /// From the first moment to the end of the last set.
    pub total: Seconds,
    /// The rest that would follow the last set; not part of `total`.
    pub trailing_rest: Seconds,
}

impl Timeline {
    /// Length of the session.
    pub fn minutes(&self) -> Minutes {
        self.total.to_minutes()
    }

    /// Seconds spent in events that satisfy `which`.
    pub fn spent(&self, which: impl Fn(Activity) -> bool) -> Seconds {
        self.events.iter().filter(|e| which(e.activity)).map(|e| e.length).sum()
    }

    fn push(&mut self, block: usize, lane: usize, activity: Activity, length_s: f64) {
        if length_s > 0.0 {
            self.events.push(ClockSpan {
                start: self.total,
                length: Seconds(length_s),
                block,
                lane,
                activity,
            });
            self.total += Seconds(length_s);
        }
    }
}

/// An exercise that the catalogue does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownExercise(pub ExerciseId);

struct Lane<'a> {
    prescription: &'a Prescription,
    exercise: &'a Exercise,
}

impl Lane<'_> {
    fn work_s(&self) -> f64 {
        self.exercise.work(self.prescription.mid_reps()).get()
    }
}

/// Lays a session out in time. `cold` adds the brisk minutes.
///
/// # Errors
/// The first exercise that is not in the catalogue.
pub fn session(session: &Session, catalogue: &Catalogue, cold: bool) -> Result<Timeline, UnknownExercise> {
    let mut timeline = Timeline::default();
    if cold {
        timeline.push(0, 0, Activity::ColdStart, COLD_START_S);
    }
    for (index, block) in session.blocks.iter().enumerate() {
        let lanes = lanes(block, catalogue)?;
        lay_block(&mut timeline, index, block, &lanes);
    }
    Ok(timeline)
}

fn lanes<'a>(block: &'a Block, catalogue: &'a Catalogue) -> Result<Vec<Lane<'a>>, UnknownExercise> {
    block
        .exercises
        .iter()
        .map(|p| {
            let exercise = catalogue.get(&p.id).ok_or_else(|| UnknownExercise(p.id.clone()))?;
            Ok(Lane { prescription: p, exercise })
        })
        .collect()
}

fn lay_block(timeline: &mut Timeline, index: usize, block: &Block, lanes: &[Lane<'_>]) {
    lay_entry(timeline, index, block, lanes);
    lay_ramp(timeline, index, block, lanes);
    lay_rounds(timeline, index, block, lanes);
    timeline.trailing_rest = block.rest_s;
}

fn lay_entry(timeline: &mut Timeline, index: usize, block: &Block, lanes: &[Lane<'_>]) {
    let begin = timeline.total;
    for (lane, l) in lanes.iter().enumerate() {
        timeline.push(index, lane, Activity::SetUp, l.exercise.setup_s.get());
    }
    if index > 0 {
        let waited_s = (timeline.total - begin).get();
        let wanted_s = block.rest_s.get().min(CHANGE_OF_BLOCK_MAX_S);
        timeline.push(index, 0, Activity::Rest, wanted_s - waited_s);
    }
}

/// Rest after a ramp step in a block of this kind.
pub const fn ramp_rest_s(kind: BlockKind) -> f64 {
    match kind {
        BlockKind::Straight => RAMP_REST_STRAIGHT_S,
        BlockKind::Alternating | BlockKind::SameMuscle => RAMP_REST_SHARED_S,
    }
}

fn lay_ramp(timeline: &mut Timeline, index: usize, block: &Block, lanes: &[Lane<'_>]) {
    let most = lanes.iter().map(|l| l.prescription.ramp.len()).max().unwrap_or(0);
    for step in 0..most {
        for (lane, l) in lanes.iter().enumerate() {
            if let Some(ramp) = l.prescription.ramp.get(step) {
                let work_s = l.exercise.work(f64::from(ramp.reps)).get();
                timeline.push(index, lane, Activity::Ramp(step as u32), work_s);
                timeline.push(index, lane, Activity::Rest, ramp_rest_s(block.kind));
            }
        }
    }
}

fn lay_rounds(timeline: &mut Timeline, index: usize, block: &Block, lanes: &[Lane<'_>]) {
    let rounds = block.rounds();
    for round in 0..rounds {
        let active: Vec<usize> = (0..lanes.len()).filter(|&i| lanes[i].prescription.sets > round).collect();
        for (turn, &lane) in active.iter().enumerate() {
            if turn > 0 {
                timeline.push(index, lane, Activity::Walk, walk_s(lanes));
            }
            timeline.push(index, lane, Activity::Work(round), lanes[lane].work_s());
        }
        if round + 1 < rounds {
            timeline.push(index, 0, Activity::Rest, block.rest_s.get());
        }
    }
}

/// Walking from one station of a block to the other: the mean of the two change-over times. The way back is
/// part of the rest.
fn walk_s(lanes: &[Lane<'_>]) -> f64 {
    lanes.iter().map(|l| l.exercise.changeover_s.get()).sum::<f64>() / lanes.len().max(1) as f64
}
