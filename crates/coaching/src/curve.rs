//! Minutes against benefit: the curve of a brief, and what its numbers say in words. A sentence claims no more
//! than was found or proven.

use super::{belief, plan};
use crate::clock::Stopwatch;
use setwright_check::certify;
use setwright_model::answer::gap;
use setwright_model::brief::MinutesPerSession;
use setwright_model::refusal::Refusal;
use setwright_model::{Belief, Brief, Catalogue, Minutes, Seconds, TradeOff, TradeOffPoint};
use setwright_optimise::Budget;
use setwright_science::screening::MayTrain;
use setwright_tradeoff::{Point, TradeOffCurve, curve};

/// A change of the benefit below this share is called next to nothing (judgement: less than a coach would act on).
const TOLD: f64 = 0.003;
/// The curve is said to bend where it rises this many times as fast before as after (judgement).
const BEND: f64 = 2.0;
/// The change of a session that a coach thinks in.
const CHANGE_MIN: f64 = 10.0;

/// How to search.
#[derive(Clone, Copy, Debug)]
pub struct CurveSearch {
    /// Where chance starts.
    pub seed: u64,
    /// Moves at the brief's own minutes; each other point gets half of them.
    pub moves: u64,
    /// Outer limit of time.
    pub limit: Seconds,
}

/// The curve of a brief, and whether the outer limit of time ended the search.
///
/// # Errors
/// A programme that the check does not certify: a mistake of the program.
pub fn trade_off(
    brief: &Brief,
    catalogue: &Catalogue,
    search: CurveSearch,
    watch: &Stopwatch,
    told: &mut dyn FnMut(usize),
) -> Result<(TradeOff, bool), Refusal> {
    trade_off_until(brief, None, catalogue, (search, watch), &|| false, told)
}

/// The same with what is believed of the client, until somebody asks to stop.
///
/// # Errors
/// A programme that the check does not certify: a mistake of the program.
pub fn trade_off_until(
    brief: &Brief,
    belief: Option<Belief>,
    catalogue: &Catalogue,
    (search, watch): (CurveSearch, &Stopwatch),
    asked: &(dyn Fn() -> bool + Sync),
    told: &mut dyn FnMut(usize),
) -> Result<(TradeOff, bool), Refusal> {
    if let Err(withheld) = MayTrain::of(brief) {
        let none = answer(brief, &TradeOffCurve::default(), search, Seconds::ZERO);
        return Ok((TradeOff { conflict: plan::clinician_first(&withheld), ..none }, false));
    }
    let belief = belief.unwrap_or_else(|| belief::of(brief, catalogue));
    let out_of_time = || asked() || watch.is_past(search.limit);
    let budget = Budget { moves: search.moves, seed: search.seed, out_of_time: Some(&out_of_time) };
    let found = curve(brief, catalogue, &belief, &budget, told);
    let stopped = out_of_time();
    for point in &found.points {
        let Some(programme) = point.programme.clone() else { continue };
        let changed = with_minutes(brief, point);
        certify(programme, &changed, catalogue, &belief)
            .map_err(|report| plan::not_certified(&changed, &report))?;
    }
    Ok((answer(brief, &found, search, watch.elapsed()), stopped))
}

fn with_minutes(brief: &Brief, point: &Point) -> Brief {
    let mut out = brief.clone();
    out.time.minutes = MinutesPerSession::Each(point.minutes.clone());
    out
}

fn answer(brief: &Brief, found: &TradeOffCurve, search: CurveSearch, seconds: Seconds) -> TradeOff {
    let points: Vec<TradeOffPoint> = found.points.iter().map(shown).collect();
    let reading = Reading { points: &points, own: found.own };
    TradeOff {
        own: (!points.is_empty()).then_some(found.own),
        reasons: reading.reasons(),
        conflict: reading.conflict(),
        seed: search.seed,
        nodes: found.nodes,
        seconds,
        cycle_days: brief.time.cycle_days,
        points,
    }
}

fn shown(point: &Point) -> TradeOffPoint {
    TradeOffPoint {
        change_min: point.change,
        minutes: point.minutes.clone(),
        minutes_per_cycle: point.minutes.iter().copied().sum(),
        value: point.value,
        bound: point.bound,
        gap: gap(point.value, point.bound),
        ruled_out: point.ruled_out,
    }
}

/// The minutes that all sessions of a point have, when they have the same.
pub fn each(point: &TradeOffPoint) -> Option<Minutes> {
    let first = *point.minutes.first()?;
    point.minutes.iter().all(|m| *m == first).then_some(first)
}

/// The points, to be put into words.
struct Reading<'a> {
    points: &'a [TradeOffPoint],
    own: usize,
}

