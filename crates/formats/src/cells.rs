//! Cells of a sheet as coaches type them: days, reps, loads, rests. Each reader says what it takes when it
//! does not understand.

use setwright_model::limits::{LOAD_KG_MAX, REPS_MAX, REST_S_MAX, RIR_MAX, SETS_AUDIT_MAX};
use setwright_model::{Kilograms, MassUnit, Seconds};

/// What rests are written in when a cell does not say.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RestUnit {
    /// Seconds.
    #[default]
    Seconds,
    /// Minutes.
    Minutes,
}

/// A cell that was not understood: what such a cell may hold.
pub type Expected = &'static str;

const DAY: Expected = "A day is a number from 1, or a day of the week: 1, Day 3, Tue.";
const SETS: Expected = "Sets are a whole number from 1 to 30: 3.";
const REPS: Expected = "Reps are a number or a range: 10, or 8-12.";
const RIR: Expected = "Reps in reserve are a number from 0 to 10: 2.";
const RPE: Expected = "RPE is a number from 0 to 10: 8.";
const LOAD: Expected =
    "A load is a number, with kg or lb when it is not the column's: 60, 60 kg, 135 lb; or empty.";
const REST: Expected = "Rest is seconds or minutes: 90, 90 s, 2 min, 1:30.";

/// A number with a decimal point or a decimal comma.
pub fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    let commas = text.matches(',').count();
    let plain = if commas == 1 && !text.contains('.') { text.replace(',', ".") } else { text.to_owned() };
    let digits_only = plain.chars().all(|c| c.is_ascii_digit() || c == '.') && !plain.is_empty();
    if !digits_only {
        return None;
    }
    plain.parse().ok().filter(|v: &f64| v.is_finite())
}

fn whole(text: &str) -> Option<u32> {
    let value = number(text)?;
    (value.fract() == 0.0 && value <= f64::from(u32::MAX)).then_some(value as u32)
}

/// The number at the start and the lower-case words after it.
fn split_unit(text: &str) -> (String, String) {
    let text = text.trim().to_lowercase();
    let cut =
        text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | ' '))).unwrap_or(text.len());
    let (value, unit) = text.split_at(cut);
    (value.trim().to_owned(), unit.trim().trim_end_matches('.').to_owned())
}

const WEEK: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

/// A day of the cycle.
pub fn day(text: &str) -> Result<u32, Expected> {
    let lower = text.trim().to_lowercase();
    if lower.len() >= 3
        && let Some(index) = WEEK.iter().position(|d| d.starts_with(lower.trim_end_matches('.')))
    {
        return Ok(index as u32 + 1);
    }
    let rest = ["session", "day", "d"].iter().find_map(|word| lower.strip_prefix(word)).unwrap_or(&lower);
    whole(rest.trim_start_matches([' ', '.', ':', '#'])).filter(|d| (1..=366).contains(d)).ok_or(DAY)
}

/// The letter or number that rows of one block share: `A` of `A1`, `3` of `3b`.
pub fn block(text: &str) -> Option<String> {
    let text = text.trim().to_uppercase();
    let first = text.chars().next()?;
    let same = |c: &char| c.is_ascii_digit() == first.is_ascii_digit() && c.is_alphanumeric();
    let key: String = text.chars().take_while(same).take(12).collect();
    Some(if key.is_empty() { text.chars().take(12).collect() } else { key })
}

/// Sets, and reps when both stand in one cell: `3`, or `3 x 8-12`.
pub fn sets(text: &str) -> Result<(u32, Option<[u32; 2]>), Expected> {
    let lower = text.trim().to_lowercase();
    if let Some((sets, rest)) = lower.split_once(['x', '×', '*']) {
        return Ok((set_count(sets)?, Some(reps(rest)?)));
    }
    Ok((set_count(&lower)?, None))
}

fn set_count(text: &str) -> Result<u32, Expected> {
    let (value, unit) = split_unit(text);
    let known = matches!(unit.as_str(), "" | "set" | "sets");
    whole(&value).filter(|n| known && (1..=SETS_AUDIT_MAX).contains(n)).ok_or(SETS)
}

/// Words after reps that change nothing: the catalogue knows what an exercise is counted in.
const REP_WORDS: [&str; 19] = [
    "",
    "rep",
    "reps",
    "r",
    "each",
    "each side",
    "each leg",
    "each arm",
    "per side",
    "per leg",
    "per arm",
    "/side",
    "s",
    "sec",
    "secs",
    "seconds",
    "m",
    "metres",
    "meters",
];

