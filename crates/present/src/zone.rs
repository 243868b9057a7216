//! Time zones by name, with the days on which their clocks change, for calendars.

use jiff::tz::{Dst, TimeZone};
use jiff::{Timestamp, ToSpan, civil};
use setwright_model::ledger::{Date, Moment};

/// Seconds of a day (exact by definition).
const DAY_S: i64 = 86_400;

/// A time zone that has a name.
#[derive(Clone, Debug)]
pub struct Zone {
    name: String,
    zone: TimeZone,
}

/// What a zone's clocks show from some moment on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClockChange {
    /// The date and the second of the day that the clocks show at that moment, before they change.
    pub at: (Date, u32),
    /// Minutes that the clocks were ahead of UTC before, and are after.
    pub minutes: [i32; 2],
    /// What the time is called from then on.
    pub name: String,
    /// Whether it is summer time.
    pub summer: bool,
}

impl Zone {
    /// The zone of this name: `Europe/Zurich`.
    pub fn named(name: &str) -> Option<Self> {
        let zone = TimeZone::get(name).ok()?;
        let name = zone.iana_name()?.to_owned();
        Some(Self { name, zone })
    }

    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What its clocks show from the last change before the first day on, to the last day.
    pub fn changes(&self, first: Date, last: Date) -> Vec<ClockChange> {
        let start = |date: Date| Timestamp::from_second(date.days() * DAY_S).unwrap_or(Timestamp::UNIX_EPOCH);
        // A day to either side, for offsets.
        let (from, to) = (start(first.plus(-1)), start(last.plus(2)));
        let before = self.zone.preceding(from).next().map(|t| t.timestamp());
        let within = self.zone.following(from).map(|t| t.timestamp()).take_while(|t| *t < to);
        let all: Vec<Timestamp> = before.into_iter().chain(within).collect();
        let mut changes: Vec<ClockChange> = all.into_iter().filter_map(|at| self.change(at)).collect();
        if before.is_none() {
            changes.splice(0..0, self.change(Timestamp::UNIX_EPOCH));
        }
        changes
    }

    fn change(&self, at: Timestamp) -> Option<ClockChange> {
        let before = self.zone.to_offset(at.checked_sub(1.second()).ok()?).seconds();
        let after = self.zone.to_offset_info(at);
        let shown = at.as_second() + i64::from(before);
        let date = "1970-01-01".parse::<Date>().ok()?.plus(shown.div_euclid(DAY_S));
        let second = u32::try_from(shown.rem_euclid(DAY_S)).ok()?;
        Some(ClockChange {
            at: (date, second),
            minutes: [before / 60, after.offset().seconds() / 60],
            name: after.abbreviation().to_owned(),
            summer: after.dst() == Dst::Yes,
        })
    }

    /// The moment at which its clocks show this date and second of the day; where they were put forward or back, what most
    /// calendars take it for.
    pub fn on(&self, date: Date, second_of_day: u32) -> Option<Moment> {
        moment_on(&self.zone, date, second_of_day)
    }
}

/// The moment at which a clock of a zone shows this date and second of the day.
pub fn moment_on(zone: &TimeZone, date: Date, second_of_day: u32) -> Option<Moment> {
    let (year, month, day) = date.civil();
    let (minutes, second) = (second_of_day / 60, (second_of_day % 60) as i8);
    let clock = civil::Time::new((minutes / 60) as i8, (minutes % 60) as i8, second, 0).ok()?;
    let date = civil::Date::new(year as i16, month as i8, day as i8).ok()?;
    Some(moment_in(zone, zone.to_timestamp(date.to_datetime(clock)).ok()?))
}

/// What a clock of a zone shows at a time.
pub fn moment_in(zone: &TimeZone, timestamp: Timestamp) -> Moment {
    let offset_min = zone.to_offset(timestamp).seconds() / 60;
    Moment::new(timestamp.as_millisecond(), offset_min).unwrap_or(Moment::FIRST)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Date {
        text.parse().unwrap()
    }

    #[test]
    fn a_zone_tells_when_its_clocks_change() {
        let zone = Zone::named("Europe/Zurich").unwrap();
        let changes = zone.changes(date("2026-11-01"), date("2027-11-01"));
        let told: Vec<String> = changes
            .iter()
            .map(|c| format!("{} {} {:?} {} {}", c.at.0, c.at.1 / 3_600, c.minutes, c.name, c.summer))
            .collect();
        assert_eq!(
            told,
            [
                "2026-10-25 3 [120, 60] CET false",
                "2027-03-28 2 [60, 120] CEST true",
                "2027-10-31 3 [120, 60] CET false"
            ]
        );
    }

    #[test]
    fn a_zone_that_never_changes_is_told_once() {
        let zone = Zone::named("UTC").unwrap();
        let changes = zone.changes(date("2026-01-01"), date("2027-01-01"));
        assert_eq!(changes.len(), 1);
        assert_eq!((changes[0].minutes, changes[0].at.0.to_string().as_str()), ([0, 0], "1970-01-01"));
        assert!(Zone::named("Europe/Nowhere").is_none());
    }
}
