//! The reader of briefs: from TOML to a brief that keeps every limit, with all that is wrong in one go.

use super::doc::Doc;
use super::problem::{Problem, Problems};
use super::read::Source;
use super::{brief_rules, names};
use setwright_model::brief::Brief;
use setwright_model::{Catalogue, ExerciseId};

/// Reads a brief.
pub fn parse(source: &Source, catalogue: &Catalogue) -> Result<Brief, Problems> {
    let doc = Doc::parse(source).map_err(|p| vec![p])?;
    let mut brief: Brief = doc.into_type().map_err(|p| vec![hint_at_other_kind(p, &doc)])?;
    let mut problems = resolve_names(&mut brief, catalogue, &doc);
    problems.extend(brief_rules::check(&brief, catalogue, &doc));
    problems.sort_by(|a, b| a.place.cmp(&b.place));
    if problems.is_empty() { Ok(brief) } else { Err(problems) }
}

fn hint_at_other_kind(problem: Problem, doc: &Doc<'_>) -> Problem {
    if doc.has("sessions") && !doc.has("goal") {
        return Problem {
            hint: "This looks like a programme; setwright audit takes programmes.".to_owned(),
            ..problem
        };
    }
    problem
}

/// Turns every spoken name into an identifier, and refuses what the catalogue does not have.
fn resolve_names(brief: &mut Brief, catalogue: &Catalogue, doc: &Doc<'_>) -> Problems {
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
    for (i, id) in brief.exclude.exercises.iter_mut().enumerate() {
        resolve(id, &["exclude".into(), "exercises".into(), i.into()]);
    }
    problems
}

/// Whether a file is a brief rather than a programme, for hints.
pub fn looks_like_brief(doc: &Doc<'_>) -> bool {
    doc.has("goal") && !doc.has("sessions")
}
