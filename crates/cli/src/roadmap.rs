//! `roadmap`: how a client's sets, sessions and loads may grow, week by week, as bands and sentences.

use super::args::RoadmapArgs;
use super::progress::SearchNews;
use super::show::{count, json, number};
use super::text::{CellAlign, Columns, wrapped_within};
use super::{common, plan};
use crate::clock;
use crate::reply::{DONE, FINDINGS, Look, Reply};
use setwright_coaching::belief;
use setwright_coaching::insight::BeliefStart;
use setwright_coaching::roadmap::{self, RoadmapRequest, Where};
use setwright_gym::catalogue::builtin;
use setwright_model::refusal::Refusals;
use setwright_model::{Band, Brief, MassUnit, Roadmap, RoadmapWeek, Seconds};
use setwright_present::drawings;

use std::fmt::Write as _;
use std::path::Path;

/// Width of the page.
const WIDTH: usize = 100;
/// Weeks up to which every one has its row and its column.
const EVERY: usize = 26;
/// Rows of a drawing at most.
const ROWS: f64 = 9.0;

/// Draws the roadmap of a brief, or of a client of the ledger.
pub fn run(args: &RoadmapArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let start = BeliefStart::of(args.from_roster);
    let (brief, known) = plan::asked(args.brief.as_deref(), args.from_ledger.as_deref(), start, ledger)?;
    let talk = known.as_ref().map_or_else(String::new, common::common);
    let belief = known.map_or_else(|| belief::of(&brief, builtin()), |known| known.belief);
    let usual = Where::usual(brief.training_age);
    let standing = Where { weeks: args.trained.unwrap_or(usual.weeks), tolerated: args.tolerated, ..usual };
    let ask = RoadmapRequest {
        weeks: args.weeks,
        standing,
        seed: args.seed,
        moves: args.moves,
        limit: Seconds(args.seconds),
    };
    let news = SearchNews::begin(look.progress, &format!("Planning the first step for {}.", brief.name));
    let (found, stopped) =
        roadmap::roadmap(&brief, &belief, builtin(), ask, &clock::wall().stopwatch(), &mut |done| {
            news.say(format!("Planning for {}: {} done.", brief.name, count(done, "step")));
        })
        .map_err(|p| vec![p])?;
    drop(news);
    let code = if found.conflict.is_empty() { DONE } else { FINDINGS };
    let data = if args.json { json(&found) } else { page(&brief, &found, look.units, stopped) };
    Ok(Reply { data, talk, code })
}

/// Everything about a roadmap.
fn page(brief: &Brief, found: &Roadmap, units: MassUnit, stopped: bool) -> String {
    let mut out = format!("{}: {} ahead\n\n", brief.name, count(found.weeks.len(), "week"));
    if !found.weeks.is_empty() {
        out.push_str(&table(found, units));
        out.push_str(&legend(found, units));
        out.push('\n');
        let sets: Vec<Option<Band>> = found.weeks.iter().map(|w| Some(w.sets)).collect();
        out.push_str(&drawing("sets a session", &sets));
        if let Some(lift) = found.lifts.first() {
            let loads = found
                .weeks
                .iter()
                .map(|w| w.lifts.first()?.load.map(|b| drawings::roadmap_load(b, lift, units)));
            let title = format!("{}, {}", lift.name, drawings::roadmap_unit(lift, units));
            out.push_str(&drawing(&title, &loads.collect::<Vec<_>>()));
        }
        out.push_str("  o the middle one of the simulated clients, : nine in ten lie here\n\n");
    }
    section(&mut out, "What each step asks", &found.reasons);
    section(&mut out, "What clashes", &found.conflict);
    section(&mut out, "Caution", &found.cautions);
    out.push_str(&wrapped_within(&last_line(found, stopped), WIDTH, 0, 0));
    out
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(out, "{title}");
    for line in lines {
        out.push_str(&wrapped_within(line, WIDTH, 2, 4));
    }
    out.push('\n');
}

/// Every so many weeks have a row and a column.
fn stride(weeks: usize) -> usize {
    weeks.div_ceil(EVERY).max(1)
}

fn table(found: &Roadmap, units: MassUnit) -> String {
    let mut sides = vec![CellAlign::Right; 4];
    sides.extend(found.lifts.iter().map(|_| CellAlign::Right));
    let mut columns = Columns::new(&sides);
    let heads = ["week", "sets a session", "sessions", "min"].map(str::to_owned);
    columns.row(heads.into_iter().chain((0..found.lifts.len()).map(letter)));
    let stride = stride(found.weeks.len());
    for week in found.weeks.iter().step_by(stride) {
        let minutes = found.steps.get(week.step).map_or(0.0, |s| most_minutes(&s.minutes));
        let cells = [
            week.week.to_string(),
            band(week.sets, |v| number(v, 0)),
            band(week.sessions, |v| number(v, 0)),
            number(minutes, 0),
        ];
        columns.row(cells.into_iter().chain(lift_cells(found, week, units)));
    }
    columns.lines(2)
}

fn most_minutes(minutes: &[setwright_model::Minutes]) -> f64 {
    minutes.iter().map(|m| m.get()).fold(0.0, f64::max)
}

fn lift_cells<'a>(
    found: &'a Roadmap,
    week: &'a RoadmapWeek,
    units: MassUnit,
) -> impl Iterator<Item = String> + 'a {
    week.lifts.iter().zip(&found.lifts).map(move |(seen, lift)| match seen.load {
        None => "-".to_owned(),
        Some(load) => {
            band(drawings::roadmap_load(load, lift, units), |v| number(v, usize::from(lift.in_kilograms)))
        }
    })
}

