//! From what a coach writes to an exercise of the catalogue, or the refusal with the nearest names.

use super::doc::printable;
use setwright_gym::names;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_model::{Catalogue, Exercise};

/// How many near names are offered.
const OFFERED: usize = 3;
/// Longer names are not looked up: nobody typed them.
const CHARS_MAX: usize = 120;

/// The exercise that is called so in any spelling, or the refusal with the nearest names.
pub fn resolve<'c>(written: &str, catalogue: &'c Catalogue) -> Result<&'c Exercise, Refusal> {
    let short: String = written.chars().take(CHARS_MAX).collect();
    let found = names::find(catalogue, &short);
    let exact: Vec<&Exercise> = found.iter().filter(|(_, like)| *like >= 1.0).map(|(e, _)| *e).collect();
    if let [exercise] = exact[..] {
        return Ok(exercise);
    }
    if exact.is_empty() {
        let near: Vec<&Exercise> = found.iter().map(|(e, _)| *e).collect();
        return Err(refusal(format!("There is no exercise \"{}\".", printable(written)), &near));
    }
    Err(refusal(format!("\"{}\" is the name of more than one exercise.", printable(written)), &exact))
}

fn refusal(what: String, near: &[&Exercise]) -> Refusal {
    let names: Vec<String> = near.iter().take(OFFERED).map(|e| format!("\"{}\"", e.name)).collect();
    let hint = match names.as_slice() {
        [] => "Look it up: setwright exercises WORDS.".to_owned(),
        names => format!("Did you mean {}?", names.join(", or ")),
    };
    Refusal::new(Code::UnknownExercise, what, hint)
}
