//! A roadmap: weeks from left to right, one panel a measure (sets a session, sessions, loads). The middle one of the
//! simulated clients is a stepped line, nine in ten lie in the band around it; a new step of the plan is an upright.

use crate::svg::{BLACK, BLUE, GREY, Svg, TextAnchor, cut, ticks, width};

/// What is to be expected over weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct RoadmapView {
    /// What it is, for who cannot see it.
    pub title: String,
    /// Weeks ahead.
    pub weeks: usize,
    /// Weeks from 1 in which the middle one of the simulated clients begins a new step.
    pub steps: Vec<usize>,
    /// Measures, from top to bottom.
    pub panels: Vec<RoadmapPanel>,
}

/// A measure over weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct RoadmapPanel {
    /// What it is, with its unit.
    pub name: String,
    /// By week: 5th, 50th, 95th percentile; none where there is nothing to tell.
    pub bands: Vec<Option<[f64; 3]>>,
}

const TEXT: f64 = 12.0;
const LEFT: f64 = 48.0;
const RIGHT: f64 = 14.0;
const HEAD: f64 = 22.0;
const HIGH: f64 = 84.0;
const FOOT: f64 = 52.0;
/// Room on the axis for one number.
const NUMBER: f64 = 26.0;

/// Draws it.
pub fn roadmap(view: &RoadmapView, width_px: f64, prefix: &str) -> String {
    let mut svg = Svg::new(prefix);
    let weeks = view.weeks.max(1) as f64;
    let x = |week: f64| LEFT + week.clamp(0.0, weeks) / weeks * (width_px - LEFT - RIGHT);
    let bottom = (HEAD + HIGH) * view.panels.len().max(1) as f64;
    for (nth, panel) in view.panels.iter().enumerate() {
        let top = (HEAD + HIGH) * nth as f64;
        draw_panel(&mut svg, panel, top, width_px, &x);
        for step in view.steps.iter().filter(|s| **s > 1) {
            let at = x(*step as f64 - 1.0);
            let more = format!("stroke=\"{BLACK}\" stroke-width=\"0.9\" stroke-dasharray=\"6 3\"");
            svg.line([at, top + HEAD, at, top + HEAD + HIGH], "step", &more);
        }
    }
    clock(&mut svg, view, width_px, bottom, &x);
    svg.finish((width_px, bottom + FOOT), &view.title, &described(view))
}

fn draw_panel(svg: &mut Svg, panel: &RoadmapPanel, top: f64, width_px: f64, x: &impl Fn(f64) -> f64) {
    let known = || panel.bands.iter().flatten();
    let (low, high) =
        known().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v[0]), b.max(v[2])));
    let (low, high) = if low > high {
        (0.0, 1.0)
    } else if high - low < 1.0 {
        (low - 1.0, high + 1.0)
    } else {
        (low, high)
    };
    let room = 0.08 * (high - low);
    let (low, high) = (low - room, high + room);
    let y = |value: f64| top + HEAD + (high - value) / (high - low) * HIGH;
    svg.open("panel", "");
    svg.title(&in_words(panel));
    svg.text(
        (LEFT, top + 14.0),
        TEXT,
        TextAnchor::Start,
        "ink",
        &cut(&panel.name, TEXT, width_px - LEFT - RIGHT),
    );
    for value in ticks(low, high, 4.0) {
        let more = format!("stroke=\"{GREY}\" stroke-width=\"0.4\"");
        svg.line([LEFT, y(value), width_px - RIGHT, y(value)], "hair", &more);
        let label = format!("{value:.1}");
        let label = label.strip_suffix(".0").unwrap_or(&label);
        svg.text((LEFT - 5.0, y(value) + 4.0), TEXT - 1.0, TextAnchor::End, "soft", label);
    }
    for run in runs(&panel.bands) {
        let upper = stepped(&run, 2, x, &y);
        let lower = stepped(&run, 0, x, &y);
        let round: Vec<(f64, f64)> = upper.into_iter().chain(lower.into_iter().rev()).collect();
        let more = format!("fill=\"{BLUE}\" fill-opacity=\"0.2\" stroke=\"{BLUE}\" stroke-width=\"0.6\"");
        svg.path(&round, true, "band", &more);
        let more = format!("fill=\"none\" stroke=\"{BLACK}\" stroke-width=\"1.8\"");
        svg.path(&stepped(&run, 1, x, &y), false, "middle", &more);
    }
    svg.close();
}

/// Weeks without a gap between them: the first, and the band of each.
fn runs(bands: &[Option<[f64; 3]>]) -> Vec<(usize, Vec<[f64; 3]>)> {
    let mut out: Vec<(usize, Vec<[f64; 3]>)> = Vec::new();
    let mut open = false;
    for (week, band) in bands.iter().enumerate() {
        match (band, out.last_mut().filter(|_| open)) {
            (Some(band), Some(run)) => run.1.push(*band),
            (Some(band), None) => out.push((week, vec![*band])),
            (None, _) => {}
        }
        open = band.is_some();
    }
    out
}

/// Each week is a step as long as the week.
fn stepped(
    (first, run): &(usize, Vec<[f64; 3]>),
    which: usize,
    x: &impl Fn(f64) -> f64,
    y: &impl Fn(f64) -> f64,
) -> Vec<(f64, f64)> {
    let week = |k: usize, band: &[f64; 3]| {
        let (from, value) = ((first + k) as f64, band.get(which).copied().unwrap_or(0.0));
        [(x(from), y(value)), (x(from + 1.0), y(value))]
    };
    run.iter().enumerate().flat_map(|(k, band)| week(k, band)).collect()
}

fn clock(svg: &mut Svg, view: &RoadmapView, width_px: f64, bottom: f64, x: &impl Fn(f64) -> f64) {
    let more = format!("stroke=\"{BLACK}\" stroke-width=\"1\"");
    svg.line([LEFT, bottom, width_px - RIGHT, bottom], "ink-line", &more);
    let each = (width_px - LEFT - RIGHT) / view.weeks.max(1) as f64;
    let every = (NUMBER / each).ceil().max(1.0) as usize;
    for week in (0..view.weeks).step_by(every) {
        let at = x(week as f64 + 0.5);
        if at + width("100", TEXT - 1.0) / 2.0 <= width_px {
            svg.text((at, bottom + 14.0), TEXT - 1.0, TextAnchor::Middle, "soft", &(week + 1).to_string());
        }
    }
    svg.text((LEFT, bottom + 29.0), TEXT - 1.0, TextAnchor::Start, "soft", "week");
    let text = "line: the middle one of the simulated clients; band: nine in ten; upright: a new step";
    let room = width_px - LEFT;
    let text = if width(text, TEXT - 1.0) > room { "line: the middle; band: nine in ten" } else { text };
    svg.text((LEFT, bottom + 44.0), TEXT - 1.0, TextAnchor::Start, "soft", text);
}

fn in_words(panel: &RoadmapPanel) -> String {
    let one = |band: &[f64; 3]| format!("{:.1}, between {:.1} and {:.1}", band[1], band[0], band[2]);
    let ends = panel.bands.iter().flatten().next().zip(panel.bands.iter().flatten().next_back());
    match ends {
        None => format!("{}: nothing to tell", panel.name),
        Some((first, last)) => format!("{}: first {}; last {}", panel.name, one(first), one(last)),
    }
}

fn described(view: &RoadmapView) -> String {
    let panels: Vec<String> = view.panels.iter().map(in_words).collect();
    format!("{} weeks. {}.", view.weeks, panels.join(". "))
}
