//! What may be done in a session of a frame: its offers, laid out for the solver, and their profits at given prices.
//!
//! An offer is left out only where no plan can hold it, or where another serves at least as well at any prices.

use crate::prices::{EXERCISES, FINE, PriceIndex, SAME_MUSCLE, TIME};
use crate::session_dp::SessionRoom;
use crate::session_shape::{GroupRun, LiftOffer, OfferGroup, Shape};
use setwright_formulate::frame::{Frame, SESSIONS};
use setwright_formulate::problem::{
    ALTERNATING, Choice, MODES, NOTHING, Problem, SAME_FIRST, SAME_SECOND, SETS, STRAIGHT,
};
use setwright_model::{BlockKind, Muscle, Pattern};
use setwright_science::rules::BALANCE_SHARE;
use setwright_science::warmup::RampFamily;
use std::collections::BTreeMap;

const M: usize = Muscle::COUNT;
const NO_FAMILY: usize = RampFamily::ALL.len();

/// Share of a session's time from which it is taken to be short of time.
const FULL: f64 = 0.85;

/// What a session is solved exactly in; the rest that it has to spend is priced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SolvedMeasure {
    /// Time steps, with the ramps of the first lifts.
    Time,
    /// Sets. Its ramps are left out, which only makes a bound larger.
    Sets,
}

impl SolvedMeasure {
    /// What a session of a plan is short of: sets, if much of its time is left.
    pub fn of(problem: &Problem, session: usize, sums: &setwright_formulate::plan::Sums) -> Self {
        let share = |used: u32, room: u32| f64::from(used) / f64::from(room.max(1));
        let time = share(sums.time, problem.minutes_units[session]);
        if time < FULL { Self::Sets } else { Self::Time }
    }
}

/// A session's offers.
#[derive(Clone, Debug)]
pub struct Layout {
    /// Which session.
    pub session: usize,
    /// The offers in the order they are gone through.
    pub shape: Shape,
    /// Groups of which one offer has to be taken.
    pub must: Vec<bool>,
    /// Whether a lock of this session can be kept by no offer at all.
    pub impossible: bool,
    /// What there is to spend.
    pub room: SessionRoom,
    /// Worth of each offer.
    worth: Vec<f64>,
}

/// What is needed to lay a session out.
struct Laying<'a> {
    problem: &'a Problem,
    eligible: &'a [bool],
    session: usize,
    measure: SolvedMeasure,
    /// Least lead time of the lifts that may lead a family before a lift although they are gone through after it, by
    /// lift; `u16::MAX` where there is none.
    leads: Vec<u16>,
    /// The sets that a lock of this session fixes, by lift.
    fixed_sets: BTreeMap<usize, u8>,
}

impl Layout {
    /// The offers of a session.
    pub fn new(problem: &Problem, frame: &Frame, session: usize, measure: SolvedMeasure) -> Self {
        let eligible = &frame.eligible[session];
        let laying = Laying {
            problem,
            eligible,
            session,
            measure,
            leads: if measure == SolvedMeasure::Time { leads(problem, eligible) } else { Vec::new() },
            fixed_sets: fixed_sets(problem, session),
        };
        let (families, musts) = laying.families();
        let shape = Shape::new(families);
        let worth = shape.offers.iter().map(|o| f64::from(choice(problem, o).worth)).collect();
        let locked = |g: &std::ops::Range<usize>| {
            shape.offers.get(g.start).is_some_and(|o| !g.is_empty() && musts.contains(&o.lift))
        };
        let must = shape.groups.iter().map(locked).collect();
        let impossible = musts.iter().any(|l| shape.offers.iter().all(|o| o.lift != *l));
        let room = match measure {
            SolvedMeasure::Time => {
                SessionRoom { capacity: problem.minutes_units[session], start: problem.start_units }
            }
            SolvedMeasure::Sets => SessionRoom { capacity: problem.sets_most[session], start: 0 },
        };
        Self { session, shape, must, impossible, room, worth }
    }

