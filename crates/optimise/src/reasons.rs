//! Why the programme is as it is. Every sentence is tested on the model: what more time would bring, what a lock
//! costs and what another exercise would lose are found by solving again, never from a template.

mod adding;
mod changes;

use crate::budget::Budget;
use crate::cores::on_all;
use crate::finder::{RunStart, SearchGround, anneal};
use crate::found::{Found, Placed, state_of};
use crate::moves::Pools;
use crate::rng::Rng;
use setwright_formulate::frame::Frame;
use setwright_formulate::lift::{COST_SETS, Candidate};
use setwright_formulate::plan::PlanBlock;
use setwright_formulate::problem::{Problem, STRAIGHT, TIME_STEP_S};
use setwright_formulate::rules::{Count, Unit, movements};
use setwright_formulate::state::PlanState;
use setwright_formulate::tables::STRAIN_UNIT;
use setwright_gym::loads::Loadable;
use setwright_model::brief::{Aim, Goal, TrainingAge};
use setwright_model::{Belief, BlockKind, Muscle};
use setwright_science::amounts;
use setwright_science::conditions::is_older;
use setwright_science::strength;

/// Moves of one try.
const TRY_MOVES: u64 = 40_000;
/// What a lock costs before it is told, as a share of the value (judgement).
const LOCK_TOLD: f64 = 0.01;
/// Visits a week beyond which the first weeks are told that fewer do (common practice, no source (T)), and visits of a cycle
/// from which it is said why they are alike (judgement).
const FIRST_VISITS: f64 = 3.0;
const MANY_ALIKE: usize = 5;
/// Exercises by feel up to which each is named (judgement: a longer list says nothing).
const MANY_BY_FEEL: usize = 6;
/// Gains below this share of the value are not told (judgement: less than a coach would act on).
const TOLD: f64 = 0.003;
/// Minutes that are offered to a session to see what they bring.
const MORE_MINUTES: f64 = 10.0;

/// What the reasons are drawn from.
pub struct Case<'a> {
    /// The problem.
    pub problem: &'a Problem,
    /// What is believed of the client's strength.
    pub belief: &'a Belief,
    /// All frames.
    pub frames: &'a [Frame],
    /// The best plan.
    pub best: &'a Placed,
    /// The best plan of each frame that was searched.
    pub others: &'a [Placed],
    /// Seed and limits.
    pub budget: &'a Budget<'a>,
}

impl Case<'_> {
    fn frame(&self) -> &Frame {
        &self.frames[self.best.frame]
    }

    fn found(&self) -> &Found {
        &self.best.found
    }

    /// A longer look from the found plan under a changed problem.
    fn again(&self, problem: &Problem, stream: u64) -> Found {
        self.again_in(problem, self.frame(), stream)
    }

    /// The same on other days.
    fn again_in(&self, problem: &Problem, frame: &Frame, stream: u64) -> Found {
        let pools = Pools::new(problem, frame);
        let mut rng = Rng::new(self.budget.seed, stream);
        let out_of_time = || self.budget.out_of_time.is_some_and(|f| f());
        let ground = SearchGround { problem, frame, pools: &pools, any: false };
        anneal(ground, RunStart::Near(&self.found().plan), TRY_MOVES, &mut rng, &out_of_time).0
    }

    fn percent(&self, difference: i64) -> f64 {
        100.0 * difference as f64 / self.found().value.abs().max(1) as f64
    }
}

/// Sentences about the best plan.
pub fn of(case: &Case<'_>) -> Vec<String> {
    let mut out = Vec::new();
    if !case.problem.tables.minutes_mode {
        out.extend(more_time(case));
        out.extend(near_now(case));
        out.extend(strained(case));
        out.extend(budgets(case));
    }
    out.extend(visits(case));
    out.extend(balance(case));
    out.extend(less_weight(case));
    out.extend(given_up(case));
    out.extend(told_lifts(case));
    out.extend(by_feel(case));
    out.extend(adding::load(case));
    out.extend(spacing(case));
    out.extend(pairs(case));
    out.extend(locks(case));
    out.extend(changes::since_before(case));
    out
}

