//! The recovery strip: days from left to right, a row per muscle from the top of the body down. A dose is a stem as high as
//! its sets; after it a wedge that tapers until the muscle is ready, its tip between the 5th and the 95th percentile.
//! What is the population's and not yet the client's is drawn in broken purple. Sessions to come are hollow stems.

use crate::svg::{BLACK, BLUE, GREY, PURPLE, Svg, TextAnchor, VERMILION, cut, width};

/// Muscles over days.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What it is, for who cannot see it.
    pub title: String,
    /// Days shown, from the first; the label stands at the day's start.
    pub days: Vec<String>,
    /// Where now is, in days from the first.
    pub now: f64,
    /// Muscles in order.
    pub rows: Vec<StripRow>,
}

/// A muscle.
#[derive(Clone, Debug, PartialEq)]
pub struct StripRow {
    /// Plain name.
    pub name: String,
    /// Doses, done and to come, in order of time.
    pub stems: Vec<Stem>,
    /// Whether its recovery is the population's and not yet the client's.
    pub of_population: bool,
}

/// A dose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stem {
    /// When, in days from the first.
    pub at: f64,
    /// Fractional sets.
    pub sets: f64,
    /// Whether it is still to come.
    pub planned: bool,
    /// When the muscle is ready after it, in days from the first: 5th, 50th, 95th percentile.
    pub ready: Option<[f64; 3]>,
}

const ROW: f64 = 26.0;
const HEAD: f64 = 20.0;
const TEXT: f64 = 12.0;
const MARGIN: f64 = 6.0;
/// Sets of the highest stem (judgement: more in one session is rare).
const SETS_TALLEST: f64 = 10.0;

/// Draws the strip.
pub fn strip(view: &Strip, width_px: f64, prefix: &str) -> String {
    let left = if width_px < 560.0 { 96.0 } else { 130.0 };
    let mut svg = Svg::new(prefix);
    let days = view.days.len().max(1) as f64;
    let scale = (width_px - left - MARGIN) / days;
    let x = |day: f64| left + day.clamp(0.0, days) * scale;
    let bottom = HEAD + ROW * view.rows.len() as f64;
    let every = (46.0 / scale).ceil().max(1.0) as usize;
    for (day, label) in view.days.iter().enumerate() {
        let at = x(day as f64);
        svg.line([at, HEAD - 4.0, at, bottom], "hair", &format!("stroke=\"{GREY}\" stroke-width=\"0.4\""));
        let label = cut(label, TEXT - 1.0, scale * every as f64 - 3.0);
        if day % every == 0 && at + 2.0 + width(&label, TEXT - 1.0) <= width_px {
            svg.text((at + 2.0, HEAD - 8.0), TEXT - 1.0, TextAnchor::Start, "soft", &label);
        }
    }
    for (nth, row) in view.rows.iter().enumerate() {
        let ground = HEAD + ROW * (nth + 1) as f64 - 3.0;
        svg.open("muscle", "");
        svg.title(&row_in_words(row, view.now));
        svg.text(
            (MARGIN, ground - 5.0),
            TEXT,
            TextAnchor::Start,
            "ink",
            &cut(&row.name, TEXT, left - MARGIN - 4.0),
        );
        svg.line(
            [left, ground, width_px - MARGIN, ground],
            "hair",
            &format!("stroke=\"{GREY}\" stroke-width=\"0.5\""),
        );
        draw_row(&mut svg, row, ground, ROW - 6.0, &x);
        svg.close();
    }
    let now = x(view.now);
    svg.line([now, HEAD - 6.0, now, bottom], "now", &format!("stroke=\"{BLACK}\" stroke-width=\"1.3\""));
    let height = bottom + MARGIN;
    svg.finish((width_px, height), &view.title, &described(view))
}

/// The same without words, a row of a few pixels for each muscle: for a line of the roster.
pub fn miniature(view: &Strip, width_px: f64, prefix: &str) -> String {
    const THIN: f64 = 5.0;
    let mut svg = Svg::new(prefix);
    let days = view.days.len().max(1) as f64;
    let x = |day: f64| day.clamp(0.0, days) / days * width_px;
    for (nth, row) in view.rows.iter().enumerate() {
        let ground = THIN * (nth + 1) as f64;
        draw_row(&mut svg, row, ground, THIN - 1.0, &x);
    }
    let height = THIN * view.rows.len().max(1) as f64 + 1.0;
    let now = x(view.now);
    svg.line([now, 0.0, now, height], "now", &format!("stroke=\"{BLACK}\" stroke-width=\"1\""));
    svg.finish((width_px, height), &view.title, &described(view))
}

fn draw_row(svg: &mut Svg, row: &StripRow, ground: f64, tallest: f64, x: &impl Fn(f64) -> f64) {
    for stem in &row.stems {
        let high = tallest * (stem.sets / SETS_TALLEST).clamp(0.12, 1.0);
        let at = x(stem.at);
        if let Some([early, middle, late]) = stem.ready.filter(|r| r[1] > stem.at) {
            wedge(svg, row.of_population, [at, x(early.max(stem.at)), x(middle), x(late)], ground, high);
        }
        if stem.planned {
            let more = format!("fill=\"#fbfaf7\" stroke=\"{BLACK}\" stroke-width=\"0.8\"");
            svg.rect([at - 1.5, ground - high, 3.0, high], "planned", &more);
        } else {
            svg.rect([at - 1.5, ground - high, 3.0, high], "dose", &format!("fill=\"{BLACK}\""));
        }
    }
}

/// From the stem down to the middle, with a paler tail to the late end.
fn wedge(svg: &mut Svg, of_population: bool, [at, early, middle, late]: [f64; 4], ground: f64, high: f64) {
    let tail = [(at, ground - high), (late, ground), (at, ground)];
    let body = [(at, ground - high), (middle, ground), (at, ground)];
    let core = [(at, ground - high), (early, ground), (at, ground)];
    if of_population {
        let edge = format!(
            "fill=\"{PURPLE}\" fill-opacity=\"0.12\" stroke=\"{PURPLE}\" stroke-width=\"1\" stroke-dasharray=\"3 2\""
        );
        svg.path(&tail, true, "unknown", &edge);
        svg.path(
            &[(at, ground - high), (middle, ground)],
            false,
            "unknown",
            &format!("fill=\"none\" stroke=\"{PURPLE}\" stroke-width=\"1\" stroke-dasharray=\"3 2\""),
        );
    } else {
        svg.path(&tail, true, "waits", &format!("fill=\"{VERMILION}\" fill-opacity=\"0.18\""));
        svg.path(&body, true, "waits", &format!("fill=\"{VERMILION}\" fill-opacity=\"0.25\""));
        svg.path(
            &core,
            true,
            "waits",
            &format!("fill=\"{VERMILION}\" fill-opacity=\"0.35\" stroke=\"{BLUE}\" stroke-width=\"0\""),
        );
    }
}

fn row_in_words(row: &StripRow, now: f64) -> String {
    let last = row.stems.iter().rfind(|s| !s.planned);
    let ready = last.and_then(|s| s.ready).map(|r| r[1] - now);
    let whose = if row.of_population { ", by the population" } else { "" };
    match ready {
        None => format!("{}: not trained in these days", row.name),
        Some(days) if days <= 0.0 => format!("{}: ready now{whose}", row.name),
        Some(days) => format!("{}: ready in {days:.1} days{whose}", row.name),
    }
}

fn described(view: &Strip) -> String {
    let rows: Vec<String> = view.rows.iter().map(|row| row_in_words(row, view.now)).collect();
    format!("{}.", rows.join("; "))
}