    /// Profit of each offer at whole prices: a whole number of 1/1024 millionth.
    pub fn profits(
        &self,
        problem: &Problem,
        frame: &Frame,
        places: &PriceIndex,
        whole: &[f64],
        out: &mut Vec<f64>,
    ) {
        let lifts = lift_profits(problem, frame, self.session, places, whole);
        let copies = f64::from(problem.copies[self.session]);
        let time_price = copies * problem.tables.time_price as f64 * FINE;
        let same = whole[places.budget(self.session, SAME_MUSCLE)];
        let time_price = time_price + whole[places.budget(self.session, TIME)];
        out.clear();
        out.extend(self.shape.offers.iter().zip(&self.worth).map(|(offer, worth)| {
            let lift = &lifts[usize::from(offer.lift)];
            let own = problem.own_price(self.session, usize::from(offer.lift), choice(problem, offer));
            let block = if MODES[usize::from(offer.mode)].second { same } else { 0.0 };
            lift.worth * worth + lift.set * f64::from(offer.sets) + lift.once
                - time_price * f64::from(offer.time)
                - copies * own as f64 * FINE
                - block
        }));
    }

    /// What taken offers are worth without any prices, in millionths.
    pub fn constant(&self, problem: &Problem, taken: &[u32]) -> f64 {
        let of = |index: &u32| {
            let offer = &self.shape.offers[*index as usize];
            let own = problem.own_price(self.session, usize::from(offer.lift), choice(problem, offer));
            -((own + problem.tables.time_price * i64::from(offer.time)) as f64)
        };
        f64::from(problem.copies[self.session]) * taken.iter().map(of).sum::<f64>()
    }

    /// Adds what taken offers would do to each rule.
    pub fn add_slopes(
        &self,
        problem: &Problem,
        frame: &Frame,
        places: &PriceIndex,
        taken: &[u32],
        slopes: &mut [f64],
    ) {
        for &index in taken {
            let offer = &self.shape.offers[index as usize];
            add_offer(problem, frame, self.session, places, offer, slopes);
        }
    }
}

fn choice<'a>(problem: &'a Problem, offer: &LiftOffer) -> &'a Choice {
    problem.choice(usize::from(offer.lift), offer.mode, offer.sets)
}

/// The sets that locks of this session fix: 0 sets, which nothing offers, when two clash.
fn fixed_sets(problem: &Problem, session: usize) -> BTreeMap<usize, u8> {
    let mut out = BTreeMap::new();
    for (lift, lock) in &problem.locks {
        if let Some(sets) = lock.sets.filter(|_| lock.session == Some(session as u32 + 1)) {
            out.entry(*lift).and_modify(|n| *n = if *n == sets as u8 { *n } else { 0 }).or_insert(sets as u8);
        }
    }
    out
}

/// For each lift the least lead of those of its family that are ranked before it and yet gone through after it, or beside
/// it: compounds are gone through before single joints, and nothing more is known.
fn leads(problem: &Problem, eligible: &[bool]) -> Vec<u16> {
    let least = |index: usize| {
        let choices = problem.lifts[index].choices.iter().flatten();
        choices.filter(|c| c.allowed).map(|c| c.lead).min().unwrap_or(u16::MAX)
    };
    let least: Vec<u16> = (0..problem.lifts.len()).map(least).collect();
    let compound = |index: usize| problem.lifts[index].exercise.pattern.is_compound();
    let may_lead = |one: usize, other: usize| {
        let (l, k) = (&problem.lifts[one], &problem.lifts[other]);
        eligible[other] && k.family == l.family && k.rank < l.rank && (compound(one) || !compound(other))
    };
    let of = |one: usize| {
        (0..least.len()).filter(|other| may_lead(one, *other)).map(|k| least[k]).min().unwrap_or(u16::MAX)
    };
    (0..least.len()).map(of).collect()
}

