//! `curve`: what shorter and longer sessions would bring the same client, as a table, a drawing and sentences.

use super::args::CurveArgs;
use super::progress::SearchNews;
use super::show::{count, json, number};
use super::text::{Columns, LEFT, RIGHT, wrapped_within};
use crate::clock;
use crate::reply::{DONE, FINDINGS, Look, Reply};
use setwright_coaching::curve::{self, CurveSearch, each};
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::refusal::Refusals;
use setwright_model::{Brief, Seconds, Share, TradeOff, TradeOffPoint};
use std::fmt::Write as _;

/// Width of the page: that of the narrowest terminal there is.
const WIDTH: usize = 80;
/// Rows of the drawing at most.
const ROWS_MAX: f64 = 14.0;
/// Columns of the drawing for each point.
const COLUMN: usize = 6;

/// Draws the curve of the brief.
pub fn run(args: &CurveArgs, look: Look) -> Result<Reply, Refusals> {
    let source = files::read(&args.brief).map_err(|p| vec![p])?;
    let brief = files::brief::parse(&source, builtin())?;
    let effort = args.effort;
    let search = CurveSearch { seed: effort.seed, moves: effort.moves, limit: Seconds(effort.seconds) };
    let news = SearchNews::begin(look.progress, &format!("Planning other minutes for {}.", brief.name));
    let (found, stopped) =
        curve::trade_off(&brief, builtin(), search, &clock::wall().stopwatch(), &mut |done| {
            news.say(format!("Planning other minutes for {}: {} bounded.", brief.name, count(done, "point")));
        })
        .map_err(|p| vec![p])?;
    let own = found.own.and_then(|i| found.points.get(i)).and_then(|p| p.value);
    let data = if args.json { json(&found) } else { page(&brief, &found, stopped) };
    Ok(Reply { data, talk: String::new(), code: if own.is_some() { DONE } else { FINDINGS } })
}

/// Everything about a curve.
fn page(brief: &Brief, found: &TradeOff, stopped: bool) -> String {
    let time = &brief.time;
    let mut out = format!(
        "{}: {} in {} days\n\n",
        brief.name,
        count(time.sessions as usize, "session"),
        time.cycle_days
    );
    if found.points.iter().any(|p| p.value.is_some()) {
        let _ = writeln!(out, "Minutes against benefit");
        out.push_str(&table(found));
        out.push('\n');
        out.push_str(&drawing(found));
        out.push('\n');
    }
    section(&mut out, "What it means", &found.reasons);
    section(&mut out, "What clashes", &found.conflict);
    out.push_str(&narrow(&last_line(found, stopped), 0));
    out
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(out, "{title}");
    for line in lines {
        out.push_str(&narrow(line, 2));
    }
    out.push('\n');
}

/// A paragraph no wider than the drawing.
fn narrow(text: &str, indent: usize) -> String {
    wrapped_within(text, WIDTH, indent, indent)
}

fn table(found: &TradeOff) -> String {
    let same = found.points.iter().all(|p| each(p).is_some());
    let mut columns = Columns::new(&[LEFT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, LEFT]);
    let first = if same { "min a session" } else { "more a session" };
    columns.row(["", first, "in all", "benefit", "change", "no more than", ""]);
    let own = found.own.and_then(|i| found.points.get(i)).and_then(|p| p.value);
    for (i, point) in found.points.iter().enumerate() {
        let is_own = found.own == Some(i);
        columns.row([
            if is_own { "brief" } else { "" }.to_owned(),
            label(point, same, 1),
            number(point.minutes_per_cycle.get(), 1),
            point.value.map_or_else(|| "none".to_owned(), |v| format!("{v:.1}")),
            change(point, own.filter(|_| !is_own)),
            point.bound.map_or_else(String::new, |b| format!("{b:.1}")),
            remark(point).to_owned(),
        ]);
    }
    columns.lines(2)
}

/// The minutes of a point; where sessions differ, what each has more than in the brief.
fn label(point: &TradeOffPoint, same: bool, places: usize) -> String {
    let change = point.change_min.get();
    match each(point).filter(|_| same) {
        Some(minutes) => number(minutes.get(), places),
        None if change > 0.0 => format!("+{}", number(change, places)),
        None => number(change, places),
    }
}

fn change(point: &TradeOffPoint, own: Option<f64>) -> String {
    let share = point.value.zip(own).map(|(v, own)| 100.0 * (v - own) / own);
    share.map_or_else(String::new, |s| if s.abs() < 0.05 { "same".to_owned() } else { format!("{s:+.1} %") })
}

const fn remark(point: &TradeOffPoint) -> &'static str {
    match (point.value.is_some(), point.ruled_out) {
        (true, _) => "",
        (false, true) => "ruled out",
        (false, false) => "not ruled out",
    }
}

