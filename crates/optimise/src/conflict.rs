//! Why no programme keeps every rule: the smallest set of the brief's wishes that clash, each member tested by
//! dropping it, and the cheapest ways out, each tested by solving.

use crate::budget::Budget;
use crate::cores::on_all;
use crate::descent;
use crate::dual::{Dual, Prices, SessionLayouts};
use crate::search::is_met;
use setwright_formulate::frame::{Frame, frames};
use setwright_formulate::problem::{Problem, compile_like};
use setwright_formulate::rules::Client;
use setwright_gym::room::Room;
use setwright_model::brief::{Brief, Exclude, MinutesPerSession};
use setwright_model::limits::{SESSION_MINUTES_MAX, SESSIONS_MAX};
use setwright_model::{Belief, Catalogue, Exercise, FractionalSets, Minutes, Muscle, Station};
use std::collections::BTreeMap;

/// Moves of one try at a loosened brief.
const TRY_MOVES: u64 = 60_000;
/// Moves of the first look, before anything is proven.
const LOOK_MOVES: u64 = 8_000;
/// Frames that a try looks at.
const TRY_FRAMES: usize = 6;
/// Rounds of a first try at proving that nothing fits.
const FIRST_ROUNDS: u32 = 32;
/// Rounds of one try at proving that nothing fits.
const PROOF_ROUNDS: u32 = 240;
/// Where the bound is driven to when nothing but the rules is at stake, in millionths of a point; any bound below
/// zero is a proof.
const PROOF_TARGET: i64 = -1_000_000;
/// Minutes more a session that are tried.
const MORE_MIN: [f64; 4] = [5.0, 10.0, 20.0, 40.0];
/// Sets a week over a most that are tried.
const MORE_SETS: [f64; 3] = [2.0, 4.0, 8.0];
/// Shares of a least that are tried.
const SMALLER: [f64; 4] = [0.8, 0.6, 0.4, 0.2];
/// Exercises for a muscle up to which it is said what leaves the others out, and how many reasons are told (judgement).
const FEW: usize = 3;
const WHYS: usize = 3;
/// Kit that a coach would think of, the smallest first.
const KIT: [Station; 4] = [Station::Bands, Station::Dumbbells, Station::PullUpBar, Station::Bench];
/// What a coach writes so that large muscles may be trained less often than they need.
const MAJOR_LESS_OFTEN: &str = "say which large muscles may wait, with sessions = 1 under each of them";
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
    Most(Muscle),
    LeftOut,
    Foci,
    NoPairs,
}

/// Whether a short search finds no programme and a short proof shows that there is none.
pub fn is_soon_disproven(problem: &Problem, frames: &[Frame], budget: &Budget<'_>) -> bool {
    let look = Budget { moves: LOOK_MOVES, ..*budget };
    !is_met(problem, frames, &look) && is_disproven_in(problem, FIRST_ROUNDS)
}

/// Finds the clash of a brief for which no programme was found; `disproven` says that it is known to have none.
pub fn explain(
    problem: &Problem,
    disproven: bool,
    catalogue: &Catalogue,
    belief: &Belief,
    budget: &Budget<'_>,
) -> Clash {
    let (world, brief) = (World { problem, catalogue, belief, budget }, &problem.brief);
    let all = wishes(brief);
    let kept = world.clash(brief, &all, &all);
    let known = if world.is_impossible(&only(brief, &all, &kept)) {
        Proven::Clash
    } else if disproven || world.is_impossible(brief) {
        Proven::Brief
    } else {
        Proven::Nothing
    };
    let proven = known != Proven::Nothing;
    let mut lines = vec![head(&kept, known)];
    lines.extend(kept.iter().map(|w| format!("- {}", describe(brief, catalogue, w))));
    lines.extend(kept.iter().filter_map(|w| world.left_out_for(w)));
    lines.extend(world.ways_out(brief));
    Clash { proven, lines }
}

