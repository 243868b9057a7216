//! How problems look: code, what, where, why, hint; as lines for people, as an object for programs.

use super::text::{Paint, wrapped};
use crate::reply::{BAD_INPUT, INTERNAL, LATER, MACHINE, Reply};
use serde::Serialize;
use setwright_model::code::{Code, Kind};
use setwright_model::refusal::{self, Position, Refusal};
use std::fmt::Write as _;

/// More than this many are counted, not shown.
const SHOWN: usize = 20;

#[derive(Serialize)]
struct Errors<'a> {
    errors: Vec<ErrorJson<'a>>,
}

#[derive(Serialize)]
struct ErrorJson<'a> {
    code: Code,
    what: &'a str,
    #[serde(rename = "where")]
    place: Option<&'a Position>,
    why: &'a str,
    hint: &'a str,
}

/// The exit status of a refusal of this kind.
pub const fn exit(kind: Kind) -> u8 {
    match kind {
        Kind::Input | Kind::Forbidden | Kind::Missing | Kind::Gone | Kind::SignIn => BAD_INPUT,
        Kind::TooOften | Kind::Busy => LATER,
        Kind::NoRoom | Kind::Machine => MACHINE,
        Kind::Internal => INTERNAL,
    }
}

/// What to say about problems: to programs on the standard output, to people on the standard error.
pub fn reply(problems: &[Refusal], json: bool, colour: bool) -> Reply {
    let code = exit(refusal::kind(problems));
    if json {
        return Reply { data: as_json(problems), talk: String::new(), code };
    }
    Reply { data: String::new(), talk: as_text(problems, Paint { on: colour }), code }
}

fn as_json(problems: &[Refusal]) -> String {
    let errors = problems
        .iter()
        .map(|p| ErrorJson {
            code: p.code,
            what: &p.what,
            place: p.place.as_ref(),
            why: p.why(),
            hint: &p.hint,
        })
        .collect();
    super::show::json(&Errors { errors })
}

fn as_text(problems: &[Refusal], paint: Paint) -> String {
    let mut out = String::new();
    for problem in problems.iter().take(SHOWN) {
        if !out.is_empty() {
            out.push('\n');
        }
        let _ = writeln!(out, "{} {}: {}", paint.bad("error"), problem.code, problem.what);
        if let Some(place) = &problem.place {
            let _ = writeln!(out, "  where: {place}");
        }
        out.push_str(&labelled("why:   ", problem.why()));
        out.push_str(&labelled("hint:  ", &problem.hint));
    }
    if problems.len() > SHOWN {
        let _ = writeln!(out, "\nand {} more.", problems.len() - SHOWN);
    }
    out
}

fn labelled(label: &str, text: &str) -> String {
    if text.is_empty() {
        String::new()
    } else {
        wrapped(&format!("{label}{text}"), 2, 9).replacen(label.trim(), label.trim_end(), 1)
    }
}
