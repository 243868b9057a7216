//! The roadmap of a client: each step planned and certified after the one before, and what is to be expected week by
//! week. What it says in words is in `words`; nothing here draws.

mod followed;
mod words;

use super::plan::{self, Objective, Planned, Stop};
use crate::clock::Stopwatch;
use setwright_estimate::roadmap::{self, Course, Week};
use setwright_model::brief::{MinutesPerSession, TrainingAge};
use setwright_model::limits::SESSION_MINUTES_MAX;
use setwright_model::refusal::Refusal;
use setwright_model::{
    Band, Belief, Brief, Catalogue, Minutes, Programme, Roadmap, RoadmapLiftWeek, RoadmapStep, RoadmapWeek,
    Seconds, Share,
};
use setwright_science::conditions;
use setwright_science::roadmap::{RoadmapStanding, Step, steps};
use setwright_science::rules::Rules;
use setwright_science::screening::MayTrain;

pub use setwright_science::roadmap::RoadmapStanding as Where;

/// Moves of the search for each programme (judgement: a roadmap is a sketch of several programmes, so each is searched
/// for less long than one that is handed out).
pub const MOVES: u64 = 400_000;
/// Longer sessions that are tried where the brief's do not hold the sets that are meant, as multiples.
const LONGER: [f64; 6] = [1.15, 1.3, 1.5, 1.75, 2.0, 3.0];

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct RoadmapRequest {
    /// Weeks ahead.
    pub weeks: u32,
    /// Where the client stands.
    pub standing: RoadmapStanding,
    /// Where chance starts.
    pub seed: u64,
    /// Moves of the search for each programme.
    pub moves: u64,
    /// Outer limit of time.
    pub limit: Seconds,
}

/// A step with its programme.
struct Stage {
    step: Step,
    brief: Brief,
    planned: Planned,
    needed: Option<Minutes>,
    out_of_reach: bool,
}

impl Stage {
    fn programme(&self) -> Option<&Programme> {
        self.planned.programme.as_ref().map(setwright_check::Certified::get)
    }

    fn sets(&self) -> Vec<u32> {
        sets(&self.planned)
    }

    fn minutes(&self) -> Vec<Minutes> {
        self.planned.answer.sessions.iter().map(|s| s.minutes).collect()
    }
}

fn sets(planned: &Planned) -> Vec<u32> {
    let of = |s: &setwright_model::answer::SessionAnswer| {
        s.blocks.iter().flat_map(|b| &b.exercises).map(|e| e.sets).sum()
    };
    planned.answer.sessions.iter().map(of).collect()
}

/// The roadmap of a brief, begun with what is believed of the client, and whether the outer limit of time ended a search.
///
/// # Errors
/// A programme that the check does not certify: a mistake of the program.
pub fn roadmap(
    brief: &Brief,
    belief: &Belief,
    catalogue: &Catalogue,
    ask: RoadmapRequest,
    watch: &Stopwatch,
    told: &mut dyn FnMut(usize),
) -> Result<(Roadmap, bool), Refusal> {
    let mut planner = Planner { brief, belief, catalogue, ask, watch, nodes: 0, stopped: false };
    if let Err(withheld) = MayTrain::of(brief) {
        let none = planner.answer(&[], &[], Vec::new());
        return Ok((Roadmap { conflict: plan::clinician_first(&withheld), ..none }, false));
    }
    let ahead: Vec<Step> =
        steps(brief, ask.standing).into_iter().filter(|s| s.from_week < f64::from(ask.weeks)).collect();
    let (stages, conflict) = planner.stages(&ahead, told)?;
    let answer = planner.answer(&stages, &ahead, conflict);
    Ok((answer, planner.stopped))
}

/// Plans the steps.
struct Planner<'a> {
    brief: &'a Brief,
    belief: &'a Belief,
    catalogue: &'a Catalogue,
    ask: RoadmapRequest,
    watch: &'a Stopwatch,
    nodes: u64,
    stopped: bool,
}

