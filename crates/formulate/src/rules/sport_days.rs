//! A sport beside the training: sessions keep off its hard days and the days before them where they can, and where they
//! cannot, legs get half of their sets and nothing new that tires the whole body. Beside a match nothing is heavy for legs and back
//! where another session can hold it.

use super::days::all_day_sets;
use super::familiar::different_sessions;
use super::{Client, Rule};
use setwright_model::Brief;
use setwright_model::exercise::Exercise;
use setwright_model::pattern::Region;
use setwright_science::present::{MatchDay, SportDay, limits_on, match_day, sport_day};

/// Most sets of a lift that is the client's own (common practice, no source (T): kept, not built).
const OWN_SETS: u32 = 3;
/// What tires legs, whole body or back so that a match is felt in it (judgement, on the catalogue's scales of 0 to 3).
const HEAVY: u8 = 2;

/// The rule. It is kept by which days there are, by which sets a session may have, and by what is for a session of a frame.
pub struct SportDays;

impl Rule for SportDays {
    fn name(&self) -> &'static str {
        "sport_days"
    }
}

/// How badly days lie for the sport: one for each that is hard or before a hard one, more beside a match.
pub fn burden(brief: &Brief, days: &[u32]) -> usize {
    let of = |day: &u32| match match_day(brief, *day) {
        MatchDay::Match => 3,
        MatchDay::Eve => 2,
        MatchDay::After | MatchDay::Free => usize::from(is_near(brief, *day)),
    };
    days.iter().map(of).sum()
}

/// How many of some days come right after a hard one.
pub fn days_after(brief: &Brief, days: &[u32]) -> usize {
    let before = |day: u32| if day > 1 { day - 1 } else { brief.time.cycle_days };
    days.iter().filter(|day| brief.sport.is_hard(before(**day))).count()
}

fn is_near(brief: &Brief, day: u32) -> bool {
    sport_day(brief, day) != SportDay::Free
}

/// The different sessions (bits) that may fall on a hard day of the sport or the day before.
pub fn near_sessions(c: &Client<'_>) -> u16 {
    if !c.brief.sport.has_days() {
        return 0;
    }
    let parts = different_sessions(c).max(1);
    let near = |days: Vec<u32>| -> u16 {
        let of = |(s, day): (usize, &u32)| if is_near(c.brief, *day) { 1 << (s % parts) } else { 0 };
        days.iter().enumerate().map(of).fold(0, |bits, bit| bits | bit)
    };
    all_day_sets(c.brief).into_iter().map(near).fold(0, |bits, more| bits | more)
}

/// Whether a day is a match or beside one.
pub fn is_beside_a_match(brief: &Brief, day: u32) -> bool {
    match_day(brief, day) != MatchDay::Free
}

/// Whether a day is the eve of a match, or its day: nothing for the legs there that another session can hold, and nothing near the
/// limit.
pub fn is_before_a_match(brief: &Brief, day: u32) -> bool {
    matches!(match_day(brief, day), MatchDay::Eve | MatchDay::Match)
}

/// Reps in reserve at least on such a day (common practice, no source (T)).
pub const RESERVE_ON_AN_EVE: u32 = 3;

/// Whether an exercise tires legs, whole body or back so that a match is felt in it.
pub fn is_heavy(e: &Exercise) -> bool {
    e.pattern.region() != Region::Upper && e.systemic >= HEAVY || e.spinal >= HEAVY
}

/// Whether so many sets of an exercise are too much for legs that the sport will need.
pub fn is_too_much(e: &Exercise, sets: u32, c: &Client<'_>) -> bool {
    let legs = matches!(e.pattern.region(), Region::Lower | Region::Whole);
    let sport = &c.brief.sport;
    let hard = sport.hard_days.iter().chain(&sport.match_days).next();
    let Some(hard) = hard.filter(|_| legs && !c.is_locked(e)) else {
        return false;
    };
    let (limits, share) = limits_on(c.brief, *hard);
    let (least, most) = c.rules.sets;
    let own = c.is_told(e) || c.is_main(e);
    let half = ((f64::from(most) * share.get()).floor() as u32).max(least);
    let tires = e.systemic > limits.systemic_max || e.spinal > limits.spinal_max;
    // Where another day is free for it, the eve of a match is none for what is pulled from the floor.
    let elsewhere = (c.near_sport.count_ones() as usize) < different_sessions(c).max(1);
    let pulled = elsewhere && super::floor_pulls::is_one(e);
    if own { pulled || sets > half.max(OWN_SETS) } else { tires || sets > half }
}
