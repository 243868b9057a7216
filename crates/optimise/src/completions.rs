//! What a session is worth at best when an offer must be in it: the solver's rows from the start, met by rows from
//! the end.
//!
//! It says how near every offer is to being worth its time, not only which are taken.

use crate::session_dp::{
    End, LANES, Layer, NO_ROW, Number, STATES, SessionQuery, SessionRoom, SessionTable, Step, better_of,
    last_step, transition,
};
use crate::session_shape::Shape;

/// Rows from the end: by layer and state, the best of what is still to come for the time that is left.
struct Back {
    rows: Vec<[u32; STATES]>,
    /// For each row from the start that was turned round: where it now lies.
    turned: Vec<u32>,
}

/// Where rows from the start meet rows from the end.
struct Meeting<'a, N> {
    shape: &'a Shape,
    room: SessionRoom,
    ask: &'a SessionQuery<'a, N>,
    /// The layer before the group.
    parent: usize,
    step: Step,
    /// Rows from the end, after the group.
    here: [u32; STATES],
}

impl<N: Number> SessionTable<N> {
    /// By offer: the best of the session with it.
    pub fn completions(&mut self, shape: &Shape, room: SessionRoom, ask: &SessionQuery<'_, N>) -> Vec<f64> {
        // Every state that an offer leads to has to be gone through, whether or not the best does.
        self.keep_all = true;
        let ends = self.fill(shape, room, ask);
        self.keep_all = false;
        let turned = vec![NO_ROW; self.row_count()];
        let mut back = Back { rows: vec![[NO_ROW; STATES]; self.layers.len()], turned };
        for end in &ends {
            self.begin_back(*end, room, &mut back);
        }
        let mut best = vec![f64::NEG_INFINITY; shape.offers.len()];
        for index in (1..self.layers.len()).rev() {
            let layer = self.layers[index].clone();
            if let Some(step) = layer.group {
                let here = back.rows[index];
                self.meet(
                    &Meeting { shape, room, ask, parent: layer.parent, step, here },
                    &mut back,
                    &mut best,
                );
            }
            self.step_back(&layer, index, &mut back);
        }
        best
    }

    fn row_count(&self) -> usize {
        self.layers.iter().flat_map(|l| l.rows).filter(|r| *r != NO_ROW).max().unwrap_or(0) as usize
            / self.stride()
            + 1
    }

    fn begin_back(&mut self, end: End, room: SessionRoom, back: &mut Back) {
        let Some(last) = last_step(end, room) else { return };
        let row = self.new_row() as usize;
        let capacity = room.capacity as usize;
        let stride = self.stride();
        self.rows[row + LANES..row + stride].fill(N::NEVER);
        self.rows[row + LANES + capacity - last..=row + LANES + capacity].fill(N::ZERO);
        let known = back.rows[end.layer][0];
        back.rows[end.layer][0] = if known == NO_ROW {
            row as u32
        } else {
            self.best_row(&[(known as usize + LANES, 0, N::ZERO), (row + LANES, 0, N::ZERO)])
        };
    }

    fn best_row(&mut self, starts: &[(usize, usize, N)]) -> u32 {
        let new = self.new_row() as usize;
        let stride = self.stride();
        let (old, out) = self.rows.split_at_mut(new);
        better_of(old, starts, &mut out[LANES..stride]);
        new as u32
    }

    /// Carries a layer's rows from the end on to the layer before it.
    fn step_back(&mut self, layer: &Layer, index: usize, back: &mut Back) {
        let here = back.rows[index];
        for from in 0..STATES {
            let mut starts = std::mem::take(&mut self.starts);
            starts.clear();
            for (to, row) in here.iter().enumerate().filter(|(_, row)| **row != NO_ROW) {
                let (first, last) = layer.sources[to];
                let own = self.sources[first as usize..last as usize].iter();
                starts.extend(
                    own.filter(|s| usize::from(s.from) == from)
                        .map(|s| (*row as usize + LANES, s.shift as usize, s.profit)),
                );
            }
            let known = back.rows[layer.parent][from];
            if known != NO_ROW && !starts.is_empty() {
                starts.push((known as usize + LANES, 0, N::ZERO));
            }
            match starts[..] {
                [] => {}
                [(row, 0, profit)] if profit == N::ZERO => {
                    back.rows[layer.parent][from] = (row - LANES) as u32;
                }
                _ => back.rows[layer.parent][from] = self.best_row(&starts),
            }
            self.starts = starts;
        }
    }

    /// Rows from the start meet rows from the end at a group.
    fn meet(&mut self, at: &Meeting<'_, N>, back: &mut Back, best: &mut [f64]) {
        let rows = self.layers[at.parent].rows;
        for from in (0..STATES).filter(|s| rows[*s] != NO_ROW) {
            let (count, open, odd) = (from / 4, from / 2 % 2, from % 2);
            if count >= at.step.most {
                continue;
            }
            let start = self.turned(rows[from], at.room, back);
            let after = if at.step.most == usize::MAX { count } else { count + 1 };
            for index in at.shape.groups[at.step.group].clone() {
                let (offer, profit) = (&at.shape.offers[index], at.ask.profit[index]);
                let (shift, to) = transition(offer, after, open, odd);
                if at.step.part.allows(offer) && profit != N::NEVER && at.here[to] != NO_ROW {
                    let value = self.top_of_sum(start, at.here[to], shift as usize, profit);
                    best[index] = best[index].max(value.wide());
                }
            }
        }
    }

    /// A row from the start by time left instead of time used.
    fn turned(&mut self, row: u32, room: SessionRoom, back: &mut Back) -> u32 {
        let number = row as usize / self.stride();
        if back.turned[number] == NO_ROW {
            let new = self.new_row() as usize;
            let (capacity, stride) = (room.capacity as usize, self.stride());
            let (old, out) = self.rows.split_at_mut(new);
            let used = &old[row as usize + LANES..=row as usize + LANES + capacity];
            out[LANES..stride].fill(N::NEVER);
            out[LANES..=LANES + capacity].iter_mut().zip(used.iter().rev()).for_each(|(o, u)| *o = *u);
            back.turned[number] = new as u32;
        }
        back.turned[number]
    }

    /// The best over all times left: what was before, an offer's profit, and what is still to come after its time.
    fn top_of_sum(&self, before: u32, after: u32, shift: usize, profit: N) -> N {
        let stride = self.stride();
        let before = &self.rows[before as usize + LANES..before as usize + stride];
        let after = &self.rows[after as usize + LANES..after as usize + stride];
        let Some(before) = before.get(shift..) else { return N::NEVER };
        let after = &after[..before.len()];
        let mut best = [N::NEVER; 8];
        let blocks = before.as_chunks::<8>().0.iter().zip(after.as_chunks::<8>().0);
        for (one, other) in blocks {
            for ((best, one), other) in best.iter_mut().zip(one).zip(other) {
                let sum = *one + *other;
                *best = if sum > *best { sum } else { *best };
            }
        }
        let rest = before.as_chunks::<8>().1.iter().zip(after.as_chunks::<8>().1).map(|(a, b)| *a + *b);
        let top = best.into_iter().chain(rest).fold(N::NEVER, |a, b| if b > a { b } else { a });
        top + profit
    }
}
