//! The brief, compiled: eligible lifts with whole-number times, doses and costs, so that search and bound
//! reckon exactly and alike on every machine.
//!
//! Time is counted in steps of five seconds, rounded up; doses in quarter-sets; worth in 1/64 of a set; value
//! in millionths of a point. Nothing here chooses anything.

use crate::tables::{Tables, WORTH_UNIT};
use setwright_model::brief::{Brief, Goal, Lock, Priority, TrainingAge};
use setwright_model::exercise::{Exercise, LoadKind, Measure};
use setwright_model::pattern::{Region, Side};
use setwright_model::station::Area;
use setwright_model::{Belief, BlockKind, Catalogue, ExerciseId, Kilograms, Muscle, Pattern, Seconds};
use setwright_science::loads::Loadable;
use setwright_science::rules::{COMPETING_CONTRIBUTION, Rules, VARIANTS_FOR_PRIORITY, balance_slack};
use setwright_science::warmup::{RampFamily, Role, StepShape, can_ramp, rank, steps};
use setwright_science::{acute, clock, equipment, prescribe, strength};

/// Seconds in a step of the planner's clock.
pub const TIME_STEP_S: f64 = 5.0;
/// Most sets of an exercise in a session that the planner considers.
pub const SETS: usize = 5;
/// Seconds that the partner's set and the walk take in an alternating block, for the recovery between two sets
/// of one exercise (judgement: a set of ten reps and a few steps).
const PARTNER_S: f64 = 45.0;

/// A way to do an exercise: its part in a block, and the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mode {
    /// Kind of block.
    pub kind: BlockKind,
    /// Rest after a set or a round.
    pub rest_s: u32,
    /// Second exercise of a same-muscle block.
    pub second: bool,
}

const fn mode(kind: BlockKind, rest_s: u32, second: bool) -> Mode {
    Mode { kind, rest_s, second }
}

/// All modes. A same-muscle block's second exercise is in the mode [`SAME_SECOND`] further on.
pub const MODES: [Mode; 11] = [
    mode(BlockKind::Straight, 60, false),
    mode(BlockKind::Straight, 90, false),
    mode(BlockKind::Straight, 120, false),
    mode(BlockKind::Straight, 180, false),
    mode(BlockKind::Alternating, 30, false),
    mode(BlockKind::Alternating, 60, false),
    mode(BlockKind::Alternating, 90, false),
    mode(BlockKind::SameMuscle, 90, false),
    mode(BlockKind::SameMuscle, 120, false),
    mode(BlockKind::SameMuscle, 90, true),
    mode(BlockKind::SameMuscle, 120, true),
];
/// Distance from the mode of a same-muscle block's first exercise to that of its second.
pub const SAME_SECOND: u8 = 2;
/// Modes of alternating blocks.
pub const ALTERNATING: std::ops::Range<u8> = 4..7;
/// Modes of straight blocks.
pub const STRAIGHT: std::ops::Range<u8> = 0..4;
/// Modes of the first exercise of same-muscle blocks.
pub const SAME_FIRST: std::ops::Range<u8> = 7..9;

/// What `sets` sets of a lift in a mode take and give.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// Whether it is allowed at all.
    pub allowed: bool,
    /// Sessions in which it is allowed (bits): sets outside the rules only where the coach has fixed them.
    pub sessions: u16,
    /// Time when the lift's family is warm.
    pub time: u16,
    /// Further time when the lift leads its family.
    pub lead: u16,
    /// Worth of the sets, in 1/64 of a set.
    pub worth: i16,
}

/// An exercise the client may do.
#[derive(Clone, Debug)]
pub struct Lift {
    /// The exercise.
    pub exercise: Exercise,
    /// Contributions in quarter-sets a set, by muscle.
    pub quarters: Vec<(u8, i32)>,
    /// Position in the order of a session (0 first).
    pub rank: u32,
    /// Index of the pattern.
    pub pattern: u8,
    /// Family that its ramp belongs to, if it is ramped.
    pub family: Option<u8>,
    /// Side of the balances: 0 push, 1 pull, 2 knee, 3 hip.
    pub side: Option<u8>,
    /// Muscles a compound must find fresh (bits).
    pub wants_fresh: u32,
    /// Muscles a single-joint lift tires (bits).
    pub tires: u32,
    /// Comes after pulls because it spends the grip.
    pub spends_grip: bool,
    /// A pull whose grip must be fresh.
    pub wants_grip: bool,
    /// Systemic, spinal, grip cost of a set.
    pub costs: [u32; 3],
    /// Heavy on the spine.
    pub spine_heavy: bool,
    /// By mode and sets - 1.
    pub choices: Vec<[Choice; SETS]>,
}

