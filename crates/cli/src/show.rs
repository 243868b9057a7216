//! Numbers as a coach reads them, and JSON for programs.

use serde::Serialize;
use setwright_model::Seconds;
pub use setwright_present::figures::{count, number, range};

/// A value as pretty JSON and a line end.
pub fn json<T: Serialize>(value: &T) -> String {
    match serde_json::to_string_pretty(value) {
        Ok(text) => text + "\n",
        // Our types hold no map with keys that are not text, so this is never seen.
        Err(error) => format!("{{\"errors\":[{{\"what\":\"{error}\"}}]}}\n"),
    }
}

/// A rest or another short time: seconds up to a minute and a half, then minutes and seconds.
pub fn rest(seconds: Seconds) -> String {
    let whole = seconds.get().round().max(0.0) as u64;
    if whole <= 90 { format!("{whole} s") } else { format!("{}:{:02} min", whole / 60, whole % 60) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::{Kilograms, MassUnit};

    #[test]
    fn numbers_drop_what_says_nothing() {
        assert_eq!(
            (number(62.5, 2), number(60.0, 2), number(-0.001, 1)),
            ("62.5".into(), "60".into(), "0".into())
        );
        assert_eq!(number(100.0, 0), "100");
    }

    #[test]
    fn loads_and_rests_read_like_speech() {
        assert_eq!(MassUnit::Lb.load(Kilograms::from_lb(135.0)), "135 lb");
        assert_eq!(MassUnit::Kg.load(Kilograms(61.25)), "61.25 kg");
        assert_eq!(rest(Seconds(90.0)), "90 s");
        assert_eq!(rest(Seconds(150.0)), "2:30 min");
        assert_eq!(range([8, 12]), "8-12");
    }
}
