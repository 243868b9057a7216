//! Editing a programme by hand: a list of small changes laid on the programme in force, each checked at once. The list is a
//! short text, so that a page can carry it in its address: nothing is kept anywhere until the programme is handed out, and
//! undo leaves the last change away.
//!
//! It never decides whether a programme is good: `setwright_check` does.

mod apply;
#[cfg(test)]
mod tests;

pub use apply::{Draft, Ground, draft, draft_so_far, neighbours, possible};

use setwright_model::ExerciseId;
pub use setwright_model::change::Slot;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use std::fmt;
use std::str::FromStr;

/// Most changes that are laid on a programme before it is handed out (judgement: their text has to fit into an address).
pub const EDITS_MAX: usize = 200;
/// Between two changes, and between the parts of one: letters that an address holds as they are.
const BETWEEN: char = '~';
const PARTS: char = '.';

/// A change. Sessions, blocks and lanes are counted from 0, days from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Edit {
    /// An exercise gets so many sets.
    Sets(Slot, u32),
    /// A block gets so many seconds of rest.
    Rest([usize; 2], u32),
    /// A block goes to another session, or another place in its own, before the block that is there.
    Move([usize; 2], [usize; 2]),
    /// A session goes to another day.
    Day(usize, u32),
    /// An exercise gives way to another.
    Swap(Slot, ExerciseId),
    /// Two straight blocks of a session become one in which they alternate.
    Join(usize, [usize; 2]),
    /// A block of two becomes two straight ones.
    Part([usize; 2]),
    /// An exercise goes.
    Remove(Slot),
    /// An exercise comes, at the end of a session.
    Add(usize, ExerciseId),
    /// An exercise is locked: a new plan works around it.
    Lock(Slot),
    /// An exercise is no longer locked.
    Free(Slot),
}

impl fmt::Display for Edit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let at = |p: &Slot| format!("{}.{}.{}", p.session, p.block, p.lane);
        match self {
            Self::Sets(place, sets) => write!(f, "sets.{}.{sets}", at(place)),
            Self::Rest([s, b], seconds) => write!(f, "rest.{s}.{b}.{seconds}"),
            Self::Move([s, b], [to, place]) => write!(f, "move.{s}.{b}.{to}.{place}"),
            Self::Day(s, day) => write!(f, "day.{s}.{day}"),
            Self::Swap(place, id) => write!(f, "swap.{}.{id}", at(place)),
            Self::Join(s, [a, b]) => write!(f, "join.{s}.{a}.{b}"),
            Self::Part([s, b]) => write!(f, "part.{s}.{b}"),
            Self::Remove(place) => write!(f, "remove.{}", at(place)),
            Self::Add(s, id) => write!(f, "add.{s}.{id}"),
            Self::Lock(place) => write!(f, "lock.{}", at(place)),
            Self::Free(place) => write!(f, "free.{}", at(place)),
        }
    }
}

impl FromStr for Edit {
    type Err = Refusal;

    fn from_str(text: &str) -> Result<Self, Refusal> {
        read(text).ok_or_else(|| unreadable(text))
    }
}

fn read(text: &str) -> Option<Edit> {
    let parts: Vec<&str> = text.split(PARTS).collect();
    let (what, rest) = parts.split_first()?;
    let (last, numbers) = rest.split_last()?;
    let n: Vec<usize> = numbers.iter().map(|p| p.parse().ok()).collect::<Option<_>>()?;
    let end = || last.parse::<usize>().ok();
    let count = || last.parse::<u32>().ok();
    let id = || (!last.is_empty()).then(|| ExerciseId::from(*last));
    let place = |at: &[usize]| match *at {
        [session, block, lane] => Some(Slot { session, block, lane }),
        _ => None,
    };
    let whole = || place(&[n.as_slice(), &[end()?]].concat());
    Some(match (*what, n.as_slice()) {
        ("sets", [_, _, _]) => Edit::Sets(place(&n)?, count()?),
        ("rest", [s, b]) => Edit::Rest([*s, *b], count()?),
        ("move", [s, b, to]) => Edit::Move([*s, *b], [*to, end()?]),
        ("day", [s]) => Edit::Day(*s, count()?),
        ("swap", [_, _, _]) => Edit::Swap(place(&n)?, id()?),
        ("join", [s, a]) => Edit::Join(*s, [*a, end()?]),
        ("part", [s]) => Edit::Part([*s, end()?]),
        ("remove", [_, _]) => Edit::Remove(whole()?),
        ("add", [s]) => Edit::Add(*s, id()?),
        ("lock", [_, _]) => Edit::Lock(whole()?),
        ("free", [_, _]) => Edit::Free(whole()?),
        _ => return None,
    })
}

/// The changes of a text, in order.
///
/// # Errors
/// A text that is none, or too many of them.
pub fn edits(text: &str) -> Result<Vec<Edit>, Refusal> {
    let parts = || text.split(BETWEEN).filter(|part| !part.is_empty());
    if parts().count() > EDITS_MAX {
        return Err(Refusal::new(
            Code::CannotEdit,
            format!("More than {EDITS_MAX} changes are laid on this programme."),
            "Hand it out as it is now, and go on from there.",
        ));
    }
    parts().map(str::parse).collect()
}

/// The text of changes.
pub fn text(edits: &[Edit]) -> String {
    edits.iter().map(ToString::to_string).collect::<Vec<_>>().join(&BETWEEN.to_string())
}

fn unreadable(text: &str) -> Refusal {
    Refusal::new(
        Code::CannotEdit,
        format!("\"{}\" is no change of a programme.", setwright_formats::doc::printable(text)),
        "Go back to the programme and use its buttons.",
    )
}
