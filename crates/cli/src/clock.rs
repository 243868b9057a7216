//! The only reader of the clock. It measures how long work takes, which changes no answer except that an outer limit of
//! time may end a search early; and it says what time it is, for what is written into the ledger.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use setwright_coaching::clock::{Clock, Wall};
use setwright_model::Seconds;
use setwright_model::ledger::{Date, Moment};
use setwright_present::zone::{moment_in, moment_on};
use std::time::Instant;

/// The time on the wall: the system's, or one that stands still.
#[derive(Clone, Debug)]
pub struct System {
    zone: TimeZone,
    /// What the zone of the system is called, also where the clock stands still.
    place: Option<String>,
    stopped: Option<Moment>,
    begun: Instant,
}

/// A clock that stands still is set by this variable, for tests and for writing up what happened another day:
/// `2026-11-25T18:05:00+01:00`.
const NOW: &str = "SETWRIGHT_NOW";

/// The system's clock and time zone, unless the environment stops the clock.
pub fn wall() -> Wall {
    let zone = TimeZone::system();
    let place = zone.iana_name().map(str::to_owned);
    let clock = match std::env::var(NOW).ok().and_then(|text| text.parse().ok()) {
        Some(moment) => System::stopped(moment),
        None => System::in_zone(zone),
    };
    Wall::of(System { place, ..clock })
}

/// A clock that shows one moment, in a zone that never changes.
pub fn stopped(moment: Moment) -> Wall {
    Wall::of(System::stopped(moment))
}

impl System {
    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    fn in_zone(zone: TimeZone) -> Self {
        Self { zone, place: None, stopped: None, begun: Instant::now() }
    }

    fn stopped(moment: Moment) -> Self {
        let offset =
            jiff::tz::Offset::from_seconds(moment.offset_min() * 60).unwrap_or(jiff::tz::Offset::UTC);
        Self { stopped: Some(moment), ..Self::in_zone(TimeZone::fixed(offset)) }
    }
}

impl Clock for System {
    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    fn now(&self) -> Moment {
        match self.stopped {
            Some(moment) => moment,
            None => moment_in(&self.zone, Timestamp::now()),
        }
    }

    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    fn device_ms(&self) -> u64 {
        u64::try_from(Timestamp::now().as_millisecond()).unwrap_or(0)
    }

    fn on(&self, date: Date, second_of_day: u32) -> Option<Moment> {
        moment_on(&self.zone, date, second_of_day)
    }

    fn zone(&self) -> Option<String> {
        self.place.clone()
    }

    #[allow(clippy::disallowed_methods, reason = "the one place where the clock is read")]
    fn running(&self) -> Seconds {
        Seconds(self.begun.elapsed().as_secs_f64())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wall_clock_in_a_zone_knows_summer_and_winter() {
        let wall = System::in_zone(TimeZone::get("Europe/Zurich").unwrap());
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
        let wall = Wall::of(System::stopped(moment));
        assert_eq!((wall.now(), wall.now()), (moment, moment));
        assert_eq!(wall.on(moment.date(), 0).unwrap().to_string(), "2026-11-25T00:00:00-03:30");
    }

    #[test]
    fn the_system_clock_says_something_of_this_century() {
        assert!(wall().now().date().civil().0 >= 2026);
    }

    #[test]
    fn a_stopwatch_only_runs_forwards() {
        let watch = wall().stopwatch();
        let first = watch.elapsed();
        assert!(watch.elapsed() >= first);
        assert!(!watch.is_past(Seconds(3_600.0)));
        assert!(watch.is_past(Seconds(-1.0)));
    }
}
