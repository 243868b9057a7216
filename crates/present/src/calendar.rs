//! A programme as a calendar (RFC 5545): one entry for each session of the cycle, which repeats every so many days at the same
//! hour of the client's clock, summer and winter.
//!
//! An entry's identifier follows from whose it is and from its number in the cycle, and each export counts as a later version
//! than the one before: a calendar that imports it again changes its entries and adds none.

use super::sheets::words::{Words, count, number, sets_by_reps};
use super::sheets::{self, Print, Subject, cautions};
use super::view::{self, SessionView};
use crate::pain;
use crate::zone::{ClockChange, Zone};
use setwright_coaching::clock::Wall;
use setwright_coaching::insight::Known;
use setwright_coaching::judge;
use setwright_model::code::Code;
use setwright_model::ledger::{Date, Moment};
use setwright_model::refusal::Refusal;
use setwright_science::screening::MayTrain;
use setwright_store::sha256;
use std::fmt::Write as _;

/// Octets after which a line goes on in the next one (RFC 5545, 3.1).
const FOLD: usize = 75;
/// Weeks of a usual calendar (judgement: a block), and the most.
pub const WEEKS: u32 = 12;
/// Most weeks of a calendar.
pub const WEEKS_MAX: u32 = 104;
/// From when versions are counted, in milliseconds since 1970: the first of January 2026 (exact by definition).
const COUNTED_FROM_MS: i64 = 1_767_225_600_000;
const PROGRAM: &str = concat!("-//Setwright//Setwright ", env!("CARGO_PKG_VERSION"), "//EN");

/// When sessions are done.
#[derive(Clone, Debug)]
pub struct Timetable {
    /// Place in the cycle of the first session, from 0.
    pub first: usize,
    /// Its day.
    pub from: Date,
    /// Second of the day at which sessions begin.
    pub at_s: u32,
    /// Weeks.
    pub weeks: u32,
    /// Whose clock.
    pub zone: Zone,
    /// Who it is for, never shown: what identifiers of entries are made from.
    pub whose: String,
    /// When it is written.
    pub now: Moment,
}

/// When a client trains.
#[derive(Clone, Debug)]
pub struct TrainingTimes {
    /// The first day; the day the coming session is due unless this is given.
    pub from: Option<Date>,
    /// Second of the day at which sessions begin.
    pub at_s: u32,
    /// Weeks.
    pub weeks: u32,
    /// Whose clock.
    pub zone: Zone,
    /// When it is written.
    pub now: Moment,
}

/// The calendar of a client's programme in force, from the coming session on.
///
/// # Errors
/// No programme in force.
pub fn of_client(may: MayTrain<&Known>, when: TrainingTimes, print: Print<'_>) -> Result<String, Refusal> {
    let known = *may.whom();
    let judged = judge::to_train(may, print.catalogue).ok_or_else(|| sheets::no_programme(known))?;
    let (first, due) = sheets::due(known);
    let TrainingTimes { from, at_s, weeks, zone, now } = when;
    let whose = known.client.client.to_string();
    let plan = Timetable { first, from: from.unwrap_or(due), at_s, weeks, zone, whose, now };
    let note = pain::left_out_of_all(known, print.catalogue);
    let subject = Subject { judged: &judged, may: may.part(sheets::brief_of), note: &note };
    Ok(calendar(subject, &plan, print))
}

/// An hour as it is typed: `18:00`.
pub fn hour(text: &str) -> Option<u32> {
    let (hours, minutes) = text.trim().split_once(':')?;
    let (h, m): (u32, u32) = (hours.parse().ok()?, minutes.parse().ok()?);
    (h < 24 && m < 60 && minutes.len() == 2).then_some(3_600 * h + 60 * m)
}

/// The zone of this name, or that in which the clock stands that was handed in.
///
/// # Errors
/// A zone that nobody knows.
pub fn zone(name: Option<&str>, wall: &Wall) -> Result<Zone, Refusal> {
    let found = match name {
        Some(name) => Zone::named(name),
        None => wall.zone().and_then(|own| Zone::named(&own)),
    };
    found.ok_or_else(|| {
        let what = match name {
            Some(name) => format!("There is no time zone \"{}\".", setwright_formats::doc::printable(name)),
            None => "This machine does not say which time zone it is in.".to_owned(),
        };
        Refusal::new(Code::NoSuchZone, what, "Name one as the tz database does: --zone Europe/Zurich.")
    })
}

