//! Laying changes on a programme. Loads and warm-ups follow: what is new gets the load that is believed now, what stays keeps
//! its own, and a warm-up follows the order.

use super::{Edit, Place};
use crate::insight::{self, Known};
use setwright_check::JudgedProgramme;
use setwright_model::brief::Lock;
use setwright_model::code::Code;
use setwright_model::ledger::EventId;
use setwright_model::limits::{CYCLE_DAYS_MAX, REST_S_MAX, SETS_AUDIT_MAX};
use setwright_model::refusal::Refusal;
use setwright_model::{
    Block, BlockKind, Brief, Catalogue, Exercise, ExerciseId, Muscle, Prescription, Programme, Seconds,
    Session,
};
use setwright_science::{clock, dose, equipment, prescribe};
use std::collections::BTreeSet;

/// Sets of an exercise that comes new (common practice, no source).
const SETS_NEW: u32 = 2;
/// Rest after a round of a block that was joined, and after a set of one that was parted, in seconds: the planner's
/// middle ways (judgement).
const REST_JOINED_S: f64 = 60.0;
const REST_PARTED_S: f64 = 90.0;
/// Neighbours that are offered first (judgement).
const NEIGHBOURS: usize = 6;

/// What changes are laid on.
pub struct Ground<'a> {
    /// The client with everything that is believed.
    pub known: &'a Known,
    /// The brief that judges.
    pub brief: &'a Brief,
    /// The programme in force.
    pub programme: &'a Programme,
    /// Its event.
    pub id: EventId,
    /// Exercises there are.
    pub catalogue: &'a Catalogue,
}

impl<'a> Ground<'a> {
    /// The programme in force of a client.
    ///
    /// # Errors
    /// Nothing in force, or no brief to judge by.
    pub fn of(known: &'a Known, catalogue: &'a Catalogue) -> Result<Self, Refusal> {
        let name = &known.client.card.name;
        let missing = |what: &str, hint: &str| {
            Refusal::new(Code::NothingInForce, format!("{name} has no {what}."), hint)
        };
        let state =
            known.programme.as_ref().ok_or_else(|| missing("programme in force", "Plan one first."))?;
        let brief = known.brief.as_ref().ok_or_else(|| {
            missing("brief to judge a programme by", "setwright client change NAME --brief FILE gives one.")
        })?;
        Ok(Self { known, brief, programme: &state.programme, id: state.id, catalogue })
    }

    /// What the check says of a programme.
    pub fn judge(&self, programme: &Programme, locks: &[Lock]) -> JudgedProgramme {
        let brief = Brief { locks: locks.to_vec(), ..self.brief.clone() };
        JudgedProgramme::of(programme.clone(), Some(&brief), self.catalogue, &self.known.belief)
    }

    fn weighed(&self, session: &Session, anew: &BTreeSet<ExerciseId>) -> Session {
        let mass = self.known.body_mass;
        insight::weighed(session, self.brief, mass, &self.known.belief, self.catalogue, |p| {
            anew.contains(&p.id)
        })
    }
}

/// A programme with changes laid on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// The programme.
    pub programme: Programme,
    /// What is locked.
    pub locks: Vec<Lock>,
}

impl Draft {
    /// Whether an exercise of a session is locked there.
    pub fn is_locked(&self, session: usize, id: &ExerciseId) -> bool {
        self.locks.iter().any(|l| l.exercise == *id && l.session.is_none_or(|s| s as usize == session + 1))
    }
}

/// The programme in force with these changes.
///
/// # Errors
/// A change that cannot be laid on what the ones before it left.
pub fn draft(ground: &Ground<'_>, edits: &[Edit]) -> Result<Draft, Refusal> {
    let (draft, done) = draft_so_far(ground, edits);
    match edits.get(done) {
        None => Ok(draft),
        Some(edit) => Err(Refusal::new(
            Code::CannotEdit,
            format!("Change {} ({edit}) does not fit this programme.", done + 1),
            "Go back to the programme: what can be changed has a button there.",
        )),
    }
}

/// The programme with the changes up to the first that does not fit, and how many those are.
pub fn draft_so_far(ground: &Ground<'_>, edits: &[Edit]) -> (Draft, usize) {
    let mut draft = Draft { programme: ground.programme.clone(), locks: ground.brief.locks.clone() };
    for (nth, edit) in edits.iter().enumerate() {
        match lay(ground, &draft, edit) {
            Some(next) => draft = next,
            None => return (draft, nth),
        }
    }
    (draft, edits.len())
}

