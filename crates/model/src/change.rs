//! Small changes of a programme: what an editor, a repair or anything else that changes one is made of. It says what stands where
//! afterwards; whether that is any good, and what loads and warm-ups follow, is for others.

use crate::exercise::ExerciseId;
use crate::limits::{CYCLE_DAYS_MAX, REST_S_MAX, SETS_AUDIT_MAX};
use crate::programme::{Block, BlockKind, Prescription, Programme, RampStep, Session};
use crate::units::{Kilograms, Seconds};
use std::fmt;

/// An exercise of a programme by where it stands: session, block and lane, each from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Slot {
    /// Which session.
    pub session: usize,
    /// Which block of it.
    pub block: usize,
    /// Which exercise of the block.
    pub lane: usize,
}

/// A change. Sessions, blocks and lanes are counted from 0, days from 1; a block is a session and a block.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// An exercise gets so many sets.
    Sets(Slot, u32),
    /// An exercise gets another work load.
    Load(Slot, Kilograms),
    /// An exercise gets another warm-up.
    Ramp(Slot, Vec<RampStep>),
    /// A block gets another rest.
    Rest([usize; 2], Seconds),
    /// A block goes before the one that stands at its new place, in its own session or another; past the last it goes to the end.
    Move([usize; 2], [usize; 2]),
    /// Two blocks of a session change places.
    Exchange(usize, [usize; 2]),
    /// A session goes to another day; sessions then stand in the order of their days.
    Day(usize, u32),
    /// An exercise gives way to another.
    Swap(Slot, Prescription),
    /// Two blocks of one exercise each become one, where the first of them stands.
    Join(usize, [usize; 2], BlockKind, Seconds),
    /// A block of several becomes straight ones, with a rest each.
    Part([usize; 2], Vec<Seconds>),
    /// An exercise goes; what it leaves alone in its block is straight and rests so long.
    Remove(Slot, Seconds),
    /// A block comes, at the end of a session.
    Add(usize, Block),
}

/// A change that does not fit the programme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// There is no such session, block or exercise.
    NoSuchPlace,
    /// A number is out of its limits.
    OutOfLimits,
    /// The day has a session already.
    DayTaken,
    /// The session has the exercise already.
    Twice,
    /// A session would have no exercise left.
    NothingLeft,
    /// Only blocks of one exercise are joined, and only blocks of several are parted.
    WrongBlock,
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoSuchPlace => "there is no such place in the programme",
            Self::OutOfLimits => "the number is out of its limits",
            Self::DayTaken => "that day has a session already",
            Self::Twice => "the session has that exercise already",
            Self::NothingLeft => "the session would have no exercise left",
            Self::WrongBlock => "blocks of one exercise are joined, blocks of several are parted",
        })
    }
}

impl std::error::Error for Misfit {}

impl Programme {
    /// The exercise that stands there.
    pub fn at(&self, slot: Slot) -> Option<&Prescription> {
        self.sessions.get(slot.session)?.blocks.get(slot.block)?.exercises.get(slot.lane)
    }

    /// The programme after a change.
    ///
    /// # Errors
    /// Why the change does not fit.
    pub fn apply(&self, change: &Change) -> Result<Self, Misfit> {
        let mut new = self.clone();
        match change {
            Change::Sets(slot, sets) => {
                within(*sets, (1, SETS_AUDIT_MAX))?;
                new.slot(*slot)?.sets = *sets;
            }
            Change::Load(slot, load_kg) => new.slot(*slot)?.load_kg = Some(*load_kg),
            Change::Ramp(slot, ramp) => new.slot(*slot)?.ramp.clone_from(ramp),
            Change::Rest([s, b], rest_s) => {
                within(rest_s.get(), (0.0, REST_S_MAX))?;
                new.session(*s)?.blocks.get_mut(*b).ok_or(Misfit::NoSuchPlace)?.rest_s = *rest_s;
            }
            Change::Move(from, to) => new.shift(*from, *to)?,
            Change::Exchange(s, [a, b]) => {
                let blocks = &mut new.session(*s)?.blocks;
                if a == b || *a.max(b) >= blocks.len() {
                    return Err(Misfit::NoSuchPlace);
                }
                blocks.swap(*a, *b);
            }
            Change::Day(s, day) => new.day(*s, *day)?,
            Change::Swap(slot, other) => {
                let leaves = new.slot(*slot)?.id.clone();
                let session = new.session(slot.session)?;
                if leaves != other.id && has(session, &other.id) {
                    return Err(Misfit::Twice);
                }
                *new.slot(*slot)? = other.clone();
            }
            Change::Join(s, [a, b], kind, rest_s) => new.session(*s)?.join([*a, *b], *kind, *rest_s)?,
            Change::Part([s, b], rests) => new.session(*s)?.part(*b, rests)?,
            Change::Remove(slot, rest_s) => new.session(slot.session)?.remove(*slot, *rest_s)?,
            Change::Add(s, block) => {
                let session = new.session(*s)?;
                if block.exercises.iter().any(|p| has(session, &p.id)) {
                    return Err(Misfit::Twice);
                }
                session.blocks.push(block.clone());
            }
        }
        Ok(new)
    }

