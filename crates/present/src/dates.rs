//! Days as people write them on paper: "3 Nov", "Tuesday, 3 November 2026".

use setwright_model::ledger::Date;

const DAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Name of the day of the week; the first of January 1970 was a Thursday.
pub fn weekday(date: Date) -> &'static str {
    DAYS.get((date.days() + 3).rem_euclid(7) as usize).copied().unwrap_or("")
}

/// "3 Nov".
pub fn short(date: Date) -> String {
    let (_, month, day) = date.civil();
    format!("{day} {}", month_name(month).get(..3).unwrap_or(""))
}

/// "3 November 2026".
pub fn long(date: Date) -> String {
    let (year, month, day) = date.civil();
    format!("{day} {} {year}", month_name(month))
}

/// "Tuesday, 3 November 2026".
pub fn full(date: Date) -> String {
    format!("{}, {}", weekday(date), long(date))
}

fn month_name(month: u32) -> &'static str {
    MONTHS.get(month.wrapping_sub(1) as usize).copied().unwrap_or("")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_named_as_a_calendar_names_them() {
        let date = |text: &str| text.parse::<Date>().unwrap();
        assert_eq!(short(date("2026-11-03")), "3 Nov");
        assert_eq!(full(date("2026-11-03")), "Tuesday, 3 November 2026");
        assert_eq!(full(date("2028-02-29")), "Tuesday, 29 February 2028");
        assert_eq!(weekday(date("1970-01-01")), "Thursday");
    }
}
