//! The demo roster: eight invented clients of an invented gym, built into the program.

pub mod past;

use setwright_formats::{Source, brief, near};
use setwright_gym::catalogue::builtin;
use setwright_model::Brief;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};

/// The files of the roster, in its order.
pub const FILES: [(&str, &str); 8] = [
    ("absolute_beginner.toml", include_str!("../../../../data/demo/absolute_beginner.toml")),
    ("busy_adult.toml", include_str!("../../../../data/demo/busy_adult.toml")),
    ("home_dumbbells.toml", include_str!("../../../../data/demo/home_dumbbells.toml")),
    ("upper_lower.toml", include_str!("../../../../data/demo/upper_lower.toml")),
    ("stubborn_muscle.toml", include_str!("../../../../data/demo/stubborn_muscle.toml")),
    ("returning_client.toml", include_str!("../../../../data/demo/returning_client.toml")),
    ("shift_worker.toml", include_str!("../../../../data/demo/shift_worker.toml")),
    ("cannot_be_met.toml", include_str!("../../../../data/demo/cannot_be_met.toml")),
];

/// The briefs of the roster, or the one of this client.
pub fn roster(client: Option<&str>) -> Result<Vec<Brief>, Refusals> {
    let mut briefs = Vec::new();
    for (name, text) in FILES {
        let source = Source { name: format!("data/demo/{name}"), text: text.to_owned() };
        briefs.push(brief::parse(&source, builtin())?);
    }
    let Some(client) = client else { return Ok(briefs) };
    let is_meant = |b: &Brief| b.name.to_lowercase() == client.trim().to_lowercase();
    if let Some(brief) = briefs.iter().find(|b| is_meant(b)) {
        return Ok(vec![brief.clone()]);
    }
    let names: Vec<&str> = briefs.iter().map(|b| b.name.as_str()).collect();
    let hint = match near::nearest(client, names.iter().copied()) {
        Some(near) => format!("Did you mean {near}?"),
        None => format!("The roster has {}.", names.join(", ")),
    };
    let shown = setwright_formats::doc::printable(client);
    Err(vec![Refusal::new(Code::NoMatch, format!("The demo roster has no client \"{shown}\"."), hint)])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_client_of_the_roster_can_be_read_and_has_a_name_of_their_own() {
        let briefs = roster(None).expect("all briefs are read");
        let mut names: Vec<&str> = briefs.iter().map(|b| b.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), 8);
        assert!(briefs.iter().all(|b| !b.about.is_empty()));
    }

    #[test]
    fn every_file_of_the_folder_is_in_the_roster() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/demo");
        let mut on_disk: Vec<String> = std::fs::read_dir(folder)
            .expect("the folder is there")
            .map(|e| e.expect("entry").file_name().to_string_lossy().into_owned())
            .collect();
        let mut built_in: Vec<String> = FILES.iter().map(|(n, _)| (*n).to_owned()).collect();
        on_disk.sort();
        built_in.sort();
        assert_eq!(on_disk, built_in);
    }

    #[test]
    fn one_client_is_found_by_name_in_any_case() {
        let all = roster(None).expect("read");
        let found = roster(Some(&all[0].name.to_uppercase())).expect("found");
        assert_eq!(found, [all[0].clone()]);
        assert_eq!(roster(Some("nobody at all")).unwrap_err()[0].code, "SW024");
    }
}
