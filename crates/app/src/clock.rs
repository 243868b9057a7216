//! The only reader of the clock. It measures how long work takes, which changes no answer except that an outer limit of
//! time may end a search early; and it says what time it is, for what is written into the ledger.

pub mod zone;

use jiff::Timestamp;
use jiff::civil;
use jiff::tz::TimeZone;
use setwright_model::Seconds;
use setwright_model::ledger::{Date, Moment};
use std::time::Instant;

/// The time on the wall: the system's, or one that stands still.
#[derive(Clone, Debug)]
pub struct Wall {
    zone: TimeZone,
    stopped: Option<Moment>,
}

/// A clock that stands still is set by this variable, for tests and for writing up what happened another day:
/// `2026-11-25T18:05:00+01:00`.
const NOW: &str = "SETWRIGHT_NOW";

impl Wall {
    /// The system's clock and time zone, unless the environment stops the clock.
    pub fn system() -> Self {
        match std::env::var(NOW).ok().and_then(|text| text.parse().ok()) {
            Some(moment) => Self::stopped(moment),
            None => Self { zone: TimeZone::system(), stopped: None },
        }
    }

    /// A clock that stands still, in a zone that never changes.
    pub fn stopped(moment: Moment) -> Self {
        let offset =
            jiff::tz::Offset::from_seconds(moment.offset_min() * 60).unwrap_or(jiff::tz::Offset::UTC);
        Self { zone: TimeZone::fixed(offset), stopped: Some(moment) }
    }

    /// Now.
    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    pub fn now(&self) -> Moment {
        match self.stopped {
            Some(moment) => moment,
            None => self.moment(Timestamp::now()),
        }
    }

    /// The time of the device in milliseconds since 1970, even if the clock on the wall was stopped: what is written
    /// later sorts later.
    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    pub fn device_ms(&self) -> u64 {
        u64::try_from(Timestamp::now().as_millisecond()).unwrap_or(0)
    }

    /// The moment at which a clock of this zone shows this date and these seconds of the day. Where the clock was put
    /// forward or back, what most calendars take it for.
    pub fn on(&self, date: Date, second_of_day: u32) -> Option<Moment> {
        on(&self.zone, date, second_of_day)
    }

    fn moment(&self, timestamp: Timestamp) -> Moment {
        in_zone(&self.zone, timestamp)
    }
}

/// The moment at which a clock of a zone shows this date and second of the day.
fn on(zone: &TimeZone, date: Date, second_of_day: u32) -> Option<Moment> {
    let (year, month, day) = date.civil();
    let (minutes, second) = (second_of_day / 60, (second_of_day % 60) as i8);
    let clock = civil::Time::new((minutes / 60) as i8, (minutes % 60) as i8, second, 0).ok()?;
    let date = civil::Date::new(year as i16, month as i8, day as i8).ok()?;
    Some(in_zone(zone, zone.to_timestamp(date.to_datetime(clock)).ok()?))
}

fn in_zone(zone: &TimeZone, timestamp: Timestamp) -> Moment {
    let offset_min = zone.to_offset(timestamp).seconds() / 60;
    Moment::new(timestamp.as_millisecond(), offset_min).unwrap_or(Moment::FIRST)
}

/// Runs from the moment it is made.
#[derive(Clone, Copy, Debug)]
pub struct Stopwatch {
    started: Instant,
}

impl Stopwatch {
    /// Starts now.
    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    pub fn start() -> Self {
        Self { started: Instant::now() }
    }

    /// Time since the start.
    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    pub fn elapsed(&self) -> Seconds {
        Seconds(self.started.elapsed().as_secs_f64())
    }

    /// Whether more than this has passed.
    pub fn is_past(&self, limit: Seconds) -> bool {
        self.elapsed() > limit
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wall_clock_in_a_zone_knows_summer_and_winter() {
        let wall = Wall { zone: TimeZone::get("Europe/Zurich").unwrap(), stopped: None };
        let at = |date: &str, second| wall.on(date.parse().unwrap(), second).unwrap().to_string();
        assert_eq!(at("2026-01-05", 18 * 3_600), "2026-01-05T18:00:00+01:00");
        assert_eq!(at("2026-07-05", 18 * 3_600 + 7), "2026-07-05T18:00:07+02:00");
        // Half past two does not exist on the day the clock is put forward.
        assert_eq!(at("2026-03-29", 2 * 3_600 + 1_800), "2026-03-29T03:30:00+02:00");
        assert!(wall.on("2026-01-05".parse().unwrap(), 86_400).is_none());
    }

    #[test]
    fn a_stopped_clock_stands_still_and_keeps_its_offset() {
        let moment: Moment = "2026-11-25T18:05:00-03:30".parse().unwrap();
        let wall = Wall::stopped(moment);
        assert_eq!((wall.now(), wall.now()), (moment, moment));
        assert_eq!(wall.on(moment.date(), 0).unwrap().to_string(), "2026-11-25T00:00:00-03:30");
    }

    #[test]
    fn the_system_clock_says_something_of_this_century() {
        assert!(Wall::system().now().date().civil().0 >= 2026);
    }

    #[test]
    fn a_stopwatch_only_runs_forwards() {
        let watch = Stopwatch::start();
        let first = watch.elapsed();
        assert!(watch.elapsed() >= first);
        assert!(!watch.is_past(Seconds(3_600.0)));
        assert!(watch.is_past(Seconds(-1.0)));
    }
}