/// What ten more minutes in a session would be used for, by solving again; where they would hardly be used, that the
/// sessions may end early, and what would be next.
fn more_time(case: &Case<'_>) -> Option<String> {
    let gain = |session: usize| {
        // With minutes to spare it is not they that keep anything out.
        if has_spare(case, session) {
            return (0, session, None);
        }
        let mut richer = case.problem.clone();
        richer.minutes_units[session] += (MORE_MINUTES * 60.0 / TIME_STEP_S) as u32;
        let found = case.again(&richer, 5000 + session as u64);
        let gained = found.value - case.found().value;
        (gained, session, muscle_that_gains(case, &richer, &found))
    };
    let sessions: Vec<usize> = (0..case.frame().parts()).collect();
    let gains = on_all(&sessions, |s| gain(*s));
    let best = gains.into_iter().max_by_key(|(gained, ..)| *gained)?;
    let (gained, session, muscle) = best;
    if case.percent(gained) < 100.0 * TOLD {
        let next =
            muscle.map_or(String::new(), |m| format!(" Were there to be more, the {m} would come first."));
        return Some(format!(
            "The sessions hold what this client can use and recover from; minutes that are left may stay unused.{}{next}",
            shorter(case).unwrap_or_default()
        ));
    }
    let muscle = muscle.map_or(String::new(), |m| format!(", mostly for the {m}"));
    Some(format!("Ten more minutes on day {} would be used{muscle}.", case.frame().days[session]))
}

/// That the present week is why there are no more sets, where it is.
fn near_now(case: &Case<'_>) -> Option<String> {
    let problem = case.problem;
    let now = problem.brief.present.sets?;
    let most = amounts::cycle_sets(&problem.brief)?;
    let state = state_of(problem, case.frame(), case.found());
    let of = |part: usize| problem.copies[part] as u32 * state.sums(part).costs[COST_SETS];
    let sets: u32 = (0..case.frame().parts()).map(of).sum();
    (sets + NEAR_SETS >= most).then(|| {
        format!(
            "There are no more sets because {now} a week are done now: a little more is enough to begin with, and \
             later blocks add."
        )
    })
}

/// Sets under the most of the present week at which it is what holds them (judgement).
const NEAR_SETS: u32 = 2;

/// Whether a session leaves so many minutes that a few more change nothing.
fn has_spare(case: &Case<'_>, session: usize) -> bool {
    let used = state_of(case.problem, case.frame(), case.found()).sums(session).time;
    let left = case.problem.minutes_units[session].saturating_sub(used);
    f64::from(left) * TIME_STEP_S >= 60.0 * FIVE_MIN
}

/// Share of the minutes under which it is said how many would do (judgement).
const LONG: f64 = 0.75;
/// What minutes are told in (common practice, no source (T)).
const FIVE_MIN: f64 = 5.0;

/// How many minutes would hold every session, where many are left.
fn shorter(case: &Case<'_>) -> Option<String> {
    let problem = case.problem;
    if problem.brief.training_age == TrainingAge::FirstWeeks {
        // What is left there is for showing the movements.
        return None;
    }
    let state = state_of(problem, case.frame(), case.found());
    let minutes = |units: u32| f64::from(units) * TIME_STEP_S / 60.0;
    let longest = (0..case.frame().parts()).map(|s| minutes(state.sums(s).time)).fold(0.0, f64::max);
    let first = problem.brief.time.minutes.of(0).get();
    let cold_start = first - minutes(*problem.minutes_units.first()?);
    let given = (0..problem.brief.time.sessions as usize).map(|s| problem.brief.time.minutes.of(s).get());
    let given = given.fold(f64::INFINITY, f64::min);
    let would_do = ((longest + cold_start) / FIVE_MIN).ceil() * FIVE_MIN;
    // For strength the rest is rest.
    let else_for =
        if problem.brief.goal == Goal::Strength { "" } else { "; the others may go to walking or the bike" };
    (would_do <= LONG * given).then(|| format!(" {would_do:.0} minutes a visit would do{else_for}."))
}

fn muscle_that_gains(case: &Case<'_>, richer: &Problem, found: &Found) -> Option<Muscle> {
    let (before, after) =
        (state_of(case.problem, case.frame(), case.found()), state_of(richer, case.frame(), found));
    let benefit = |state: &PlanState<'_>, m: Muscle| {
        case.problem.tables.benefit(m.index(), i64::from(state.quality(m.index())))
    };
    Muscle::ALL
        .into_iter()
        .map(|m| (benefit(&after, m) - benefit(&before, m), m))
        .filter(|(gain, _)| *gain > 0)
        .max_by_key(|(gain, _)| *gain)
        .map(|(_, m)| m)
}

/// Muscles that could take no further set in some session.
fn strained(case: &Case<'_>) -> Option<String> {
    let state = state_of(case.problem, case.frame(), case.found());
    let near = case.problem.tables.strain_max - STRAIN_UNIT as i64;
    let names: Vec<&str> = Muscle::ALL
        .into_iter()
        .filter(|m| (0..case.frame().sessions()).any(|s| state.strain(m.index(), s) > near))
        .map(Muscle::name)
        .collect();
    (!names.is_empty()).then(|| {
        format!(
            "{} get as much as they recover from by the next visit; more sets would not help them.",
            upper_first(&listed(&names))
        )
    })
}

