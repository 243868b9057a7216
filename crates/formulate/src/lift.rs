//! An exercise compiled for one client: what sets of it take and give in every way that is allowed, and what the rules
//! count it as. Nothing here chooses anything.

use crate::modes::{MODES, Mode};
use crate::rules::{self, Client};
pub use crate::units::{COST_EFFORT, COST_SETS, COSTS, COUNTS, EFFORT_MOST, NOTHING};
use crate::units::{SETS, WORTH_UNIT, units};
use setwright_gym::loads::Loadable;
use setwright_model::brief::Lock;
use setwright_model::exercise::{Exercise, LoadKind, Measure};
use setwright_model::pattern::{Region, Side};
use setwright_model::{BlockKind, Kilograms, Muscle, Pattern, Seconds};
use setwright_science::prescribe::Scheme;
use setwright_science::rules::COMPETING_CONTRIBUTION;
use setwright_science::warmup::{RampFamily, StepShape, WarmUpRole, can_ramp, steps};
use setwright_science::{acute, clock, strength};

/// Seconds that the partner's set and the walk take in an alternating block, for the recovery between two sets
/// of one exercise (judgement: a set of ten reps and a few steps).
const PARTNER_S: f64 = 45.0;
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
    /// What it costs to have it in a session at all, in millionths of a point; negative where it is wanted.
    pub price: i32,
}

/// An exercise the client may do.
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own about the lift and the client")]
#[derive(Clone, Debug)]
pub struct Candidate {
    /// The exercise.
    pub exercise: Exercise,
    /// Reps and reserve.
    pub scheme: Scheme,
    /// Contributions in quarter-sets a set, by muscle.
    pub quarters: Vec<(u8, i32)>,
    /// Among the lifts of its ramp family: whose ramp is reserved (0 first, the longest).
    pub rank: u32,
    /// Index of the pattern.
    pub pattern: u8,
    /// Family that its ramp belongs to, if it is ramped.
    pub family: Option<u8>,
    /// Side of the balances: 0 push, 1 pull, 2 knee, 3 hip.
    pub side: Option<u8>,
    /// What it must come before (bits): one of another lift's `after`.
    pub before: u32,
    /// What must come before it (bits).
    pub after: u32,
    /// Costs of a set.
    pub costs: [u32; COSTS],
    /// Heavy on the spine.
    pub spine_heavy: bool,
    /// May follow another lift that loads the spine heavily: a main lift with its long rests.
    pub rested: bool,
    /// One of the lifts that a strength client came for.
    pub main: bool,
    /// A told compound with a bar.
    pub told_bar: bool,
    /// A compound that was not told and is not for what the client came for.
    pub new: bool,
    /// Counted in reps with an outside load that nothing told leads to.
    pub by_feel: bool,
    /// By mode and sets - 1.
    pub choices: Vec<[Choice; SETS]>,
}

impl Candidate {
    /// What `sets` sets in `mode` take and give.
    pub fn choice(&self, mode: u8, sets: u8) -> Choice {
        self.choices[mode as usize][usize::from(sets) - 1]
    }
}

/// What the search reads of a lift at every move, close together in memory.
#[derive(Clone, Copy, Debug)]
pub struct LiftCore {
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
    /// Costs of a set.
    pub costs: [u8; COSTS],
    /// What the rules count it as, once.
    pub once: [i16; COUNTS],
    /// What the rules count a set of it as.
    pub each: [i16; COUNTS],
    /// Heavy on the spine (0 or 1).
    pub spine_heavy: u8,
    /// Whether a lock names it.
    pub locked: bool,
    /// Position in a session.
    pub rank: u16,
    /// What it must come before (bits).
    pub before: u32,
    /// What must come before it (bits).
    pub after: u32,
}

impl LiftCore {
    /// A lift laid out for the search.
    pub fn of(lift: &Candidate, locked: bool, once: [i16; COUNTS], each: [i16; COUNTS]) -> Self {
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
            once,
            each,
            spine_heavy: u8::from(lift.spine_heavy),
            locked,
            rank: lift.rank as u16,
            before: lift.before,
            after: lift.after,
        }
    }

    /// Muscles and contributions in quarter-sets a set.
    pub fn reaches(&self) -> &[(u8, u8)] {
        &self.quarters[..usize::from(self.reached)]
    }
}

