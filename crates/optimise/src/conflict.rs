//! Why no programme keeps every rule: the smallest set of the brief's wishes that clash, each member tested by
//! dropping it, and the cheapest ways out, each tested by solving.

use crate::dual::{self, Prices};
use crate::frame::frames;
use crate::problem::{Problem, compile};
use crate::solve::{Budget, search};
use setwright_model::brief::{Brief, MinutesPerSession};
use setwright_model::{Belief, Catalogue, FractionalSets, Minutes, Muscle};

/// Moves of one try at a loosened brief.
const TRY_MOVES: u64 = 60_000;
/// Rounds of one try at proving that nothing fits.
const PROOF_ROUNDS: u32 = 240;
/// Where the bound is driven to when nothing but the rules is at stake, in millionths of a point; any bound below
/// zero is a proof.
const PROOF_TARGET: i64 = -1_000_000;
/// Ways out that are told.
const WAYS_OUT: usize = 3;

/// The clash in words.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Clash {
    /// Whether it is proven that nothing keeps every rule.
    pub proven: bool,
    /// Sentences.
    pub lines: Vec<String>,
}

/// A wish of the brief that can be dropped.
#[derive(Clone, Debug, PartialEq)]
enum Wish {
    Lock(usize),
    Least(Muscle),
    Sessions(Muscle),
    MajorSessions,
    Minutes,
    FixedDays,
}

/// Finds the clash of a brief for which no programme was found.
pub fn explain(brief: &Brief, catalogue: &Catalogue, belief: &Belief, budget: &Budget<'_>) -> Clash {
    let world = World { catalogue, belief, budget };
    let mut kept = wishes(brief);
    let all = kept.clone();
    let mut index = 0;
    while index < kept.len() {
        let without: Vec<Wish> =
            kept.iter().enumerate().filter(|(i, _)| *i != index).map(|(_, w)| w.clone()).collect();
        if world.has_plan(&only(brief, &all, &without)) {
            index += 1;
        } else {
            kept = without;
        }
    }
    let known = if world.is_impossible(&only(brief, &all, &kept)) {
        Known::Clash
    } else if world.is_impossible(brief) {
        Known::Brief
    } else {
        Known::Nothing
    };
    let proven = known != Known::Nothing;
    let mut lines = vec![head(&kept, known)];
    lines.extend(kept.iter().map(|w| format!("- {}", describe(brief, catalogue, w))));
    lines.extend(world.ways_out(brief));
    Clash { proven, lines }
}

/// What the bound could prove.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Known {
    /// That the smallest set of wishes cannot be kept together.
    Clash,
    /// That the whole brief cannot be met.
    Brief,
    /// Nothing; the search found no programme.
    Nothing,
}

fn head(kept: &[Wish], known: Known) -> String {
    let sure = match known {
        Known::Clash => "It is proven that",
        Known::Brief => "It is proven that the brief cannot be met; the search says that",
        Known::Nothing => "No programme was found, and none is disproven; the search says that",
    };
    if kept.is_empty() {
        return format!("{sure} the time and the equipment hold no programme under the rules at all.");
    }
    format!("{sure} these cannot be kept together; without any one of them a programme exists:")
}

fn wishes(brief: &Brief) -> Vec<Wish> {
    let mut out: Vec<Wish> = Vec::new();
    out.push(Wish::MajorSessions);
    for (muscle, wish) in &brief.muscles {
        if wish.sessions.is_some() {
            out.push(Wish::Sessions(*muscle));
        }
        if wish.least.is_some() {
            out.push(Wish::Least(*muscle));
        }
    }
    if !brief.time.days.is_empty() {
        out.push(Wish::FixedDays);
    }
    out.push(Wish::Minutes);
    out.extend((0..brief.locks.len()).map(Wish::Lock));
    out
}

/// The brief with only the wishes in `keep`.
fn only(brief: &Brief, all: &[Wish], keep: &[Wish]) -> Brief {
    let mut out = brief.clone();
    let dropped = |w: &Wish| !keep.contains(w);
    for wish in all.iter().filter(|w| dropped(w)) {
        match wish {
            Wish::Least(m) => {
                if let Some(w) = out.muscles.get_mut(m) {
                    w.least = None;
                }
            }
            Wish::Sessions(m) => {
                if let Some(w) = out.muscles.get_mut(m) {
                    w.sessions = Some(0);
                }
            }
            Wish::MajorSessions => {
                for muscle in Muscle::MAJOR {
                    out.muscles.entry(muscle).or_default().sessions.get_or_insert(0);
                }
            }
            Wish::Minutes => out.time.minutes = MinutesPerSession::Same(Minutes(180.0)),
            Wish::FixedDays => {
                out.time.days = Vec::new();
                out.time.possible_days = Vec::new();
            }
            Wish::Lock(_) => {}
        }
    }
    out.locks = brief
        .locks
        .iter()
        .enumerate()
        .filter(|(i, _)| !dropped(&Wish::Lock(*i)))
        .map(|(_, l)| l.clone())
        .collect();
    out
}