/// What the bound could prove.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Proven {
    /// That the smallest set of wishes cannot be kept together.
    Clash,
    /// That the whole brief cannot be met.
    Brief,
    /// Nothing; the search found no programme.
    Nothing,
}

fn head(kept: &[Wish], known: Proven) -> String {
    let sure = match known {
        Proven::Clash => "It is proven that",
        Proven::Brief => "It is proven that the brief cannot be met; as far as the search went,",
        Proven::Nothing => "No programme was found; as far as the search went,",
    };
    if kept.is_empty() {
        return format!("{sure} the rules leave no programme for this client, whatever wish is given up.");
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
    let most = brief.muscles.iter().filter(|(_, wish)| wish.most.is_some());
    out.extend(most.map(|(muscle, _)| Wish::Most(*muscle)));
    let left_out = &brief.exclude;
    if !(left_out.exercises.is_empty() && left_out.patterns.is_empty() && left_out.muscles.is_empty()) {
        out.push(Wish::LeftOut);
    }
    if !brief.style.focus.is_empty() {
        out.push(Wish::Foci);
    }
    if !brief.style.alternate {
        out.push(Wish::NoPairs);
    }
    out.push(Wish::Minutes);
    out.extend((0..brief.locks.len()).map(Wish::Lock));
    out
}

/// How easily a wish is given up: locks first, then doses, days, time.
const fn ease(wish: &Wish) -> u8 {
    match wish {
        Wish::Lock(_) => 5,
        Wish::NoPairs | Wish::Foci => 4,
        Wish::Least(_) | Wish::Most(_) | Wish::Sessions(_) => 3,
        Wish::MajorSessions => 2,
        Wish::FixedDays => 1,
        Wish::Minutes | Wish::LeftOut => 0,
    }
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
            Wish::Most(m) => {
                if let Some(w) = out.muscles.get_mut(m) {
                    w.most = None;
                }
            }
            // What joints and conditions ask is no wish, and stays.
            Wish::LeftOut => out.exclude = Exclude { asks: brief.exclude.asks.clone(), ..Exclude::default() },
            Wish::Foci => out.style.focus = Vec::new(),
            Wish::NoPairs => out.style.alternate = true,
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
        Wish::MajorSessions => "every large muscle group as often a week as it needs".to_owned(),
        Wish::Minutes => "the minutes of the sessions".to_owned(),
        Wish::FixedDays => {
            let days: Vec<String> = brief.time.days.iter().map(u32::to_string).collect();
            format!("sessions on day {} only", days.join(", "))
        }
        Wish::Most(m) => {
            let most = brief.muscles.get(m).and_then(|w| w.most).unwrap_or(FractionalSets::ZERO).get();
            format!("at most {most} sets a week for {m}")
        }
        Wish::LeftOut => format!("what the brief leaves out: {}", left_out(brief, catalogue)),
        Wish::Foci => "what the brief says each session is for".to_owned(),
        Wish::NoPairs => "no exercises in turn".to_owned(),
    }
}

/// Exercises, movements and muscles that the brief leaves out, by their names.
fn left_out(brief: &Brief, catalogue: &Catalogue) -> String {
    let out = &brief.exclude;
    let exercises = out.exercises.iter().map(|id| catalogue.get(id).map_or(id.as_str(), |e| e.name.as_str()));
    let patterns = out.patterns.iter().map(|p| p.name());
    let names: Vec<&str> = exercises.chain(patterns).chain(out.muscles.iter().map(|m| m.name())).collect();
    names.join(", ")
}

struct World<'a> {
    /// The problem of the whole brief.
    problem: &'a Problem,
    catalogue: &'a Catalogue,
    belief: &'a Belief,
    budget: &'a Budget<'a>,
}