impl Lift {
    /// What `sets` sets in `mode` take and give.
    pub fn choice(&self, mode: u8, sets: u8) -> Choice {
        self.choices[mode as usize][usize::from(sets) - 1]
    }
}

/// No family, no side.
pub const NOTHING: u8 = u8::MAX;

/// What the search reads of a lift at every move, close together in memory.
#[derive(Clone, Copy, Debug)]
pub struct Hot {
    /// Muscles and contributions in quarter-sets a set; the first `reached` count.
    pub quarters: [(u8, u8); Muscle::COUNT],
    /// How many muscles it reaches.
    pub reached: u8,
    /// The same muscles (bits).
    pub muscles: u32,
    /// Pattern.
    pub pattern: u8,
    /// Family of its ramp, or [`NOTHING`].
    pub family: u8,
    /// The same as a bit; 0 for none.
    pub family_bit: u32,
    /// Side of the balances, or [`NOTHING`].
    pub side: u8,
    /// Systemic, spinal, grip cost of a set.
    pub costs: [u8; 3],
    /// Heavy on the spine (0 or 1).
    pub spine_heavy: u8,
    /// Whether a lock names it.
    pub locked: bool,
    /// Comes after pulls.
    pub spends_grip: bool,
    /// Comes before what spends the grip.
    pub wants_grip: bool,
    /// Position in a session.
    pub rank: u16,
    /// Muscles a compound must find fresh (bits).
    pub wants_fresh: u32,
    /// Muscles a single-joint lift tires (bits).
    pub tires: u32,
}

impl Hot {
    fn of(lift: &Lift, locked: bool) -> Self {
        let mut quarters = [(0, 0); Muscle::COUNT];
        for (place, (muscle, q)) in quarters.iter_mut().zip(&lift.quarters) {
            *place = (*muscle, *q as u8);
        }
        Self {
            quarters,
            reached: lift.quarters.len() as u8,
            muscles: lift.quarters.iter().map(|(m, _)| 1 << m).sum(),
            pattern: lift.pattern,
            family: lift.family.unwrap_or(NOTHING),
            family_bit: lift.family.map_or(0, |f| 1 << f),
            side: lift.side.unwrap_or(NOTHING),
            costs: lift.costs.map(|c| c as u8),
            spine_heavy: u8::from(lift.spine_heavy),
            locked,
            spends_grip: lift.spends_grip,
            wants_grip: lift.wants_grip,
            rank: lift.rank as u16,
            wants_fresh: lift.wants_fresh,
            tires: lift.tires,
        }
    }

    /// Muscles and contributions in quarter-sets a set.
    pub fn reaches(&self) -> &[(u8, u8)] {
        &self.quarters[..usize::from(self.reached)]
    }
}

/// The brief, compiled.
#[derive(Clone, Debug)]
pub struct Problem {
    /// The lifts again, as the search reads them.
    pub hot: Vec<Hot>,
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
    pub lifts: Vec<Lift>,
    /// Whether two lifts may alternate; row by row.
    pub may_alternate: Vec<Vec<bool>>,
    /// Whether the row's lift may be followed by the column's in a same-muscle block.
    pub may_share_muscle: Vec<Vec<bool>>,
    /// Most exercises of each pattern in a session.
    pub variants: Vec<u32>,
    /// Time of each session that is left after a cold start.
    pub minutes_units: Vec<u32>,
    /// Time that the first lift's longer ramp takes.
    pub start_units: u32,
    /// Tables of value.
    pub tables: Tables,
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
    /// Quarter-sets from which a session counts as training a muscle.
    pub trained_quarters: i32,
    /// By lift: the sessions in which the programme before had it (bits).
    pub kept: Vec<u16>,
}