fn lay(ground: &Ground<'_>, on: &Draft, edit: &Edit) -> Option<Draft> {
    let mut out = on.clone();
    match edit {
        Edit::Lock(place) => lock(&mut out, *place)?,
        Edit::Free(place) => free(&mut out, *place)?,
        _ => {
            let mut anew = BTreeSet::new();
            change(ground, &mut out.programme, edit, &mut anew)?;
            follow(&mut out.locks, &on.programme, edit);
            let touched = touched(edit);
            for (s, session) in out.programme.sessions.iter_mut().enumerate() {
                if touched.contains(&s) {
                    *session = ground.weighed(session, &anew);
                }
            }
            if matches!(edit, Edit::Day(..)) {
                in_order_of_days(&mut out);
            }
        }
    }
    Some(out)
}

/// Sessions whose warm-ups may change: an exercise came or went, or the order did.
fn touched(edit: &Edit) -> Vec<usize> {
    match edit {
        Edit::Swap(p, _) | Edit::Remove(p) => vec![p.session],
        Edit::Join(s, _) | Edit::Part([s, _]) | Edit::Add(s, _) => vec![*s],
        Edit::Move([s, _], [to, _]) => vec![*s, *to],
        Edit::Sets(..) | Edit::Rest(..) | Edit::Day(..) | Edit::Lock(_) | Edit::Free(_) => Vec::new(),
    }
}

fn change(
    ground: &Ground<'_>,
    programme: &mut Programme,
    edit: &Edit,
    anew: &mut BTreeSet<ExerciseId>,
) -> Option<()> {
    match edit {
        Edit::Sets(place, sets) => {
            if !(1..=SETS_AUDIT_MAX).contains(sets) {
                return None;
            }
            at(programme, *place)?.sets = *sets;
        }
        Edit::Rest([s, b], seconds) => {
            if f64::from(*seconds) > REST_S_MAX {
                return None;
            }
            block(programme, [*s, *b])?.rest_s = Seconds(f64::from(*seconds));
        }
        Edit::Move(from, to) => shift(programme, *from, *to)?,
        Edit::Day(s, day) => {
            if !(1..=programme.cycle_days.min(CYCLE_DAYS_MAX)).contains(day)
                || programme.sessions.iter().any(|other| other.day == *day)
            {
                return None;
            }
            programme.sessions.get_mut(*s)?.day = *day;
        }
        Edit::Swap(place, id) => {
            let session = programme.sessions.get(place.session)?;
            let exercise = can_come(ground, session, id)?;
            let slot = at(programme, *place)?;
            *slot = in_place_of(ground.brief, slot, exercise);
            anew.insert(id.clone());
        }
        Edit::Join(s, [a, b]) => join(programme.sessions.get_mut(*s)?, *a, *b, ground.catalogue)?,
        Edit::Part([s, b]) => part(programme.sessions.get_mut(*s)?, *b)?,
        Edit::Remove(place) => remove(programme.sessions.get_mut(place.session)?, *place)?,
        Edit::Add(s, id) => {
            let session = programme.sessions.get_mut(*s)?;
            let exercise = can_come(ground, session, id)?;
            session.blocks.push(straight(new(ground.brief, exercise)));
            anew.insert(id.clone());
        }
        Edit::Lock(_) | Edit::Free(_) => {}
    }
    Some(())
}

fn block(programme: &mut Programme, [s, b]: [usize; 2]) -> Option<&mut Block> {
    programme.sessions.get_mut(s)?.blocks.get_mut(b)
}

fn at(programme: &mut Programme, place: Place) -> Option<&mut Prescription> {
    block(programme, [place.session, place.block])?.exercises.get_mut(place.lane)
}

/// A block goes before the one that stands at its new place; past the last it goes to the end.
fn shift(programme: &mut Programme, [s, b]: [usize; 2], [to, place]: [usize; 2]) -> Option<()> {
    if programme.sessions.get(to)?.blocks.len() < place {
        return None;
    }
    let from = programme.sessions.get_mut(s)?;
    if b >= from.blocks.len() || (s != to && from.blocks.len() == 1) {
        return None;
    }
    let moved = from.blocks.remove(b);
    let into = programme.sessions.get_mut(to)?;
    let twice = s != to && into.prescriptions().any(|p| moved.exercises.iter().any(|q| q.id == p.id));
    let place = if s == to && b < place { place - 1 } else { place };
    into.blocks.insert(place.min(into.blocks.len()), moved);
    (!twice).then_some(())
}

fn join(session: &mut Session, a: usize, b: usize, catalogue: &Catalogue) -> Option<()> {
    let straight = |n: usize| session.blocks.get(n).filter(|k| k.exercises.len() == 1);
    if a == b || straight(a).is_none() || straight(b).is_none() {
        return None;
    }
    let second = session.blocks.remove(b);
    let first = session.blocks.get_mut(if b < a { a - 1 } else { a })?;
    first.exercises.extend(second.exercises);
    let prime = |p: &Prescription| catalogue.get(&p.id).and_then(Exercise::prime);
    let same = first.exercises.iter().map(prime).collect::<BTreeSet<_>>();
    first.kind =
        if same.len() == 1 && !same.contains(&None) { BlockKind::SameMuscle } else { BlockKind::Alternating };
    first.rest_s = Seconds(if first.kind == BlockKind::SameMuscle { REST_PARTED_S } else { REST_JOINED_S });
    Some(())
}