impl World<'_> {
    fn has_plan(&self, brief: &Brief) -> bool {
        let problem = self.compile(brief);
        if !problem.broken_locks.is_empty() {
            return false;
        }
        let mut all = frames(&problem);
        all.truncate(TRY_FRAMES);
        let met = |moves| is_met(&problem, &all, &Budget { moves, ..*self.budget });
        met(LOOK_MOVES) || !is_disproven_in(&problem, FIRST_ROUNDS) && met(TRY_MOVES)
    }

    /// What takes part in a clash over a muscle without being a wish: what the brief leaves out, and what is not there.
    fn left_out_for(&self, wish: &Wish) -> Option<String> {
        let (Wish::Least(muscle) | Wish::Sessions(muscle)) = wish else { return None };
        let client = Client::new(&self.problem.brief, self.belief, self.catalogue);
        let direct = || self.catalogue.iter().filter(|e| e.direct.contains(muscle));
        let there = |e: &&Exercise| client.room.can_do(e);
        let given = direct().filter(there).filter(|e| client.keeps_out(e).is_none()).count();
        if given > FEW {
            return None;
        }
        let away = direct().filter(|e| !there(e)).count();
        let mut whys: BTreeMap<String, usize> = BTreeMap::new();
        for why in direct().filter(there).filter_map(|e| client.keeps_out(e)) {
            *whys.entry(why).or_default() += 1;
        }
        let mut parts: Vec<(usize, String)> = whys.into_iter().map(|(why, n)| (n, why)).collect();
        parts.sort_by(|a, b| b.cmp(a));
        let mut said: Vec<String> =
            parts.into_iter().take(WHYS).map(|(n, why)| format!("{n} of them because {why}")).collect();
        if away > 0 {
            said.push(format!("{away} because the kit for them is not there"));
        }
        if said.is_empty() {
            said.push("no other trains it".to_owned());
        }
        let left = if given == 0 { "nothing".to_owned() } else { format!("only {given}") };
        Some(format!(
            "Of the exercises that train the {muscle} directly {left} can be done: {}.",
            said.join(", ")
        ))
    }

    fn compile(&self, brief: &Brief) -> Problem {
        compile_like(brief, self.catalogue, self.belief, false, Some(self.problem))
    }

    fn is_impossible(&self, brief: &Brief) -> bool {
        is_disproven(&self.compile(brief))
    }

    /// Of the wishes `from` a smallest set that clashes: without any one of it there is a programme.
    fn clash(&self, brief: &Brief, all: &[Wish], from: &[Wish]) -> Vec<Wish> {
        let mut kept = from.to_vec();
        let mut index = 0;
        while index < kept.len() {
            let mut without = kept.clone();
            without.remove(index);
            if self.has_plan(&only(brief, all, &without)) {
                index += 1;
            } else {
                kept = without;
            }
        }
        kept
    }

    fn ways_out(&self, brief: &Brief) -> Vec<String> {
        let singly = self.ways_among(loosened(brief, self.catalogue));
        if !singly.is_empty() {
            return singly;
        }
        let twice = self.ways_among(loosened_twice(brief, self.catalogue));
        if twice.is_empty() { self.one_clash_after_another(brief).into_iter().collect() } else { twice }
    }

    /// Where several clashes stand beside one another: from each the wish that is easiest to give up.
    fn one_clash_after_another(&self, brief: &Brief) -> Option<String> {
        let all = wishes(brief);
        let (mut left, mut dropped) = (all.clone(), Vec::new());
        while !self.has_plan(&only(brief, &all, &left)) {
            let clash = self.clash(brief, &all, &left);
            let easiest = clash.into_iter().max_by_key(ease)?;
            left.retain(|w| *w != easiest);
            dropped.push(match easiest {
                Wish::MajorSessions => MAJOR_LESS_OFTEN.to_owned(),
                wish => format!("give up {}", describe(brief, self.catalogue, &wish)),
            });
        }
        Some(format!("Way out: {}.", dropped.join(", and ")))
    }

    /// The least loosening of a kind that has a programme; the widest is tried first, for without it none has.
    fn least_of(&self, mut kind: Kind) -> Option<(String, Brief)> {
        let widest = kind.pop().filter(|(_, brief)| self.has_plan(brief))?;
        kind.into_iter().find(|(_, brief)| self.has_plan(brief)).or(Some(widest))
    }

    /// Of each kind the least loosening that has a programme.
    fn ways_among(&self, kinds: Vec<Kind>) -> Vec<String> {
        kinds
            .into_iter()
            .filter_map(|kind| self.least_of(kind))
            .map(|(words, _)| format!("Way out: {words}."))
            .take(WAYS_OUT)
            .collect()
    }
}

