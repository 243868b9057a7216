//! Laying changes on a programme. Loads and warm-ups follow: what is new gets the load that is believed now, what stays keeps
//! its own, and a warm-up follows the order.

use super::Edit;
use crate::insight::{self, Known};
use setwright_check::JudgedProgramme;
use setwright_gym::room::Room;
use setwright_model::brief::Lock;
use setwright_model::change::{Change, Slot};
use setwright_model::code::Code;
use setwright_model::ledger::EventId;
use setwright_model::refusal::Refusal;
use setwright_model::{
    Block, BlockKind, Brief, Catalogue, Exercise, ExerciseId, Muscle, Prescription, Programme, Seconds,
    Session,
};
use setwright_science::{clock, dose, prescribe};
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

    fn weighed(&self, session: &Session, anew: Option<&ExerciseId>) -> Session {
        let mass = self.known.body_mass;
        let is_new = |p: &Prescription| anew == Some(&p.id);
        insight::weighed(session, self.brief, mass, &self.known.belief, self.catalogue, is_new)
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
            let change = change(ground, &on.programme, edit)?;
            out.programme = on.programme.apply(&change).ok()?;
            follow(&mut out.locks, &on.programme, edit);
            let anew = comes(edit);
            for s in touched(edit) {
                if let Some(session) = out.programme.sessions.get_mut(s) {
                    *session = ground.weighed(session, anew);
                }
            }
        }
    }
    Some(out)
}

/// The exercise that comes new with an edit.
const fn comes(edit: &Edit) -> Option<&ExerciseId> {
    match edit {
        Edit::Swap(_, id) | Edit::Add(_, id) => Some(id),
        _ => None,
    }
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

/// What an edit changes in the programme: the same with what comes new prescribed, and rests chosen.
fn change(ground: &Ground<'_>, programme: &Programme, edit: &Edit) -> Option<Change> {
    let session = |s: usize| programme.sessions.get(s);
    let parted = Seconds(REST_PARTED_S);
    Some(match edit {
        Edit::Sets(slot, sets) => Change::Sets(*slot, *sets),
        Edit::Rest(block, seconds) => Change::Rest(*block, Seconds(f64::from(*seconds))),
        Edit::Move(from, to) => Change::Move(*from, *to),
        Edit::Day(s, day) => Change::Day(*s, *day),
        Edit::Swap(slot, id) => {
            let exercise = can_come(ground, session(slot.session)?, id)?;
            Change::Swap(*slot, in_place_of(ground.brief, programme.at(*slot)?, exercise))
        }
        Edit::Join(s, blocks) => {
            let (kind, rest_s) = joined(session(*s)?, *blocks, ground.catalogue)?;
            Change::Join(*s, *blocks, kind, rest_s)
        }
        Edit::Part([s, b]) => {
            let lanes = session(*s)?.blocks.get(*b)?.exercises.len();
            Change::Part([*s, *b], vec![parted; lanes])
        }
        Edit::Remove(slot) => {
            let rest_s = session(slot.session)?.blocks.get(slot.block)?.rest_s;
            Change::Remove(*slot, rest_s.max(parted))
        }
        Edit::Add(s, id) => {
            let exercise = can_come(ground, session(*s)?, id)?;
            Change::Add(*s, Block::straight(new(ground.brief, exercise), parted))
        }
        Edit::Lock(_) | Edit::Free(_) => return None,
    })
}

/// How two exercises are done together: for one muscle back to back, otherwise in turn.
fn joined(session: &Session, blocks: [usize; 2], catalogue: &Catalogue) -> Option<(BlockKind, Seconds)> {
    let prime = |b: usize| {
        let id = &session.blocks.get(b)?.exercises.first()?.id;
        Some(catalogue.get(id).and_then(Exercise::prime))
    };
    let [a, b] = [prime(blocks[0])?, prime(blocks[1])?];
    let same = a.is_some() && a == b;
    Some(if same {
        (BlockKind::SameMuscle, Seconds(REST_PARTED_S))
    } else {
        (BlockKind::Alternating, Seconds(REST_JOINED_S))
    })
}

/// The exercise, if it can be done there and the session does not have it yet.
fn can_come<'c>(ground: &Ground<'c>, session: &Session, id: &ExerciseId) -> Option<&'c Exercise> {
    let exercise = ground.catalogue.get(id)?;
    let there = Room::of(&ground.brief.equipment);
    let has = session.prescriptions().any(|p| p.id == *id);
    (!has && there.can_do(exercise)).then_some(exercise)
}

fn new(brief: &Brief, exercise: &Exercise) -> Prescription {
    let scheme = prescribe::scheme(exercise, brief.goal, brief.training_age);
    let (reps, rir) = (scheme.reps, scheme.rir);
    Prescription { id: exercise.id.clone(), sets: SETS_NEW, reps, rir, load_kg: None, ramp: Vec::new() }
}

fn in_place_of(brief: &Brief, planned: &Prescription, other: &Exercise) -> Prescription {
    Prescription { sets: planned.sets, ..new(brief, other) }
}

fn lock(draft: &mut Draft, place: Slot) -> Option<()> {
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

fn free(draft: &mut Draft, place: Slot) -> Option<()> {
    let session = draft.programme.sessions.get(place.session)?;
    let id = session.blocks.get(place.block)?.exercises.get(place.lane)?.id.clone();
    let before = draft.locks.len();
    let number = place.session as u32 + 1;
    draft.locks.retain(|l| l.exercise != id || l.session.is_some_and(|s| s != number));
    (draft.locks.len() < before).then_some(())
}

/// Locks follow what is done by hand: whoever changes the sets of a locked exercise, or takes it out, means it.
fn follow(locks: &mut Vec<Lock>, before: &Programme, edit: &Edit) {
    let id = |p: &Slot| before.at(*p).map(|e| e.id.clone());
    let here = |lock: &Lock, p: &Slot, id: &ExerciseId| {
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
        Edit::Day(moved, day) => {
            // Sessions stand in the order of their days, and locks count sessions.
            let mut order: Vec<usize> = (0..before.sessions.len()).collect();
            order.sort_by_key(
                |s| if s == moved { *day } else { before.sessions.get(*s).map_or(0, |s| s.day) },
            );
            for lock in locks.iter_mut() {
                let now = lock.session.and_then(|s| order.iter().position(|o| o + 1 == s as usize));
                lock.session = now.map(|n| n as u32 + 1).or(lock.session);
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
pub fn neighbours<'c>(ground: &Ground<'c>, draft: &Draft, place: Slot) -> Vec<Neighbour<'c>> {
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
    let there = Room::of(&ground.brief.equipment);
    let has: BTreeSet<&ExerciseId> = session.prescriptions().map(|p| &p.id).collect();
    let all = ground.catalogue.iter();
    let mut found: Vec<&Exercise> = all.filter(|e| !has.contains(&e.id) && there.can_do(e)).collect();
    found.sort_by(|a, b| a.name.cmp(&b.name));
    found
}