fn describe(brief: &Brief, catalogue: &Catalogue, wish: &Wish) -> String {
    let least = |m: &Muscle| brief.muscles.get(m).and_then(|w| w.least).unwrap_or(FractionalSets::ZERO).get();
    match wish {
        Wish::Lock(i) => {
            let lock = &brief.locks[*i];
            let name = catalogue.get(&lock.exercise).map_or(lock.exercise.as_str(), |e| e.name.as_str());
            let sets = lock.sets.map_or(String::new(), |n| format!(", {n} sets"));
            let session = lock.session.map_or(String::new(), |s| format!(", in session {s}"));
            format!("the lock on {name}{sets}{session}")
        }
        Wish::Least(m) => format!("at least {} sets a week for {m}", least(m)),
        Wish::Sessions(m) => {
            let n = brief.muscles.get(m).and_then(|w| w.sessions).unwrap_or(0);
            format!("{n} sessions a cycle for {m}")
        }
        Wish::MajorSessions => "every major muscle in as many sessions as the rule asks".to_owned(),
        Wish::Minutes => "the minutes of the sessions".to_owned(),
        Wish::FixedDays => {
            let days: Vec<String> = brief.time.days.iter().map(u32::to_string).collect();
            format!("sessions on day {} only", days.join(", "))
        }
    }
}

struct World<'a> {
    catalogue: &'a Catalogue,
    belief: &'a Belief,
    budget: &'a Budget<'a>,
}

impl World<'_> {
    fn has_plan(&self, brief: &Brief) -> bool {
        let problem = compile(brief, self.catalogue, self.belief, false);
        if !problem.broken_locks.is_empty() {
            return false;
        }
        let budget = Budget { moves: TRY_MOVES, ..*self.budget };
        let mut all = frames(&problem);
        all.truncate(6);
        search(&problem, &all, &budget, &mut |_| {}).best.is_some_and(|b| b.found.short == 0)
    }

    fn is_impossible(&self, brief: &Brief) -> bool {
        is_disproven(&compile(brief, self.catalogue, self.belief, false))
    }

    fn ways_out(&self, brief: &Brief) -> Vec<String> {
        let singly = self.ways_among(loosened(brief, self.catalogue));
        if singly.is_empty() { self.ways_among(loosened_twice(brief, self.catalogue)) } else { singly }
    }

    /// The first loosened briefs that have a programme.
    fn ways_among(&self, loosened: Vec<(String, Brief)>) -> Vec<String> {
        loosened
            .into_iter()
            .filter(|(_, brief)| self.has_plan(brief))
            .map(|(words, _)| format!("Way out: {words}."))
            .take(WAYS_OUT)
            .collect()
    }
}

/// Whether the bound proves that no plan keeps every rule: with no value at stake, a bound below zero in every
/// frame is a proof.
pub fn is_disproven(problem: &Problem) -> bool {
    if !problem.broken_locks.is_empty() {
        return true;
    }
    let mut rules_only = problem.clone();
    rules_only.tables.free_of_value();
    for m in 0..Muscle::COUNT {
        let implied = problem.sessions_least[m] as i32 * problem.trained_quarters;
        rules_only.tables.least[m] = problem.tables.least[m].max(implied);
    }
    let nothing = Prices::zero(&rules_only);
    frames(&rules_only).iter().all(|frame| {
        dual::bound(&rules_only, frame, &nothing, PROOF_TARGET, PROOF_ROUNDS, &|| false)
            .is_none_or(|(b, _)| b < 0)
    })
}

/// Briefs loosened in two ways: something, and more minutes with it.
fn loosened_twice(brief: &Brief, catalogue: &Catalogue) -> Vec<(String, Brief)> {
    let mut out = Vec::new();
    for more in [10.0, 20.0, 40.0] {
        let (longer, extended) = with_more_minutes(brief, more);
        let others = loosened(&extended, catalogue).into_iter().filter(|(w, _)| !w.contains("more minutes"));
        out.extend(others.map(|(words, b)| (format!("{longer}, and {words}"), b)));
    }
    out
}

fn with_more_minutes(brief: &Brief, more_min: f64) -> (String, Brief) {
    let longer = |m: &Minutes| Minutes(m.get() + more_min);
    let mut out = brief.clone();
    out.time.minutes = match &brief.time.minutes {
        MinutesPerSession::Same(m) => MinutesPerSession::Same(longer(m)),
        MinutesPerSession::Each(list) => MinutesPerSession::Each(list.iter().map(longer).collect()),
    };
    (format!("{more_min} more minutes a session"), out)
}

/// Loosened briefs, cheapest first.
fn loosened(brief: &Brief, catalogue: &Catalogue) -> Vec<(String, Brief)> {
    let mut out: Vec<(String, Brief)> =
        [5.0, 10.0, 20.0, 40.0].map(|more| with_more_minutes(brief, more)).to_vec();
    for i in 0..brief.locks.len() {
        let mut b = brief.clone();
        b.locks.remove(i);
        out.push((format!("drop {}", describe(brief, catalogue, &Wish::Lock(i))), b));
    }
    for (muscle, wish) in brief.muscles.iter().filter(|(_, w)| w.least.is_some()) {
        let mut b = brief.clone();
        let least = wish.least.unwrap_or(FractionalSets::ZERO).get();
        if let Some(w) = b.muscles.get_mut(muscle) {
            w.least = Some(FractionalSets((least * 0.6).floor()));
        }
        out.push((format!("ask {} sets a week for {muscle} instead of {least}", (least * 0.6).floor()), b));
    }
    if !brief.time.days.is_empty() {
        let mut b = brief.clone();
        b.time.days = Vec::new();
        out.push(("let the planner choose the days".to_owned(), b));
    }
    let mut b = brief.clone();
    b.time.sessions += 1;
    if !b.time.days.is_empty() {
        b.time.days = Vec::new();
    }
    out.push((format!("{} sessions instead of {}", b.time.sessions, brief.time.sessions), b));
    out
}
