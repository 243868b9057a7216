//! A moment with the offset of the clock it was read from, written as RFC 3339. Reads no clock and knows no zones.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

const MS_PER_DAY: i64 = 86_400_000;
const MS_PER_MINUTE: i64 = 60_000;
/// Farthest offset from UTC that is in use anywhere, in minutes (UTC+14, Line Islands).
const OFFSET_MIN_MAX: i32 = 14 * 60;
/// First and last year that a moment may be in.
const YEARS: (i64, i64) = (1970, 2199);

/// A text or a number that is no moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BadMoment;

impl fmt::Display for BadMoment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a moment is a date, a time and its offset from UTC, such as 2026-11-25T18:05:00+01:00")
    }
}

impl std::error::Error for BadMoment {}

/// A day of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    days: i64,
}

impl Date {
    /// The day of this date, if there is such a day in the years that are kept.
    pub fn new(year: i64, month: u32, day: u32) -> Result<Self, BadMoment> {
        let long = [31, if is_leap(year) { 29 } else { 28 }, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
        let length = *long.get(month.wrapping_sub(1) as usize).ok_or(BadMoment)?;
        if !(YEARS.0..=YEARS.1).contains(&year) || day == 0 || day > length {
            return Err(BadMoment);
        }
        Ok(Self { days: days_before(year, month, day) })
    }

    /// Days since the first of January 1970.
    pub const fn days(self) -> i64 {
        self.days
    }

    /// The date this many days later.
    #[must_use]
    pub const fn plus(self, days: i64) -> Self {
        Self { days: self.days + days }
    }

    /// Year, month and day.
    pub const fn civil(self) -> (i64, u32, u32) {
        civil(self.days)
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.civil();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}

impl FromStr for Date {
    type Err = BadMoment;
    fn from_str(text: &str) -> Result<Self, BadMoment> {
        let mut parts = text.splitn(3, '-');
        let mut next = |digits| number(parts.next()?, digits);
        let date = (|| Some((next(4)?, next(2)?, next(2)?)))();
        let (year, month, day) = date.ok_or(BadMoment)?;
        Self::new(i64::from(year), month, day)
    }
}

const fn is_leap(year: i64) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

/// Days since 1970 of a date of the Gregorian calendar. Years are counted from March, so that the odd day comes last.
const fn days_before(year: i64, month: u32, day: u32) -> i64 {
    let month = month as i64;
    let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    let (era, of_era) = (year.div_euclid(400), year.rem_euclid(400));
    let of_year = (153 * month + 2) / 5 + day as i64 - 1;
    era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
}

/// The date of a day since 1970.
const fn civil(days: i64) -> (i64, u32, u32) {
    let days = days + 719_468;
    let (era, day) = (days.div_euclid(146_097), days.rem_euclid(146_097));
    let of_era = (day - day / 1_460 + day / 36_524 - day / 146_096) / 365;
    let of_year = day - (365 * of_era + of_era / 4 - of_era / 100);
    let month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month + 2) / 5 + 1;
    let (month, year) =
        if month < 10 { (month + 3, of_era + era * 400) } else { (month - 9, of_era + era * 400 + 1) };
    (year, month as u32, day as u32)
}

/// When something happened: milliseconds since 1970 (UTC) and how far the clock on the wall was from UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    unix_ms: i64,
    offset_min: i32,
}

impl Moment {
    /// The second of January 1970, for a clock that knows no better.
    pub const FIRST: Self = Self { unix_ms: MS_PER_DAY, offset_min: 0 };

    /// A moment from milliseconds since 1970 (UTC) and the offset of the wall clock in minutes.
    pub fn new(unix_ms: i64, offset_min: i32) -> Result<Self, BadMoment> {
        let moment = Self { unix_ms, offset_min };
        let in_reach = unix_ms.unsigned_abs() < u64::MAX / 4 && offset_min.abs() <= OFFSET_MIN_MAX;
        let (year, _, _) = if in_reach { moment.date().civil() } else { return Err(BadMoment) };
        if (YEARS.0..=YEARS.1).contains(&year) { Ok(moment) } else { Err(BadMoment) }
    }

    /// The moment at which the wall clock showed this date and these milliseconds of the day.
    pub fn on(date: Date, ms_of_day: i64, offset_min: i32) -> Result<Self, BadMoment> {
        if !(0..MS_PER_DAY).contains(&ms_of_day) {
            return Err(BadMoment);
        }
        Self::new(date.days() * MS_PER_DAY + ms_of_day - i64::from(offset_min) * MS_PER_MINUTE, offset_min)
    }

