//! The client as the rules see one: the brief, what is believed of their strength, and what follows from both. Nothing
//! here forbids or pays anything.

use super::RULES;
use crate::modes::Mode;
use setwright_gym::room::Room;
use setwright_model::brief::{Aim, Brief, Condition, Goal, Lock, Place, Priority, TrainingAge};
use setwright_model::exercise::{Ask, Exercise, LoadKind, Standing};
use setwright_model::{Belief, Catalogue, ExerciseId, Muscle, Pattern, Station};
use setwright_science::aims;
use setwright_science::capability::Capability;
use setwright_science::conditions::{self, Care, Limits};
use setwright_science::prescribe::{self, Scheme};
use setwright_science::rules::Rules;
use setwright_science::strength;
use std::collections::BTreeSet;

/// Age and body mass up to which years of training stand for a test (judgement).
const PROVEN_YEARS: u32 = 50;
const PROVEN_KG: f64 = 100.0;

/// Body mass over height squared, in kg/m2, from which the trunk is not folded and hinges wait (WHO: obesity of the second class begins
/// at 35; that these movements wait is common practice, no source (T)).
const HEAVY_KG_M2: f64 = 35.0;

/// A client.
pub struct Client<'a> {
    /// The brief.
    pub brief: &'a Brief,
    /// Strength and recovery.
    pub belief: &'a Belief,
    /// Ceilings and allowances.
    pub rules: Rules,
    /// What stands in the room.
    pub room: Room,
    /// The told lifts that are to grow: their exercises, squats first, then presses, then what comes from the floor.
    pub mains: Vec<ExerciseId>,
    /// What the client wants to be able to do, as far as exercises train it.
    pub aims: Vec<Aim>,
    told: BTreeSet<ExerciseId>,
    shown: Vec<&'a Exercise>,
    locked: BTreeSet<ExerciseId>,
    catalogue: &'a Catalogue,
    /// What conditions, age, a return and pain ask.
    pub care: Care<'a>,
    /// How hard at most.
    pub limits: Limits,
    /// What the client can be expected to do.
    pub capability: Capability<'a>,
    /// The different sessions (bits) that may fall on a hard day of the sport or the day before.
    pub near_sport: u16,
}

impl<'a> Client<'a> {
    /// The client of a brief.
    pub fn new(brief: &'a Brief, belief: &'a Belief, catalogue: &'a Catalogue) -> Self {
        let care = Care::of(brief);
        let present = brief.present.exercises.iter();
        let told: BTreeSet<ExerciseId> =
            brief.lifts.iter().map(|l| &l.exercise).chain(present).cloned().collect();
        let shown: Vec<&Exercise> = told.iter().filter_map(|id| catalogue.get(id)).collect();
        let mut client = Self {
            brief,
            belief,
            rules: Rules::of(brief),
            room: Room::of(&brief.equipment),
            mains: Vec::new(),
            aims: aims::trained(brief, catalogue),
            locked: brief
                .locks
                .iter()
                .flat_map(|l| std::iter::once(&l.exercise).chain(&l.with))
                .cloned()
                .collect(),
            told,
            shown,
            catalogue,
            limits: care.limits(),
            capability: Capability::of(brief, belief),
            care,
            near_sport: 0,
        };
        client.mains = client.main_lifts();
        client.near_sport = super::sport_days::near_sessions(&client);
        client
    }

    /// The told main lifts, or those that a strength client trains who has told of none.
    fn main_lifts(&self) -> Vec<ExerciseId> {
        let brief = self.brief;
        let mut mains: Vec<&Exercise> = self.shown().filter(|e| is_main(e, brief)).collect();
        if mains.is_empty() && brief.goal == Goal::Strength && !self.first_weeks() {
            // Who is new goes on with what was told of a movement, a squat with a bell, before it is done with a bar.
            let alike =
                |e: &Exercise| self.shown().any(|t| t.pattern.is_compound() && t.pattern == e.pattern);
            let known = |e: &Exercise| brief.training_age == TrainingAge::Beginner && alike(e);
            let minor = |e: &Exercise| e.prime().is_some_and(|m| self.is_minor(m));
            let wanted = |e: &&Exercise| self.care.bar(e).is_none() && !known(e) && !minor(e);
            mains = super::main_lifts::usual(self.catalogue).filter(wanted).collect();
        }
        mains.sort_by_key(|e| (super::main_lifts::turn(e), e.id.clone()));
        mains.into_iter().map(|e| e.id.clone()).collect()
    }

    /// Whether the client does it already.
    pub fn is_told(&self, exercise: &Exercise) -> bool {
        self.told.contains(&exercise.id)
    }

    /// Whether the coach has fixed it.
    pub fn is_locked(&self, exercise: &Exercise) -> bool {
        self.locked.contains(&exercise.id)
    }