/// Benefit upwards, minutes to the right; the scale need not begin at nothing.
fn drawing(found: &TradeOff) -> String {
    let values = || found.points.iter().filter_map(|p| p.value);
    let low = values().fold(f64::INFINITY, f64::min);
    let high = found.points.iter().filter_map(|p| p.value.and(p.bound).or(p.value)).fold(low, f64::max);
    let step = nice_step(high - low);
    let row_of = |v: f64| (v / step).round() as i64;
    let last_row = |b: f64| (b / step).floor() as i64;
    let bottom = (low / step).floor() as i64;
    let top = values().map(row_of).max().unwrap_or(bottom).max(last_row(high)).max(bottom + 1);
    let mut out = "  points\n".to_owned();
    for row in (bottom..=top).rev() {
        let mut line = format!("{:>6} |", number(row as f64 * step, 1));
        for point in &found.points {
            let mark = match (point.value, point.bound) {
                (None, _) if row == bottom => 'x',
                (Some(v), _) if row_of(v) == row => 'o',
                (Some(v), Some(b)) if row > row_of(v) && row <= last_row(b) => ':',
                _ => ' ',
            };
            let _ = write!(line, "{mark:>width$}  ", width = COLUMN - 2);
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
    let _ = writeln!(out, "       +{}", "-".repeat(COLUMN * found.points.len()));
    out.push_str(&axis(found));
    let none = if found.points.iter().any(|p| p.value.is_none()) { ", x no programme" } else { "" };
    let _ = writeln!(out, "  o the best found, : above it, not ruled out{none}");
    out
}

fn axis(found: &TradeOff) -> String {
    let same = found.points.iter().all(|p| each(p).is_some());
    let mut line = " ".repeat(8);
    for (i, point) in found.points.iter().enumerate() {
        let number = label(point, same, 0);
        let (number, after) = if found.own == Some(i) { (format!("[{number}]"), 1) } else { (number, 2) };
        let _ = write!(line, "{number:>width$}{}", " ".repeat(after), width = COLUMN - after);
    }
    let what = if same {
        "minutes a session; the brief's own in brackets"
    } else {
        "minutes more in each session than in the brief"
    };
    format!("{}\n        {what}\n", line.trim_end())
}

/// The smallest of 1, 2, 5, 10 ... that leaves few enough rows.
fn nice_step(span: f64) -> f64 {
    let steps = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
    steps.into_iter().find(|s| span / s <= ROWS_MAX - 2.0).unwrap_or(100.0)
}

/// How good the points are, in words.
fn last_line(found: &TradeOff, stopped: bool) -> String {
    let gaps: Vec<f64> = found.points.iter().filter_map(|p| p.gap).map(Share::get).collect();
    let widest = gaps.iter().copied().fold(0.0, f64::max);
    let time = if stopped { " Stopped: time limit." } else { "" };
    match gaps.len() {
        0 => format!("No programme was found at any point.{time}"),
        _ if widest < 0.0005 => format!("Every point with a programme is proven best.{time}"),
        _ => {
            format!("At no point is more than {:.1} % left to find under these rules.{time}", 100.0 * widest)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_coaching::demo;
    use setwright_model::Minutes;

    fn point(minutes: &[f64], change: f64, value: Option<f64>, bound: Option<f64>) -> TradeOffPoint {
        let minutes: Vec<Minutes> = minutes.iter().copied().map(Minutes).collect();
        TradeOffPoint {
            change_min: Minutes(change),
            minutes_per_cycle: minutes.iter().copied().sum(),
            minutes,
            value,
            bound,
            gap: value.zip(bound).map(|(v, b)| Share((b - v) / b)),
            ruled_out: value.is_none() && bound.is_none(),
        }
    }

    fn found(points: Vec<TradeOffPoint>, own: usize) -> TradeOff {
        TradeOff {
            points,
            own: Some(own),
            seed: 1,
            nodes: 10,
            seconds: Seconds(1.0),
            cycle_days: 7,
            reasons: vec!["The brief's 60 minutes a session buy 47.5 points.".to_owned()],
            conflict: Vec::new(),
        }
    }

    fn shown(found: &TradeOff) -> String {
        let brief = demo::roster(Some("Bram")).unwrap().remove(0);
        let page = page(&brief, found, false);
        assert!(page.lines().all(|l| l.chars().count() <= WIDTH), "{page}");
        page
    }

    #[test]
    fn a_curve_is_a_table_a_drawing_and_sentences() {
        let values = [None, None, Some(42.4), Some(45.9), Some(47.5), Some(47.9), Some(48.5)];
        let bounds = [None, Some(44.0), Some(44.8), Some(47.6), Some(48.7), Some(49.2), Some(49.3)];
        let points = (0..7).map(|i| {
            let change = 10.0 * (f64::from(i) - 4.0);
            point(&[60.0 + change; 3], change, values[i as usize], bounds[i as usize])
        });
        insta::assert_snapshot!(shown(&found(points.collect(), 4)));
    }

    #[test]
    fn sessions_of_different_length_are_shown_by_what_they_gain() {
        let points = (0..11).map(|i| {
            let change = 15.0 * (f64::from(i) - 5.0);
            let value = 20.0 + f64::from(i).sqrt();
            point(&[100.0 + change, 105.0 + change], change, Some(value), Some(value))
        });
        insta::assert_snapshot!(shown(&found(points.collect(), 5)));
    }

    #[test]
    fn nothing_is_drawn_where_nothing_was_found() {
        let none = found(vec![point(&[30.0; 3], 0.0, None, None)], 0);
        let page = shown(&none);
        assert!(
            !page.contains("points |") && page.ends_with("No programme was found at any point.\n"),
            "{page}"
        );
    }
}