/// Sessions whose whole-body, spinal or grip budget holds no further set of what costs it.
fn budgets(case: &Case<'_>) -> Option<String> {
    let rules = &case.problem.rules;
    let state = state_of(case.problem, case.frame(), case.found());
    let most = [("whole body", rules.systemic), ("back", rules.spinal), ("grip", rules.grip)];
    let mut told = Vec::new();
    for (k, (what, most)) in most.into_iter().enumerate() {
        let days: Vec<String> = (0..case.frame().sessions())
            .filter(|&s| most - state.sums(case.problem.part_of[s]).costs[k] < 2)
            .map(|s| case.frame().days[s].to_string())
            .collect();
        if !days.is_empty() {
            told.push(format!("for the {what} on day {}", days.join(", ")));
        }
    }
    (!told.is_empty()).then(|| format!("As heavy as a session should be: {}.", told.join("; ")))
}

/// What the next best choice of days would lose.
fn spacing(case: &Case<'_>) -> Option<String> {
    let focus = &case.frame().focus;
    let next = case
        .others
        .iter()
        .filter(|p| p.frame != case.best.frame && p.found.short == 0)
        .filter(|p| case.frames[p.frame].focus == *focus)
        .max_by_key(|p| p.found.value)?;
    let days =
        |frame: usize| case.frames[frame].days.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
    let again = case.again_in(case.problem, &case.frames[next.frame], 7000);
    let rival = if again.beats(&next.found) { again.value } else { next.found.value };
    let lost = case.percent((case.found().value - rival).max(0));
    (lost >= 100.0 * TOLD).then(|| {
        format!(
            "Days {} leave more time to recover between the visits than days {} would.",
            days(case.best.frame),
            days(next.frame)
        )
    })
}

/// What the alternating blocks save: their time against the same sets done straight.
fn pairs(case: &Case<'_>) -> Option<String> {
    let blocks: Vec<PlanBlock> = case.found().plan.sessions.iter().flat_map(|b| b.iter().copied()).collect();
    let pairs: Vec<&PlanBlock> = blocks.iter().filter(|s| s.kind() == BlockKind::Alternating).collect();
    let saved: f64 = pairs.iter().filter_map(|s| saved_steps(case.problem, **s)).sum();
    (saved * TIME_STEP_S >= 60.0).then(|| {
        format!(
            "Two exercises in turn let one muscle rest while the other works: that saves about {:.0} minutes a visit.",
            (saved * TIME_STEP_S / 60.0 / case.frame().parts() as f64).max(1.0)
        )
    })
}

/// What was told and is not used, and why.
fn told_lifts(case: &Case<'_>) -> Vec<String> {
    let problem = case.problem;
    let mut out: Vec<String> = problem
        .left_out
        .iter()
        .map(|(id, why)| {
            format!("{} was told and is not given: {why}.", upper_first(&id.as_str().replace('_', " ")))
        })
        .collect();
    let plan = &case.found().plan;
    let used = |l: usize| plan.sessions.iter().any(|blocks| blocks.has(l as u16));
    let told = |l: usize| problem.brief.lifts.iter().any(|t| t.exercise == problem.lifts[l].exercise.id);
    let missing: Vec<usize> = (0..problem.lifts.len()).filter(|l| told(*l) && !used(*l)).collect();
    out.extend(missing.into_iter().map(|l| {
        format!(
            "{} was told and is left out: {}.",
            upper_first(&problem.lifts[l].exercise.name),
            why_missing(case, l, &used)
        )
    }));
    out.extend(no_place(case, &used));
    let given: Vec<usize> = (0..problem.lifts.len()).filter(|l| used(*l)).collect();
    out.extend(given.into_iter().filter_map(|l| heavier_than_the_room(case, l)));
    out
}

/// That a told lift is light, because what its reps ask for cannot be made here.
fn heavier_than_the_room(case: &Case<'_>, lift: usize) -> Option<String> {
    let (brief, own) = (&case.problem.brief, &case.problem.lifts[lift]);
    let wanted = strength::wanted_load(&own.exercise, own.scheme, case.belief, brief)?;
    let heaviest = Loadable::of_client(brief, &own.exercise).ok()?.heaviest()?;
    (heaviest.get() < LIGHTER * wanted.get()).then(|| {
        let name = upper_first(&own.exercise.name);
        format!("{name} was told with more than can be loaded for it here: it is light, and a harder form would serve.")
    })
}

