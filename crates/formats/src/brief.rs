//! The reader of briefs: from TOML to a brief that keeps every limit, with all that is wrong in one go.

use super::doc::Doc;
use super::positions::Positions;
use super::read::Source;
use super::{brief_rules, names, person_rules};
use setwright_model::brief::Brief;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Catalogue, ExerciseId};

/// Reads a brief.
pub fn parse(source: &Source, catalogue: &Catalogue) -> Result<Brief, Refusals> {
    let doc = Doc::parse(source).map_err(|p| vec![p])?;
    let mut brief: Brief = doc.into_type().map_err(|p| vec![hint_at_other_kind(p, &doc)])?;
    let mut problems = resolve_names(&mut brief, catalogue, &doc);
    problems.extend(broken(&brief, catalogue, &doc));
    problems.sort_by(|a, b| a.place.cmp(&b.place));
    if problems.is_empty() { Ok(brief) } else { Err(problems) }
}

/// Every limit that a brief breaks, wherever it comes from.
pub(crate) fn broken(brief: &Brief, catalogue: &Catalogue, places: &dyn Positions) -> Refusals {
    let mut problems = brief_rules::check(brief, catalogue, places);
    problems.extend(person_rules::check(brief, places));
    problems
}

fn hint_at_other_kind(problem: Refusal, doc: &Doc<'_>) -> Refusal {
    if doc.has("sessions") && !doc.has("goal") {
        return Refusal {
            hint: "This looks like a programme; setwright audit takes programmes.".to_owned(),
            ..problem
        };
    }
    problem
}

/// Parts of a brief in the order in which they are read.
const ORDER: [&str; 23] = [
    "name",
    "about",
    "goal",
    "training_age",
    "aims",
    "conditions",
    "hurts",
    "can",
    "cannot",
    "alone",
    "gym",
    "time",
    "present",
    "sport",
    "body",
    "equipment",
    "muscles",
    "lift",
    "test",
    "lock",
    "exclude",
    "screening",
    "style",
];

/// The text of a brief, without what is usual: read again it is the same brief.
pub fn write(brief: &Brief) -> String {
    let Ok(toml::Value::Table(mut all)) = toml::Value::try_from(brief) else { return String::new() };
    all.retain(|key, value| !is_usual(key, value));
    let parts = ORDER.iter().filter_map(|key| {
        let value = all.remove(*key)?;
        let is_plain =
            !value.is_table() && !value.as_array().is_some_and(|list| list.iter().any(toml::Value::is_table));
        let text = toml::to_string(&toml::Table::from_iter([((*key).to_owned(), value)])).ok()?;
        Some(if is_plain { text } else { format!("\n{text}") })
    });
    parts.collect()
}

/// Whether a part says no more than its absence would; empties it of what does not.
fn is_usual(key: &str, value: &mut toml::Value) -> bool {
    match value {
        toml::Value::Table(table) => {
            table.retain(|key, value| !is_usual(key, value));
            // A muscle that is named without a wish is a wish of nothing; a table that is empty is none.
            table.is_empty()
        }
        toml::Value::Array(list) => {
            for entry in list.iter_mut() {
                is_usual("", entry);
            }
            list.is_empty()
        }
        toml::Value::String(text) => text.is_empty(),
        toml::Value::Boolean(yes) => {
            (*yes && key == "alternate") || (!*yes && matches!(key, "busy" | "cold" | "early"))
        }
        _ => false,
    }
}

/// Turns every spoken name into an identifier, and refuses what the catalogue does not have.
fn resolve_names(brief: &mut Brief, catalogue: &Catalogue, doc: &Doc<'_>) -> Refusals {
    let mut problems = Vec::new();
    let mut resolve = |id: &mut ExerciseId, path: super::doc::Path<'_>| match names::resolve(&id.0, catalogue)
    {
        Ok(exercise) => *id = exercise.id.clone(),
        Err(problem) => problems.push(problem.at(doc.place(path))),
    };
    for (i, lift) in brief.lifts.iter_mut().enumerate() {
        resolve(&mut lift.exercise, &["lift".into(), i.into(), "exercise".into()]);
    }
    for (i, lock) in brief.locks.iter_mut().enumerate() {
        resolve(&mut lock.exercise, &["lock".into(), i.into(), "exercise".into()]);
        if let Some(with) = &mut lock.with {
            resolve(with, &["lock".into(), i.into(), "with".into()]);
        }
    }
    for (i, id) in brief.present.exercises.iter_mut().enumerate() {
        resolve(id, &["present".into(), "exercises".into(), i.into()]);
    }
    for (i, id) in brief.exclude.exercises.iter_mut().enumerate() {
        resolve(id, &["exclude".into(), "exercises".into(), i.into()]);
    }
    problems
}

/// Whether a file is a brief rather than a programme, for hints.
pub fn looks_like_brief(doc: &Doc<'_>) -> bool {
    doc.has("goal") && !doc.has("sessions")
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;

    /// The briefs of the demo roster, by the names of their files.
    fn roster() -> Vec<Brief> {
        let folder = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/demo")).unwrap();
        let mut paths: Vec<_> = folder.map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        paths.iter().map(|path| parse(&crate::read(path).unwrap(), builtin()).unwrap()).collect()
    }

    #[test]
    fn what_is_written_reads_back_as_the_same_brief() {
        let mut briefs = roster();
        let mut other = briefs[0].clone();
        other.style.alternate = false;
        other.time.busy = true;
        other.time.days = vec![1, 3];
        other.exclude.exercises.push("deadlift".into());
        briefs.push(other);
        for brief in briefs {
            let text = write(&brief);
            let again = parse(&Source { name: "again".to_owned(), text: text.clone() }, builtin());
            assert_eq!(again.as_ref(), Ok(&brief), "{text}");
            assert!(!text.contains("[]") && text.starts_with("name"), "{text}");
        }
    }
}
