//! A change to a session: blocks that go and blocks that come. It is what the search draws and weighs, so it is
//! small and owns nothing.

use crate::plan::{Blocks, NONE, PlanBlock};

/// Most blocks that go, and most that come.
const MOST: usize = 2;

/// Blocks that leave a session and blocks that take their room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SessionEdit {
    session: u8,
    gone: [u8; MOST],
    gone_len: u8,
    come: [PlanBlock; MOST],
    come_len: u8,
}

impl SessionEdit {
    /// Nothing changes yet.
    pub const fn new(session: usize) -> Self {
        let none = PlanBlock { a: NONE, b: NONE, sets: 0, mode: 0 };
        Self { session: session as u8, gone: [0; MOST], gone_len: 0, come: [none; MOST], come_len: 0 }
    }

    /// One block becomes another.
    #[inline]
    pub fn instead(session: usize, index: usize, slot: PlanBlock) -> Self {
        Self::new(session).without(index).with(slot)
    }

    /// A block leaves. More than two, or the same one twice, is not counted.
    #[inline]
    #[must_use]
    pub fn without(mut self, index: usize) -> Self {
        if usize::from(self.gone_len) < MOST && !self.leaves(index) {
            self.gone[usize::from(self.gone_len)] = index as u8;
            self.gone_len += 1;
        }
        self
    }

    /// A block comes. More than two are not counted.
    #[inline]
    #[must_use]
    pub fn with(mut self, slot: PlanBlock) -> Self {
        if usize::from(self.come_len) < MOST {
            self.come[usize::from(self.come_len)] = slot;
            self.come_len += 1;
        }
        self
    }

    /// The session it changes.
    pub const fn session(&self) -> usize {
        self.session as usize
    }

    /// Indices of the blocks that leave.
    #[inline]
    pub fn gone(&self) -> &[u8] {
        &self.gone[..usize::from(self.gone_len)]
    }

    /// Whether a block leaves.
    #[inline]
    pub fn leaves(&self, index: usize) -> bool {
        self.gone().iter().any(|g| usize::from(*g) == index)
    }

    /// Blocks that come.
    #[inline]
    pub fn come(&self) -> &[PlanBlock] {
        &self.come[..usize::from(self.come_len)]
    }

    /// The session's blocks afterwards; `None` when there is no room.
    #[inline]
    pub fn applied(&self, blocks: &Blocks) -> Option<Blocks> {
        let mut out: Blocks =
            blocks.iter().enumerate().filter(|(i, _)| !self.leaves(*i)).map(|(_, slot)| *slot).collect();
        self.come().iter().all(|slot| out.push(*slot)).then_some(out)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn block(a: u16) -> PlanBlock {
        PlanBlock { a, b: NONE, sets: 2, mode: 0 }
    }

    #[test]
    fn what_goes_makes_room_for_what_comes() {
        let blocks: Blocks = (0..4).map(block).collect();
        let edit = SessionEdit::new(0).without(2).without(0).without(2).with(block(9));
        let after = edit.applied(&blocks).expect("there is room");
        assert_eq!(after.iter().map(|s| s.a).collect::<Vec<_>>(), [1, 3, 9]);
    }

    #[test]
    fn a_full_session_takes_no_more() {
        let blocks: Blocks = (0..crate::plan::BLOCKS as u16).map(block).collect();
        assert_eq!(SessionEdit::new(0).with(block(99)).applied(&blocks), None);
        assert!(SessionEdit::instead(0, 3, block(99)).applied(&blocks).is_some());
    }
}
