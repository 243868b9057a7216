//! `plan`: from a brief to a programme, and how good it is.

use super::args::{Mode, PlanArgs, SearchArgs};
use super::progress::News;
use super::show::{count, json, number};
use super::text::{Paint, wrapped};
use super::{DONE, FINDINGS, Look, Reply, programme};
use crate::clock::Stopwatch;
use crate::files::{self, Problem, Problems};
use crate::service::plan::{self, Planned, Search, Stop};
use setwright_model::{Brief, Seconds, Severity, Status};
use setwright_science::catalogue::builtin;
use std::fmt::Write as _;
use std::path::Path;

/// Plans the brief.
pub fn run(args: &PlanArgs, look: Look) -> Result<Reply, Problems> {
    let source = files::read(&args.brief).map_err(|p| vec![p])?;
    let brief = files::brief::parse(&source, builtin())?;
    let planned = solve(&brief, args.search, look).map_err(|p| vec![p])?;
    let mut talk = String::new();
    if let Some(out) = &args.out {
        talk = keep(&planned, &brief, out).map_err(|p| vec![p])?;
    }
    let data = if args.json { json(&planned.answer) } else { page(&brief, &planned, look) };
    Ok(Reply { data, talk, code: code(&planned) })
}

/// Plans a brief with news on the terminal.
pub fn solve(brief: &Brief, args: SearchArgs, look: Look) -> Result<Planned, Problem> {
    let mode = match args.mode {
        Mode::Benefit => plan::Mode::Benefit,
        Mode::Minutes => plan::Mode::Minutes,
    };
    let search = Search { mode, seed: args.seed, moves: args.moves, limit: Seconds(args.seconds) };
    let news = News::begin(look.progress, &format!("Planning for {}.", brief.name));
    plan::plan(brief, builtin(), search, Stopwatch::start(), &mut |p| {
        let best = p.value.map_or_else(|| "none yet".to_owned(), |v| number(v, 1));
        let bound = p.bound.map_or_else(|| "not yet known".to_owned(), |b| number(b, 1));
        news.say(format!("Planning for {}: best {best}, bound {bound}.", brief.name));
    })
}

/// The exit code of a plan.
pub const fn code(planned: &Planned) -> u8 {
    if planned.programme.is_some() { DONE } else { FINDINGS }
}

fn keep(planned: &Planned, brief: &Brief, out: &Path) -> Result<String, Problem> {
    let Some(programme) = &planned.programme else {
        return Ok(format!("There is no programme, so {} was not written.\n", out.display()));
    };
    let notes = [
        format!("Programme for {}, certified by setwright.", brief.name),
        status_line(planned),
        format!(
            "Seed {}. Edit it by hand and check it: setwright audit FILE --brief BRIEF.",
            planned.answer.seed
        ),
    ];
    files::write(out, &files::programme::write(programme.get(), &notes))?;
    Ok(format!("Wrote {}.\n", out.display()))
}

/// Everything about a plan.
pub fn page(brief: &Brief, planned: &Planned, look: Look) -> String {
    let mut out = head(brief);
    out.push('\n');
    if let Some(view) = &planned.view {
        out.push_str(&programme::sessions(view, look.units));
        out.push_str(&programme::muscles(view));
        out.push('\n');
    }
    section(&mut out, "Why", &planned.answer.reasons);
    section(&mut out, "What clashes", &planned.answer.conflict);
    section(&mut out, "To look at", &findings(planned, look.paint));
    section(&mut out, "Caution", &planned.answer.cautions);
    out.push_str(&wrapped(&status_line(planned), 0, 0));
    out
}

fn head(brief: &Brief) -> String {
    let time = &brief.time;
    let mut out =
        format!("{}: {} in {} days\n", brief.name, count(time.sessions as usize, "session"), time.cycle_days);
    if !brief.about.is_empty() {
        out.push_str(&wrapped(&brief.about, 0, 0));
    }
    out
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(out, "{title}");
    for line in lines {
        out.push_str(&wrapped(line, 2, 4));
    }
    out.push('\n');
}

fn findings(planned: &Planned, paint: Paint) -> Vec<String> {
    // What the screening says stands under the cautions.
    let own = planned.answer.findings.iter().filter(|f| f.code != "SW170");
    own.filter(|f| f.severity > Severity::Note || planned.answer.findings.len() <= NOTES_SHOWN)
        .map(|f| format!("{} {} {}: {} {}", paint.severity(f.severity), f.code, f.subject, f.cause, f.hint))
        .collect()
}

/// With more findings than these, notes are left to --json.
const NOTES_SHOWN: usize = 8;

/// How good it is, in words: never more than is known.
pub fn status_line(planned: &Planned) -> String {
    let answer = &planned.answer;
    let minutes = planned.mode == plan::Mode::Minutes;
    let shown = |v: Option<f64>| v.map_or_else(|| "?".to_owned(), |v| format!("{v:.1}"));
    let (value, bound) = (shown(answer.value), shown(answer.bound));
    let gap = answer.gap.map_or_else(String::new, |g| format!(" (gap {:.1} %)", 100.0 * g.get()));
    let stopped = match planned.stop {
        Stop::Settled => "",
        Stop::Moves => " Stopped: move limit.",
        Stop::Time => " Stopped: time limit.",
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
        Status::Unknown => format!(
            "Unknown: no programme was found and none was ruled out.{stopped} More --moves, or a looser brief, may help."
        ),
    }
}