impl Problem {
    /// Lays out what the search reads, from the lifts and locks.
    pub fn warm_up(&mut self) {
        let locked = |index: usize| self.locks.iter().any(|(l, _)| *l == index);
        self.hot = self.lifts.iter().enumerate().map(|(i, l)| Hot::of(l, locked(i))).collect();
        self.choices = self.lifts.iter().flat_map(|l| l.choices.iter().flatten().copied()).collect();
        let rows = self.may_alternate.iter().zip(&self.may_share_muscle);
        self.pairs = rows
            .flat_map(|(one, two)| one.iter().zip(two).map(|(a, s)| u8::from(*a) | u8::from(*s) << 1))
            .collect();
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
    pub fn choice(&self, lift: usize, mode: u8, sets: u8) -> Choice {
        self.choices[(lift * MODES.len() + usize::from(mode)) * SETS + usize::from(sets) - 1]
    }
}

/// Compiles a brief. `belief` gives the recovery time constants.
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
    let rules = Rules::of(brief);
    let like = like.filter(|p| reckons_alike(&p.brief, brief));
    let known = |e: &Exercise| {
        let lifts = &like?.lifts;
        lifts.binary_search_by(|l| l.exercise.id.cmp(&e.id)).ok().map(|i| &lifts[i])
    };
    let mut lifts: Vec<Lift> = eligible(brief, &rules, catalogue, belief)
        .into_iter()
        .map(|e| compile_lift(e, brief, &rules, known(e)))
        .collect();
    set_ranks(&mut lifts);
    let twin = like.filter(|twin| pairs_alike(twin, brief, &lifts));
    let mut problem = Problem {
        may_alternate: twin.map_or_else(
            || matrix(&lifts, |a, b| may_alternate(a, b, brief, &rules)),
            |twin| twin.may_alternate.clone(),
        ),
        may_share_muscle: twin.map_or_else(
            || matrix(&lifts, |a, b| may_share_muscle(a, b, brief, &rules)),
            |twin| twin.may_share_muscle.clone(),
        ),
        variants: variants(brief),
        minutes_units: minutes_units(brief),
        start_units: start_units(&lifts, brief),
        tables: Tables::new(brief, belief, &rules, minutes_mode),
        locks: Vec::new(),
        broken_locks: Vec::new(),
        balances: balances(brief, &lifts),
        balance_slack: balance_slack(&rules) as i32,
        sessions_least: [0; Muscle::COUNT],
        hot: Vec::new(),
        choices: Vec::new(),
        pairs: Vec::new(),
        kept: kept(brief, &lifts),
        trained_quarters: if rules.sets.1 == 1 { 2 } else { 4 },
        brief: brief.clone(),
        rules,
        lifts,
    };
    sort_locks(&mut problem, catalogue);
    problem.warm_up();
    problem.sessions_least = sessions_least(&problem);
    problem
}

/// Whether sets take and give the same under two briefs.
fn reckons_alike(one: &Brief, other: &Brief) -> bool {
    one.goal == other.goal && one.training_age == other.training_age
}

/// Whether the same lifts may stand together in the same ways.
fn pairs_alike(twin: &Problem, brief: &Brief, lifts: &[Lift]) -> bool {
    let priority = |b: &Brief, m: Muscle| b.muscles.get(&m).and_then(|w| w.priority);
    twin.brief.time.busy == brief.time.busy
        && twin.brief.style.alternate == brief.style.alternate
        && Muscle::ALL.into_iter().all(|m| priority(&twin.brief, m) == priority(brief, m))
        && twin.lifts.iter().map(|l| &l.exercise.id).eq(lifts.iter().map(|l| &l.exercise.id))
}

fn eligible<'a>(
    brief: &Brief,
    rules: &Rules,
    catalogue: &'a Catalogue,
    belief: &Belief,
) -> Vec<&'a Exercise> {
    let stations = equipment::stations(&brief.equipment);
    let locked = |e: &Exercise| brief.locks.iter().any(|l| l.exercise == e.id);
    catalogue
        .iter()
        .filter(|e| equipment::can_do(e, &stations))
        .filter(|e| !is_excluded(e, brief))
        .filter(|e| locked(e) || e.skill <= rules.skill && !is_too_heavy(e, brief, belief))
        .collect()
}

