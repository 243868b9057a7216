//! One session solved exactly for given profits: a multiple-choice knapsack over time steps, by dynamic
//! programming, with the ramp of each family's first lift and the parity of lifts that stand in pairs.
//!
//! It relaxes a session (who can pair with whom is left out, budgets are priced), so its value is never below
//! the best real session's. Values are whole numbers held in `f64`, far below 2^53, so sums are exact.

/// A choice for a lift in a session with its profit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offer {
    /// Which lift.
    pub lift: u16,
    /// Mode.
    pub mode: u8,
    /// Sets.
    pub sets: u8,
    /// Time steps when the family is warm.
    pub time: u32,
    /// Further steps when it opens its family.
    pub lead: u32,
    /// Whether it is ramped, so that those after it find the family warm.
    pub opens: bool,
    /// Whether it stands in a pair.
    pub paired: bool,
    /// Profit, a whole number.
    pub profit: f64,
}

/// Offers of which at most one is taken; `must` when one has to be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// The offers.
    pub offers: Vec<Offer>,
    /// One has to be taken.
    pub must: bool,
}

/// Groups in the order they are gone through: by family, compounds before single-joint lifts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stages {
    /// By family (the last one is "no family"): runs of groups. A run has a limit of groups that may be used.
    pub families: Vec<Vec<Run>>,
}

/// Groups of one pattern and how many of them may be used.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The groups.
    pub groups: Vec<Group>,
    /// Most groups used.
    pub most: usize,
}

/// Most variants of a pattern that the states can count.
const COUNT: usize = 3;
/// States besides time: family open or not, odd or even number of paired lifts, variants used.
const STATES: usize = 4 * COUNT;
const NEVER: f64 = f64::NEG_INFINITY;

const fn state(count: usize, open: usize, odd: usize) -> usize {
    (count * 2 + open) * 2 + odd
}

/// The best selection for the offers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Best {
    /// Sum of profits.
    pub profit: f64,
    /// Offers taken.
    pub taken: Vec<Offer>,
}

struct Layer {
    value: Vec<f64>,
    /// By state and time: 0 when nothing is taken here, else [`mark`] of the offer and the state it came from.
    choice: Vec<u16>,
}

/// Remembers an offer and whether it found its family open.
const fn mark(offer: usize, open: usize) -> u16 {
    (2 * offer + open + 1) as u16
}

struct Table {
    width: usize,
    value: Vec<f64>,
    layers: Vec<Step>,
}

enum Step {
    /// A group: which offers it had and what was taken where.
    Group { choice: Vec<u16>, offers: Vec<Offer> },
    /// States merged at the end of a run or a family: the state each came from.
    Merge { from: Vec<u8> },
}

/// Solves a session. `capacity` is in time steps. `None` when a `must` group cannot be served.
pub fn solve(stages: &Stages, capacity: u32) -> Option<Best> {
    let width = capacity as usize + 1;
    let mut table = Table { width, value: vec![NEVER; STATES * width], layers: Vec::new() };
    table.value[..width].fill(0.0);
    for family in &stages.families {
        for run in family {
            for group in &run.groups {
                table.group(group, run.most);
            }
            table.merge(|count, open, odd| (count > 0).then_some(state(0, open, odd)));
        }
        table.merge(|count, open, odd| (open == 1).then_some(state(count, 0, odd)));
    }
    table.best()
}

impl Table {
    fn group(&mut self, group: &Group, most: usize) {
        let offers = undominated(group);
        if offers.is_empty() && !group.must {
            return;
        }
        let mut layer = if group.must {
            Layer { value: vec![NEVER; self.value.len()], choice: vec![0; self.value.len()] }
        } else {
            Layer { value: self.value.clone(), choice: vec![0; self.value.len()] }
        };
        for (index, offer) in offers.iter().enumerate() {
            for count in 0..most.min(COUNT - 1) {
                for open in 0..2 {
                    for odd in 0..2 {
                        self.take(&mut layer, offer, mark(index, open), (count, open, odd));
                    }
                }
            }
        }
        self.value = layer.value;
        self.layers.push(Step::Group { choice: layer.choice, offers });
    }

