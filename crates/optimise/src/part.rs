//! A frame, or a part of one, whose bound is being pressed.
//!
//! Two parts made of one leave no plan out. Nothing here chooses which part is pressed.

use crate::cuts::Cut;
use crate::descent::Descent;
use crate::dual::{Dual, OpenOffers, Prices, Workspace};
use crate::fixed::{self, Left};
use crate::found::Found;
use crate::layout::Layout;
use crate::session_shape::LiftOffer;
use std::collections::BTreeMap;

/// Rounds before it is looked at again.
const BURST: u32 = 10;
/// Rounds after which a part is split even if its prices have not settled: a whole frame, and a part of one.
const FRAME_ROUNDS: u32 = 500;
const PART_ROUNDS: u32 = 12;
/// Share of the averaged selections below which it is as good as certain that a lift is out, or in.
const CERTAIN: f64 = 1e-3;
/// The same for a movement.
const UNSURE: f64 = 0.03;

/// What is known when a part is pressed.
#[derive(Clone, Copy)]
pub struct PartKnown<'a> {
    /// Value of the best plan found, in millionths.
    pub value: i64,
    /// Says when time is up.
    pub over: &'a (dyn Fn() -> bool + Sync),
}

/// How a movement is done in a session on average.
#[derive(Clone, Debug)]
struct Movement {
    session: usize,
    /// Exercises of it.
    often: f64,
    /// Time steps.
    time: f64,
    offers: Vec<u32>,
}

/// A frame or a part of it.
#[derive(Clone, Debug)]
pub struct Part {
    frame: usize,
    limits: OpenOffers,
    descent: Descent,
    bound: i64,
    rounds: u32,
    is_whole: bool,
}

impl Part {
    /// A whole frame, to be pressed from some prices.
    pub fn whole(frame: usize, dual: &Dual<'_>, prices: Prices, value: i64) -> Self {
        let descent = Descent::new(dual, prices, value);
        Self { frame, limits: dual.limits(), descent, bound: i64::MAX, rounds: 0, is_whole: true }
    }

    /// The best prices met, without those of rules of pairing.
    pub fn prices(&self, here: &Dual<'_>) -> Prices {
        let mut prices = self.descent.best_at.clone();
        prices.at.truncate(here.places.len());
        prices
    }

    /// Another whole frame, from what was learnt in this one.
    #[must_use]
    pub fn elsewhere(&self, frame: usize, here: &Dual<'_>, there: &Dual<'_>, value: i64) -> Self {
        let mut prices = self.descent.best_at.clone();
        let alike = here.layouts().zip(there.layouts()).all(|(a, b)| a.shape == b.shape);
        let cuts = if alike { self.limits.cuts.clone() } else { Vec::new() };
        prices.at.truncate(there.places.len() + cuts.len());
        let mut out = Self::whole(frame, there, prices, value);
        if alike {
            out.descent.seed(there, &self.descent);
        }
        out.descent.know(&there.places, &cuts);
        out.limits.cuts = cuts;
        out
    }

    /// Index of the frame.
    pub fn frame(&self) -> usize {
        self.frame
    }

    /// The bound, in millionths; `i64::MIN` when there is no plan.
    pub fn bound(&self) -> i64 {
        self.bound
    }

    /// Rounds since it was made.
    pub fn rounds(&self) -> u32 {
        self.rounds
    }

    /// Whether something better than a value may be in it.
    pub fn is_open(&self, value: i64) -> bool {
        self.bound > value
    }

    /// How often each offer of a session is taken in its average selection.
    pub fn average(&self, session: usize, offers: usize) -> Vec<f64> {
        self.descent.average(session, offers)
    }

    /// Whether it is time to split it.
    pub fn is_settled(&self) -> bool {
        self.descent.settled() || self.rounds >= if self.is_whole { FRAME_ROUNDS } else { PART_ROUNDS }
    }