/// Whether the client is known to be too weak for the lightest load that can be made.
fn is_too_heavy(exercise: &Exercise, brief: &Brief, belief: &Belief) -> bool {
    let Ok(loadable) = Loadable::of(&brief.equipment, exercise) else { return false };
    let scheme = prescribe::scheme(exercise, brief.goal, brief.training_age);
    let known = belief.one_rm.contains_key(&exercise.id) && exercise.measure == Measure::Reps;
    known
        && !loadable.is_none()
        && strength::total(exercise, Kilograms::ZERO, brief.body.mass_kg).is_some()
        && strength::work_load(exercise, scheme, belief, &loadable, brief.body.mass_kg).is_none()
}

fn is_excluded(exercise: &Exercise, brief: &Brief) -> bool {
    let out = &brief.exclude;
    out.exercises.contains(&exercise.id)
        || out.patterns.contains(&exercise.pattern)
        || exercise.asks.iter().any(|a| out.asks.contains(a))
        || exercise.direct.iter().any(|m| out.muscles.contains(m))
}

fn compile_lift(exercise: &Exercise, brief: &Brief, rules: &Rules, known: Option<&Lift>) -> Lift {
    let compound = exercise.pattern.is_compound();
    let bits = |wanted: &dyn Fn(f64) -> bool| -> u32 {
        exercise.contributions().filter(|(_, c)| wanted(*c)).map(|(m, _)| 1 << m.index()).sum()
    };
    let spends_grip = matches!(exercise.pattern, Pattern::Wrist | Pattern::GripHold | Pattern::Carry)
        && exercise.is_grip_heavy();
    Lift {
        quarters: exercise.contributions().map(|(m, c)| (m.index() as u8, (c * 4.0) as i32)).collect(),
        rank: 0,
        pattern: exercise.pattern as u8,
        family: RampFamily::of(exercise.pattern).filter(|_| can_ramp(exercise)).map(|f| f as u8),
        side: side(exercise.pattern),
        wants_fresh: if compound { bits(&|c| c >= COMPETING_CONTRIBUTION) } else { 0 },
        tires: if compound { 0 } else { bits(&|c| c >= 1.0) },
        spends_grip,
        wants_grip: compound && exercise.pattern.side() == Side::Pull,
        costs: [exercise.systemic, exercise.spinal, exercise.grip].map(u32::from),
        spine_heavy: exercise.is_spinal(),
        choices: (0..MODES.len())
            .map(|m| choices(exercise, MODES[m], brief, rules, known.map(|lift| &lift.choices[m])))
            .collect(),
        exercise: exercise.clone(),
    }
}

fn side(pattern: Pattern) -> Option<u8> {
    match pattern.side() {
        Side::Push => Some(0),
        Side::Pull => Some(1),
        Side::Knee => Some(2),
        Side::Hip => Some(3),
        Side::Other | Side::Whole => None,
    }
}

/// By lift: the sessions in which the programme before had it (bits).
fn kept(brief: &Brief, lifts: &[Lift]) -> Vec<u16> {
    let sessions = brief.style.before.as_ref().map_or(&[][..], |b| &b.sessions);
    let sessions = sessions.iter().take(brief.time.sessions as usize).enumerate();
    let had = |id: &ExerciseId| {
        let those = sessions.clone().filter(|(_, s)| s.prescriptions().any(|p| p.id == *id));
        those.map(|(s, _)| 1u16 << s).sum()
    };
    lifts.iter().map(|l| had(&l.exercise.id)).collect()
}

fn set_ranks(lifts: &mut [Lift]) {
    let mut order: Vec<usize> = (0..lifts.len()).collect();
    order.sort_by(|&a, &b| rank(&lifts[a].exercise).cmp(&rank(&lifts[b].exercise)));
    for (place, index) in order.into_iter().enumerate() {
        lifts[index].rank = place as u32;
    }
}

fn choices(
    exercise: &Exercise,
    mode: Mode,
    brief: &Brief,
    rules: &Rules,
    known: Option<&[Choice; SETS]>,
) -> [Choice; SETS] {
    let mut out = [Choice::default(); SETS];
    for (index, choice) in out.iter_mut().enumerate() {
        let sets = index as u32 + 1;
        if allows(exercise, mode, sets, brief, rules) {
            *choice = known
                .map(|known| known[index])
                .filter(|known| known.allowed)
                .unwrap_or_else(|| one_choice(exercise, mode, sets, brief, rules));
            choice.sessions = sessions_allowed(exercise, sets, brief, rules);
        }
    }
    out
}

