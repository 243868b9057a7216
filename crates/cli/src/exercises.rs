//! `exercises`: looks up the catalogue.

use super::args::ExercisesArgs;
use super::show::{json, number};
use super::text::{Columns, LEFT, RIGHT};
use crate::reply::{FINDINGS, Reply};
use setwright_coaching::search::{self, Query, SearchHits, Sort};
use setwright_gym::catalogue::builtin;

/// Prints what was found.
pub fn run(args: &ExercisesArgs) -> Reply {
    let query = Query {
        words: args.words.join(" "),
        muscles: args.muscle.clone(),
        stations: args.station.clone(),
        patterns: args.pattern.clone(),
        place: args.place.map(Into::into),
        skill_most: args.skill,
        sort: if args.by_name { Sort::Name } else { Sort::Value },
    };
    let found = search::search(builtin(), &query);
    if args.json {
        return Reply::data(json(&found.exercises));
    }
    let shown = args.limit.unwrap_or(usize::MAX).min(found.exercises.len());
    let data = table(&found.exercises[..shown]);
    let code = if found.exercises.is_empty() { FINDINGS } else { crate::reply::DONE };
    Reply { data, talk: talk(&found, shown), code }
}

fn table(exercises: &[search::ExerciseView]) -> String {
    if exercises.is_empty() {
        return String::new();
    }
    let mut columns = Columns::new(&[LEFT, RIGHT, RIGHT, LEFT]);
    columns.row(["exercise", "sets/min", "skill", "trains (half); with"]);
    for e in exercises {
        let half = if e.half.is_empty() { String::new() } else { format!(" ({})", e.half.join(", ")) };
        columns.row([
            e.name.clone(),
            number(e.sets_per_minute, 2),
            e.skill.to_string(),
            format!("{}{half}; {}", e.trains(), e.station_names.join(", ")),
        ]);
    }
    columns.lines(0)
}

fn talk(found: &SearchHits, shown: usize) -> String {
    let total = found.exercises.len();
    if total == 0 {
        return match found.near.as_slice() {
            [] => "Nothing in the catalogue fits. Ask for fewer things at once.\n".to_owned(),
            near => format!("Nothing in the catalogue fits. Did you mean {}?\n", near.join(", or ")),
        };
    }
    let head = if found.by_likeness { "No name has these words; these are the nearest. " } else { "" };
    let many = super::show::count(total, "exercise");
    if shown < total { format!("{head}{shown} of {many}.\n") } else { format!("{head}{many}.\n") }
}