/// The calendar of a programme.
pub fn calendar(subject: Subject<'_>, plan: &Timetable, print: Print<'_>) -> String {
    let (judged, brief) = (subject.judged, subject.brief());
    let programme = judged.programme();
    let shown = view::programme(judged, brief, print.catalogue);
    let client = if shown.client.is_empty() { "Training" } else { shown.client.as_str() };
    let mut lines = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        format!("PRODID:{PROGRAM}"),
        "CALSCALE:GREGORIAN".to_owned(),
        "METHOD:PUBLISH".to_owned(),
        format!("NAME:{}", escaped(&format!("Training of {client}"))),
    ];
    let last = plan.from.plus(7 * i64::from(plan.weeks) + i64::from(programme.cycle_days));
    lines.extend(zone_lines(&plan.zone, plan.from, last));
    let caution = [&[subject.note.to_owned()], cautions(brief).as_slice()].concat().join(" ");
    let caution = caution.trim_start().to_owned();
    for (index, session) in shown.sessions.iter().enumerate() {
        let first = first_day(programme, plan, index);
        lines.extend(entry(session, first, shown.cycle_days, client, plan, (&caution, print)));
    }
    lines.push("END:VCALENDAR".to_owned());
    lines.iter().map(|line| folded(line)).collect()
}

/// The first day of a session from the first session's day on.
fn first_day(programme: &setwright_model::Programme, plan: &Timetable, index: usize) -> Date {
    let day = |n: usize| programme.sessions.get(n).map_or(1, |s| i64::from(s.day));
    let cycle = i64::from(programme.cycle_days.max(1));
    plan.from.plus((day(index) - day(plan.first)).rem_euclid(cycle))
}

fn entry(
    session: &SessionView,
    first: Date,
    cycle_days: u32,
    client: &str,
    plan: &Timetable,
    (caution, print): (&str, Print<'_>),
) -> Vec<String> {
    let stamp = utc(plan.now);
    let days = i64::from(7 * plan.weeks) - (first.days() - plan.from.days());
    let times = (days + i64::from(cycle_days) - 1).div_euclid(i64::from(cycle_days.max(1))).max(1);
    let focus = if session.focus.is_empty() { String::new() } else { format!(": {}", session.focus) };
    let summary = format!("Session {}{focus} ({client})", session.number);
    let minutes = (session.minutes.ceil() as u64).max(1);
    vec![
        "BEGIN:VEVENT".to_owned(),
        format!("UID:{}", identifier(&plan.whose, session.number)),
        format!("DTSTAMP:{stamp}"),
        format!("LAST-MODIFIED:{stamp}"),
        format!("SEQUENCE:{}", version(plan.now)),
        format!("DTSTART;TZID={}:{}", plan.zone.name(), local(first, plan.at_s)),
        format!("DURATION:PT{minutes}M"),
        format!("RRULE:FREQ=DAILY;INTERVAL={};COUNT={times}", cycle_days.max(1)),
        format!("SUMMARY:{}", escaped(&summary)),
        format!("DESCRIPTION:{}", escaped(&described(session, caution, print))),
        "CATEGORIES:Training".to_owned(),
        "END:VEVENT".to_owned(),
    ]
}

/// What is done, a line an exercise, and the caution.
fn described(session: &SessionView, caution: &str, print: Print<'_>) -> String {
    let words = Words { unit: print.unit, catalogue: print.catalogue };
    let mut out =
        format!("{} minutes, {}.\n", number(session.minutes, 0), count(session.sets as usize, "set"));
    for line in session.blocks.iter().flat_map(|b| &b.lines) {
        let _ =
            writeln!(out, "{} {}: {}, {}", line.label, line.name, sets_by_reps(line), words.load(&line.load));
    }
    out + caution
}

/// The same for the same client and number, whoever asks; it tells nobody's name.
fn identifier(whose: &str, number: usize) -> String {
    let digest = sha256(&[b"calendar", whose.as_bytes()]);
    format!("{:032x}-{number}@setwright.invalid", u128::from_be_bytes(digest.half()))
}

/// Minutes since versions are counted: a later export is a later version.
fn version(now: Moment) -> i64 {
    ((now.unix_ms() - COUNTED_FROM_MS) / 60_000).max(0)
}

/// The zone with every change of its clocks that the calendar meets.
fn zone_lines(zone: &Zone, first: Date, last: Date) -> Vec<String> {
    let mut lines = vec!["BEGIN:VTIMEZONE".to_owned(), format!("TZID:{}", zone.name())];
    for ClockChange { at: (date, second), minutes: [before, after], name, summer } in
        zone.changes(first, last)
    {
        let kind = if summer { "DAYLIGHT" } else { "STANDARD" };
        lines.extend([
            format!("BEGIN:{kind}"),
            format!("DTSTART:{}", local(date, second)),
            format!("TZOFFSETFROM:{}", offset(before)),
            format!("TZOFFSETTO:{}", offset(after)),
            format!("TZNAME:{}", escaped(&name)),
            format!("END:{kind}"),
        ]);
    }
    lines.push("END:VTIMEZONE".to_owned());
    lines
}

fn offset(minutes: i32) -> String {
    let sign = if minutes < 0 { '-' } else { '+' };
    format!("{sign}{:02}{:02}", minutes.abs() / 60, minutes.abs() % 60)
}

/// `20261201T180000`.
fn local(date: Date, second: u32) -> String {
    let (year, month, day) = date.civil();
    format!("{year:04}{month:02}{day:02}T{:02}{:02}{:02}", second / 3_600, second / 60 % 60, second % 60)
}

/// `20261201T170000Z`.
fn utc(moment: Moment) -> String {
    const DAY_S: i64 = 86_400;
    let seconds = moment.unix_ms().div_euclid(1_000);
    let here = Moment::new(moment.unix_ms(), 0).unwrap_or(moment);
    format!("{}Z", local(here.date(), seconds.rem_euclid(DAY_S) as u32))
}

/// Text as RFC 5545, 3.3.11 has it.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\\' => out.push_str("\\\\"),
            ';' => out.push_str("\\;"),
            ',' => out.push_str("\\,"),
            '\n' => out.push_str("\\n"),
            letter if letter.is_control() => {}
            letter => out.push(letter),
        }
    }
    out
}