fn allows(exercise: &Exercise, mode: Mode, sets: u32, brief: &Brief, rules: &Rules) -> bool {
    let locked = |l: &&Lock| l.exercise == exercise.id && l.sets == Some(sets);
    let in_range = sets >= rules.sets.0 && sets <= rules.sets.1;
    if !in_range && brief.locks.iter().find(locked).is_none() {
        return false;
    }
    let compound = exercise.pattern.is_compound();
    let heavy = brief.goal == Goal::Strength;
    let advanced = brief.training_age == TrainingAge::Advanced;
    match mode.kind {
        // In the first weeks everything alternates, as long as the coach lets it.
        BlockKind::Straight if rules.sets.1 == 1 && brief.style.alternate => {
            brief.locks.iter().any(|l| l.exercise == exercise.id)
        }
        BlockKind::Straight => match mode.rest_s {
            60 => !compound,
            // Trunk and single-joint work is ready again sooner; what is heavy for strength takes longer.
            90 => !(heavy && exercise.is_taxing()),
            120 => compound || sets > 1 && advanced && exercise.pattern.region() != Region::Trunk,
            _ => compound && sets > 1 && (heavy || advanced),
        },
        BlockKind::Alternating => {
            brief.style.alternate
                && (!exercise.is_taxing() || rules.taxing_may_share)
                && (sets > 1 || mode.rest_s == 30)
                && (mode.rest_s > 30 || sets == 1 || !heavy || !compound)
                && (mode.rest_s < 90 || heavy && compound)
        }
        BlockKind::SameMuscle => {
            rules.same_muscle && !exercise.is_taxing() && is_for_priority(exercise, brief, Priority::High)
        }
    }
}

fn is_for_priority(exercise: &Exercise, brief: &Brief, least: Priority) -> bool {
    exercise.prime().and_then(|m| brief.muscles.get(&m)).and_then(|w| w.priority).is_some_and(|p| p >= least)
}

fn one_choice(exercise: &Exercise, mode: Mode, sets: u32, brief: &Brief, rules: &Rules) -> Choice {
    let scheme = prescribe::scheme(exercise, brief.goal, brief.training_age);
    let mid_reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0;
    let light = rules.sets.1 == 1;
    let work_s = exercise.work(mid_reps).get();
    let rest_s = f64::from(mode.rest_s);
    let (setup_s, walk_s) = (exercise.setup_s.get(), exercise.changeover_s.get() / 2.0);
    let n = f64::from(sets);
    let wait_s = rest_s.min(clock::CHANGE_OF_BLOCK_MAX_S);
    let body_s = if mode.kind == BlockKind::Straight {
        setup_s.max(wait_s) + n * work_s + (n - 1.0) * rest_s
    } else {
        setup_s.max(wait_s / 2.0) + n * (work_s + walk_s + rest_s / 2.0) - rest_s / 2.0
    };
    let ramp_s = |role| ramp_time(exercise, &steps(exercise, role, mid_reps, light), mode.kind);
    let time = units(body_s + ramp_s(Role::Follower));
    let lead = units(body_s + ramp_s(Role::FamilyLead)).saturating_sub(time);
    Choice {
        allowed: true,
        sessions: u16::MAX,
        time: time as u16,
        lead: lead as u16,
        worth: worth(exercise, mode, sets, mid_reps, scheme.rir, brief),
    }
}

/// Sessions (bits) that may have this many sets: all, or those for which a lock asks for them.
fn sessions_allowed(exercise: &Exercise, sets: u32, brief: &Brief, rules: &Rules) -> u16 {
    if (rules.sets.0..=rules.sets.1).contains(&sets) {
        return u16::MAX;
    }
    let asked = brief.locks.iter().filter(|l| l.exercise == exercise.id && l.sets == Some(sets));
    asked.fold(0, |bits, lock| {
        bits | lock
            .session
            .map_or(u16::MAX, |s| s.checked_sub(1).and_then(|s| 1u16.checked_shl(s)).unwrap_or(0))
    })
}

