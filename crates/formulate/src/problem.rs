//! The brief, compiled: eligible lifts with whole-number times, doses and costs, so that search and bound
//! reckon exactly and alike on every machine.
//!
//! Time is counted in steps of five seconds, rounded up; doses in quarter-sets; worth in 1/64 of a set; value
//! in millionths of a point. Nothing here chooses anything, and nothing here says what a coach would want: that is in
//! `rules`.

use crate::focus::belongs;
use crate::lift;
pub use crate::lift::{Candidate, Choice, LiftCore, NOTHING};
pub use crate::modes::{ALTERNATING, MODES, Mode, SAME_FIRST, SAME_SECOND, STRAIGHT};
pub use crate::quotas::Quotas;
use crate::rules::{self, Client, Unit};
use crate::tables::Tables;
use crate::units::COUNTS;
pub use crate::units::{SETS, TIME_STEP_S, units};
use setwright_model::brief::{Brief, Lock, Priority};
use setwright_model::exercise::Exercise;
use setwright_model::{Belief, Catalogue, ExerciseId, Muscle, Pattern};
use setwright_science::clock;
use setwright_science::rules::{Rules, VARIANTS_FOR_PRIORITY, balance_slack};

/// The brief, compiled.
#[derive(Clone, Debug)]
pub struct Problem {
    /// The lifts again, as the search reads them.
    pub hot: Vec<LiftCore>,
    /// All choices, by lift, mode and sets - 1.
    pub choices: Vec<Choice>,
    /// By pair of lifts, row by row: 1 when they may alternate, 2 when the second may follow the first in a
    /// same-muscle block.
    pairs: Vec<u8>,
    /// The brief it was made from.
    pub brief: Brief,
    /// Ceilings and allowances.
    pub rules: Rules,
    /// Eligible lifts, in order of identifier.
    pub lifts: Vec<Candidate>,
    /// Whether two lifts may alternate; row by row.
    pub may_alternate: Vec<Vec<bool>>,
    /// Whether the row's lift may be followed by the column's in a same-muscle block.
    pub may_share_muscle: Vec<Vec<bool>>,
    /// Most exercises of each pattern in a session.
    pub variants: Vec<u32>,
    /// Which of the different sessions each session of the cycle is.
    pub part_of: Vec<usize>,
    /// How often each of the different sessions comes in a cycle.
    pub copies: Vec<i32>,
    /// Time of each of the different sessions that is left after a cold start.
    pub minutes_units: Vec<u32>,
    /// Most sets of each.
    pub sets_most: Vec<u32>,
    /// Most exercises of each.
    pub exercises_most: Vec<u32>,
    /// Time that the first lift's longer ramp takes.
    pub start_units: u32,
    /// Tables of value.
    pub tables: Tables,
    /// What the rules count.
    pub quotas: Quotas,
    /// Locks whose exercise is eligible, with the lift's index.
    pub locks: Vec<(usize, Lock)>,
    /// Locks that cannot be kept, with the reason.
    pub broken_locks: Vec<(Lock, String)>,
    /// Which balances apply: push against pull, knee against hip.
    pub balances: [bool; 2],
    /// Sets by which the sides of a balance may differ.
    pub balance_slack: i32,
    /// Least sessions that train each muscle.
    pub sessions_least: [u32; Muscle::COUNT],
    /// Least raw dose over the cycle, in quarter-sets: what is asked, and what the least sessions imply.
    pub raw_least: [i32; Muscle::COUNT],
    /// Quarter-sets from which a session counts as training a muscle.
    pub trained_quarters: i32,
    /// Whether the whole body becomes two halves, because sessions lie on neighbouring days.
    pub halves: bool,
    /// By lift: the sessions in which the programme before had it (bits).
    pub kept: Vec<u16>,
    /// By lift: its place in a session, the highest first ([`crate::rules::order`]).
    pub class: Vec<u64>,
    /// Told lifts that are not given, with the reason.
    pub left_out: Vec<(ExerciseId, String)>,
}