    /// Presses it for a few rounds, and adds rules of pairing that its average selection breaks.
    pub fn press(&mut self, dual: &Dual<'_>, known: PartKnown<'_>, workspace: &mut Workspace) {
        for _ in 0..BURST {
            if self.bound < i64::MAX && (known.over)() {
                return;
            }
            self.rounds += 1;
            let Some(evaluation) = dual.evaluate(&self.descent.at, &self.limits, workspace) else {
                self.bound = i64::MIN;
                return;
            };
            self.descent.take(dual, &evaluation);
            self.bound = self.bound.min(self.descent.best);
            if !self.is_open(known.value) || self.descent.settled() {
                break;
            }
        }
        if self.is_open(known.value) {
            self.cut(dual);
        }
    }

    fn cut(&mut self, dual: &Dual<'_>) {
        let mut new: Vec<Cut> = Vec::new();
        for layout in dual.layouts() {
            let pairing = dual.pairing(layout.session);
            new.extend(pairing.broken(&self.average(layout.session, layout.shape.offers.len())));
        }
        new.retain(|cut| !self.limits.cuts.contains(cut));
        if !new.is_empty() {
            self.descent.add_rules(dual, &new);
            self.limits.cuts.extend(new);
        }
    }

    /// Splits it by what its average selection is least sure of: a lift in a session, or else a way to do one.
    /// `None` when it is sure of all.
    pub fn split(&self, dual: &Dual<'_>) -> Option<[Self; 2]> {
        let by_lift = |offer: &LiftOffer| (offer.lift, 0, 0);
        let by_way = |offer: &LiftOffer| (offer.lift, offer.mode, offer.sets);
        if let Some(movement) = self.unsure_movement(dual) {
            return Some(self.split_by_movement(dual, &movement));
        }
        let unsure = self.least_sure(dual, by_lift).or_else(|| self.least_sure(dual, by_way));
        let (session, doubtful) = unsure.or_else(|| self.not_fixed(dual))?;
        let mut with = Self { rounds: 0, is_whole: false, ..self.clone() };
        let mut without = with.clone();
        for (group, offers) in dual.layout(session).shape.groups.iter().enumerate() {
            if offers.clone().any(|offer| doubtful.contains(&offer)) {
                with.limits.must[session][group] = true;
                for offer in offers.clone() {
                    let part = if doubtful.contains(&offer) { &mut without } else { &mut with };
                    part.limits.closed[session][offer] = true;
                }
            }
        }
        with.narrow(dual);
        without.narrow(dual);
        Some([with, without])
    }

    /// The movement of which it is least sure that it is in a session at all, by the time that is in doubt.
    fn unsure_movement(&self, dual: &Dual<'_>) -> Option<Movement> {
        let unsure = |m: &Movement| m.often.min((m.often - 1.0).abs());
        let doubt = |m: &Movement| unsure(m) * m.time / m.often;
        let all = dual.layouts().flat_map(|layout| self.movements(dual, layout));
        all.filter(|m| unsure(m) > UNSURE).max_by(|a, b| doubt(a).total_cmp(&doubt(b)))
    }

    fn movements(&self, dual: &Dual<'_>, layout: &Layout) -> Vec<Movement> {
        let average = self.average(layout.session, layout.shape.offers.len());
        let mut out: BTreeMap<usize, Movement> = BTreeMap::new();
        for (index, offer) in layout.shape.offers.iter().enumerate() {
            let pattern = dual.problem.lifts[usize::from(offer.lift)].exercise.pattern as usize;
            let new = || Movement { session: layout.session, often: 0.0, time: 0.0, offers: Vec::new() };
            let sum = out.entry(pattern).or_insert_with(new);
            sum.often += average[index];
            sum.time += average[index] * f64::from(offer.time);
            sum.offers.push(index as u32);
        }
        out.into_values().collect()
    }