    /// An exercise of the catalogue.
    pub fn exercise(&self, id: &ExerciseId) -> Option<&'a Exercise> {
        self.catalogue.get(id)
    }

    /// All exercises of the catalogue.
    pub fn exercises(&self) -> impl Iterator<Item = &'a Exercise> + '_ {
        self.catalogue.iter()
    }

    /// A locked exercise.
    pub fn locked_exercise(&self, id: &ExerciseId) -> Option<&'a Exercise> {
        self.catalogue.get(id)
    }

    /// The exercises that the client has told of.
    pub fn shown(&self) -> impl Iterator<Item = &'a Exercise> + '_ {
        self.shown.iter().copied()
    }

    /// Whether it is one of the lifts that a strength client came for.
    pub fn is_main(&self, exercise: &Exercise) -> bool {
        self.mains.contains(&exercise.id)
    }

    /// Whether the first weeks' rules hold: one set of each movement, light.
    pub fn first_weeks(&self) -> bool {
        self.brief.training_age == TrainingAge::FirstWeeks
    }

    /// Whether the client is new to training.
    pub fn is_new(&self) -> bool {
        matches!(self.brief.training_age, TrainingAge::FirstWeeks | TrainingAge::Beginner)
    }

    /// Whether the amounts for older adults hold.
    pub fn is_older(&self) -> bool {
        conditions::is_older(self.brief)
    }

    /// Trained, and not of an age to begin with what is supported.
    pub fn is_seasoned(&self) -> bool {
        !self.is_new() && !self.is_older()
    }

    /// Of years of training, not old and not heavy: somebody who may be given what fails under them without having been
    /// seen at it (judgement).
    pub fn is_proven(&self) -> bool {
        let body = &self.brief.body;
        self.brief.training_age == TrainingAge::Advanced
            && !self.is_returning()
            && body.age.is_none_or(|age| age < PROVEN_YEARS)
            && body.mass_kg.is_none_or(|mass| mass.get() <= PROVEN_KG)
    }

    /// Whether the client told of a squat, lunge or hinge with a bar.
    pub fn knows_a_bar(&self) -> bool {
        let legs = |t: &Exercise| matches!(t.pattern, Pattern::Squat | Pattern::Hinge | Pattern::Lunge);
        self.shown().any(|t| legs(t) && t.load == LoadKind::Bar)
    }

    /// Whether some usual hinge with a bar can be given.
    pub fn may_hinge_with_a_bar(&self) -> bool {
        let there = |e: &&Exercise| self.room.can_do(e);
        let bars = self.catalogue.iter().filter(|e| e.pattern == Pattern::Hinge && e.load == LoadKind::Bar);
        bars.filter(|e| e.standing != Standing::Special).filter(there).any(|e| self.keeps_out(e).is_none())
    }

    /// Whether all compounds that the client told of are done in machines.
    pub fn knows_only_machines(&self) -> bool {
        let mut compounds = self.shown().filter(|e| e.pattern.is_compound()).peekable();
        compounds.peek().is_some()
            && compounds.all(|e| matches!(e.load, LoadKind::Stack | LoadKind::Discs | LoadKind::Assisted))
    }

    /// Coming back after a break and something that had to be cleared.
    pub fn is_returning(&self) -> bool {
        conditions::is_returning(self.brief)
    }

    /// Whether the brief keeps an ask out.
    pub fn spares(&self, ask: Ask) -> bool {
        self.brief.exclude.asks.contains(&ask)
    }

    /// Priority of an exercise's prime muscle.
    pub fn priority(&self, exercise: &Exercise) -> Option<Priority> {
        exercise.prime().and_then(|m| self.priority_of(m))
    }

    /// Priority of a muscle.
    pub fn priority_of(&self, muscle: Muscle) -> Option<Priority> {
        self.brief.muscles.get(&muscle).and_then(|w| w.priority)
    }

    /// Whether a muscle was said to matter little.
    pub fn is_minor(&self, muscle: Muscle) -> bool {
        self.priority_of(muscle).is_some_and(|p| p <= Priority::Low)
    }

    /// Whether the exercise is chosen for a muscle that the client came for.
    pub fn is_wanted(&self, exercise: &Exercise) -> bool {
        self.priority(exercise) >= Some(Priority::High)
    }

    /// Whether the brief asks a least of its muscle.
    pub fn is_asked_for(&self, exercise: &Exercise) -> bool {
        let wish = exercise.prime().and_then(|m| self.brief.muscles.get(&m));
        wish.is_some_and(|w| w.least.is_some_and(|l| l.get() > 0.0) || w.sessions.is_some_and(|s| s > 0))
    }

    /// Whether bars stand there: nothing light has to stand in for something heavy.
    pub fn has_bars(&self) -> bool {
        matches!(self.brief.equipment.place, Place::FullGym | Place::Garage)
            && (self.room.has(Station::StraightBar) || self.room.has(Station::Rack))
    }

    /// Whether there is a bench to sit, lie or lean on.
    pub fn has_bench(&self) -> bool {
        self.room.has(Station::Bench)
    }

    /// Whether a leg press stands there.
    pub fn has_machines(&self) -> bool {
        self.brief.equipment.place == Place::FullGym && self.room.has(Station::LegPressMachine)
    }

    /// Whether an exercise is loaded with what the client holds or is, not with a bar or a machine.
    pub fn is_hand_held(exercise: &Exercise) -> bool {
        matches!(
            exercise.load,
            LoadKind::Dumbbell | LoadKind::Kettlebell | LoadKind::Body | LoadKind::Single | LoadKind::Band
        )
    }

    /// Whether body mass over height squared is so high that the trunk is not folded and nobody lies face down; not where one of
    /// the two was not told.
    pub fn is_heavy_for_height(&self) -> bool {
        let body = &self.brief.body;
        let told = body.height_m.filter(|m| *m > 0.0).zip(body.mass_kg);
        told.is_some_and(|(height_m, mass)| mass.get() / (height_m * height_m) >= HEAVY_KG_M2)
    }

    /// Whether a birth or the pelvic floor asks for care.
    pub fn spares_the_pelvic_floor(&self) -> bool {
        let named = |c: &Condition| matches!(c, Condition::AfterBirth | Condition::PelvicFloor);
        self.brief.conditions.iter().any(named)
    }

    /// Weeks of the cycle.
    pub fn weeks(&self) -> f64 {
        f64::from(self.brief.time.cycle_days) / 7.0
    }

    /// Minutes of the cycle's sessions.
    pub fn cycle_minutes(&self) -> f64 {
        (0..self.brief.time.sessions as usize).map(|s| self.brief.time.minutes.of(s).get()).sum()
    }

    /// Minutes of the shortest session.
    pub fn shortest_minutes(&self) -> f64 {
        let each = (0..self.brief.time.sessions as usize).map(|s| self.brief.time.minutes.of(s).get());
        each.fold(f64::INFINITY, f64::min)
    }

    /// Reps and reserve.
    pub fn scheme(&self, exercise: &Exercise) -> Scheme {
        strength::scheme_of(exercise, &self.capability)
    }

    /// The most that the middle of the reps comes to on any day: a light day of a main lift has more of them.
    pub fn longest_mid_reps(&self, exercise: &Exercise) -> f64 {
        let middle = |s: Scheme| f64::from(s.reps[0] + s.reps[1]) / 2.0;
        let usual = self.scheme(exercise);
        let light = self.is_main(exercise).then(|| prescribe::light_day(usual, exercise));
        middle(usual).max(light.map_or(0.0, middle))
    }

    /// Whether the coach's locks ask for so many sets of it.
    fn locks_sets(&self, exercise: &Exercise, sets: u32) -> bool {
        let own = |l: &Lock| l.exercise == exercise.id && l.sets == Some(sets);
        self.brief.locks.iter().any(own)
    }

    /// Whether an exercise may be done so. Sets that the coach has fixed may pass what the rules allow.
    pub fn allows(&self, exercise: &Exercise, mode: Mode, sets: u32) -> bool {
        let (least, most) = self.rules.sets;
        let locked = self.locks_sets(exercise, sets);
        if !(least..=most).contains(&sets) && !locked {
            return false;
        }
        RULES.iter().all(|r| r.allows(exercise, mode, sets, self))
    }

    /// Why it is not given at all.
    pub fn keeps_out(&self, exercise: &Exercise) -> Option<String> {
        RULES.iter().find_map(|r| r.keeps_out(exercise, self))
    }

    /// Whether two exercises may alternate.
    pub fn may_alternate(&self, a: &Exercise, b: &Exercise) -> bool {
        self.brief.style.alternate && !RULES.iter().any(|r| r.parts(a, b, self) || r.parts(b, a, self))
    }

    /// Part of the worth of its sets that an exercise keeps.
    pub fn suits(&self, exercise: &Exercise) -> f64 {
        RULES.iter().map(|r| r.share(exercise, self)).product()
    }

    /// What having it in a session costs, in millionths of a point.
    pub fn price(&self, exercise: &Exercise, mode: Mode) -> i32 {
        let points: f64 = RULES.iter().map(|r| r.price(exercise, mode, self)).sum();
        (points * crate::units::POINT).round() as i32
    }

    /// What being in so many sessions brings, in points.
    pub fn brings(&self, exercise: &Exercise, sessions: usize) -> f64 {
        RULES.iter().map(|r| r.brings(exercise, sessions, self)).sum()
    }
}

/// A lift the client is to get strong in: told, a squat, a press or a pull from the floor with a bar, goal strength. A Romanian
/// deadlift is built with, not tested.
fn is_main(e: &Exercise, brief: &Brief) -> bool {
    let press =
        matches!(e.pattern, Pattern::HorizontalPress | Pattern::InclinePress | Pattern::VerticalPress);
    let tested = press || e.pattern == Pattern::Squat || super::floor_pulls::is_one(e);
    brief.goal == Goal::Strength && e.load == LoadKind::Bar && !e.unilateral && e.systemic >= 1 && tested
}
