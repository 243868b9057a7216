//! What is dated ahead of the clock here: a device whose clock is wrong by years must not have the last word for years.

use setwright_model::code::Code;
use setwright_model::ledger::Moment;
use setwright_model::refusal::Refusal;

/// Hours by which an event may be dated ahead: clocks differ by minutes, and a wrong time zone by less than a day (judgement).
const AHEAD_MOST_H: f64 = 24.0;
const DAY_H: f64 = 24.0;
const YEAR_DAYS: f64 = 365.25;

/// Whether a moment is so far ahead that the clock that told it is wrong.
pub fn is_ahead(at: Moment, now: Moment) -> bool {
    at.hours_since(now).get() > AHEAD_MOST_H
}

/// Why it is not taken, and what to do.
pub fn refusal(at: Moment, now: Moment) -> Refusal {
    let days = at.hours_since(now).get() / DAY_H;
    let years = days / YEAR_DAYS;
    let by = if years < 2.0 { format!("{days:.0} days") } else { format!("{years:.0} years") };
    Refusal::new(
        Code::EventRefused,
        format!("It is dated {}, {by} ahead of the clock here, which says {}.", at.date(), now.date()),
        "Is the clock of the device wrong? Set it right, and write it down again with the day it was done.",
    )
}

#[cfg(test)]
mod tests;