/// Lowest and highest reps.
pub fn reps(text: &str) -> Result<[u32; 2], Expected> {
    let text = text.trim().to_lowercase().replace(['–', '—'], "-").replace(" to ", "-");
    let (low, high) = text.split_once('-').unwrap_or((text.as_str(), text.as_str()));
    let low = rep_count(low)?;
    let high = rep_count(high)?;
    if low > high { Err("The lower number of reps comes first: 8-12.") } else { Ok([low, high]) }
}

fn rep_count(text: &str) -> Result<u32, Expected> {
    let (value, unit) = split_unit(text);
    whole(&value).filter(|n| REP_WORDS.contains(&unit.as_str()) && (1..=REPS_MAX).contains(n)).ok_or(REPS)
}

/// Reps in reserve; of a range the lower.
pub fn rir(text: &str) -> Result<u32, Expected> {
    let lower = text.trim().to_lowercase().replace(['–', '—'], "-");
    let bare = lower.trim_start_matches("rir").trim_end_matches("rir").trim();
    let low = bare.split('-').next().unwrap_or(bare);
    whole(low).filter(|n| *n <= RIR_MAX).ok_or(RIR)
}

/// Reps in reserve from an effort rating: 10 less RPE (Zourdos 2016, JSCR 30:267 (A)), rounded.
pub fn rpe(text: &str) -> Result<u32, Expected> {
    let lower = text.trim().to_lowercase();
    let bare = lower.trim_start_matches("rpe").trim_start_matches('@').trim();
    let value = number(bare).filter(|v| (0.0..=10.0).contains(v)).ok_or(RPE)?;
    Ok((10.0 - value).round() as u32)
}

/// A load; nothing when it is empty or the body alone.
pub fn load(text: &str, unit: MassUnit) -> Result<Option<Kilograms>, Expected> {
    let lower = text.trim().to_lowercase();
    if matches!(lower.as_str(), "" | "-" | "–" | "—" | "bw" | "bodyweight" | "body weight" | "body" | "n/a")
    {
        return Ok(None);
    }
    let (value, said) = split_unit(&lower);
    let value = number(&value).ok_or(LOAD)?;
    let said = said.trim_end_matches("each").trim_end_matches("per hand").trim();
    let kg = match (said, unit) {
        ("", unit) => unit.mass(value),
        ("kg" | "kgs" | "kilo" | "kilos", _) => Kilograms(value),
        ("lb" | "lbs" | "pound" | "pounds", _) => Kilograms::from_lb(value),
        _ => return Err(LOAD),
    };
    if kg.get() > LOAD_KG_MAX { Err("A load is at most 600 kg.") } else { Ok(Some(kg)) }
}

/// A rest; nothing when it is empty. Of a range the middle.
pub fn rest(text: &str, unit: RestUnit) -> Result<Option<Seconds>, Expected> {
    let lower = text.trim().to_lowercase().replace(['–', '—'], "-").replace(" to ", "-");
    if matches!(lower.as_str(), "" | "-") {
        return Ok(None);
    }
    let seconds = match lower.split_once('-') {
        Some((low, high)) => {
            let (_, said) = split_unit(high);
            let low = if split_unit(low).1.is_empty() { format!("{low} {said}") } else { low.to_owned() };
            rest_s(&low, unit)?.midpoint(rest_s(high, unit)?)
        }
        None => rest_s(&lower, unit)?,
    };
    if seconds > REST_S_MAX { Err("Rest is at most 30 minutes.") } else { Ok(Some(Seconds(seconds))) }
}