impl Planner<'_> {
    /// Each step after the one before; those that only want days the brief does not hold are not planned.
    fn stages(
        &mut self,
        ahead: &[Step],
        told: &mut dyn FnMut(usize),
    ) -> Result<(Vec<Stage>, Vec<String>), Refusal> {
        let mut stages: Vec<Stage> = Vec::new();
        let exercises = self.usual_exercises()?;
        for (index, step) in ahead.iter().enumerate() {
            if index > 0 && is_held_back(step) {
                continue;
            }
            let before = stages.last().and_then(Stage::programme).cloned();
            let stage = self.stage(*step, exercises, before)?;
            told(stages.len() + 1);
            if stage.programme().is_none() {
                return Ok((stages, words::conflict(&stage.step, &stage.planned)));
            }
            stages.push(stage);
        }
        Ok((stages, Vec::new()))
    }

    /// Most exercises of a session in the programme that the brief as it stands would get; for who has no table.
    fn usual_exercises(&mut self) -> Result<u32, Refusal> {
        let rules = Rules::of(self.brief);
        if matches!(self.brief.training_age, TrainingAge::FirstWeeks | TrainingAge::Beginner) {
            return Ok(rules.exercises);
        }
        let brief = self.brief.clone();
        let planned = self.plan(&brief, self.ask.moves)?;
        let counts = planned.answer.sessions.iter();
        let most = counts.map(|s| s.blocks.iter().map(|b| b.exercises.len()).sum::<usize>()).max();
        Ok(most.map_or(rules.exercises, |most| most as u32))
    }

    fn stage(&mut self, step: Step, exercises: u32, before: Option<Programme>) -> Result<Stage, Refusal> {
        let mut brief = self.adapted(&step, before);
        brief.style.step = Some(step.ceiling(exercises));
        let planned = self.plan(&brief, self.ask.moves)?;
        let least = step.sets_of_a_session.map(|(least, _)| least);
        let short = |planned: &Planned| least.is_some_and(|least| sets(planned).iter().any(|s| *s < least));
        let (mut needed, mut out_of_reach) = (None, false);
        if planned.programme.is_some() && short(&planned) {
            for times in LONGER {
                let longer = with_longer_sessions(&brief, times);
                let tried = self.plan(&longer, self.ask.moves / 2)?;
                if tried.programme.is_some() && !short(&tried) {
                    needed = Some(minutes_to_ask_for(&brief, &longer, &tried));
                    break;
                }
            }
            out_of_reach = needed.is_none();
        }
        Ok(Stage { step, brief, planned, needed, out_of_reach })
    }

    /// The brief of a step.
    fn adapted(&self, step: &Step, before: Option<Programme>) -> Brief {
        let mut brief = self.brief.clone();
        let focus_fits = step.age == brief.training_age && step.sessions == brief.time.sessions;
        if !focus_fits {
            brief.style.focus.clear();
        }
        brief.training_age = step.age;
        brief.time.sessions = step.sessions;
        brief.style.before = before;
        if step.from_week > 0.0 {
            trains_by_now(&mut brief);
        }
        brief
    }

    fn plan(&mut self, brief: &Brief, moves: u64) -> Result<Planned, Refusal> {
        let search = plan::Search {
            mode: Objective::Benefit,
            seed: self.ask.seed,
            moves: moves.max(1),
            limit: self.ask.limit,
        };
        let planned =
            plan::plan(brief, Some(self.belief.clone()), self.catalogue, search, self.watch, &mut |_| {})?;
        self.nodes += planned.answer.nodes;
        self.stopped |= planned.stop == Stop::Time;
        Ok(planned)
    }

    fn answer(&self, stages: &[Stage], ahead: &[Step], conflict: Vec<String>) -> Roadmap {
        let followed = followed::choose(self.brief, self.catalogue, self.belief, stages, self.ask.weeks);
        let course = Course {
            steps: stages.iter().map(|s| followed::course_step(s, &followed)).collect(),
            lifts: followed.iter().map(|f| f.course.clone()).collect(),
            trained_weeks: self.ask.standing.weeks,
            by_tolerance: matches!(self.ask.standing.age, TrainingAge::Intermediate | TrainingAge::Advanced),
            weeks: if stages.is_empty() { 0 } else { self.ask.weeks },
        };
        let simulated = roadmap::simulate(&course, self.ask.seed);
        let lifts: Vec<_> = followed.iter().map(|f| f.shown.clone()).collect();
        let units: Vec<f64> = (0..lifts.len())
            .map(|l| if lifts[l].in_kilograms { 1.0 } else { first_load(&simulated, l) })
            .collect();
        let cautions = stages.first().map(|s| s.planned.answer.cautions.clone()).unwrap_or_default();
        let mut answer = Roadmap {
            cycle_days: self.brief.time.cycle_days,
            steps: stages.iter().filter_map(shown).collect(),
            lifts,
            weeks: simulated.iter().zip(1..).map(|(week, n)| week_shown(week, n, &units)).collect(),
            simulated: roadmap::CLIENTS,
            seed: self.ask.seed,
            nodes: self.nodes,
            seconds: self.watch.elapsed(),
            reasons: Vec::new(),
            conflict,
            cautions,
        };
        answer.reasons = words::reasons(self.brief, self.ask, &answer, ahead);
        answer
    }
}

