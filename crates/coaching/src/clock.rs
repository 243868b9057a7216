//! What time it is, for whoever is told. A [`Wall`] is handed in by the program, which has the only clock that runs; nothing here
//! reads one.

use setwright_model::Seconds;
use setwright_model::ledger::{Date, Moment};
use std::fmt;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// A clock, as the program or a test makes one.
pub trait Clock: Send + Sync {
    /// Now.
    fn now(&self) -> Moment;

    /// The time of the device in milliseconds since 1970, even if what it shows was stopped: what is written later sorts later.
    fn device_ms(&self) -> u64;

    /// The moment at which a clock of this zone shows this date and these seconds of the day. Where the clock was put
    /// forward or back, what most calendars take it for.
    fn on(&self, date: Date, second_of_day: u32) -> Option<Moment>;

    /// The name of the time zone it stands in, as the tz database has it, if it has one.
    fn zone(&self) -> Option<String> {
        None
    }

    /// Seconds since some moment, never fewer than before.
    fn running(&self) -> Seconds;
}

/// The clock that was handed in.
#[derive(Clone)]
pub struct Wall(Arc<dyn Clock>);

impl Wall {
    /// With this clock on it.
    pub fn of(clock: impl Clock + 'static) -> Self {
        Self(Arc::new(clock))
    }

    /// A clock that stands still and belongs to no machine.
    pub fn stopped(moment: Moment) -> Self {
        Self::of(Stopped { moment, made: AtomicU64::new(0) })
    }

    /// The same clock, showing this moment and no other.
    #[must_use]
    pub fn standing(&self, moment: Moment) -> Self {
        Self::of(Standing { moment, of: self.clone() })
    }

    /// Now.
    pub fn now(&self) -> Moment {
        self.0.now()
    }

    /// The time of the device in milliseconds since 1970.
    pub fn device_ms(&self) -> u64 {
        self.0.device_ms()
    }

    /// The moment at which it shows this date and these seconds of the day.
    pub fn on(&self, date: Date, second_of_day: u32) -> Option<Moment> {
        self.0.on(date, second_of_day)
    }

    /// The name of the time zone it stands in, as the tz database has it, if it has one.
    pub fn zone(&self) -> Option<String> {
        self.0.zone()
    }

    /// A watch that runs from now on.
    pub fn stopwatch(&self) -> Stopwatch {
        Stopwatch { wall: self.clone(), started: self.0.running() }
    }
}

impl fmt::Debug for Wall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Wall").field(&self.now()).finish()
    }
}

/// Runs from the moment it is made.
#[derive(Clone, Debug)]
pub struct Stopwatch {
    wall: Wall,
    started: Seconds,
}

impl Stopwatch {
    /// Time since the start.
    pub fn elapsed(&self) -> Seconds {
        Seconds(self.wall.0.running().get() - self.started.get())
    }

    /// Whether more than this has passed.
    pub fn is_past(&self, limit: Seconds) -> bool {
        self.elapsed() > limit
    }
}

struct Stopped {
    moment: Moment,
    made: AtomicU64,
}

impl Clock for Stopped {
    fn now(&self) -> Moment {
        self.moment
    }

    fn device_ms(&self) -> u64 {
        u64::try_from(self.moment.unix_ms()).unwrap_or(0) + self.made.fetch_add(1, Ordering::Relaxed)
    }

    fn on(&self, date: Date, second_of_day: u32) -> Option<Moment> {
        at_offset(date, second_of_day, self.moment.offset_min())
    }

    fn running(&self) -> Seconds {
        Seconds::ZERO
    }
}

struct Standing {
    moment: Moment,
    of: Wall,
}

impl Clock for Standing {
    fn now(&self) -> Moment {
        self.moment
    }

    fn device_ms(&self) -> u64 {
        self.of.device_ms()
    }

    fn on(&self, date: Date, second_of_day: u32) -> Option<Moment> {
        at_offset(date, second_of_day, self.moment.offset_min())
    }

    fn zone(&self) -> Option<String> {
        self.of.zone()
    }

    fn running(&self) -> Seconds {
        self.of.0.running()
    }
}

/// Seconds of a day (exact by definition).
const DAY_S: u32 = 86_400;

/// A date and a second of the day where clocks are never changed.
fn at_offset(date: Date, second_of_day: u32, offset_min: i32) -> Option<Moment> {
    let ms = i64::from(second_of_day) * 1_000;
    Moment::on(date, ms, offset_min).ok().filter(|_| second_of_day < DAY_S)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stopped_clock_stands_still_and_keeps_its_offset() {
        let moment: Moment = "2026-11-25T18:05:00-03:30".parse().unwrap();
        let wall = Wall::stopped(moment);
        assert_eq!((wall.now(), wall.now()), (moment, moment));
        assert_eq!(wall.on(moment.date(), 0).unwrap().to_string(), "2026-11-25T00:00:00-03:30");
        assert!(wall.on(moment.date(), DAY_S).is_none());
        assert!(wall.device_ms() < wall.device_ms(), "what is written later sorts later");
    }

    #[test]
    fn a_standing_clock_runs_as_the_one_it_belongs_to() {
        let then: Moment = "2026-05-01T12:00:00+02:00".parse().unwrap();
        let wall = Wall::stopped("2026-11-25T18:05:00+01:00".parse().unwrap());
        let before = wall.standing(then);
        assert_eq!(before.now(), then);
        assert!(wall.device_ms() < before.device_ms());
        assert!(!before.stopwatch().is_past(Seconds(1.0)));
    }
}