    fn session(&mut self, s: usize) -> Result<&mut Session, Misfit> {
        self.sessions.get_mut(s).ok_or(Misfit::NoSuchPlace)
    }

    fn slot(&mut self, slot: Slot) -> Result<&mut Prescription, Misfit> {
        let block = self.session(slot.session)?.blocks.get_mut(slot.block);
        block.and_then(|b| b.exercises.get_mut(slot.lane)).ok_or(Misfit::NoSuchPlace)
    }

    fn shift(&mut self, [s, b]: [usize; 2], [to, place]: [usize; 2]) -> Result<(), Misfit> {
        if self.session(to)?.blocks.len() < place {
            return Err(Misfit::NoSuchPlace);
        }
        let from = self.session(s)?;
        if b >= from.blocks.len() {
            return Err(Misfit::NoSuchPlace);
        }
        if s != to && from.blocks.len() == 1 {
            return Err(Misfit::NothingLeft);
        }
        let moved = from.blocks.remove(b);
        let into = self.session(to)?;
        if s != to && moved.exercises.iter().any(|p| has(into, &p.id)) {
            return Err(Misfit::Twice);
        }
        let place = if s == to && b < place { place - 1 } else { place };
        into.blocks.insert(place.min(into.blocks.len()), moved);
        Ok(())
    }

    fn day(&mut self, s: usize, day: u32) -> Result<(), Misfit> {
        within(day, (1, self.cycle_days.min(CYCLE_DAYS_MAX)))?;
        if self.sessions.iter().any(|other| other.day == day) {
            return Err(Misfit::DayTaken);
        }
        self.session(s)?.day = day;
        self.sessions.sort_by_key(|s| s.day);
        Ok(())
    }
}

impl Session {
    fn join(&mut self, [a, b]: [usize; 2], kind: BlockKind, rest_s: Seconds) -> Result<(), Misfit> {
        let one = |n: usize| match self.blocks.get(n) {
            Some(block) if block.exercises.len() == 1 => Ok(()),
            Some(_) => Err(Misfit::WrongBlock),
            None => Err(Misfit::NoSuchPlace),
        };
        one(a)?;
        one(b)?;
        if a == b {
            return Err(Misfit::WrongBlock);
        }
        let second = self.blocks.remove(b);
        let first = self.blocks.get_mut(if b < a { a - 1 } else { a }).ok_or(Misfit::NoSuchPlace)?;
        first.exercises.extend(second.exercises);
        (first.kind, first.rest_s) = (kind, rest_s);
        Ok(())
    }

    fn part(&mut self, b: usize, rests: &[Seconds]) -> Result<(), Misfit> {
        let block = self.blocks.get(b).ok_or(Misfit::NoSuchPlace)?.clone();
        if block.exercises.len() < 2 {
            return Err(Misfit::WrongBlock);
        }
        let rest = |lane: usize| rests.get(lane).copied().unwrap_or(block.rest_s);
        let straight = block.exercises.into_iter().enumerate();
        let parts: Vec<Block> = straight.map(|(lane, p)| Block::straight(p, rest(lane))).collect();
        self.blocks.splice(b..=b, parts);
        Ok(())
    }

    fn remove(&mut self, slot: Slot, rest_s: Seconds) -> Result<(), Misfit> {
        let only = self.prescriptions().count() == 1;
        let block = self.blocks.get_mut(slot.block).ok_or(Misfit::NoSuchPlace)?;
        if slot.lane >= block.exercises.len() {
            return Err(Misfit::NoSuchPlace);
        }
        if only {
            return Err(Misfit::NothingLeft);
        }
        block.exercises.remove(slot.lane);
        match block.exercises.len() {
            0 => drop(self.blocks.remove(slot.block)),
            1 => (block.kind, block.rest_s) = (BlockKind::Straight, rest_s),
            _ => {}
        }
        Ok(())
    }
}

fn has(session: &Session, id: &ExerciseId) -> bool {
    session.prescriptions().any(|p| p.id == *id)
}