impl Problem {
    /// Lays out what the search reads, from the lifts and locks.
    pub fn prepare(&mut self) {
        let locked = |index: usize| self.locks.iter().any(|(l, _)| *l == index);
        self.hot = (0..self.lifts.len())
            .map(|i| {
                let (once, each) = self.counted(i);
                LiftCore::of(&self.lifts[i], locked(i), once, each)
            })
            .collect();
        self.choices = self.lifts.iter().flat_map(|l| l.choices.iter().flatten().copied()).collect();
        let rows = self.may_alternate.iter().zip(&self.may_share_muscle);
        self.pairs = rows
            .flat_map(|(one, two)| one.iter().zip(two).map(|(a, s)| u8::from(*a) | u8::from(*s) << 1))
            .collect();
    }

    /// What a lift counts as, once and by set.
    fn counted(&self, lift: usize) -> ([i16; COUNTS], [i16; COUNTS]) {
        let (mut once, mut each) = ([0; COUNTS], [0; COUNTS]);
        for (k, sign) in self.tables.signs[lift].iter().enumerate().take(COUNTS) {
            match self.quotas.counts[k].unit {
                Unit::Exercise => once[k] = *sign,
                Unit::Set => each[k] = *sign,
            }
        }
        (once, each)
    }

    /// The same with one thing more given up that a programme is better without than not at all; none where nothing is left.
    pub fn eased(&self) -> Option<Self> {
        let given_up = self.quotas.given_up;
        let next = self.quotas.counts.iter().map(|c| c.soft).filter(|soft| *soft > given_up).min()?;
        let mut out = self.clone();
        (given_up..next).for_each(|_| out.quotas.ease());
        Some(out)
    }

    /// Where a lift stands: they are in the order of their identifiers.
    pub fn place(&self, id: &ExerciseId) -> Option<usize> {
        self.lifts.binary_search_by(|l| l.exercise.id.cmp(id)).ok()
    }

    /// Number of different sessions.
    pub fn parts(&self) -> usize {
        self.copies.len()
    }

    /// Whether two lifts may alternate.
    pub fn alternates(&self, a: usize, b: usize) -> bool {
        self.pairs[a * self.lifts.len() + b] & 1 == 1
    }

    /// Whether `b` may follow `a` in a same-muscle block.
    pub fn shares_muscle(&self, a: usize, b: usize) -> bool {
        self.pairs[a * self.lifts.len() + b] & 2 == 2
    }

    /// Whether the programme before had a lift in a session.
    #[inline]
    pub fn is_kept(&self, session: usize, lift: usize) -> bool {
        self.kept[lift] >> session & 1 == 1
    }

    /// What `sets` sets of a lift in `mode` take and give.
    #[inline]
    pub fn choice(&self, lift: usize, mode: u8, sets: u8) -> &Choice {
        &self.choices[(lift * MODES.len() + usize::from(mode)) * SETS + usize::from(sets) - 1]
    }

    /// What a lift's being in a session costs, in millionths of a point.
    #[inline]
    pub fn own_price(&self, session: usize, lift: usize, choice: &Choice) -> i64 {
        let kept = if self.is_kept(session, lift) { self.tables.kept_worth } else { 0 };
        i64::from(choice.price) * self.tables.scale - kept
    }
}

/// Compiles a brief. `belief` gives strength and the recovery time constants.
pub fn compile(brief: &Brief, catalogue: &Catalogue, belief: &Belief, minutes_mode: bool) -> Problem {
    compile_like(brief, catalogue, belief, minutes_mode, None)
}