fn part(session: &mut Session, b: usize) -> Option<()> {
    let block = session.blocks.get(b).filter(|k| k.exercises.len() > 1)?;
    let parts: Vec<Block> = block.exercises.iter().cloned().map(straight).collect();
    session.blocks.splice(b..=b, parts);
    Some(())
}

/// The last exercise of a session stays: a session without any is none.
fn remove(session: &mut Session, place: Place) -> Option<()> {
    if session.prescriptions().count() == 1 {
        return None;
    }
    let block = session.blocks.get_mut(place.block)?;
    if place.lane >= block.exercises.len() {
        return None;
    }
    block.exercises.remove(place.lane);
    if block.exercises.is_empty() {
        session.blocks.remove(place.block);
    } else if block.exercises.len() == 1 {
        block.kind = BlockKind::Straight;
        block.rest_s = Seconds(block.rest_s.get().max(REST_PARTED_S));
    }
    Some(())
}

fn straight(exercise: Prescription) -> Block {
    Block { kind: BlockKind::Straight, rest_s: Seconds(REST_PARTED_S), exercises: vec![exercise] }
}

/// The exercise, if it can be done there and the session does not have it yet.
fn can_come<'c>(ground: &Ground<'c>, session: &Session, id: &ExerciseId) -> Option<&'c Exercise> {
    let exercise = ground.catalogue.get(id)?;
    let there = equipment::stations(&ground.brief.equipment);
    let has = session.prescriptions().any(|p| p.id == *id);
    (!has && equipment::can_do(exercise, &there)).then_some(exercise)
}

fn new(brief: &Brief, exercise: &Exercise) -> Prescription {
    let scheme = prescribe::scheme(exercise, brief.goal, brief.training_age);
    let (reps, rir) = (scheme.reps, scheme.rir);
    Prescription { id: exercise.id.clone(), sets: SETS_NEW, reps, rir, load_kg: None, ramp: Vec::new() }
}

fn in_place_of(brief: &Brief, planned: &Prescription, other: &Exercise) -> Prescription {
    Prescription { sets: planned.sets, ..new(brief, other) }
}

fn lock(draft: &mut Draft, place: Place) -> Option<()> {
    let session = draft.programme.sessions.get(place.session)?;
    let block = session.blocks.get(place.block)?;
    let locked = block.exercises.get(place.lane)?;
    if draft.is_locked(place.session, &locked.id) {
        return None;
    }
    let with = block.exercises.iter().find(|p| p.id != locked.id).map(|p| p.id.clone());
    let number = place.session as u32 + 1;
    let lock = Lock { exercise: locked.id.clone(), session: Some(number), sets: Some(locked.sets), with };
    draft.locks.push(lock);
    Some(())
}

fn free(draft: &mut Draft, place: Place) -> Option<()> {
    let session = draft.programme.sessions.get(place.session)?;
    let id = session.blocks.get(place.block)?.exercises.get(place.lane)?.id.clone();
    let before = draft.locks.len();
    let number = place.session as u32 + 1;
    draft.locks.retain(|l| l.exercise != id || l.session.is_some_and(|s| s != number));
    (draft.locks.len() < before).then_some(())
}

/// Locks follow what is done by hand: whoever changes the sets of a locked exercise, or takes it out, means it.
fn follow(locks: &mut Vec<Lock>, before: &Programme, edit: &Edit) {
    let id = |p: &Place| {
        let block = before.sessions.get(p.session)?.blocks.get(p.block)?;
        block.exercises.get(p.lane).map(|e| e.id.clone())
    };
    let here = |lock: &Lock, p: &Place, id: &ExerciseId| {
        lock.exercise == *id && lock.session == Some(p.session as u32 + 1)
    };
    match edit {
        Edit::Sets(place, sets) => {
            let Some(id) = id(place) else { return };
            for lock in locks.iter_mut().filter(|l| here(l, place, &id) && l.sets.is_some()) {
                lock.sets = Some(*sets);
            }
        }
        Edit::Remove(place) | Edit::Swap(place, _) => {
            let Some(id) = id(place) else { return };
            locks.retain(|l| !here(l, place, &id));
            loosen(locks, place.session, &[id]);
        }
        Edit::Part([s, b]) => loosen(locks, *s, &ids(before, [*s, *b])),
        Edit::Join(s, [a, b]) => {
            let pair = [ids(before, [*s, *a]), ids(before, [*s, *b])].concat();
            loosen(locks, *s, &pair);
        }
        Edit::Move([s, b], [to, _]) if s != to => {
            let moved = ids(before, [*s, *b]);
            for lock in locks.iter_mut() {
                if moved.contains(&lock.exercise) && lock.session == Some(*s as u32 + 1) {
                    lock.session = Some(*to as u32 + 1);
                }
            }
        }
        _ => {}
    }
}