/// Why locks cannot be kept at all, and the way out: without them, if there is a programme then.
pub fn broken_locks(
    problem: &Problem,
    catalogue: &Catalogue,
    belief: &Belief,
    budget: &Budget<'_>,
) -> Vec<String> {
    let brief = &problem.brief;
    let mut lines: Vec<String> = problem.broken_locks.iter().map(|(_, why)| why.clone()).collect();
    let mut without = brief.clone();
    without.locks.retain(|lock| problem.broken_locks.iter().all(|(broken, _)| broken != lock));
    let dropped: Vec<String> = (0..brief.locks.len())
        .filter(|i| !without.locks.contains(&brief.locks[*i]))
        .map(|i| describe(brief, catalogue, &Wish::Lock(i)))
        .collect();
    let drop = format!("drop {}", dropped.join(" and "));
    let ways =
        World { problem, catalogue, belief, budget }.ways_among(vec![vec![(drop.clone(), without.clone())]]);
    if ways.is_empty() {
        // Something else clashes too.
        let left = compile_like(&without, catalogue, belief, false, Some(problem));
        let rest = explain(&left, false, catalogue, belief, budget).lines;
        let both = |line: String| match line.strip_prefix("Way out: ") {
            Some(way) => format!("Way out: {drop}, and {way}"),
            None => line,
        };
        lines.extend(rest.into_iter().map(both));
    }
    lines.extend(ways);
    lines
}

/// Whether the bound proves that no plan keeps every rule: with no value at stake, a bound below zero in every
/// frame is a proof.
pub fn is_disproven(problem: &Problem) -> bool {
    is_disproven_in(problem, PROOF_ROUNDS)
}

/// The same within so many rounds a frame; ends at the first frame in which the bound proves nothing.
fn is_disproven_in(problem: &Problem, rounds: u32) -> bool {
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
    let frames = frames(&rules_only);
    let plots = SessionLayouts::by_time(&rules_only, &frames);
    let disproven = |frame: &Frame| {
        let dual = Dual::new(&rules_only, frame, &plots);
        dual.is_overlocked()
            || descent::bound_of(&dual, &nothing, PROOF_TARGET, rounds, &|| false).is_none_or(|(b, _)| b < 0)
    };
    frames.chunks(2).all(|two| !on_all(two, disproven).contains(&false))
}

/// Briefs loosened in one way, the least first.
type Kind = Vec<(String, Brief)>;

/// Briefs loosened in two ways: something, and more minutes with it.
fn loosened_twice(brief: &Brief, catalogue: &Catalogue) -> Vec<Kind> {
    let mut out = Vec::new();
    for more in [10.0, 20.0, 40.0] {
        let (longer, extended) = with_more_minutes(brief, more);
        if longest_min(&extended) > SESSION_MINUTES_MAX {
            break;
        }
        let others = loosened(&extended, catalogue).into_iter().skip(1);
        out.extend(others.map(|kind| -> Kind {
            kind.into_iter().map(|(words, b)| (format!("{longer}, and {words}"), b)).collect()
        }));
    }
    out
}