fn worth(exercise: &Exercise, mode: Mode, sets: u32, mid_reps: f64, rir: u32, brief: &Brief) -> i16 {
    let rest_s = f64::from(mode.rest_s);
    let rir = f64::from(rir);
    let quality = match mode.kind {
        BlockKind::Straight => acute::set_quality(exercise, sets, mid_reps, rir, Seconds(rest_s)).get(),
        BlockKind::Alternating => {
            acute::set_quality(exercise, sets, mid_reps, rir, Seconds(rest_s + PARTNER_S)).get()
        }
        BlockKind::SameMuscle => {
            acute::same_muscle_quality(exercise, exercise, sets, mid_reps, rir, Seconds(rest_s))
                [usize::from(mode.second)]
            .get()
        }
    };
    let suits = prescribe::suits(exercise, brief.goal, brief.training_age);
    (WORTH_UNIT * setwright_science::dose::worth(sets) * quality * suits).round() as i16
}

/// Seconds of a ramp in a block of this kind.
pub fn ramp_time(exercise: &Exercise, shapes: &[StepShape], kind: BlockKind) -> f64 {
    shapes.iter().map(|s| exercise.work(f64::from(s.reps)).get() + clock::ramp_rest_s(kind)).sum()
}

/// Seconds in steps of the planner's clock, rounded up.
pub fn units(time_s: f64) -> u32 {
    (time_s / TIME_STEP_S - 1e-9).ceil().max(0.0) as u32
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
fn start_units(lifts: &[Lift], brief: &Brief) -> u32 {
    lifts.iter().filter(|l| l.family.is_some()).map(|l| lead_extra_units(l, brief)).max().unwrap_or(0)
}

/// What it takes beyond a family lead's ramp when this lift leads the session.
pub fn lead_extra_units(lift: &Lift, brief: &Brief) -> u32 {
    let e = &lift.exercise;
    let scheme = prescribe::scheme(e, brief.goal, brief.training_age);
    let mid_reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0;
    let light = Rules::of(brief).sets.1 == 1;
    let kind =
        if brief.style.alternate && !e.is_taxing() { BlockKind::Alternating } else { BlockKind::Straight };
    let time_s = |role| ramp_time(e, &steps(e, role, mid_reps, light), kind);
    units(time_s(Role::SessionLead) - time_s(Role::FamilyLead))
}

fn matrix(lifts: &[Lift], allowed: impl Fn(&Exercise, &Exercise) -> bool) -> Vec<Vec<bool>> {
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

fn may_alternate(a: &Exercise, b: &Exercise, brief: &Brief, rules: &Rules) -> bool {
    let clash = competes(a, b) || both_heavy(a, b);
    brief.style.alternate
        && !clash
        && taxing_may_stand(a, b, rules)
        && taxing_may_stand(b, a, rules)
        && can_hold_both(a, b, brief.time.busy)
}

/// Both heavy on the grip, or both on the spine.
fn both_heavy(a: &Exercise, b: &Exercise) -> bool {
    a.is_grip_heavy() && b.is_grip_heavy() || a.is_spinal() && b.is_spinal()
}

fn competes(a: &Exercise, b: &Exercise) -> bool {
    Muscle::ALL
        .into_iter()
        .any(|m| a.contribution(m) >= COMPETING_CONTRIBUTION && b.contribution(m) >= COMPETING_CONTRIBUTION)
}

fn taxing_may_stand(taxing: &Exercise, beside: &Exercise, rules: &Rules) -> bool {
    !taxing.is_taxing() || rules.taxing_may_share && beside.systemic == 0 && beside.spinal == 0
}

fn can_hold_both(a: &Exercise, b: &Exercise, busy: bool) -> bool {
    let fixed = |e: &Exercise| {
        let mut s: Vec<_> = e.stations.iter().copied().filter(|s| s.area() != Area::Anywhere).collect();
        s.sort_unstable();
        s
    };
    let (fixed_a, fixed_b) = (fixed(a), fixed(b));
    let mut all: Vec<_> = fixed_a.iter().chain(&fixed_b).copied().collect();
    all.sort_unstable();
    all.dedup();
    let bigs = all.iter().filter(|s| s.is_big()).count();
    let one_area = all.windows(2).all(|w| w[0].area() == w[1].area());
    let busy_ok = !busy || fixed_a.is_empty() || fixed_b.is_empty() || fixed_a == fixed_b;
    let same_bar = a.load == LoadKind::Bar && b.load == LoadKind::Bar
        || a.load == LoadKind::Discs && b.load == LoadKind::Discs;
    let same_big = fixed_a.iter().any(|s| s.is_big() && fixed_b.contains(s));
    bigs <= 1 && one_area && busy_ok && !same_bar && !same_big
}

fn may_share_muscle(a: &Exercise, b: &Exercise, brief: &Brief, rules: &Rules) -> bool {
    rules.same_muscle
        && a.prime().is_some()
        && a.prime() == b.prime()
        && is_for_priority(a, brief, Priority::High)
        && !a.is_taxing()
        && !b.is_taxing()
        && !both_heavy(a, b)
        && can_hold_both(a, b, brief.time.busy)
}

fn variants(brief: &Brief) -> Vec<u32> {
    let wanted =
        |m: &Muscle| brief.muscles.get(m).and_then(|w| w.priority).is_some_and(|p| p >= Priority::High);
    Pattern::ALL
        .iter()
        .map(|p| if pattern_primes(*p).iter().any(wanted) { VARIANTS_FOR_PRIORITY as u32 } else { 1 })
        .collect()
}

/// The muscles a single-joint pattern is chosen for. Compounds keep to one main variant.
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
        _ => &[],
    }
}

