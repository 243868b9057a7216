//! Dates, loads and numbers as a page writes them.

use setwright_model::ledger::{Date, Moment};
pub use setwright_present::figures::{count, number, range};

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const DAYS: [&str; 7] = ["Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed"];

/// "Fri 27 Nov".
pub fn day(date: Date) -> String {
    let (_, month, day) = date.civil();
    let name = DAYS.get(date.days().rem_euclid(7) as usize).copied().unwrap_or_default();
    format!("{name} {day} {}", month_name(month))
}

/// "Fri 27", where the month is plain from what stands around.
pub fn short_day(date: Date) -> String {
    let (_, _, day) = date.civil();
    let name = DAYS.get(date.days().rem_euclid(7) as usize).copied().unwrap_or_default();
    format!("{name} {day}")
}

/// "27 Nov 2026".
pub fn long_day(date: Date) -> String {
    let (year, month, day) = date.civil();
    format!("{day} {} {year}", month_name(month))
}

fn month_name(month: u32) -> &'static str {
    MONTHS.get(month.wrapping_sub(1) as usize).copied().unwrap_or_default()
}

/// "today", "tomorrow", "Fri 27 Nov".
pub fn near(date: Date, today: Date) -> String {
    match date.days() - today.days() {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        _ => day(date),
    }
}

/// The day and the hour: "Fri 27 Nov, 18:05".
pub fn moment(at: Moment) -> String {
    let text = at.to_string();
    let clock = text.get(11..16).unwrap_or_default().to_owned();
    format!("{}, {clock}", day(at.date()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_have_their_names() {
        let date = |text: &str| text.parse::<Date>().unwrap();
        assert_eq!(day(date("2026-11-27")), "Fri 27 Nov");
        assert_eq!(day(date("1970-01-01")), "Thu 1 Jan");
        assert_eq!(short_day(date("2026-11-27")), "Fri 27");
        assert_eq!([number(-0.2, 0), number(-0.2, 1), number(3.50, 2)], ["0", "-0.2", "3.5"]);
        assert_eq!(near(date("2026-11-28"), date("2026-11-27")), "tomorrow");
        assert_eq!(long_day(date("2026-03-01")), "1 Mar 2026");
        assert_eq!(moment("2026-11-27T18:05:00+01:00".parse().unwrap()), "Fri 27 Nov, 18:05");
    }
}