    fn take(&self, layer: &mut Layer, offer: &Offer, mark: u16, (count, open, odd): (usize, usize, usize)) {
        let from = state(count, open, odd) * self.width;
        if self.value[from + self.width - 1] == NEVER {
            return;
        }
        let (time, to) = transition(offer, count, open, odd);
        let to = to * self.width;
        if time >= self.width {
            return;
        }
        let source = &self.value[from..from + self.width - time];
        let values = &mut layer.value[to + time..to + self.width];
        let marks = &mut layer.choice[to + time..to + self.width];
        for ((value, choice), old) in values.iter_mut().zip(marks).zip(source) {
            let new = old + offer.profit;
            if new > *value {
                *value = new;
                *choice = mark;
            }
        }
    }

    /// Moves states to others, keeping the better value.
    fn merge(&mut self, target: impl Fn(usize, usize, usize) -> Option<usize>) {
        let mut from: Vec<u8> = (0..STATES as u8).flat_map(|s| std::iter::repeat_n(s, self.width)).collect();
        let mut any = false;
        for count in 0..COUNT {
            for open in 0..2 {
                for odd in 0..2 {
                    let here = state(count, open, odd);
                    if let Some(to) = target(count, open, odd) {
                        any |= self.pour(here, to, &mut from);
                    }
                }
            }
        }
        if any {
            self.layers.push(Step::Merge { from });
        }
    }

    fn pour(&mut self, here: usize, to: usize, from: &mut [u8]) -> bool {
        if self.value[(here + 1) * self.width - 1] == NEVER {
            return false;
        }
        for t in 0..self.width {
            let value = std::mem::replace(&mut self.value[here * self.width + t], NEVER);
            if value > self.value[to * self.width + t] {
                self.value[to * self.width + t] = value;
                from[to * self.width + t] = here as u8;
            }
        }
        true
    }

    fn best(&self) -> Option<Best> {
        let end = state(0, 0, 0);
        let profit = self.value[end * self.width + self.width - 1];
        if profit == NEVER {
            return None;
        }
        let mut taken = Vec::new();
        let (mut at, mut time) = (end, self.width - 1);
        for step in self.layers.iter().rev() {
            match step {
                Step::Merge { from } => at = usize::from(from[at * self.width + time]),
                Step::Group { choice, offers } => {
                    let mark = usize::from(choice[at * self.width + time]);
                    if let Some(code) = mark.checked_sub(1) {
                        let (offer, open) = (offers[code / 2], code % 2);
                        let odd = (at % 2) ^ usize::from(offer.paired);
                        time -= transition(&offer, 0, open, odd).0;
                        at = state(at / 4 - 1, open, odd);
                        taken.push(offer);
                    }
                }
            }
        }
        Some(Best { profit, taken })
    }
}

/// Steps the offer takes from a state, and the state it leads to.
fn transition(offer: &Offer, count: usize, open: usize, odd: usize) -> (usize, usize) {
    let opening = open == 0 && offer.opens;
    let time = offer.time + if opening { offer.lead } else { 0 };
    let open_after = open | usize::from(offer.opens);
    (time as usize, state(count + 1, open_after, odd ^ usize::from(offer.paired)))
}

/// Offers worth keeping: none is left out that could serve. One that loses may still make a pair or open a family
/// more cheaply; one that does neither is beaten by taking nothing.
fn undominated(group: &Group) -> Vec<Offer> {
    let mut offers: Vec<Offer> = group
        .offers
        .iter()
        .copied()
        .filter(|o| group.must || o.profit > 0.0 || o.paired || o.opens)
        .collect();
    offers.sort_by(|a, b| (a.time, a.lead).cmp(&(b.time, b.lead)).then(b.profit.total_cmp(&a.profit)));
    let mut kept: Vec<Offer> = Vec::new();
    for offer in offers {
        let beaten = kept.iter().any(|k| {
            k.paired == offer.paired
                && k.time <= offer.time
                && k.lead <= offer.lead
                && k.profit >= offer.profit
                && k.opens == offer.opens
        });
        if !beaten {
            kept.push(offer);
        }
    }
    kept
}
