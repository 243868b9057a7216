//! Dates of a log: one style for the whole file, and none that can be read two ways.

use setwright_model::code::Code;
use setwright_model::ledger::Date;
use setwright_model::refusal::{Position, Refusal};

/// Which of day and month comes first in dates with strokes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// 25/11/2026.
    DayFirst,
    /// 11/25/2026.
    MonthFirst,
}

/// A date as it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Raw {
    /// 2026-11-25: year, month, day.
    Iso(Date),
    /// 25.11.2026: nobody writes the month first with dots.
    Dots(Date),
    /// 25 Nov 2026.
    Named(Date),
    /// 25/11/2026 or 11/25/2026.
    Strokes(u32, u32, u32),
}

/// What a cell that is no date should have been.
pub const EXPECTED: &str =
    "A date reads 2026-11-25, 25.11.2026, 25 Nov 2026 or 25/11/2026; the year has four digits.";

impl Raw {
    /// The date of a cell.
    pub fn read(cell: &str) -> Option<Self> {
        // Spreadsheets add midnight to dates.
        let cell = cell.strip_suffix(" 00:00:00").or(cell.strip_suffix(" 00:00")).unwrap_or(cell);
        if let Ok(date) = cell.parse() {
            return Some(Self::Iso(date));
        }
        if let Some([day, month, year]) = three(cell, '.') {
            return Date::new(i64::from(year), month, day).ok().map(Self::Dots);
        }
        if let Some([a, b, year]) = three(cell, '/') {
            let possible =
                Date::new(i64::from(year), b, a).is_ok() || Date::new(i64::from(year), a, b).is_ok();
            return possible.then_some(Self::Strokes(a, b, year));
        }
        let words: Vec<&str> = cell.split([' ', '-', ',']).filter(|w| !w.is_empty()).collect();
        let [first, second, year] = words[..] else { return None };
        let (day, month) = match (number(first), number(second)) {
            (Some(day), None) => (day, month_named(second)?),
            (None, Some(day)) => (day, month_named(first)?),
            _ => return None,
        };
        let year = number(year).filter(|_| year.len() == 4)?;
        Date::new(i64::from(year), month, day).ok().map(Self::Named)
    }

    const fn style(self) -> usize {
        match self {
            Self::Iso(_) => 0,
            Self::Dots(_) => 1,
            Self::Named(_) => 2,
            Self::Strokes(..) => 3,
        }
    }
}

const STYLES: [&str; 4] = ["2026-11-25", "25.11.2026", "25 Nov 2026", "25/11/2026"];

fn number(text: &str) -> Option<u32> {
    let digits = (1..=4).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    text.parse().ok().filter(|_| digits)
}

/// Three numbers apart by a mark, the last with four digits.
fn three(cell: &str, mark: char) -> Option<[u32; 3]> {
    let mut parts = cell.split(mark);
    let (a, b, year) = (parts.next()?, parts.next()?, parts.next()?);
    let fits = parts.next().is_none() && year.len() == 4 && a.len() <= 2 && b.len() <= 2;
    if fits { Some([number(a)?, number(b)?, number(year)?]) } else { None }
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

fn month_named(word: &str) -> Option<u32> {
    let lower = word.trim_end_matches('.').to_lowercase();
    let index = MONTHS.iter().position(|m| lower.len() >= 3 && m.starts_with(&lower))?;
    Some(index as u32 + 1)
}

/// What was seen of the dates of a file.
#[derive(Default)]
pub struct DatesSeen {
    /// For each style the line where it came up first.
    first: [Option<usize>; 4],
    /// Lines that leave no doubt that the day, or the month, comes first.
    day_first: Option<usize>,
    month_first: Option<usize>,
}

impl DatesSeen {
    /// Takes note of a date.
    pub fn note(&mut self, raw: Raw, line: usize) {
        self.first[raw.style()].get_or_insert(line);
        if let Raw::Strokes(a, b, _) = raw {
            if a > 12 {
                self.day_first.get_or_insert(line);
            }
            if b > 12 {
                self.month_first.get_or_insert(line);
            }
        }
    }

    /// Which comes first, or why that cannot be said.
    pub fn order(&self, given: Option<DateOrder>, file: &str, column: usize) -> Result<DateOrder, Refusal> {
        let refuse = |line: usize, what: String, hint: &str| {
            Err(Refusal::new(Code::LogDates, what, hint).at(Position::at(file, line, column)))
        };
        let mut styles: Vec<(usize, &str)> =
            self.first.iter().zip(STYLES).filter_map(|(line, style)| Some(((*line)?, style))).collect();
        styles.sort_unstable();
        if let [(before, one), (line, other), ..] = styles[..] {
            return refuse(
                line,
                format!("Dates are written like {other} here and like {one} in line {before}."),
                "Write all dates in one way; 2026-11-25 is read the same everywhere.",
            );
        }
        match (self.day_first, self.month_first, given) {
            (Some(a), Some(b), _) => refuse(
                a.max(b),
                format!(
                    "Here the {} comes first, in line {} the other.",
                    if a > b { "day" } else { "month" },
                    a.min(b)
                ),
                "Write all dates in one way; 2026-11-25 is read the same everywhere.",
            ),
            (Some(a), None, Some(DateOrder::MonthFirst)) => {
                refuse(a, "Here the day comes first.".to_owned(), "Say --dates day-first.")
            }
            (None, Some(b), Some(DateOrder::DayFirst)) => {
                refuse(b, "Here the month comes first.".to_owned(), "Say --dates month-first.")
            }
            (Some(_), None, _) => Ok(DateOrder::DayFirst),
            (None, Some(_), _) => Ok(DateOrder::MonthFirst),
            (None, None, Some(order)) => Ok(order),
            (None, None, None) => match self.first[Raw::Strokes(1, 1, 1).style()] {
                None => Ok(DateOrder::DayFirst),
                Some(line) => refuse(
                    line,
                    "This date can be read two ways, and no other in the file tells which.".to_owned(),
                    "Say --dates day-first or --dates month-first.",
                ),
            },
        }
    }
}

/// The date, once it is known which of day and month comes first.
pub fn settle(raw: Raw, order: DateOrder) -> Option<Date> {
    match (raw, order) {
        (Raw::Iso(date) | Raw::Dots(date) | Raw::Named(date), _) => Some(date),
        (Raw::Strokes(a, b, year), DateOrder::DayFirst) => Date::new(i64::from(year), b, a).ok(),
        (Raw::Strokes(a, b, year), DateOrder::MonthFirst) => Date::new(i64::from(year), a, b).ok(),
    }
}