/// The same, and sooner: what sets take and give is taken over from the problem of a brief that differs only in
/// time, wishes, locks or exclusions, with the same catalogue.
pub fn compile_like(
    brief: &Brief,
    catalogue: &Catalogue,
    belief: &Belief,
    minutes_mode: bool,
    like: Option<&Problem>,
) -> Problem {
    let client = Client::new(brief, belief, catalogue);
    let alike = like.filter(|p| reckons_alike(&p.brief, brief));
    let lifts = lifts_of(&client, catalogue, alike);
    let twin = alike.filter(|twin| pairs_alike(twin, brief, &lifts));
    let parts = rules::familiar::different_sessions(&client);
    let sessions = brief.time.sessions as usize;
    let sets_most = with_locks(&client, rules::session_amount::sets_most(&client), |l| {
        l.sets.unwrap_or(client.rules.sets.0)
    });
    let mut tables = Tables::new(&client, &sets_most, minutes_mode);
    let mut quotas = Quotas::of(rules::counts(&client));
    tables.lay_out(&client, &lifts, &quotas);
    let there: Vec<bool> = lifts.iter().map(|l| has_a_session(&l.exercise, brief)).collect();
    drop_what_nothing_serves(&mut quotas, &tables, &there);
    (0..like.map_or(0, |p| p.quotas.given_up)).for_each(|_| quotas.ease());
    let with_a_session = lifts.iter().zip(&there).filter(|(_, there)| **there).map(|(l, _)| &l.exercise);
    let mut problem = Problem {
        may_alternate: twin.map_or_else(
            || matrix(&lifts, |a, b| client.may_alternate(a, b)),
            |twin| twin.may_alternate.clone(),
        ),
        may_share_muscle: twin.map_or_else(
            || matrix(&lifts, |a, b| rules::same_muscle::may_follow(a, b, &client)),
            |twin| twin.may_share_muscle.clone(),
        ),
        variants: variants(brief),
        part_of: (0..sessions).map(|s| s % parts.max(1)).collect(),
        copies: (0..parts).map(|p| (p..sessions).step_by(parts.max(1)).count() as i32).collect(),
        minutes_units: minutes_units(brief).into_iter().take(parts).collect(),
        sets_most,
        exercises_most: with_locks(&client, rules::session_amount::exercises_most(&client), |_| 1),
        start_units: start_units(&lifts, &client),
        class: lifts.iter().map(|l| rules::order::class(&l.exercise, &client)).collect(),
        left_out: left_out(&client, &lifts),
        locks: Vec::new(),
        broken_locks: Vec::new(),
        balances: rules::balance::applies(&client, &with_a_session.collect::<Vec<_>>()),
        balance_slack: balance_slack(&client.rules) as i32,
        sessions_least: [0; Muscle::COUNT],
        raw_least: [0; Muscle::COUNT],
        hot: Vec::new(),
        choices: Vec::new(),
        pairs: Vec::new(),
        kept: kept(brief, &lifts),
        trained_quarters: if client.first_weeks() { 2 } else { 4 },
        halves: becomes_halves(&client),
        brief: brief.clone(),
        rules: client.rules,
        lifts,
        quotas,
        tables,
    };
    sort_locks(&mut problem, &client, catalogue);
    hold_what_is_locked(&mut problem);
    problem.prepare();
    problem.sessions_least = sessions_least(&problem);
    problem.raw_least = std::array::from_fn(|m| {
        problem.tables.least[m].max(problem.sessions_least[m] as i32 * problem.trained_quarters)
    });
    problem
}

/// The lifts of a client, in order of identifier.
fn lifts_of(client: &Client<'_>, catalogue: &Catalogue, like: Option<&Problem>) -> Vec<Candidate> {
    let known = |e: &Exercise| {
        let lifts = &like?.lifts;
        lifts.binary_search_by(|l| l.exercise.id.cmp(&e.id)).ok().map(|i| &lifts[i])
    };
    let given = eligible(client, catalogue).into_iter();
    let mut lifts: Vec<Candidate> = given.map(|e| lift::compile(e, client, known(e))).collect();
    lift::set_ranks(&mut lifts);
    lift::settle_ties(&mut lifts);
    lifts
}

/// Whether the widest least gap of any day set is so narrow that the whole body becomes two halves.
fn becomes_halves(client: &Client<'_>) -> bool {
    let cycle = client.brief.time.cycle_days;
    let gap = |days: &Vec<u32>| rules::days::least_gap(days, cycle);
    let widest = rules::days::all_day_sets(client.brief).iter().map(gap).max().unwrap_or(cycle);
    client.brief.style.focus.is_empty() && rules::days::becomes_halves(widest, client)
}