    /// One part without a movement in a session, and one with it.
    fn split_by_movement(&self, dual: &Dual<'_>, movement: &Movement) -> [Self; 2] {
        let mut with = Self { rounds: 0, is_whole: false, ..self.clone() };
        let mut without = with.clone();
        let (session, offers) = (movement.session, &movement.offers);
        for offer in offers {
            without.limits.closed[session][*offer as usize] = true;
        }
        let groups = &dual.layout(session).shape.groups;
        let own = |g: &usize| offers.iter().any(|o| groups[*g].contains(&(*o as usize)));
        let own: Vec<usize> = (0..groups.len()).filter(own).collect();
        if let [one] = own[..] {
            with.limits.must[session][one] = true;
        } else {
            let cut = Cut { session, terms: offers.iter().map(|o| (*o, -1.0)).collect(), most: -1.0 };
            with.descent.add_rules(dual, std::slice::from_ref(&cut));
            with.limits.cuts.push(cut);
        }
        with.narrow(dual);
        without.narrow(dual);
        [with, without]
    }

    /// The session and offers of which it is least sure that one of them is taken, by the time that is in doubt.
    /// Offers with the same key belong together.
    fn least_sure(
        &self,
        dual: &Dual<'_>,
        key: impl Fn(&LiftOffer) -> (u16, u8, u8),
    ) -> Option<(usize, Vec<usize>)> {
        let mut top: Option<(f64, usize, (u16, u8, u8))> = None;
        for layout in dual.layouts() {
            let offers = &layout.shape.offers;
            let average = self.average(layout.session, offers.len());
            let mut sums: BTreeMap<(u16, u8, u8), (f64, f64)> = BTreeMap::new();
            for (offer, often) in offers.iter().zip(average) {
                let sum = sums.entry(key(offer)).or_default();
                sum.0 += often;
                sum.1 += often * f64::from(offer.time);
            }
            for (which, (often, time)) in sums {
                let unsure = often.min(1.0 - often);
                let doubt = unsure * time / often;
                if unsure > CERTAIN && top.is_none_or(|(most, _, _)| doubt > most) {
                    top = Some((doubt, layout.session, which));
                }
            }
        }
        let (_, session, which) = top?;
        let offers = dual.layout(session).shape.offers.iter().enumerate();
        Some((session, offers.filter(|(_, o)| key(o) == which).map(|(index, _)| index).collect()))
    }

    /// The plan that its average selection comes nearest to, as far as it is one.
    pub fn likely(&self, dual: &Dual<'_>) -> Found {
        fixed::plan_of(dual, &self.descent.heaviest(dual.frame.parts()))
    }

    /// What is left of it.
    pub fn left(&self, dual: &Dual<'_>) -> Left {
        fixed::left_of(dual, &self.limits)
    }

    /// The longest offer of those taken that is not fixed yet: sure as it is, what it is sure of need not be a plan.
    fn not_fixed(&self, dual: &Dual<'_>) -> Option<(usize, Vec<usize>)> {
        let mut top: Option<(u16, usize, usize)> = None;
        for layout in dual.layouts() {
            let s = layout.session;
            let average = self.average(s, layout.shape.offers.len());
            for (group, must) in layout.shape.groups.iter().zip(&self.limits.must[s]) {
                let open = group.clone().filter(|o| !self.limits.closed[s][*o]).count();
                for index in group.clone().filter(|o| average[*o] > 0.5 && !(*must && open == 1)) {
                    let time = layout.shape.offers[index].time;
                    if top.is_none_or(|(most, _, _)| time > most) {
                        top = Some((time, s, index));
                    }
                }
            }
        }
        top.map(|(_, session, offer)| (session, vec![offer]))
    }

    /// Takes over that limits have become narrower.
    fn narrow(&mut self, dual: &Dual<'_>) {
        let limits = &self.limits;
        self.descent.narrow(|s, taken| {
            let served =
                |group: &std::ops::Range<usize>| taken.iter().any(|o| group.contains(&(*o as usize)));
            let mut groups = dual.layout(s).shape.groups.iter().zip(&limits.must[s]);
            taken.iter().all(|offer| !limits.closed[s][*offer as usize])
                && groups.all(|(group, must)| !must || served(group))
        });
    }
}