    /// Milliseconds since 1970 (UTC).
    pub const fn unix_ms(self) -> i64 {
        self.unix_ms
    }

    /// How far the wall clock was ahead of UTC, in minutes.
    pub const fn offset_min(self) -> i32 {
        self.offset_min
    }

    /// The date on the wall.
    pub const fn date(self) -> Date {
        Date { days: self.wall_ms().div_euclid(MS_PER_DAY) }
    }

    /// Milliseconds of the day on the wall.
    pub const fn ms_of_day(self) -> i64 {
        self.wall_ms().rem_euclid(MS_PER_DAY)
    }

    /// Hours and minutes on the wall: "18:05".
    pub fn clock(self) -> String {
        let minutes = self.ms_of_day() / MS_PER_MINUTE;
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
    }

    /// Hours since another moment; negative when this one is earlier.
    pub fn hours_since(self, other: Self) -> crate::units::Hours {
        crate::units::Hours((self.unix_ms - other.unix_ms) as f64 / 3_600_000.0)
    }

    const fn wall_ms(self) -> i64 {
        self.unix_ms + self.offset_min as i64 * MS_PER_MINUTE
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ms = self.ms_of_day();
        let (minutes, ms) = (ms / MS_PER_MINUTE, ms % MS_PER_MINUTE);
        write!(f, "{}T{:02}:{:02}:{:02}", self.date(), minutes / 60, minutes % 60, ms / 1_000)?;
        if ms % 1_000 != 0 {
            write!(f, ".{:03}", ms % 1_000)?;
        }
        let sign = if self.offset_min < 0 { '-' } else { '+' };
        write!(f, "{sign}{:02}:{:02}", self.offset_min.abs() / 60, self.offset_min.abs() % 60)
    }
}

impl FromStr for Moment {
    type Err = BadMoment;
    fn from_str(text: &str) -> Result<Self, BadMoment> {
        let read = || {
            let (date, rest) = text.split_once(['T', 't', ' '])?;
            let cut = rest.find(['Z', 'z', '+', '-'])?;
            let (time, offset) = rest.split_at_checked(cut)?;
            Some((date.parse::<Date>().ok()?, time_of_day(time)?, offset_of(offset)?))
        };
        let (date, ms, offset_min) = read().ok_or(BadMoment)?;
        Self::on(date, ms, offset_min)
    }
}

/// Exactly so many digits as a number.
fn number(text: &str, digits: usize) -> Option<u32> {
    let fits = text.len() == digits && text.bytes().all(|b| b.is_ascii_digit());
    text.parse().ok().filter(|_| fits)
}

/// Milliseconds of "18:05:00" or "18:05:00.123"; digits beyond the third are dropped.
fn time_of_day(text: &str) -> Option<i64> {
    let (clock, fraction) = text.split_once('.').unwrap_or((text, "000"));
    let mut parts = clock.splitn(3, ':').map(|part| number(part, 2));
    let (hour, minute, second) = (parts.next()??, parts.next()??, parts.next()??);
    if hour > 23 || minute > 59 || second > 59 || fraction.is_empty() || fraction.len() > 9 {
        return None;
    }
    let digits = |i: usize| fraction.as_bytes().get(i).map_or(Some(0), |b| char::from(*b).to_digit(10));
    let all = fraction.bytes().all(|b| b.is_ascii_digit());
    let ms = digits(0)? * 100 + digits(1)? * 10 + digits(2)?;
    all.then(|| i64::from((hour * 60 + minute) * 60 + second) * 1_000 + i64::from(ms))
}

/// Minutes of "Z", "+01:00" or "-05:30".
fn offset_of(text: &str) -> Option<i32> {
    if matches!(text, "Z" | "z") {
        return Some(0);
    }
    let (sign, rest) = match text.strip_prefix('+') {
        Some(rest) => (1, rest),
        None => (-1, text.strip_prefix('-')?),
    };
    let (hours, minutes) = rest.split_once(':')?;
    let (hours, minutes) = (number(hours, 2)?, number(minutes, 2)?);
    (minutes < 60).then(|| sign * (hours * 60 + minutes) as i32)
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = Cow::<'de, str>::deserialize(from)?;
        text.parse().map_err(D::Error::custom)
    }
}

impl JsonSchema for Moment {
    fn schema_name() -> Cow<'static, str> {
        "Moment".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "format": "date-time" })
    }
}