/// Bits of `before` and `after` beyond those of the muscles.
const GRIP: u32 = 1 << Muscle::COUNT;
const FLOOR: u32 = 2 << Muscle::COUNT;
const LEGS: u32 = 4 << Muscle::COUNT;
const BACK: u32 = 8 << Muscle::COUNT;
const MAIN: u32 = 16 << Muscle::COUNT;

/// Compiles an exercise; `known` has what sets of it take and give from a like problem.
pub fn compile(exercise: &Exercise, client: &Client<'_>, known: Option<&Candidate>) -> Candidate {
    let compound = exercise.pattern.is_compound();
    let load = work_load(exercise, client);
    let by_feel = load.is_none() && is_weighed(exercise) && !has_some_load(exercise, client);
    let heavy = exercise.is_heavy_on_the_back();
    let rested = client.is_main(exercise) && client.is_told(exercise);
    // A squat comes before what is pulled from the floor, whichever of them is the main lift.
    let waits = heavy && !rested && exercise.pattern != Pattern::Squat;
    Candidate {
        scheme: client.scheme(exercise),
        quarters: exercise.contributions().map(|(m, c)| (m.index() as u8, (c * 4.0) as i32)).collect(),
        rank: 0,
        pattern: exercise.pattern as u8,
        family: RampFamily::of(exercise.pattern).filter(|_| can_ramp(exercise)).map(|f| f as u8),
        side: rules::balance::side(exercise.pattern),
        before: before(exercise, compound) | if rested && heavy { MAIN } else { 0 },
        after: after(exercise, compound, client) | if waits { MAIN } else { 0 },
        costs: [exercise.systemic, exercise.spinal, exercise.grip, 1, 3 + exercise.systemic].map(u32::from),
        spine_heavy: heavy,
        rested,
        main: client.is_main(exercise),
        told_bar: rules::told_lifts::is_bar_lift(exercise) && client.is_told(exercise),
        new: compound
            && !client.is_told(exercise)
            && !client.is_locked(exercise)
            && !client.is_wanted(exercise),
        by_feel,
        choices: (0..MODES.len())
            .map(|m| choices(exercise, load, MODES[m], client, known.map(|lift| &lift.choices[m])))
            .map(|of_mode| of_mode.map(|c| Choice { price: c.price + i32::from(by_feel) * FEEL_PRICE, ..c }))
            .collect(),
        exercise: exercise.clone(),
    }
}

fn muscles(exercise: &Exercise, wanted: impl Fn(f64) -> bool) -> u32 {
    exercise.contributions().filter(|(_, c)| wanted(*c)).map(|(m, _)| 1 << m.index()).sum()
}

/// A compound wants its muscles fresh, a pull the grip, a squat the back that a pull from the floor tires.
fn before(exercise: &Exercise, compound: bool) -> u32 {
    if !compound {
        return 0;
    }
    let held = exercise.pattern == Pattern::Hinge && exercise.grip >= 1;
    let grip = if exercise.pattern.side() == Side::Pull || held { GRIP } else { 0 };
    let squat = exercise.pattern == Pattern::Squat && exercise.is_spinal();
    let legs = if exercise.pattern.region() == Region::Lower { LEGS } else { 0 };
    let back = if exercise.is_heavy_on_the_back() { BACK } else { 0 };
    muscles(exercise, |c| c >= COMPETING_CONTRIBUTION) | grip | legs | back | if squat { FLOOR } else { 0 }
}