fn within<T: PartialOrd + Copy>(value: T, (low, high): (T, T)) -> Result<(), Misfit> {
    if value >= low && value <= high { Ok(()) } else { Err(Misfit::OutOfLimits) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(id: &str) -> Prescription {
        Prescription { id: id.into(), sets: 3, reps: [8, 12], rir: 2, load_kg: None, ramp: Vec::new() }
    }

    fn block(ids: &[&str]) -> Block {
        let kind = if ids.len() == 1 { BlockKind::Straight } else { BlockKind::Alternating };
        Block { kind, rest_s: Seconds(60.0), exercises: ids.iter().map(|id| p(id)).collect() }
    }

    /// Day 1: squat; press with row. Day 4: hinge.
    fn week() -> Programme {
        let session = |day, blocks| Session { day, focus: String::new(), blocks };
        let sessions = vec![
            session(1, vec![block(&["squat"]), block(&["press", "row"])]),
            session(4, vec![block(&["hinge"])]),
        ];
        Programme { client: String::new(), cycle_days: 7, sessions }
    }

    /// The exercises by session and block after a change: "squat; press row | hinge".
    fn after(change: &Change) -> Result<String, Misfit> {
        let names = |b: &Block| b.exercises.iter().map(|p| p.id.as_str()).collect::<Vec<_>>().join(" ");
        let new = week().apply(change)?;
        let session = |s: &Session| s.blocks.iter().map(names).collect::<Vec<_>>().join("; ");
        Ok(new.sessions.iter().map(session).collect::<Vec<_>>().join(" | "))
    }

    const fn slot(session: usize, block: usize, lane: usize) -> Slot {
        Slot { session, block, lane }
    }

    #[test]
    fn blocks_move_within_a_session_and_between_them() {
        let ok = |change: Change| after(&change).unwrap();
        assert_eq!(ok(Change::Move([0, 0], [0, 2])), "press row; squat | hinge");
        assert_eq!(ok(Change::Move([0, 1], [1, 0])), "squat | press row; hinge");
        assert_eq!(ok(Change::Exchange(0, [0, 1])), "press row; squat | hinge");
        assert_eq!(after(&Change::Move([1, 0], [0, 0])), Err(Misfit::NothingLeft));
        assert_eq!(after(&Change::Move([0, 0], [0, 3])), Err(Misfit::NoSuchPlace));
        assert_eq!(after(&Change::Exchange(0, [1, 1])), Err(Misfit::NoSuchPlace));
    }

    #[test]
    fn blocks_are_joined_parted_and_thinned_out() {
        let rest = Seconds(90.0);
        assert_eq!(after(&Change::Part([0, 1], vec![rest])).unwrap(), "squat; press; row | hinge");
        assert_eq!(after(&Change::Part([0, 0], vec![])), Err(Misfit::WrongBlock));
        let kind = BlockKind::Alternating;
        assert_eq!(after(&Change::Join(0, [0, 1], kind, rest)), Err(Misfit::WrongBlock));
        let parted = week().apply(&Change::Part([0, 1], vec![rest, Seconds(30.0)])).unwrap();
        assert_eq!(parted.sessions[0].blocks[2].rest_s, Seconds(30.0));
        let joined = parted.apply(&Change::Join(0, [2, 0], kind, rest)).unwrap();
        assert_eq!(joined.sessions[0].blocks[1].exercises[1].id.as_str(), "squat");
        let thinned = week().apply(&Change::Remove(slot(0, 1, 0), rest)).unwrap();
        assert_eq!(thinned.sessions[0].blocks[1], Block::straight(p("row"), rest));
        assert_eq!(after(&Change::Remove(slot(1, 0, 0), rest)), Err(Misfit::NothingLeft));
    }

    #[test]
    fn an_exercise_is_in_a_session_once() {
        assert_eq!(after(&Change::Swap(slot(0, 0, 0), p("row"))), Err(Misfit::Twice));
        assert_eq!(after(&Change::Swap(slot(0, 0, 0), p("lunge"))).unwrap(), "lunge; press row | hinge");
        assert_eq!(after(&Change::Add(0, block(&["row"]))), Err(Misfit::Twice));
        assert_eq!(after(&Change::Add(1, block(&["row"]))).unwrap(), "squat; press row | hinge; row");
    }

    #[test]
    fn numbers_keep_their_limits_and_days_their_order() {
        let sets = |n| after(&Change::Sets(slot(0, 0, 0), n)).map(drop);
        assert_eq!([sets(0), sets(1), sets(SETS_AUDIT_MAX)], [Err(Misfit::OutOfLimits), Ok(()), Ok(())]);
        assert_eq!(sets(SETS_AUDIT_MAX + 1), Err(Misfit::OutOfLimits));
        let rest = |s| after(&Change::Rest([0, 0], Seconds(s))).map(drop);
        assert_eq!([rest(REST_S_MAX), rest(REST_S_MAX + 1.0)], [Ok(()), Err(Misfit::OutOfLimits)]);
        assert_eq!(rest(f64::NAN), Err(Misfit::OutOfLimits));
        let day = |d| after(&Change::Day(0, d));
        assert_eq!(day(6).unwrap(), "hinge | squat; press row");
        assert_eq!(
            [day(0), day(8), day(4)].map(Result::unwrap_err),
            [Misfit::OutOfLimits, Misfit::OutOfLimits, Misfit::DayTaken]
        );
    }
}