/// Limits of the sessions, at least as wide as what the coach has fixed in them.
fn with_locks(client: &Client<'_>, most: Vec<u32>, each: impl Fn(&Lock) -> u32) -> Vec<u32> {
    let fixed = |s: usize| -> u32 {
        let here = |l: &&Lock| l.session.is_none_or(|n| n as usize == s + 1);
        client.brief.locks.iter().filter(here).map(&each).sum()
    };
    most.into_iter().enumerate().map(|(s, most)| most.max(fixed(s))).collect()
}

/// What no lift can serve, or none that has a session, is not asked.
fn drop_what_nothing_serves(quotas: &mut Quotas, tables: &Tables, there: &[bool]) {
    for k in 0..quotas.counts.len() {
        if tables.signs.iter().zip(there).all(|(s, there)| s[k] <= 0 || !there) {
            quotas.cycle_least[k] = i16::MIN;
        }
    }
}

/// What the coach has fixed is never too much: it counts, and limits are at least as wide as it alone.
fn hold_what_is_locked(problem: &mut Problem) {
    let sessions = problem.part_of.len();
    for k in 0..problem.quotas.counts.len() {
        let each = problem.quotas.counts[k].unit == Unit::Set;
        let sign = |lift: usize| problem.tables.signs[lift][k];
        let units = |(lift, lock): &(usize, Lock)| {
            let sets = if each { lock.sets.unwrap_or(problem.rules.sets.0) as i16 } else { 1 };
            let partner = lock.with.as_ref().and_then(|id| problem.place(id)).map_or(0, sign);
            (sign(*lift) + partner) * sets
        };
        let of = |session: usize| {
            let here = |lock: &Lock| lock.session.is_none_or(|n| n as usize == session + 1);
            problem.locks.iter().filter(|(_, l)| here(l)).map(units).sum::<i16>()
        };
        let session = (0..sessions).map(of).max().unwrap_or(0);
        let copies = |lock: &Lock| {
            let in_session = lock.session.map_or(0..sessions, |n| n as usize - 1..n as usize);
            in_session.map(|s| problem.copies[problem.part_of[s]]).max().unwrap_or(1) as i16
        };
        let cycle = problem.locks.iter().map(|own| units(own) * copies(&own.1)).sum();
        problem.quotas.widen(k, session, cycle);
    }
}

/// Whether the foci that the brief fixes have a session for an exercise, or a lock.
fn has_a_session(exercise: &Exercise, brief: &Brief) -> bool {
    let foci = brief.style.focus.iter().take(brief.time.sessions as usize);
    let locked = || brief.locks.iter().any(|l| l.exercise == exercise.id);
    brief.style.focus.is_empty() || foci.into_iter().any(|f| belongs(*f, exercise.pattern)) || locked()
}

/// Whether sets take and give the same under two briefs.
fn reckons_alike(one: &Brief, other: &Brief) -> bool {
    one.goal == other.goal
        && one.training_age == other.training_age
        && one.body == other.body
        && one.lifts == other.lifts
        && one.screening == other.screening
        && one.conditions == other.conditions
        && one.hurts == other.hurts
        && one.present == other.present
        && one.equipment == other.equipment
        && one.exclude.asks == other.exclude.asks
        && Muscle::ALL.into_iter().all(|m| {
            let wish = |b: &Brief| b.muscles.get(&m).and_then(|w| w.priority);
            wish(one) == wish(other)
        })
}

/// Whether the same lifts may stand together in the same ways.
fn pairs_alike(twin: &Problem, brief: &Brief, lifts: &[Candidate]) -> bool {
    twin.brief.time.busy == brief.time.busy
        && twin.brief.style.alternate == brief.style.alternate
        && twin.lifts.iter().map(|l| &l.exercise.id).eq(lifts.iter().map(|l| &l.exercise.id))
}