fn ids(programme: &Programme, [s, b]: [usize; 2]) -> Vec<ExerciseId> {
    let block = programme.sessions.get(s).and_then(|s| s.blocks.get(b));
    block.map_or_else(Vec::new, |b| b.exercises.iter().map(|p| p.id.clone()).collect())
}

/// Locks of these exercises in a session no longer name a partner, nor are named as one.
fn loosen(locks: &mut [Lock], session: usize, ids: &[ExerciseId]) {
    for lock in locks.iter_mut().filter(|l| l.session == Some(session as u32 + 1)) {
        let is_one = ids.contains(&lock.exercise) || lock.with.as_ref().is_some_and(|w| ids.contains(w));
        if is_one {
            lock.with = None;
        }
    }
}

/// Sessions stand in the order of their days; locks count sessions and go with them.
fn in_order_of_days(draft: &mut Draft) {
    let mut order: Vec<usize> = (0..draft.programme.sessions.len()).collect();
    order.sort_by_key(|s| draft.programme.sessions.get(*s).map_or(0, |s| s.day));
    for lock in &mut draft.locks {
        let now = lock.session.and_then(|s| order.iter().position(|o| o + 1 == s as usize));
        lock.session = now.map(|n| n as u32 + 1).or(lock.session);
    }
    draft.programme.sessions.sort_by_key(|s| s.day);
}

/// An exercise that could stand in another's place.
pub struct Neighbour<'c> {
    /// It.
    pub exercise: &'c Exercise,
    /// Minutes that the session gets longer.
    pub minutes: f64,
    /// How much of each muscle's dose changes, in fractional sets of the session.
    pub doses: Vec<(Muscle, f64)>,
}

/// Exercises of the same pattern that could take a place, those first that change least.
pub fn neighbours<'c>(ground: &Ground<'c>, draft: &Draft, place: Place) -> Vec<Neighbour<'c>> {
    let slot = draft
        .programme
        .sessions
        .get(place.session)
        .and_then(|s| Some((s, s.blocks.get(place.block)?.exercises.get(place.lane)?)));
    let Some((session, exercise)) = slot.and_then(|(s, p)| Some((s, ground.catalogue.get(&p.id)?))) else {
        return Vec::new();
    };
    let before = dose::of_session(session, ground.catalogue);
    let minutes = minutes_of(ground, session);
    let same = possible(ground, session).into_iter().filter(|e| e.pattern == exercise.pattern);
    let mut found: Vec<(f64, Neighbour<'c>)> = same
        .filter_map(|other| {
            let next = lay(ground, draft, &Edit::Swap(place, other.id.clone()))?;
            let swapped = next.programme.sessions.get(place.session)?;
            let after = dose::of_session(swapped, ground.catalogue);
            let difference = |m: Muscle| after[m.index()].get() - before[m.index()].get();
            let doses: Vec<(Muscle, f64)> = Muscle::ALL.into_iter().map(|m| (m, difference(m))).collect();
            let apart: f64 = doses.iter().map(|(_, d)| d.abs()).sum();
            let longer = minutes_of(ground, swapped) - minutes;
            Some((apart + longer.abs() / 4.0, Neighbour { exercise: other, minutes: longer, doses }))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.exercise.id.cmp(&b.1.exercise.id)));
    found.into_iter().take(NEIGHBOURS).map(|(_, n)| n).collect()
}

fn minutes_of(ground: &Ground<'_>, session: &Session) -> f64 {
    let timeline = clock::session(session, ground.catalogue, ground.brief.time.cold);
    timeline.map_or(0.0, |t| t.minutes().get())
}

/// Exercises that can be done there and that the session does not have yet, by name.
pub fn possible<'c>(ground: &Ground<'c>, session: &Session) -> Vec<&'c Exercise> {
    let there = equipment::stations(&ground.brief.equipment);
    let has: BTreeSet<&ExerciseId> = session.prescriptions().map(|p| &p.id).collect();
    let all = ground.catalogue.iter();
    let mut found: Vec<&Exercise> =
        all.filter(|e| !has.contains(&e.id) && equipment::can_do(e, &there)).collect();
    found.sort_by(|a, b| a.name.cmp(&b.name));
    found
}