impl Reading<'_> {
    fn reasons(&self) -> Vec<String> {
        let mut out = Vec::new();
        out.extend(self.own_minutes());
        out.extend(self.change());
        out.extend(self.shortest());
        out.extend(self.bend());
        out.extend(self.flat_end());
        out
    }

    /// What the brief's minutes buy.
    fn own_minutes(&self) -> Option<String> {
        let point = self.points.get(self.own)?;
        let (value, bound) = (point.value?, point.bound?);
        let minutes = match each(point) {
            Some(m) => format!("The brief's {} minutes a session", short(m.get())),
            None => format!("The brief's {} minutes in all", short(point.minutes_per_cycle.get())),
        };
        Some(if bound - value < 0.05 {
            format!("{minutes} buy {value:.1} points, and it is proven that they buy no more.")
        } else {
            format!("{minutes} buy {value:.1} points; nothing under these rules passes {bound:.1} in them.")
        })
    }

    /// What ten minutes less and more come to, as near as the points allow.
    fn change(&self) -> Option<String> {
        let own = self.points.get(self.own)?;
        let value = own.value?;
        let within = |p: &&TradeOffPoint| p.change_min.get().abs() <= CHANGE_MIN;
        let less = self.points.iter().take(self.own).find(within);
        let more = self.points.iter().skip(self.own + 1).rfind(within);
        let mut parts: Vec<String> = less.map(|p| lost(p, value)).into_iter().collect();
        parts.extend(more.and_then(|p| gained(p, value)));
        let text = parts.join("; ");
        (!text.is_empty()).then(|| text + ".")
    }

    /// Where programmes begin.
    fn shortest(&self) -> Option<String> {
        let first = self.points.iter().position(|p| p.value.is_some())?;
        let before = self.points.get(first.checked_sub(1)?)?;
        let so = if before.ruled_out {
            "it is proven that no programme keeps every rule"
        } else {
            "no programme was found that keeps every rule, and none was ruled out"
        };
        Some(format!("With {} or less {so}.", place(before)))
    }

    /// Where the curve bends, if what was found and what is not ruled out both do: the point farthest above the
    /// straight line between the ends.
    fn bend(&self) -> Option<String> {
        let known: Vec<&TradeOffPoint> = self.points.iter().filter(|p| p.value.is_some()).collect();
        let (first, last) = (*known.first()?, *known.last()?);
        let rise = last.value? - first.value?;
        if known.len() < 4 || rise < TOLD * last.value? {
            return None;
        }
        let straight = slope(first, last, |p| p.value);
        let above = |p: &TradeOffPoint| {
            p.value.unwrap_or(0.0) - straight * (p.change_min.get() - first.change_min.get())
        };
        let inner = known.iter().skip(1).take(known.len() - 2);
        let bend = *inner.max_by(|a, b| above(a).total_cmp(&above(b)))?;
        let bends =
            |of: fn(&TradeOffPoint) -> Option<f64>| slope(first, bend, of) >= BEND * slope(bend, last, of);
        let step_min = known[1].change_min.get() - first.change_min.get();
        let base = self.points.get(self.own).and_then(|p| p.value).or(last.value)?;
        let share = |from, to| 100.0 * slope(from, to, |p| p.value) * step_min / base;
        let more = minutes(step_min);
        Some(if bends(|p| p.value) && bends(|p| p.bound.or(p.value)) {
            format!(
                "The curve bends near {}: up to there {more} more bring {:.1} %, beyond it {:.1} %.",
                place(bend),
                share(first, bend),
                share(bend, last)
            )
        } else {
            format!(
                "There is no clear bend: {more} more bring {:.1} % at the short end and {:.1} % at the long end.",
                share(first, known[2]),
                share(known[known.len() - 3], last)
            )
        })
    }

    /// From where on more time brought nothing.
    fn flat_end(&self) -> Option<String> {
        let last = self.points.last()?.value?;
        let flat = |p: &TradeOffPoint| p.value.is_some_and(|v| last - v < TOLD * last);
        let from = self.points.iter().position(flat)?;
        let shortest = if from == 0 { ", the shortest tried," } else { "" };
        (from + 2 < self.points.len()).then(|| {
            format!("From {}{shortest} on, more time brought next to nothing.", place(&self.points[from]))
        })
    }

    /// Why there is nothing to compare with.
    fn conflict(&self) -> Vec<String> {
        let Some(own) = self.points.get(self.own).filter(|p| p.value.is_none()) else { return Vec::new() };
        let head = if own.ruled_out {
            "It is proven that with the brief's own minutes no programme keeps every rule."
        } else {
            "With the brief's own minutes no programme was found that keeps every rule, and none was ruled out."
        };
        vec![
            head.to_owned(),
            "setwright plan with the same brief names what clashes and the ways out.".to_owned(),
        ]
    }
}

/// What a minute a session brings between two points.
fn slope(from: &TradeOffPoint, to: &TradeOffPoint, of: impl Fn(&TradeOffPoint) -> Option<f64>) -> f64 {
    let risen = of(to).zip(of(from)).map_or(0.0, |(b, a)| b - a);
    risen / (to.change_min.get() - from.change_min.get())
}

/// A point in words.
fn place(point: &TradeOffPoint) -> String {
    let change_min = point.change_min.get();
    match each(point) {
        Some(m) => format!("{} a session", minutes(m.get())),
        None if change_min == 0.0 => "the brief's own minutes".to_owned(),
        None => relative(change_min),
    }
}