fn balances(brief: &Brief, lifts: &[Lift]) -> [bool; 2] {
    let top = |sides: [Side; 2]| {
        brief.muscles.iter().any(|(m, w)| {
            w.priority == Some(Priority::Top)
                && lifts
                    .iter()
                    .any(|l| l.exercise.prime() == Some(*m) && sides.contains(&l.exercise.pattern.side()))
        })
    };
    let has = |side: u8| lifts.iter().any(|l| l.side == Some(side));
    [has(0) && has(1) && !top([Side::Push, Side::Pull]), has(2) && has(3) && !top([Side::Knee, Side::Hip])]
}

fn sort_locks(problem: &mut Problem, catalogue: &Catalogue) {
    for lock in problem.brief.locks.clone() {
        let place = |id: &ExerciseId| problem.lifts.iter().position(|l| l.exercise.id == *id);
        let why = match (place(&lock.exercise), lock.with.as_ref().map(|id| (id, place(id)))) {
            (None, _) => why_not_eligible(&problem.brief, catalogue, &lock.exercise),
            (Some(_), Some((with, None))) => why_not_eligible(&problem.brief, catalogue, with),
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

fn why_not_eligible(brief: &Brief, catalogue: &Catalogue, id: &ExerciseId) -> String {
    let Some(exercise) = catalogue.get(id) else {
        return format!("the catalogue has no exercise {id}");
    };
    if is_excluded(exercise, brief) {
        return format!("{} is locked and excluded", exercise.name);
    }
    let stations = equipment::stations(&brief.equipment);
    let missing: Vec<&str> =
        exercise.stations.iter().filter(|s| !stations.contains(s)).map(|s| s.name()).collect();
    format!("{} needs what is not there: {}", exercise.name, missing.join(", "))
}

fn sessions_least(problem: &Problem) -> [u32; Muscle::COUNT] {
    let brief = &problem.brief;
    let mut least = [0; Muscle::COUNT];
    for muscle in Muscle::ALL {
        let wish = brief.muscles.get(&muscle);
        let asked = wish.and_then(|w| w.sessions);
        least[muscle.index()] = asked.unwrap_or_else(|| major_sessions(problem, muscle));
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
    if applies { problem.rules.major_sessions.min(brief.time.sessions) } else { 0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_science::catalogue::builtin;

    #[test]
    fn a_cold_start_is_taken_from_every_session_whatever_is_done_in_it() {
        let of = |cold: bool| {
            let text = format!(
                "name = \"A\"\ngoal = \"general\"\ntraining_age = \"beginner\"\ntime = {{ sessions = 2, minutes = 20, cold = {cold} }}"
            );
            let brief: Brief = toml::from_str(&text).unwrap();
            compile(&brief, builtin(), &strength::belief(&brief, builtin()), false)
        };
        assert_eq!((of(false).minutes_units, of(true).minutes_units), (vec![240, 240], vec![180, 180]));
        assert_eq!(of(false).start_units, of(true).start_units);
    }
}