impl Laying<'_> {
    /// Runs by family, compounds first, and the lifts that this session must hold.
    fn families(&self) -> (Vec<Vec<GroupRun>>, Vec<u16>) {
        let problem = self.problem;
        let mut families: Vec<[Vec<GroupRun>; 2]> = (0..=NO_FAMILY).map(|_| Default::default()).collect();
        let mut by_pattern: BTreeMap<Pattern, Vec<usize>> = BTreeMap::new();
        let mut musts = Vec::new();
        for (index, lift) in problem.lifts.iter().enumerate().filter(|(l, _)| self.eligible[*l]) {
            let pattern = lift.exercise.pattern;
            let own: Vec<_> = problem.locks.iter().filter(|(l, _)| *l == index).collect();
            if own.is_empty() {
                by_pattern.entry(pattern).or_default().push(index);
            } else {
                if own.iter().any(|(_, lock)| lock.session == Some(self.session as u32 + 1)) {
                    musts.push(index as u16);
                }
                // Locked lifts do not count against the variants.
                place(&mut families, pattern).push((vec![self.offers(index)], 1));
            }
        }
        for (pattern, lifts) in by_pattern {
            let most = problem.variants[pattern as usize] as usize;
            let groups: Vec<OfferGroup> = lifts.iter().map(|l| self.offers(*l)).collect();
            let run = if most <= 1 { (vec![groups.concat()], 1) } else { (groups, most) };
            place(&mut families, pattern).push(run);
        }
        (families.into_iter().map(|[early, late]| [early, late].concat()).collect(), musts)
    }

    fn offers(&self, index: usize) -> OfferGroup {
        let lift = &self.problem.lifts[index];
        let by_time = self.measure == SolvedMeasure::Time;
        let ramped = by_time && lift.family.is_some();
        let mut out = Vec::new();
        for mode in 0..MODES.len() as u8 {
            for sets in 1..=SETS as u8 {
                let choice = lift.choice(mode, sets);
                let allowed = choice.allowed
                    && choice.sessions >> self.session & 1 == 1
                    && self.fixed_sets.get(&index).is_none_or(|n| *n == sets)
                    && (self.problem.rules.spine_heavy > 0 || !lift.spine_heavy)
                    && self.has_partner(index, mode, sets);
                if allowed && !self.is_beaten(index, mode, sets) {
                    out.push(LiftOffer {
                        lift: index as u16,
                        mode,
                        sets,
                        time: choice.time,
                        step: if by_time { choice.time } else { u16::from(sets) },
                        lead: if ramped { choice.lead.min(self.leads[index]) } else { 0 },
                        opens: ramped,
                        paired: MODES[mode as usize].kind != BlockKind::Straight,
                        heavy: lift.spine_heavy,
                    });
                }
            }
        }
        out
    }

    /// Whether anything in the session may stand beside the lift, where the mode asks for it.
    fn has_partner(&self, lift: usize, mode: u8, sets: u8) -> bool {
        MODES[mode as usize].kind == BlockKind::Straight
            || (0..self.problem.lifts.len()).any(|other| {
                self.eligible[other] && may_stand_beside(self.problem, (lift, mode), other, sets)
            })
    }

    /// Whether another straight mode takes no more time and is worth no less. Worth has no negative price.
    fn is_beaten(&self, index: usize, mode: u8, sets: u8) -> bool {
        let lift = &self.problem.lifts[index];
        let own = lift.choice(mode, sets);
        STRAIGHT.filter(|m| STRAIGHT.contains(&mode) && *m != mode).any(|other| {
            let choice = lift.choice(other, sets);
            let serves = choice.allowed;
            let no_worse = choice.time <= own.time && choice.worth >= own.worth;
            let equal = choice.time == own.time && choice.worth == own.worth;
            serves && no_worse && (!equal || other < mode)
        })
    }
}

/// Whether `other` may share a block with a lift in a mode, both with these sets.
pub fn may_stand_beside(problem: &Problem, (lift, mode): (usize, u8), other: usize, sets: u8) -> bool {
    let allowed = |m: u8| problem.choice(other, m, sets).allowed;
    if ALTERNATING.contains(&mode) {
        problem.may_alternate[lift][other] && allowed(mode)
    } else if SAME_FIRST.contains(&mode) {
        problem.may_share_muscle[lift][other] && allowed(mode + SAME_SECOND)
    } else {
        problem.may_share_muscle[other][lift] && allowed(mode - SAME_SECOND)
    }
}

/// Runs of a pattern's family: compounds, or the rest.
fn place(families: &mut [[Vec<GroupRun>; 2]], pattern: Pattern) -> &mut Vec<GroupRun> {
    let family = RampFamily::of(pattern).map_or(NO_FAMILY, |f| f as usize);
    &mut families[family][usize::from(!pattern.is_compound())]
}

/// Profit of a lift: by unit of worth, by set, and once.
struct LiftProfit {
    worth: f64,
    set: f64,
    once: f64,
}

