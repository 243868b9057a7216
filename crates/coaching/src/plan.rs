//! From a brief to an answer: the planner proposes, the check certifies, and only what is certified leaves.

use super::belief;
use crate::clock::Stopwatch;
use setwright_check::{Certified, JudgedProgramme, Report, certify};
use setwright_model::answer::{BlockAnswer, ExerciseAnswer, SessionAnswer, gap};
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_model::{
    Answer, Belief, Block, Brief, Catalogue, MassUnit, Seconds, Sentence, Session, Severity, Status,
};
use setwright_optimise::{Budget, Solved, solve};
use setwright_science::screening::{self, MayTrain, Withheld};

pub use setwright_optimise::{Objective, Progress};

/// Moves of a usual search.
pub const MOVES: u64 = setwright_optimise::budget::USUAL_MOVES;
/// Outer limit of time of a usual search, in seconds (judgement: no coach waits longer without being asked).
pub const SECONDS: f64 = 120.0;

/// How to search.
#[derive(Clone, Copy, Debug)]
pub struct Search {
    /// What to reach for.
    pub mode: Objective,
    /// Where chance starts.
    pub seed: u64,
    /// Moves of the search.
    pub moves: u64,
    /// Outer limit of time.
    pub limit: Seconds,
}

/// What ended the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// There was nothing more to find or to prove.
    Settled,
    /// The moves were spent.
    Moves,
    /// The outer limit of time.
    Time,
    /// Whoever waited for it.
    Asked,
}

/// A plan, or why there is none.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The answer as programs read it.
    pub answer: Answer,
    /// The programme, certified, with what the check says of it.
    pub programme: Option<Certified>,
    /// What was reached for.
    pub mode: Objective,
    /// What ended the search.
    pub stop: Stop,
}

/// Plans a brief, with what is believed of the client; what the brief alone tells when nothing more is known.
///
/// # Errors
/// A programme that the check does not certify: a mistake of the program.
pub fn plan(
    brief: &Brief,
    belief: Option<Belief>,
    catalogue: &Catalogue,
    search: Search,
    watch: &Stopwatch,
    progress: &mut dyn FnMut(Progress),
) -> Result<Planned, Refusal> {
    plan_until(brief, belief, catalogue, (search, watch), &|| false, progress)
}

/// The same, until somebody asks to stop: what was found by then is taken.
///
/// # Errors
/// A programme that the check does not certify: a mistake of the program.
pub fn plan_until(
    brief: &Brief,
    belief: Option<Belief>,
    catalogue: &Catalogue,
    (search, watch): (Search, &Stopwatch),
    asked: &(dyn Fn() -> bool + Sync),
    progress: &mut dyn FnMut(Progress),
) -> Result<Planned, Refusal> {
    if let Err(withheld) = MayTrain::of(brief) {
        return Ok(not_before_a_clinician(brief, &withheld, search));
    }
    let belief = belief.unwrap_or_else(|| belief::of(brief, catalogue));
    let out_of_time = || asked() || watch.is_past(search.limit);
    let budget = Budget { moves: search.moves, seed: search.seed, out_of_time: Some(&out_of_time) };
    let outcome = solve(brief, catalogue, &belief, search.mode, &budget, progress);
    let stop = if asked() { Stop::Asked } else { stop(outcome.status, out_of_time()) };
    let Some(programme) = outcome.programme.clone() else {
        let answer = answer(brief, &outcome, None, search, watch.elapsed());
        return Ok(Planned { answer, programme: None, mode: search.mode, stop });
    };
    let certified =
        certify(programme, brief, catalogue, &belief).map_err(|report| not_certified(brief, &report))?;
    let answer = answer(brief, &outcome, Some(certified.judged()), search, watch.elapsed());
    Ok(Planned { answer, programme: Some(certified), mode: search.mode, stop })
}