/// A single-joint lift tires its muscles, unless they are what the client came for: that comes first
/// (Simao 2012, Sports Med 42:251: what is trained first gains most (m)).
fn after(exercise: &Exercise, compound: bool, client: &Client<'_>) -> u32 {
    let spends = matches!(exercise.pattern, Pattern::Wrist | Pattern::GripHold | Pattern::Carry);
    let grip = if spends && exercise.is_grip_heavy() { GRIP } else { 0 };
    let floor = if rules::floor_pulls::is_one(exercise) { FLOOR } else { 0 };
    let tired = if compound || client.is_wanted(exercise) { 0 } else { muscles(exercise, |c| c >= 1.0) };
    // Calves that tremble hold no squat, whatever the client came for.
    let calves = if exercise.pattern == Pattern::CalfRaise { LEGS } else { 0 };
    // A trunk that was trained holds no bar.
    let trunk = if rules::trunk_and_arms::is_trunk(exercise) { BACK } else { 0 };
    tired | grip | floor | calves | trunk
}

/// What a load that has to be found by feel costs a session, in millionths of a point: of two that serve alike the one whose
/// load can be printed is taken (judgement; a quarter of a place on the short list).
const FEEL_PRICE: i32 = 1000;

/// Of two lifts that are alike in everything the first by identifier is taken, whatever the seed: each costs a millionth
/// of a point more than the one before.
pub fn settle_ties(lifts: &mut [Candidate]) {
    for (place, lift) in lifts.iter_mut().enumerate() {
        lift.choices.iter_mut().flatten().for_each(|c| c.price += place as i32);
    }
}

/// Gives lifts their ranks: compounds first, of these the longest ramp first. Which lift of a family is ramped depends on
/// the order of the session; what is reserved is the longest.
pub fn set_ranks(lifts: &mut [Candidate]) {
    let longest = |l: &Candidate| l.choices.iter().flatten().filter(|c| c.allowed).map(|c| c.lead).max();
    let late = |l: &Candidate| !l.exercise.pattern.is_compound();
    let mut order: Vec<usize> = (0..lifts.len()).collect();
    order.sort_by_key(|&a| {
        let lift = &lifts[a];
        (late(lift), std::cmp::Reverse(longest(lift)), lift.exercise.id.clone())
    });
    for (place, index) in order.into_iter().enumerate() {
        lifts[index].rank = place as u32;
    }
}

/// Done with something that has a weight, which somebody has to choose.
fn is_weighed(exercise: &Exercise) -> bool {
    exercise.measure == Measure::Reps
        && !matches!(exercise.load, LoadKind::Body | LoadKind::BodyPlus | LoadKind::Band | LoadKind::Assisted)
}

/// The heaviest work load of any day, where it is known.
fn work_load(exercise: &Exercise, client: &Client<'_>) -> Option<Kilograms> {
    let (brief, scheme) = (client.brief, client.scheme(exercise));
    let loadable = Loadable::of_client(brief, exercise).ok()?;
    strength::work_load(exercise, scheme, client.belief, &loadable, brief.body.mass_kg)
}

/// Whether the lightest load is given for fewer reps, or a bell that such clients can be expected to lift.
fn has_some_load(exercise: &Exercise, client: &Client<'_>) -> bool {
    let (brief, scheme) = (client.brief, client.scheme(exercise));
    Loadable::of_client(brief, exercise).is_ok_and(|loadable| {
        strength::fewer_reps(exercise, scheme, client.belief, &loadable, brief).is_some()
            || client.capability.expected_bell(exercise, scheme).is_some()
    })
}

fn choices(
    exercise: &Exercise,
    load: Option<Kilograms>,
    mode: Mode,
    client: &Client<'_>,
    known: Option<&[Choice; SETS]>,
) -> [Choice; SETS] {
    let mut out = [Choice::default(); SETS];
    for (index, choice) in out.iter_mut().enumerate() {
        let sets = index as u32 + 1;
        if client.allows(exercise, mode, sets) && !rules::rests::is_idle(exercise, load, mode) {
            *choice = known
                .map(|known| known[index])
                .filter(|known| known.allowed)
                .unwrap_or_else(|| one_choice(exercise, load, mode, sets, client));
            choice.sessions = sessions_allowed(exercise, sets, client);
            choice.price = client.price(exercise, mode);
        }
    }
    out
}