fn eligible<'a>(client: &Client<'_>, catalogue: &'a Catalogue) -> Vec<&'a Exercise> {
    let can = catalogue.iter().filter(|e| client.room.can_do(e) && client.keeps_out(e).is_none());
    rules::plain_choice::short_list(can.collect(), client)
}

/// What the client does, told as a lift or of the present week, and is not given, and why.
fn left_out(client: &Client<'_>, lifts: &[Candidate]) -> Vec<(ExerciseId, String)> {
    let given = |e: &Exercise| lifts.iter().any(|l| l.exercise.id == e.id);
    let why = |e: &Exercise| match client.keeps_out(e) {
        Some(why) => why,
        None => missing(client, e),
    };
    let told = client.shown();
    told.filter(|e| !given(e)).map(|e| (e.id.clone(), why(e))).collect()
}

fn missing(client: &Client<'_>, exercise: &Exercise) -> String {
    format!("it needs what is not there: {}", client.room.missing_for(exercise).join(", "))
}

/// By lift: the sessions in which the programme before had it (bits).
fn kept(brief: &Brief, lifts: &[Candidate]) -> Vec<u16> {
    let sessions = brief.style.before.as_ref().map_or(&[][..], |b| &b.sessions);
    let sessions = sessions.iter().take(brief.time.sessions as usize).enumerate();
    let had = |id: &ExerciseId| {
        let those = sessions.clone().filter(|(_, s)| s.prescriptions().any(|p| p.id == *id));
        those.map(|(s, _)| 1u16 << s).sum()
    };
    lifts.iter().map(|l| had(&l.exercise.id)).collect()
}

/// Time of each session that is left after a cold start, in steps of the planner's clock.
pub fn minutes_units(brief: &Brief) -> Vec<u32> {
    let left_s = |s: usize| (brief.time.minutes.of(s).to_seconds().get() - cold_start_s(brief)).max(0.0);
    (0..brief.time.sessions as usize).map(|s| (left_s(s) / TIME_STEP_S).floor() as u32).collect()
}

/// What a cold start takes of every session, whatever is done in it.
pub fn cold_start_s(brief: &Brief) -> f64 {
    if brief.time.cold { clock::COLD_START_S } else { 0.0 }
}

/// The most that the session's first lift takes beyond a family lead's ramp.
fn start_units(lifts: &[Candidate], client: &Client<'_>) -> u32 {
    let ramped = lifts.iter().filter(|l| l.family.is_some());
    ramped.map(|l| lift::lead_extra_units(&l.exercise, client)).max().unwrap_or(0)
}

fn matrix(lifts: &[Candidate], allowed: impl Fn(&Exercise, &Exercise) -> bool) -> Vec<Vec<bool>> {
    lifts
        .iter()
        .map(|a| {
            lifts
                .iter()
                .map(|b| a.exercise.id != b.exercise.id && allowed(&a.exercise, &b.exercise))
                .collect()
        })
        .collect()
}

fn variants(brief: &Brief) -> Vec<u32> {
    let wanted =
        |m: &Muscle| brief.muscles.get(m).and_then(|w| w.priority).is_some_and(|p| p >= Priority::High);
    Pattern::ALL
        .iter()
        .map(|p| if pattern_primes(*p).iter().any(wanted) { VARIANTS_FOR_PRIORITY as u32 } else { 1 })
        .collect()
}