fn longest_min(brief: &Brief) -> f64 {
    (0..brief.time.sessions as usize).map(|s| brief.time.minutes.of(s).get()).fold(0.0, f64::max)
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

/// Loosened briefs, the cheapest kind first: minutes, turns, foci, a lock, a least, a most, the days, a session.
fn loosened(brief: &Brief, catalogue: &Catalogue) -> Vec<Kind> {
    let allowed = MORE_MIN.into_iter().filter(|more| longest_min(brief) + more <= SESSION_MINUTES_MAX);
    let mut out: Vec<Kind> = vec![allowed.map(|more| with_more_minutes(brief, more)).collect()];
    let with = |words: &str, change: fn(&mut Brief)| -> Kind {
        let mut b = brief.clone();
        change(&mut b);
        vec![(words.to_owned(), b)]
    };
    if !brief.style.alternate {
        out.push(with("let exercises take turns", |b| b.style.alternate = true));
    }
    if !brief.style.focus.is_empty() {
        out.push(with("leave open what each session is for", |b| b.style.focus.clear()));
    }
    for i in 0..brief.locks.len() {
        let mut b = brief.clone();
        b.locks.remove(i);
        out.push(vec![(format!("drop {}", describe(brief, catalogue, &Wish::Lock(i))), b)]);
    }
    out.extend(brief.muscles.keys().filter_map(|m| with_smaller_least(brief, *m)));
    out.extend(brief.muscles.keys().filter_map(|m| with_larger_most(brief, *m)));
    if !brief.time.days.is_empty() {
        let mut b = brief.clone();
        b.time.days = Vec::new();
        out.push(vec![("let the planner choose the days".to_owned(), b)]);
    }
    out.extend(with_a_session_more(brief));
    out.extend(with_more_kit(brief));
    out
}

/// Something small to train with, where a muscle is asked for and it is not there.
fn with_more_kit(brief: &Brief) -> Vec<Kind> {
    let asks = brief.muscles.values().any(|w| w.least.is_some() || w.sessions.is_some());
    let there = Room::of(&brief.equipment);
    let missing = KIT.into_iter().filter(|s| asks && !there.has(*s));
    let with = |station: Station| -> Kind {
        let mut b = brief.clone();
        b.equipment.without.retain(|s| *s != station);
        b.equipment.also.push(station);
        vec![(format!("have this there: {}", station.name()), b)]
    };
    missing.map(with).collect()
}

/// One session more, where the cycle and the limits have a day for it.
fn with_a_session_more(brief: &Brief) -> Option<Kind> {
    let mut b = brief.clone();
    let time = &mut b.time;
    time.sessions += 1;
    time.days = Vec::new();
    let days = if time.possible_days.is_empty() { time.cycle_days } else { time.possible_days.len() as u32 };
    if time.sessions > SESSIONS_MAX.min(days) || matches!(&time.minutes, MinutesPerSession::Each(_)) {
        return None;
    }
    Some(vec![(format!("{} sessions instead of {}", time.sessions, brief.time.sessions), b)])
}

fn with_smaller_least(brief: &Brief, muscle: Muscle) -> Option<Kind> {
    let least = brief.muscles.get(&muscle)?.least?.get();
    let smaller = |share: f64| {
        let sets = (least * share).floor();
        let mut b = brief.clone();
        if let Some(wish) = b.muscles.get_mut(&muscle) {
            wish.least = Some(FractionalSets(sets));
        }
        (format!("ask {sets} sets a week for {muscle} instead of {least}"), b)
    };
    Some(SMALLER.map(smaller).to_vec())
}

fn with_larger_most(brief: &Brief, muscle: Muscle) -> Option<Kind> {
    let most = brief.muscles.get(&muscle)?.most?.get();
    let larger = |more: f64| {
        let mut b = brief.clone();
        if let Some(wish) = b.muscles.get_mut(&muscle) {
            wish.most = Some(FractionalSets(most + more));
        }
        (format!("allow {} sets a week for {muscle} instead of {most}", most + more), b)
    };
    Some(MORE_SETS.map(larger).to_vec())
}