fn lift_profits(
    problem: &Problem,
    frame: &Frame,
    session: usize,
    places: &PriceIndex,
    whole: &[f64],
) -> Vec<LiftProfit> {
    // What a quarter-set of each muscle in this session costs in strain and brings towards a least. What is given in a
    // session is given as often as the session comes.
    let copies = f64::from(problem.copies[session]);
    let per_quarter: [f64; M] = std::array::from_fn(|m| {
        let strain: f64 = (0..frame.sessions())
            .map(|to| whole[places.strain(m, to)] * f64::from(frame.carry[m][session][to]))
            .sum();
        copies * whole[places.raw(m)] - strain
    });
    let mut out: Vec<LiftProfit> = problem
        .hot
        .iter()
        .enumerate()
        .map(|(index, lift)| {
            let once = whole[places.lift(index, session)] - whole[places.budget(session, EXERCISES)];
            let mut profit = LiftProfit { worth: 0.0, set: 0.0, once };
            for &(muscle, quarters) in lift.reaches() {
                let m = usize::from(muscle);
                profit.worth += copies * whole[places.quality(m)] * f64::from(quarters);
                profit.set += per_quarter[m] * f64::from(quarters);
            }
            for (k, cost) in lift.costs.iter().enumerate() {
                profit.set -= whole[places.budget(session, k)] * f64::from(*cost);
            }
            for k in 0..problem.quotas.counts.len() {
                let price = whole[places.count(session, k)] + copies * whole[places.cycle_count(k)];
                profit.once += price * f64::from(lift.once[k]);
                profit.set += price * f64::from(lift.each[k]);
            }
            if lift.side != NOTHING {
                let place = |side: usize| whole[places.balance(side)];
                let own = |side: usize| whole[places.own_balance(session, side)];
                profit.set += copies * balance_profit(place, lift.side) + balance_profit(own, lift.side);
            }
            profit
        })
        .collect();
    for (k, (index, lock)) in problem.locks.iter().enumerate() {
        if lock.session.is_none() {
            out[*index].once += whole[places.lock(k)];
        }
    }
    out
}

/// Worth of a set to the balances: its own side's shortness eased, the other's made worse. The prices are
/// multiples of five, so that three fifths of them is whole.
fn balance_profit(price: impl Fn(usize) -> f64, side: u8) -> f64 {
    let side = usize::from(side);
    price(side) - (BALANCE_SHARE * price(side ^ 1)).round()
}

fn add_offer(
    problem: &Problem,
    frame: &Frame,
    session: usize,
    places: &PriceIndex,
    offer: &LiftOffer,
    slopes: &mut [f64],
) {
    let index = usize::from(offer.lift);
    let lift = &problem.hot[index];
    let sets = f64::from(offer.sets);
    let copies = f64::from(problem.copies[session]);
    let worth = f64::from(choice(problem, offer).worth);
    for &(muscle, quarters) in lift.reaches() {
        let m = usize::from(muscle);
        let raw = f64::from(quarters) * sets;
        slopes[places.quality(m)] +=
            copies * f64::from(quarters) * worth / setwright_formulate::tables::DOSE_UNIT;
        slopes[places.raw(m)] += copies * raw / 4.0;
        for to in 0..frame.sessions().min(SESSIONS) {
            let carried = raw * f64::from(frame.carry[m][session][to]);
            slopes[places.strain(m, to)] -= carried / setwright_formulate::tables::STRAIN_UNIT;
        }
    }
    for (k, cost) in lift.costs.iter().enumerate() {
        slopes[places.budget(session, k)] -= f64::from(*cost) * sets;
    }
    slopes[places.budget(session, EXERCISES)] -= 1.0;
    slopes[places.budget(session, SAME_MUSCLE)] -= f64::from(u8::from(MODES[usize::from(offer.mode)].second));
    slopes[places.budget(session, TIME)] -= f64::from(choice(problem, offer).time);
    slopes[places.lift(index, session)] += 1.0;
    for k in 0..problem.quotas.counts.len() {
        let units = f64::from(lift.once[k]) + sets * f64::from(lift.each[k]);
        slopes[places.count(session, k)] += units;
        slopes[places.cycle_count(k)] += copies * units;
    }
    if lift.side != NOTHING {
        let side = usize::from(lift.side);
        slopes[places.balance(side)] += copies * sets;
        slopes[places.balance(side ^ 1)] -= copies * BALANCE_SHARE * sets;
        if frame.balanced(session) {
            slopes[places.own_balance(session, side)] += sets;
            slopes[places.own_balance(session, side ^ 1)] -= BALANCE_SHARE * sets;
        }
    }
    for (k, (l, lock)) in problem.locks.iter().enumerate() {
        slopes[places.lock(k)] += if *l == index && lock.session.is_none() { 1.0 } else { 0.0 };
    }
}