const fn stop(status: Status, out_of_time: bool) -> Stop {
    match status {
        Status::Optimal | Status::WithinTolerance | Status::Infeasible => Stop::Settled,
        Status::Feasible | Status::Unknown if out_of_time => Stop::Time,
        Status::Feasible | Status::Unknown => Stop::Moves,
    }
}

fn not_before_a_clinician(brief: &Brief, withheld: &Withheld, search: Search) -> Planned {
    let outcome = Solved {
        status: Status::Infeasible,
        programme: None,
        value: None,
        bound: None,
        nodes: 0,
        reasons: Vec::new(),
        conflict: clinician_first(withheld),
    };
    let answer = answer(brief, &outcome, None, search, Seconds::ZERO);
    Planned { answer, programme: None, mode: search.mode, stop: Stop::Settled }
}

/// Why nothing is planned for who should see a clinician first.
pub fn clinician_first(withheld: &Withheld) -> Vec<String> {
    vec![
        format!("{} {}", withheld.outcome.meaning(), withheld.outcome.action()),
        "When a clinician has agreed, write cleared = true under [screening] and plan again.".to_owned(),
    ]
}

/// Findings of the check that are named when it disagrees with the planner.
const FINDINGS_NAMED: usize = 6;

/// The planner and the check disagree: a mistake of the program.
pub fn not_certified(brief: &Brief, report: &Report) -> Refusal {
    let errors: Vec<String> = report
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Error)
        .take(FINDINGS_NAMED)
        .map(|f| format!("{} ({}): {}", f.code, f.subject, f.cause.shown_in(MassUnit::Kg)))
        .collect();
    Refusal::new(
        Code::NotCertified,
        format!("The programme for {} failed the check. {}", brief.name, errors.join(" ")),
        "Nothing is wrong with the brief: report it together with this message. Another --seed may do meanwhile.",
    )
}

fn answer(
    brief: &Brief,
    outcome: &Solved,
    certified: Option<&JudgedProgramme>,
    search: Search,
    seconds: Seconds,
) -> Answer {
    Answer {
        status: outcome.status,
        value: outcome.value,
        bound: outcome.bound,
        gap: gap(outcome.value, outcome.bound),
        seed: search.seed,
        nodes: outcome.nodes,
        seconds,
        cycle_days: brief.time.cycle_days,
        sessions: certified.map(sessions).unwrap_or_default(),
        muscles: certified.map(|c| c.report().muscles.clone()).unwrap_or_default(),
        reasons: outcome.reasons.iter().cloned().map(Sentence::from).collect(),
        conflict: outcome.conflict.clone(),
        cautions: cautions(brief),
        findings: certified.map(|c| c.report().findings.clone()).unwrap_or_default(),
    }
}

fn sessions(judged: &JudgedProgramme) -> Vec<SessionAnswer> {
    judged.sessions().map(|(s, r)| session(s, r.minutes)).collect()
}

fn session(session: &Session, minutes: setwright_model::Minutes) -> SessionAnswer {
    SessionAnswer {
        day: session.day,
        focus: session.focus.clone(),
        minutes,
        blocks: session.blocks.iter().map(block).collect(),
    }
}

fn block(block: &Block) -> BlockAnswer {
    let exercises = block.exercises.iter().map(|p| ExerciseAnswer {
        id: p.id.clone(),
        sets: p.sets,
        reps: p.reps,
        rir: p.rir,
        load_kg: p.load_kg,
        ramp: p.ramp.clone(),
    });
    BlockAnswer { kind: block.kind, rest_s: block.rest_s, exercises: exercises.collect() }
}

/// What the coach must see before a programme for this brief is used.
pub fn cautions(brief: &Brief) -> Vec<String> {
    let outcome = screening::outcome(&brief.screening);
    let mut cautions = vec![format!("{} {}", outcome.meaning(), outcome.action())];
    cautions.extend(screening::notes(brief).into_iter().map(str::to_owned));
    cautions.push(screening::CAUTION.to_owned());
    cautions
}