/// Share of the load that is wanted under which that is said (judgement).
const LIGHTER: f64 = 0.9;

/// What the programme does without, because with all of it there was none.
fn given_up(case: &Case<'_>) -> Option<String> {
    let problem = case.problem;
    let plan = &case.found().plan;
    let of_session = |k: usize, unit: Unit, blocks: &[PlanBlock]| -> i32 {
        let each = |slot: &PlanBlock| {
            let times = if unit == Unit::Set { i32::from(slot.sets) } else { 1 };
            slot.lifts().map(|(l, _)| times * i32::from(problem.tables.signs[l][k])).sum::<i32>()
        };
        blocks.iter().map(each).sum()
    };
    let is_missing = |(k, count): &&(usize, Count)| {
        let sessions: Vec<i32> = plan.sessions.iter().map(|b| of_session(*k, count.unit, b)).collect();
        let all: i32 = sessions.iter().zip(&problem.copies).map(|(n, copies)| n * copies).sum();
        let least = count.session_least.map(|(least, _)| i32::from(least));
        least.is_some_and(|least| sessions.iter().any(|n| *n < least))
            || count.cycle_least.is_some_and(|least| all < i32::from(least))
            || count.cycle_most.is_some_and(|most| all > i32::from(most))
    };
    let missing = problem.quotas.eased.iter().filter(is_missing);
    let names: std::collections::BTreeSet<&str> = missing.map(|(_, count)| count.what).collect();
    let names: Vec<&str> = names.into_iter().collect();
    (!names.is_empty()).then(|| {
        format!("Not all that a coach would ask goes together here; it does without: {}.", listed(&names))
    })
}

/// What is done at present, told without a load, and has no place.
fn no_place(case: &Case<'_>, used: &impl Fn(usize) -> bool) -> Option<String> {
    let problem = case.problem;
    let brief = &problem.brief;
    let done = |id| brief.present.exercises.contains(id) && brief.lifts.iter().all(|l| l.exercise != *id);
    let missing = (0..problem.lifts.len()).filter(|l| done(&problem.lifts[*l].exercise.id) && !used(*l));
    let names: Vec<&str> = missing.map(|l| problem.lifts[l].exercise.name.as_str()).collect();
    (!names.is_empty()).then(|| {
        format!("Of what is done at present {} found no place; lock what should stay.", listed(&names))
    })
}

/// Why a told lift that could be given has no place: too few minutes for the main lifts, another that does its work, or no
/// room in the sessions where it belongs.
fn why_missing(case: &Case<'_>, lift: usize, used: &impl Fn(usize) -> bool) -> String {
    let problem = case.problem;
    let own = &problem.lifts[lift];
    if own.main {
        let mains = problem.lifts.iter().filter(|l| l.main).count();
        let there = (0..problem.lifts.len()).filter(|l| problem.lifts[*l].main && used(*l)).count();
        return format!("the minutes hold {there} of the {mains} main lifts, warmed up and rested");
    }
    let like = |l: usize| {
        let other = &problem.lifts[l].exercise;
        let need = movements::serves(own.exercise.pattern);
        other.pattern == own.exercise.pattern || need.is_some() && movements::serves(other.pattern) == need
    };
    let alike = (0..problem.lifts.len()).find(|l| used(*l) && like(*l));
    match alike {
        Some(other) => format!(
            "{} does the same work here; lock {} to have it instead",
            problem.lifts[other].exercise.name, own.exercise.name
        ),
        None => format!(
            "the sessions where it belongs hold the sets that they should; lock {} to have it",
            own.exercise.name
        ),
    }
}

/// Time steps that a pair saves against straight blocks of at least its worth, or of the longest rest there is.
fn saved_steps(problem: &Problem, slot: PlanBlock) -> Option<f64> {
    let straight = |lift: usize, mode: u8| {
        let own = problem.choice(lift, mode, slot.sets);
        let modes = STRAIGHT.map(|m| problem.choice(lift, m, slot.sets)).filter(|c| c.allowed);
        let as_good = modes.clone().filter(|c| c.worth >= own.worth).min_by_key(|c| c.time);
        let choice = as_good.or_else(|| modes.max_by_key(|c| c.time))?;
        Some(f64::from(choice.time) - f64::from(own.time))
    };
    slot.lifts().map(|(l, m)| straight(l, m)).sum()
}