/// The muscles a pattern is chosen for that may come twice in a session. Compounds keep to one main variant, but for pulls, which come
/// at the back from above and from ahead in more than one way.
fn pattern_primes(pattern: Pattern) -> &'static [Muscle] {
    match pattern {
        Pattern::ChestFly => &[Muscle::Chest],
        Pattern::LateralRaise => &[Muscle::SideDelts],
        Pattern::FrontRaise => &[Muscle::FrontDelts],
        Pattern::ElbowExtension => &[Muscle::Triceps],
        Pattern::RearFly => &[Muscle::RearDelts],
        Pattern::Shrug => &[Muscle::Traps],
        Pattern::ElbowFlexion => &[Muscle::Biceps],
        Pattern::Wrist => &[Muscle::Forearms],
        Pattern::KneeExtension => &[Muscle::Quads],
        Pattern::KneeFlexion => &[Muscle::Hamstrings],
        Pattern::HipAdduction => &[Muscle::Adductors],
        Pattern::CalfRaise => &[Muscle::Calves],
        Pattern::TrunkFlexion => &[Muscle::Abs],
        Pattern::VerticalPull => &[Muscle::Lats],
        Pattern::HorizontalRow => &[Muscle::UpperBack],
        _ => &[],
    }
}

fn sort_locks(problem: &mut Problem, client: &Client<'_>, catalogue: &Catalogue) {
    for lock in problem.brief.locks.clone() {
        let why = match (problem.place(&lock.exercise), lock.with.as_ref().map(|id| (id, problem.place(id))))
        {
            (None, _) => why_not_eligible(client, catalogue, &lock.exercise),
            (Some(_), Some((with, None))) => why_not_eligible(client, catalogue, with),
            (Some(a), Some((_, Some(b)))) if !may_pair(problem, a, b) => {
                let name = |l: usize| &problem.lifts[l].exercise.name;
                format!("{} and {} are locked together and may not share a block", name(a), name(b))
            }
            (Some(index), _) if problem.rules.spine_heavy == 0 && problem.lifts[index].spine_heavy => {
                let name = &problem.lifts[index].exercise.name;
                format!("{name} loads the spine heavily, which the rules for this client leave for later")
            }
            (Some(index), _) => {
                problem.locks.push((index, lock));
                continue;
            }
        };
        problem.broken_locks.push((lock, why));
    }
}

/// Whether two lifts may share a block in any way.
fn may_pair(problem: &Problem, a: usize, b: usize) -> bool {
    problem.may_alternate[a][b] || problem.may_share_muscle[a][b] || problem.may_share_muscle[b][a]
}

fn why_not_eligible(client: &Client<'_>, catalogue: &Catalogue, id: &ExerciseId) -> String {
    let Some(exercise) = catalogue.get(id) else {
        return format!("the catalogue has no exercise {id}");
    };
    match client.keeps_out(exercise) {
        Some(why) => format!("{} is locked, and {why}", exercise.name),
        None => format!("{} is locked, and {}", exercise.name, missing(client, exercise)),
    }
}

fn sessions_least(problem: &Problem) -> [u32; Muscle::COUNT] {
    let brief = &problem.brief;
    let mut least = [0; Muscle::COUNT];
    for muscle in Muscle::ALL {
        let wish = brief.muscles.get(&muscle);
        let asked = wish.and_then(|w| w.sessions);
        // So few sets as the brief has at most train it in no more visits than they fill.
        let filled = wish.and_then(|w| w.most).map_or(u32::MAX, |most| {
            let quarters = 4.0 * most.get() * f64::from(brief.time.cycle_days) / 7.0;
            (quarters / f64::from(problem.trained_quarters.max(1))) as u32
        });
        least[muscle.index()] = asked.unwrap_or_else(|| major_sessions(problem, muscle).min(filled));
    }
    least
}

fn major_sessions(problem: &Problem, muscle: Muscle) -> u32 {
    let brief = &problem.brief;
    let low = brief.muscles.get(&muscle).and_then(|w| w.priority).is_some_and(|p| p <= Priority::Low);
    let possible = problem
        .lifts
        .iter()
        .any(|l| l.quarters.iter().any(|&(m, q)| usize::from(m) == muscle.index() && q >= 4));
    let applies = Muscle::MAJOR.contains(&muscle)
        && !low
        && possible
        && !brief.exclude.muscles.contains(&muscle)
        && brief.style.focus.is_empty();
    let most = if problem.halves { 1 } else { brief.time.sessions };
    if applies { problem.rules.major_sessions.min(most) } else { 0 }
}