fn lost(point: &TradeOffPoint, own: f64) -> String {
    let less = relative(point.change_min.get());
    let Some(value) = point.value else {
        let so = if point.ruled_out { "leave" } else { "leave, as far as was found," };
        return format!("{less} {so} no programme that keeps every rule");
    };
    let share = (own - value) / own;
    let proven = point.bound.map_or(0.0, |b| (own - b) / own);
    match (share < TOLD, proven >= TOLD) {
        (true, _) => format!("{less} would cost next to nothing"),
        (_, true) => format!(
            "{less} would cost {:.1} % of what was found, and {:.1} % whatever is tried",
            100.0 * share,
            100.0 * proven
        ),
        _ => format!("{less} would cost {:.1} % of what was found", 100.0 * share),
    }
}

fn gained(point: &TradeOffPoint, own: f64) -> Option<String> {
    let share = (point.value? - own) / own;
    let more = relative(point.change_min.get());
    Some(if share < TOLD {
        format!("{more} brought next to nothing")
    } else {
        format!("{more} would bring {:.1} %", 100.0 * share)
    })
}

/// "10 minutes less a session".
fn relative(change_min: f64) -> String {
    let word = if change_min < 0.0 { "less" } else { "more" };
    format!("{} {word} a session", minutes(change_min.abs()))
}

fn minutes(count: f64) -> String {
    let count = short(count);
    if count == "1" { "1 minute".to_owned() } else { format!("{count} minutes") }
}

fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(from_min: f64, own: usize, values: &[Option<f64>], open: f64) -> Vec<TradeOffPoint> {
        let point = |(i, value): (usize, &Option<f64>)| {
            let minutes = vec![Minutes(from_min + 5.0 * i as f64); 3];
            TradeOffPoint {
                change_min: Minutes(5.0 * (i as f64 - own as f64)),
                minutes_per_cycle: minutes.iter().copied().sum(),
                minutes,
                value: *value,
                bound: value.map(|v| v + open),
                gap: gap(*value, value.map(|v| v + open)),
                ruled_out: value.is_none(),
            }
        };
        values.iter().enumerate().map(point).collect()
    }

    fn read(values: &[f64], own: usize, open: f64) -> Vec<String> {
        let values: Vec<Option<f64>> = values.iter().copied().map(Some).collect();
        let points = points(30.0, own, &values, open);
        Reading { points: &points, own }.reasons()
    }

    #[test]
    fn a_bend_is_told_only_where_the_numbers_bend() {
        let bent = read(&[20.0, 30.0, 40.0, 41.0, 42.0, 43.0], 3, 0.0);
        assert!(bent[2].contains("bends near 40 minutes a session"), "{bent:?}");
        assert!(bent[2].contains("5 minutes more bring 24.4 %, beyond it 2.4 %"), "{bent:?}");
        let open = read(&[20.0, 30.0, 40.0, 41.0, 42.0, 43.0], 3, 0.1);
        assert_eq!(open[2], bent[2], "the bound bends too");
        let straight = read(&[20.0, 25.0, 30.0, 35.0, 40.0, 44.0], 3, 0.0);
        assert!(straight[2].contains("no clear bend"), "{straight:?}");
    }

    #[test]
    fn a_loss_is_called_certain_only_below_the_bound() {
        let tight = read(&[30.0, 36.0, 40.0, 44.0], 2, 1.0);
        assert!(
            tight[1].starts_with(
                "10 minutes less a session would cost 25.0 % of what was found, and 22.5 % whatever"
            ),
            "{tight:?}"
        );
        assert!(tight[1].ends_with("5 minutes more a session would bring 10.0 %."), "{tight:?}");
        let loose = read(&[30.0, 36.0, 40.0, 44.0], 2, 20.0);
        assert!(loose[1].contains("would cost 25.0 % of what was found; 5 minutes"), "{loose:?}");
        let flat = read(&[39.95, 40.0, 40.0, 40.0], 2, 1.0);
        assert!(
            flat[1].contains("would cost next to nothing") && flat[1].contains("brought next to nothing")
        );
        assert!(
            flat.iter().any(|s| s
                == "From 30 minutes a session, the shortest tried, on, more time brought next to nothing.")
        );
    }

    #[test]
    fn what_cannot_be_met_is_said() {
        let short = points(30.0, 2, &[None, None, Some(30.0), Some(31.0)], 1.0);
        let reading = Reading { points: &short, own: 2 };
        assert!(reading.reasons().iter().any(
            |s| s == "With 35 minutes a session or less it is proven that no programme keeps every rule."
        ));
        assert!(reading.reasons()[1].starts_with("10 minutes less a session leave no programme"));
        assert!(reading.conflict().is_empty());
        let clash = Reading { points: &short, own: 1 };
        assert!(clash.conflict()[0].starts_with("It is proven"));
        assert!(clash.conflict()[1].contains("setwright plan"));
    }
}
