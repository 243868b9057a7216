//! How good a plan is, in words: value, bound and gap, never more than is known.

use setwright_coaching::plan::{Objective, Planned, Stop};
use setwright_model::Status;

/// How good it is, in words: never more than is known.
pub fn status_line(planned: &Planned) -> String {
    let answer = &planned.answer;
    let minutes = planned.mode == Objective::Minutes;
    let shown = |v: Option<f64>| v.map_or_else(|| "?".to_owned(), |v| format!("{v:.1}"));
    let (value, bound) = (shown(answer.value), shown(answer.bound));
    let gap = answer.gap.map_or_else(String::new, |g| format!(" (gap {:.1} %)", 100.0 * g.get()));
    let stopped = match planned.stop {
        Stop::Settled => "",
        Stop::Moves => " Stopped: move limit.",
        Stop::Time => " Stopped: time limit.",
        Stop::Asked => " Stopped when asked.",
    };
    let limit = match (&answer.bound, minutes) {
        (None, _) => "How much better it could be was not bounded.".to_owned(),
        (_, false) => format!("Nothing under these rules passes {bound}{gap}."),
        (_, true) => format!("Nothing under these rules takes less than {bound} min{gap}."),
    };
    let found = if minutes { format!("{value} min a cycle") } else { value };
    match answer.status {
        Status::Optimal => {
            format!("Optimal: found {found}, and it is proven that nothing under these rules is better.")
        }
        Status::WithinTolerance => format!("Within tolerance: found {found}. {limit}"),
        Status::Feasible => format!("Feasible: found {found}. {limit}{stopped}"),
        Status::Infeasible => "Infeasible: no programme keeps every rule of this brief.".to_owned(),
        Status::Unknown if planned.stop == Stop::Asked => {
            "Unknown: it was stopped before a programme was found, and none was ruled out.".to_owned()
        }
        Status::Unknown => format!("Unknown: no programme was found and none was ruled out.{stopped}"),
    }
}
