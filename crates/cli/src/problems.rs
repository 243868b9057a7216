//! How problems look: code, what, where, why, hint; as lines for people, as an object for programs.

use super::text::{Paint, wrapped};
use super::{BAD_INPUT, INTERNAL, Reply};
use serde::Serialize;
use setwright_formats::problem::NOT_CERTIFIED;
use setwright_formats::{Place, Problem};
use std::fmt::Write as _;

/// More than this many are counted, not shown.
const SHOWN: usize = 20;

#[derive(Serialize)]
struct Errors<'a> {
    errors: Vec<ErrorJson<'a>>,
}

#[derive(Serialize)]
struct ErrorJson<'a> {
    code: &'a str,
    what: &'a str,
    #[serde(rename = "where")]
    place: Option<&'a Place>,
    why: &'a str,
    hint: &'a str,
}

/// What to say about problems: to programs on the standard output, to people on the standard error.
pub fn reply(problems: &[Problem], json: bool, colour: bool) -> Reply {
    let internal = problems.iter().any(|p| p.code == NOT_CERTIFIED);
    let code = if internal { INTERNAL } else { BAD_INPUT };
    if json {
        return Reply { data: as_json(problems), talk: String::new(), code };
    }
    Reply { data: String::new(), talk: as_text(problems, Paint { on: colour }), code }
}

fn as_json(problems: &[Problem]) -> String {
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

fn as_text(problems: &[Problem], paint: Paint) -> String {
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