/// By a later step the present week is past, and who does nothing today has trained for weeks; who comes back with a
/// medical answer is still spared.
fn trains_by_now(brief: &mut Brief) {
    brief.present.sets = None;
    brief.present.muscles.clear();
    if !conditions::is_returning(brief) {
        brief.screening.active = Some(true);
    }
}

/// Whether a step only asks for days that the brief does not hold.
fn is_held_back(step: &Step) -> bool {
    step.wanted > step.sessions
}

/// The longest session that was found, or the minutes it was found in where it would have fitted the brief's: the rules
/// leave less to shorter sessions.
fn minutes_to_ask_for(brief: &Brief, longer: &Brief, found: &Planned) -> Minutes {
    let longest =
        |minutes: &mut dyn Iterator<Item = Minutes>| minutes.map(|m| m.get().ceil()).fold(0.0, f64::max);
    let given =
        |brief: &Brief| longest(&mut (0..brief.time.sessions as usize).map(|s| brief.time.minutes.of(s)));
    let used = longest(&mut found.answer.sessions.iter().map(|s| s.minutes));
    Minutes(if used > given(brief) { used } else { given(longer) })
}

fn with_longer_sessions(brief: &Brief, times: f64) -> Brief {
    let mut out = brief.clone();
    let longer = |i: u32| (brief.time.minutes.of(i as usize) * times).min(Minutes(SESSION_MINUTES_MAX));
    out.time.minutes = MinutesPerSession::Each((0..brief.time.sessions).map(longer).collect());
    out
}

fn shown(stage: &Stage) -> Option<RoadmapStep> {
    let step = &stage.step;
    let (least, most) = step.sets_of_a_movement;
    Some(RoadmapStep {
        week: step.from_week.ceil() as u32 + 1,
        training_age: step.age,
        sets_of_a_movement: [least, most],
        sets_of_a_session: step.sets_of_a_session.map(|(least, most)| [least, most]),
        sessions: stage.brief.time.sessions,
        sessions_wanted: step.wanted,
        sets: stage.sets(),
        minutes: stage.minutes(),
        minutes_needed: stage.needed,
        sets_out_of_reach: stage.out_of_reach,
        status: stage.planned.answer.status,
        value: stage.planned.answer.value,
        programme: stage.programme()?.clone(),
    })
}

/// The load that a lift of unknown strength begins with, in the simulation's unit.
fn first_load(weeks: &[Week], lift: usize) -> f64 {
    let loads = weeks.iter().filter_map(|w| w.lifts.get(lift)?.0);
    loads.map(|band| band.median).find(|load| *load > 0.0).unwrap_or(1.0)
}

fn week_shown(week: &Week, number: u32, units: &[f64]) -> RoadmapWeek {
    let lifts = week.lifts.iter().zip(units);
    RoadmapWeek {
        week: number,
        step: week.step,
        sets: week.sets,
        sessions: week.sessions,
        lighter: Share(week.lighter),
        lifts: lifts
            .map(|((load, one_rm), unit)| RoadmapLiftWeek {
                load: load.map(|band| over(band, *unit)),
                one_rm: *one_rm,
            })
            .collect(),
    }
}

fn over(band: Band, unit: f64) -> Band {
    Band { low: band.low / unit, median: band.median / unit, high: band.high / unit }
}