/// What a client in the first weeks, or somebody who comes very often, should know of the visits.
fn visits(case: &Case<'_>) -> Vec<String> {
    let problem = case.problem;
    let sessions = case.frame().sessions();
    let a_week = sessions as f64 * 7.0 / f64::from(problem.brief.time.cycle_days);
    let mut out = Vec::new();
    if problem.brief.training_age == TrainingAge::FirstWeeks {
        out.push(
            "In the first two weeks each movement is tried once with little and then done for one set; the minutes that are \
             left are for showing it. Then comes the second round."
                .to_owned(),
        );
        if a_week > FIRST_VISITS {
            out.push(format!(
                "{sessions} visits are more than the first weeks need: two or three a week bring as much, and the days \
                 between are for rest. Those that are left can be walks, or practice with little load."
            ));
        }
    } else if case.frame().parts() == 1 && sessions >= MANY_ALIKE {
        out.push(format!(
            "All {sessions} visits are alike: who is new learns by repeating, and what changes from visit to visit is the load."
        ));
    }
    out
}

/// What the lifts do not train, and the minutes that are left are good for, from 65 years on (WHO 2020, Br J Sports Med 54:1451 (M):
/// balance on three days a week or more; which drills is common practice, no source (T)).
fn balance(case: &Case<'_>) -> Option<String> {
    is_older(&case.problem.brief).then(|| {
        "Balance is trained beside the lifts, a few minutes on three days of the week: standing on one leg or heel to toe, a hand \
         over something firm to hold. The minutes that are left are good for it."
            .to_owned()
    })
}

/// What moves body weight, which no exercise is for (Bull 2020, Br J Sports Med 54:1451 (M): 150 to 300 minutes a week).
fn less_weight(case: &Case<'_>) -> Option<String> {
    case.problem.brief.aims.contains(&Aim::LessWeight).then(|| {
        "Body weight follows what is eaten, and minutes on the feet: brisk walking or cycling, 150 to 300 minutes a week, built up \
         slowly. The lifts keep the muscle meanwhile; minutes that are left after them can be walked."
            .to_owned()
    })
}

/// How a load that nothing tells is found; the exercises are named where other lifts were told.
fn by_feel(case: &Case<'_>) -> Option<String> {
    let problem = case.problem;
    let plan = &case.found().plan;
    let used = |l: usize| plan.sessions.iter().any(|blocks| blocks.has(l as u16));
    let found =
        || (0..problem.lifts.len()).filter(|l| used(*l)).map(|l| &problem.lifts[l]).filter(|l| l.by_feel);
    let names: Vec<&str> = found().map(|l| l.exercise.name.as_str()).collect();
    if names.is_empty() {
        return None;
    }
    let alone = |l: &Candidate| {
        Loadable::of_client(&problem.brief, &l.exercise).is_ok_and(|loads| loads.all().count() == 1)
    };
    if found().all(alone) {
        return Some(
            "There is one weight for what has none on the sheet: do fewer reps than it says where fewer leave what it leaves \
             in reserve, and more when it has become easy."
                .to_owned(),
        );
    }
    let which = if problem.brief.lifts.is_empty() || names.len() > MANY_BY_FEEL {
        "Where no load stands it is found by feel".to_owned()
    } else {
        format!("The load of {} is found by feel", listed(&names))
    };
    Some(format!(
        "{which}: begin so light that you stop with about five reps to spare, and add a little from set to set until you stop \
         with what the sheet leaves in reserve. Write that weight down: it is the next visit's."
    ))
}

/// Names one after the other.
fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

pub(crate) fn upper_first(name: &str) -> String {
    let mut chars = name.chars();
    chars.next().map_or(String::new(), |c| c.to_uppercase().chain(chars).collect())
}

/// What each lock costs, by solving again without it; those that cost nothing worth a word share one.
fn locks(case: &Case<'_>) -> Vec<String> {
    let (mut out, mut free) = (Vec::new(), Vec::new());
    for (index, (lift, _)) in case.problem.locks.iter().enumerate() {
        let mut freed = case.problem.clone();
        freed.locks.remove(index);
        freed.prepare();
        let found = case.again(&freed, 6000 + index as u64);
        let cost = case.percent(found.value - case.found().value);
        let name = case.problem.lifts[*lift].exercise.name.as_str();
        if cost < 100.0 * LOCK_TOLD {
            // The same in two sessions is said once.
            if !free.contains(&name) {
                free.push(name);
            }
        } else {
            out.push(format!(
                "The lock on {name} takes room from other work: without it the programme would bring about {cost:.0} % more."
            ));
        }
    }
    if !free.is_empty() {
        out.push(format!("What is locked fits in without loss: {}.", free.join(", ")));
    }
    out
}
