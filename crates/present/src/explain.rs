//! What codes and constants mean: one list for `explain` and for the generated page of errors.

use serde::Serialize;
use setwright_formats::near;
use setwright_formats::words::sentence;
use setwright_model::code::Code;
use setwright_model::finding::CodeInfo;
use setwright_model::refusal::Refusal;
use setwright_science::constants::CONSTANTS;

/// A code or a constant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Topic {
    /// What it is called.
    pub name: String,
    /// What it is, in a sentence.
    pub title: String,
    /// Its value with its unit, for a constant.
    pub value: Option<String>,
    /// Why it is there.
    pub why: String,
    /// Where it comes from.
    pub source: String,
}

/// All codes in order, then all constants.
pub fn all() -> Vec<Topic> {
    let mut topics: Vec<Topic> = codes().into_iter().map(|c| code(&c)).collect();
    topics.extend(constants());
    topics
}

/// All codes, those of the readers and those of the check, in order.
pub fn codes() -> Vec<CodeInfo> {
    let mut codes: Vec<CodeInfo> =
        Code::ALL.iter().map(|code| code.info()).chain(setwright_check::CODES.iter().copied()).collect();
    codes.sort_by_key(|c| c.code);
    codes
}

fn code(code: &CodeInfo) -> Topic {
    Topic {
        name: code.code.to_owned(),
        title: code.title.to_owned(),
        value: None,
        why: code.why.to_owned(),
        source: code.source.to_owned(),
    }
}

fn constants() -> Vec<Topic> {
    CONSTANTS
        .iter()
        .map(|c| Topic {
            name: c.name.to_owned(),
            title: c.what.to_owned(),
            value: Some(format!("{} {}", c.value, c.unit).trim_end().to_owned()),
            why: sentence(c.why),
            source: c.source.to_owned(),
        })
        .collect()
}

/// The topic of this name in any case, or the refusal with the nearest name.
pub fn find(wanted: &str) -> Result<Topic, Refusal> {
    let plain = |name: &str| name.trim().to_lowercase().replace([' ', '-'], "_");
    let topics = all();
    if let Some(topic) = topics.iter().find(|t| plain(&t.name) == plain(wanted)) {
        return Ok(topic.clone());
    }
    let names = topics.iter().map(|t| t.name.as_str());
    let hint = match near::nearest(&plain(wanted), names) {
        Some(near) => format!("Did you mean {near}? setwright explain alone lists all."),
        None => "setwright explain alone lists all.".to_owned(),
    };
    let shown = setwright_formats::doc::printable(wanted);
    Err(Refusal::new(Code::NoSuchTopic, format!("There is no code or constant \"{shown}\"."), hint))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_found_by_its_name_in_any_case() {
        for topic in all() {
            assert_eq!(find(&topic.name.to_lowercase()).unwrap(), topic);
        }
    }

    #[test]
    fn no_two_topics_share_a_name() {
        let mut names: Vec<String> = all().into_iter().map(|t| t.name).collect();
        let count = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), count);
    }

    #[test]
    fn a_slip_gets_the_nearest_name() {
        let problem = find("SW00").unwrap_err();
        assert_eq!(problem.code, "SW023");
        assert!(problem.hint.contains("Did you mean SW00"), "{}", problem.hint);
    }
}