fn one_choice(
    exercise: &Exercise,
    load: Option<Kilograms>,
    mode: Mode,
    sets: u32,
    client: &Client<'_>,
) -> Choice {
    let scheme = client.scheme(exercise);
    let mid_reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0;
    let most_reps = client.longest_mid_reps(exercise);
    let (work_s, rest_s) = (exercise.work(most_reps).get(), f64::from(mode.rest_s));
    let (setup_s, walk_s) = (exercise.setup_s.get(), exercise.changeover_s.get() / 2.0);
    let n = f64::from(sets);
    let wait_s = rest_s.min(clock::CHANGE_OF_BLOCK_MAX_S);
    let body_s = if mode.kind == BlockKind::Straight {
        setup_s.max(wait_s) + n * work_s + (n - 1.0) * rest_s
    } else {
        setup_s.max(wait_s / 2.0) + n * (work_s + walk_s + rest_s / 2.0) - rest_s / 2.0
    };
    let light = client.first_weeks();
    let ramp_s = |role| {
        let with = |reps| ramp_time(exercise, &steps(exercise, role, reps, light, load), mode.kind);
        with(mid_reps).max(with(most_reps))
    };
    let time = units(body_s + ramp_s(WarmUpRole::Follower));
    let lead = units(body_s + ramp_s(WarmUpRole::FamilyLead)).saturating_sub(time);
    Choice {
        allowed: true,
        sessions: u16::MAX,
        time: time as u16,
        lead: lead as u16,
        worth: worth(exercise, mode, sets, mid_reps, scheme.rir, client),
        price: 0,
    }
}

/// Sessions (bits) that may have this many sets: all, or those for which a lock asks for them. What only a lock lets in
/// stands in its sessions and in no other.
fn sessions_allowed(exercise: &Exercise, sets: u32, client: &Client<'_>) -> u16 {
    let (least, most) = client.rules.sets;
    let usual = (least..=most).contains(&sets);
    if usual && !rules::conditions::is_in_by_lock(exercise, client) {
        return if rules::sport_days::is_too_much(exercise, sets, client) {
            !client.near_sport
        } else {
            u16::MAX
        };
    }
    let own = |l: &&Lock| {
        let here = l.exercise == exercise.id || usual && l.with.as_ref() == Some(&exercise.id);
        here && (usual || l.sets == Some(sets))
    };
    client.brief.locks.iter().filter(own).fold(0, |bits, lock| {
        bits | lock
            .session
            .map_or(u16::MAX, |s| s.checked_sub(1).and_then(|s| 1u16.checked_shl(s)).unwrap_or(0))
    })
}

fn worth(exercise: &Exercise, mode: Mode, sets: u32, mid_reps: f64, rir: u32, client: &Client<'_>) -> i16 {
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
    let suits = client.suits(exercise);
    (WORTH_UNIT * setwright_science::dose::worth(sets) * quality * suits).round() as i16
}

/// Seconds of a ramp in a block of this kind.
pub fn ramp_time(exercise: &Exercise, shapes: &[StepShape], kind: BlockKind) -> f64 {
    shapes.iter().map(|s| exercise.work(f64::from(s.reps)).get() + clock::ramp_rest_s(kind)).sum()
}

/// The most that it takes beyond a family lead's ramp when this lift leads the session.
pub fn lead_extra_units(exercise: &Exercise, client: &Client<'_>) -> u32 {
    let scheme = client.scheme(exercise);
    let mid_reps = f64::from(scheme.reps[0] + scheme.reps[1]) / 2.0;
    let light = client.first_weeks();
    let load = work_load(exercise, client);
    // Whatever takes turns may also stand alone, and rests longer between its steps then.
    let in_turn = rules::rests::only_in_turn(exercise, client);
    let kind = if in_turn { BlockKind::Alternating } else { BlockKind::Straight };
    let time_s = |role| ramp_time(exercise, &steps(exercise, role, mid_reps, light, load), kind);
    units(time_s(WarmUpRole::SessionLead) - time_s(WarmUpRole::FamilyLead))
}