fn rest_s(text: &str, unit: RestUnit) -> Result<f64, Expected> {
    let text = text.trim();
    if let Some((minutes, seconds)) = text.split_once([':', '\'']) {
        let seconds = seconds.trim_end_matches(['"', '\'']).trim();
        let seconds = if seconds.is_empty() { 0 } else { whole(seconds).filter(|s| *s < 60).ok_or(REST)? };
        return Ok(60.0 * f64::from(whole(minutes).ok_or(REST)?) + f64::from(seconds));
    }
    let (value, said) = split_unit(text);
    let value = number(&value).ok_or(REST)?;
    match (said.as_str(), unit) {
        ("", RestUnit::Seconds) | ("s" | "sec" | "secs" | "second" | "seconds" | "\"", _) => Ok(value),
        ("", RestUnit::Minutes) | ("m" | "min" | "mins" | "minute" | "minutes", _) => Ok(value * 60.0),
        _ => Err(REST),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_numbers_or_names() {
        for (text, want) in
            [("1", 1), ("Day 3", 3), ("D2", 2), ("Tue", 2), ("thurs", 4), ("Sunday", 7), ("session 4", 4)]
        {
            assert_eq!(day(text), Ok(want), "{text}");
        }
        for text in ["", "0", "-1", "1.5", "someday", "tu"] {
            assert_eq!(day(text), Err(DAY), "{text}");
        }
    }

    #[test]
    fn a_block_is_the_letter_or_number_its_rows_share() {
        for (text, want) in [("A", "A"), ("a1", "A"), ("A2", "A"), ("3b", "3"), ("12", "12"), ("1.2", "1")] {
            assert_eq!(block(text).as_deref(), Some(want), "{text}");
        }
        assert_eq!(block(" "), None);
    }

    #[test]
    fn sets_may_bring_their_reps() {
        assert_eq!(sets("3"), Ok((3, None)));
        assert_eq!(sets("4 sets"), Ok((4, None)));
        assert_eq!(sets("3 x 8-12"), Ok((3, Some([8, 12]))));
        assert_eq!(sets("30"), Ok((30, None)));
        for text in ["0", "31", "three", "", "-3", "3.5"] {
            assert!(sets(text).is_err(), "{text}");
        }
    }

    #[test]
    fn reps_are_a_number_or_a_range() {
        for (text, want) in [
            ("10", [10, 10]),
            ("8-12", [8, 12]),
            ("8 – 12", [8, 12]),
            ("8 to 12", [8, 12]),
            ("30 s", [30, 30]),
            ("10 each", [10, 10]),
            ("30-45 sec", [30, 45]),
        ] {
            assert_eq!(reps(text), Ok(want), "{text}");
        }
        assert!(reps("12-8").is_err_and(|e| e.contains("first")));
        for text in ["0", "AMRAP", "", "601", "8-"] {
            assert!(reps(text).is_err(), "{text}");
        }
    }

    #[test]
    fn loads_know_both_units_and_both_decimal_marks() {
        assert_eq!(load("62.5", MassUnit::Kg), Ok(Some(Kilograms(62.5))));
        assert_eq!(load("62,5 kg", MassUnit::Lb), Ok(Some(Kilograms(62.5))));
        assert_eq!(load("100 lb", MassUnit::Kg), Ok(Some(Kilograms(45.359_237))));
        assert_eq!(load("100", MassUnit::Lb), Ok(Some(Kilograms(45.359_237))));
        assert_eq!(load("24 kg each", MassUnit::Kg), Ok(Some(Kilograms(24.0))));
        assert_eq!(load("BW", MassUnit::Kg), Ok(None));
        for text in ["heavy", "-20", "601", "20 stone", "nan", "1e5"] {
            assert!(load(text, MassUnit::Kg).is_err(), "{text}");
        }
    }

    #[test]
    fn rests_are_seconds_minutes_or_a_clock() {
        for (text, want) in [
            ("90", 90.0),
            ("90 s", 90.0),
            ("2 min", 120.0),
            ("1:30", 90.0),
            ("1'30\"", 90.0),
            ("2'", 120.0),
            ("60-90", 75.0),
            ("1-2 min", 90.0),
            ("1,5 min", 90.0),
            ("0", 0.0),
        ] {
            assert_eq!(rest(text, RestUnit::Seconds), Ok(Some(Seconds(want))), "{text}");
        }
        assert_eq!(rest("2", RestUnit::Minutes), Ok(Some(Seconds(120.0))));
        assert_eq!(rest("", RestUnit::Seconds), Ok(None));
        for text in ["long", "1:75", "1801", "-5"] {
            assert!(rest(text, RestUnit::Seconds).is_err(), "{text}");
        }
    }

    #[test]
    fn effort_becomes_reps_in_reserve() {
        assert_eq!((rir("2"), rir("RIR 3"), rir("1-2")), (Ok(2), Ok(3), Ok(1)));
        assert_eq!((rpe("8"), rpe("RPE 7.5"), rpe("@9")), (Ok(2), Ok(3), Ok(1)));
        assert!(rir("11").is_err() && rpe("11").is_err() && rir("easy").is_err());
    }
}