/// A line of at most 75 octets, going on after a line end and a blank; no letter is cut.
fn folded(line: &str) -> String {
    let mut out = String::with_capacity(line.len() + 4);
    let mut octets = 0;
    for letter in line.chars() {
        if octets + letter.len_utf8() > FOLD {
            out.push_str("\r\n ");
            octets = 1;
        }
        octets += letter.len_utf8();
        out.push(letter);
    }
    out + "\r\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_folded_at_octets_and_between_letters() {
        let long = "SUMMARY:".to_owned() + &"ä".repeat(80);
        let lines = folded(&long);
        assert!(lines.ends_with("\r\n"));
        let mut parts = lines.trim_end().split("\r\n ");
        assert!(parts.clone().all(|part| part.len() <= 74), "{lines}");
        assert_eq!(parts.next().map(str::len), Some(74));
        assert_eq!(lines.replace("\r\n ", "").trim_end(), long);
        assert_eq!(folded(&"x".repeat(75)), "x".repeat(75) + "\r\n");
        assert_eq!(folded(&"x".repeat(76)), format!("{}\r\n x\r\n", "x".repeat(75)));
    }

    #[test]
    fn the_zone_is_the_one_that_is_named_or_that_of_the_clock_handed_in() {
        let wall = Wall::stopped("2026-11-27T09:00:00+01:00".parse().unwrap());
        assert_eq!(zone(None, &wall).unwrap_err().code, Code::NoSuchZone, "no zone of the system is asked");
        assert_eq!(zone(Some("Europe/Zurich"), &wall).unwrap().name(), "Europe/Zurich");
    }

    #[test]
    fn text_is_escaped() {
        assert_eq!(escaped("a, b; c\\d\ne\r"), "a\\, b\\; c\\\\d\\ne");
    }

    #[test]
    fn an_hour_is_read_as_a_clock_shows_it() {
        assert_eq!(hour("18:00"), Some(64_800));
        assert_eq!(hour(" 7:05"), Some(25_500));
        for wrong in ["24:00", "7", "7:60", "7:5", "-1:00", "x:00"] {
            assert_eq!(hour(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn offsets_and_moments_are_written_as_calendars_read_them() {
        assert_eq!([offset(120), offset(-210), offset(0)], ["+0200", "-0330", "+0000"]);
        assert_eq!(utc("2026-12-01T00:30:00+01:00".parse().unwrap()), "20261130T233000Z");
    }
}
