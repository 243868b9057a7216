//! The smallest repair of a programme: a few small edits after which less is wrong. Breadth first by the number
//! of edits, then step by step. It only proposes; the coach decides.

mod apply;
mod choose;
mod edit;

use crate::audit::{JudgedProgramme, judge};
use apply::MendContext;
use setwright_model::{Belief, Brief, Catalogue, Finding, Programme, Sentence, Severity};
use std::collections::BTreeSet;

/// Most edits that are searched breadth first (judgement).
const DEPTH: usize = 4;
/// States that are kept for the next edit (judgement).
const BEAM: usize = 24;
/// Programmes that are judged breadth first, and again step by step (judgement).
const NODES: usize = 2500;
/// Most steps of a repair; beyond that the programme is better written anew (judgement).
const STEPS_MAX: usize = 30;
/// A step nearer that counts (numeric).
const NEARER: f64 = 1e-6;

/// A repair.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// The programme after the repair, and what is still wrong with it.
    pub programme: JudgedProgramme,
    /// What was done, one plain sentence each.
    pub steps: Vec<Sentence>,
}

impl Mend {
    /// What is still wrong.
    pub fn findings_after(&self) -> &[Finding] {
        &self.programme.report().findings
    }
}

/// Proposes the smallest repair that was found; none when nothing is wrong or nothing helps.
pub fn mend(
    programme: &Programme,
    brief: Option<&Brief>,
    catalogue: &Catalogue,
    belief: &Belief,
) -> Option<Mend> {
    let bench = MendContext::new(brief, catalogue, belief);
    let mut start = programme.clone();
    start.sessions.sort_by_key(|s| s.day);
    let start = State::new(&bench, start, Vec::new(), 0);
    if start.score.is_clean() {
        return None;
    }
    let mut search = Search { bench, wants_errors_only: start.score.errors > 0, nodes: 0 };
    let best = search.wide(&start).unwrap_or_else(|best| search.onwards(best));
    (best.score.below(start.score)).then(|| Mend {
        programme: JudgedProgramme::of(best.programme, brief, catalogue, belief),
        steps: best.steps,
    })
}

/// How much is wrong.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Score {
    errors: usize,
    warnings: usize,
    excess: f64,
}

impl Score {
    fn is_clean(self) -> bool {
        self.errors + self.warnings == 0
    }

    fn key(self) -> (usize, usize) {
        (self.errors, self.warnings)
    }

    /// Whether less is wrong, or the same things by less.
    fn below(self, other: Self) -> bool {
        self.key() < other.key() || (self.key() == other.key() && self.excess < other.excess - NEARER)
    }

    /// One number: a warning weighs as much as some excess, an error as much as many warnings.
    fn weight(self) -> f64 {
        1000.0 * self.errors as f64 + 20.0 * self.warnings as f64 + self.excess.min(900.0)
    }
}

/// A programme on the way.
#[derive(Clone)]
struct State {
    programme: Programme,
    steps: Vec<Sentence>,
    cost: u32,
    score: Score,
}

impl State {
    fn new(bench: &MendContext<'_>, programme: Programme, steps: Vec<Sentence>, cost: u32) -> Self {
        let scene = bench.scene(&programme);
        let findings = judge(&scene);
        let count = |severity| findings.iter().filter(|r| r.severity == severity).count();
        let measured = findings.iter().filter(|r| r.severity > Severity::Note).map(|r| r.excess);
        let score = Score {
            errors: count(Severity::Error),
            warnings: count(Severity::Warning),
            excess: measured.filter(|e| e.is_finite()).sum(),
        };
        Self { programme, steps, cost, score }
    }

    /// What a repair is chosen by once it does what it should: gentle edits, few warnings.
    fn price(&self) -> (u32, usize) {
        (self.cost + 2 * self.score.warnings as u32, self.score.warnings)
    }
}

struct Search<'a> {
    bench: MendContext<'a>,
    wants_errors_only: bool,
    nodes: usize,
}

impl Search<'_> {
    fn is_done(&self, score: Score) -> bool {
        if self.wants_errors_only { score.errors == 0 } else { score.is_clean() }
    }

    /// Every better state that one edit leads to.
    fn next(&mut self, from: &State) -> Vec<State> {
        let scene = self.bench.scene(&from.programme);
        let edits = choose::edits(&scene, &judge(&scene));
        let mut better = Vec::new();
        for edit in edits {
            if self.nodes >= NODES {
                break;
            }
            let Some((programme, sentence)) = self.bench.apply(&from.programme, &edit) else { continue };
            self.nodes += 1;
            let steps = from.steps.iter().cloned().chain([sentence]).collect();
            let state = State::new(&self.bench, programme, steps, from.cost + edit.cost());
            if state.score.below(from.score) {
                better.push(state);
            }
        }
        better
    }

    /// Breadth first. The state that does it with the fewest edits, or else the best that was seen.
    fn wide(&mut self, start: &State) -> Result<State, State> {
        let mut best = start.clone();
        let mut level = vec![start.clone()];
        for _ in 0..DEPTH {
            let mut seen = BTreeSet::new();
            let mut next: Vec<State> = level.iter().flat_map(|s| self.next(s)).collect();
            next.sort_by(|a, b| a.score.weight().total_cmp(&b.score.weight()).then(a.cost.cmp(&b.cost)));
            next.retain(|s| seen.insert(format!("{:?}", s.programme)));
            if let Some(done) = next.iter().filter(|s| self.is_done(s.score)).min_by_key(|s| s.price()) {
                return Ok(done.clone());
            }
            next.truncate(BEAM);
            match next.first() {
                Some(first) if first.score.below(best.score) => best = first.clone(),
                Some(_) => {}
                None => break,
            }
            level = next;
        }
        Err(best)
    }

    /// Step by step from the best state, each time the edit that helps most for what it costs.
    fn onwards(&mut self, mut state: State) -> State {
        self.nodes = 0;
        while !self.is_done(state.score) && state.steps.len() < STEPS_MAX {
            let gain = |s: &State| {
                (state.score.weight() - s.score.weight()) / f64::from((s.cost - state.cost).max(1))
            };
            let next = self.next(&state);
            let Some(best) = next.into_iter().max_by(|a, b| gain(a).total_cmp(&gain(b))) else { break };
            state = best;
        }
        state
    }
}

#[cfg(test)]
mod tests;