fn letter(index: usize) -> String {
    setwright_present::view::letter(index)
}

/// `62.5 (57.5-70)`, or one number where the band has no width.
fn band(band: Band, shown: impl Fn(f64) -> String) -> String {
    let (low, median, high) = (shown(band.low), shown(band.median), shown(band.high));
    if low == high { median } else { format!("{median} ({low}-{high})") }
}

fn legend(found: &Roadmap, units: MassUnit) -> String {
    let lifts = found.lifts.iter().enumerate();
    let named: Vec<String> = lifts
        .map(|(i, lift)| format!("{} {}, {}", letter(i), lift.name, drawings::roadmap_unit(lift, units)))
        .collect();
    let named = if named.is_empty() { String::new() } else { format!("{}. ", named.join("; ")) };
    let text = format!("{named}In brackets: nine in ten of {} simulated clients.", found.simulated);
    wrapped_within(&text, WIDTH, 2, 2)
}

/// A band by week: upwards what it is of, weeks to the right; the scale need not begin at nothing.
fn drawing(title: &str, bands: &[Option<Band>]) -> String {
    let stride = stride(bands.len());
    let shown: Vec<Option<Band>> = bands.iter().step_by(stride).copied().collect();
    let known = || shown.iter().flatten();
    let low = known().map(|b| b.low).fold(f64::INFINITY, f64::min);
    let high = known().map(|b| b.high).fold(f64::NEG_INFINITY, f64::max);
    if low > high {
        return String::new();
    }
    let step = nice_step(high - low);
    let row_of = |v: f64| (v / step).round() as i64;
    let mut out = format!("  {title}\n");
    for row in (row_of(low)..=row_of(high)).rev() {
        let mut line = format!("{:>7} |", number(row as f64 * step, 1));
        for band in &shown {
            line.push_str(match band {
                Some(b) if row_of(b.median) == row => "  o",
                Some(b) if (row_of(b.low)..=row_of(b.high)).contains(&row) => "  :",
                _ => "   ",
            });
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
    let _ = writeln!(out, "        +{}", "-".repeat(3 * shown.len() + 1));
    out.push_str("    week ");
    for i in 0..shown.len() {
        let _ = write!(out, "{:>3}", i * stride + 1);
    }
    out.push('\n');
    out
}

/// The smallest of 0.5, 1, 2, 5, 10 ... that leaves few enough rows.
fn nice_step(span: f64) -> f64 {
    let steps = [0.5, 1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 25.0, 50.0];
    steps.into_iter().find(|s| span / s <= ROWS).unwrap_or(100.0)
}

/// What stands behind it, in words.
fn last_line(found: &Roadmap, stopped: bool) -> String {
    let time = if stopped { " Stopped: time limit." } else { "" };
    let programmes = count(found.steps.len(), "programme");
    format!("{programmes} passed the check, each planned after the one before. Seed {}.{time}", found.seed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::width;
    use setwright_model::{Kilograms, RoadmapLift, RoadmapLiftWeek, Share};

    fn flat(v: f64) -> Band {
        Band { low: v, median: v, high: v }
    }

    fn found(weeks: u32) -> Roadmap {
        let week = |n: u32| {
            let at = f64::from(n);
            let load = Band { low: 40.0, median: 40.0 + at, high: 40.0 + 2.0 * at };
            RoadmapWeek {
                week: n,
                step: 0,
                sets: if n < 5 { flat(6.0) } else { Band { low: 6.0, median: 16.0, high: 16.0 } },
                sessions: flat(2.0),
                lighter: Share(0.0),
                lifts: vec![RoadmapLiftWeek { load: Some(load), one_rm: load }],
            }
        };
        Roadmap {
            cycle_days: 7,
            steps: Vec::new(),
            lifts: vec![RoadmapLift {
                id: "leg_press".into(),
                name: "leg press".into(),
                in_kilograms: true,
                first_kg: Some(Kilograms(40.0)),
            }],
            weeks: (1..=weeks).map(week).collect(),
            simulated: 1000,
            seed: 1,
            nodes: 0,
            seconds: Seconds(0.0),
            reasons: vec!["Now: one set of each movement.".into()],
            conflict: Vec::new(),
            cautions: Vec::new(),
        }
    }

    fn shown(weeks: u32, units: MassUnit) -> String {
        let brief = setwright_coaching::demo::roster(Some("Ottilie")).unwrap().remove(0);
        let page = page(&brief, &found(weeks), units, false);
        assert!(page.lines().all(|l| width(l) <= WIDTH), "{page}");
        page
    }

    #[test]
    fn a_roadmap_is_a_table_two_drawings_and_sentences() {
        insta::assert_snapshot!(shown(8, MassUnit::Kg));
    }

    #[test]
    fn many_weeks_are_thinned_and_pounds_are_shown_on_request() {
        let page = shown(104, MassUnit::Lb);
        let rows = page.lines().filter(|l| l.contains("16 (6-16)")).count();
        assert_eq!(rows, 25, "every fourth week but the first two: {page}");
        assert!(page.contains("leg press, lb") && page.contains("90.4"), "{page}");
    }

    #[test]
    fn a_band_without_width_is_one_number() {
        assert_eq!(band(flat(6.0), |v| number(v, 0)), "6");
        assert_eq!(band(Band { low: 1.0, median: 2.0, high: 4.0 }, |v| number(v, 0)), "2 (1-4)");
    }
}
