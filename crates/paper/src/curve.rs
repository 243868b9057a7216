//! Minutes against benefit: what was found as dots on a line, what is not ruled out above it as a hatched strip up to a
//! broken line, and the brief's own minutes as an upright. A point without a programme is a cross at the foot.

use crate::svg::{BLACK, BLUE, GREY, PURPLE, Svg, TextAnchor, cut, ticks, width};

/// A trade-off curve.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveView {
    /// What it is, for who cannot see it.
    pub title: String,
    /// What the minutes are: "minutes a session".
    pub minutes: String,
    /// Points from the fewest minutes to the most.
    pub points: Vec<CurvePoint>,
    /// Which point is the brief's own.
    pub own: Option<usize>,
}

/// A point of the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Minutes along the axis; negative where they are a change.
    pub minutes: f64,
    /// Benefit of the best programme found, in points.
    pub value: Option<f64>,
    /// What nothing under the rules passes.
    pub bound: Option<f64>,
    /// Whether it is proven that there is no programme.
    pub ruled_out: bool,
}

const TEXT: f64 = 12.0;
const LEFT: f64 = 48.0;
const TOP: f64 = 24.0;
const HIGH: f64 = 220.0;
const RIGHT: f64 = 22.0;
const FOOT: f64 = 58.0;
/// Room on the axis for one number.
const NUMBER: f64 = 42.0;

/// Draws it.
pub fn curve(view: &CurveView, width_px: f64, prefix: &str) -> String {
    let mut drawing = Drawing::new(view, width_px, prefix);
    drawing.scales();
    drawing.open_strip();
    drawing.found();
    drawing.legend();
    let height = TOP + HIGH + FOOT;
    drawing.svg.finish((width_px, height), &view.title, &described(view))
}

struct Drawing<'a> {
    view: &'a CurveView,
    svg: Svg,
    width: f64,
    minutes: (f64, f64),
    benefit: (f64, f64),
}

impl<'a> Drawing<'a> {
    fn new(view: &'a CurveView, width: f64, prefix: &str) -> Self {
        let minutes = ends(view.points.iter().map(|p| p.minutes));
        let (low, high) = ends(
            view.points.iter().flat_map(|p| [p.value, p.value.and(p.bound)]).flatten().chain(none(view)),
        );
        let room = 0.06 * (high - low);
        Self { view, svg: Svg::new(prefix), width, minutes, benefit: (low - room, high + room) }
    }

    fn x(&self, minutes: f64) -> f64 {
        let (low, high) = self.minutes;
        LEFT + 12.0 + (minutes - low) / (high - low) * (self.width - LEFT - RIGHT - 12.0)
    }

    fn y(&self, benefit: f64) -> f64 {
        let (low, high) = self.benefit;
        TOP + (high - benefit) / (high - low) * HIGH
    }

    fn scales(&mut self) {
        let (low, high) = self.benefit;
        for value in ticks(low, high, 6.0) {
            let y = self.y(value);
            let more = format!("stroke=\"{GREY}\" stroke-width=\"0.4\"");
            self.svg.line([LEFT, y, self.width - RIGHT, y], "hair", &more);
            self.svg.text((LEFT - 5.0, y + 4.0), TEXT - 1.0, TextAnchor::End, "soft", &short(value));
        }
        let foot = TOP + HIGH;
        let more = format!("stroke=\"{BLACK}\" stroke-width=\"1\"");
        self.svg.line([LEFT, foot, self.width - RIGHT, foot], "ink-line", &more);
        self.svg.text((LEFT - 40.0, 13.0), TEXT, TextAnchor::Start, "ink", "benefit in points");
        let label = cut(&self.view.minutes, TEXT - 1.0, self.width - LEFT - RIGHT);
        self.svg.text((self.width - RIGHT, foot + 32.0), TEXT - 1.0, TextAnchor::End, "soft", &label);
        let mut free = f64::NEG_INFINITY;
        for (nth, point) in self.view.points.iter().enumerate() {
            let x = self.x(point.minutes);
            self.svg.line([x, foot, x, foot + 4.0], "ink-line", &more);
            let own = self.view.own == Some(nth);
            let near_own = !own
                && self
                    .view
                    .own
                    .and_then(|o| self.view.points.get(o))
                    .is_some_and(|o| (self.x(o.minutes) - x).abs() < NUMBER);
            if own || (x >= free && !near_own) {
                self.svg.text(
                    (x, foot + 17.0),
                    TEXT - 1.0,
                    TextAnchor::Middle,
                    if own { "ink" } else { "soft" },
                    &short(point.minutes),
                );
                free = x + NUMBER;
            }
            if own {
                let more = format!("stroke=\"{BLACK}\" stroke-width=\"1.2\" stroke-dasharray=\"6 3\"");
                self.svg.line([x, TOP, x, foot], "own", &more);
                let (at, anchor) = if x > self.width / 2.0 {
                    (x - 5.0, TextAnchor::End)
                } else {
                    (x + 5.0, TextAnchor::Start)
                };
                self.svg.text((at, foot - 6.0), TEXT - 1.0, anchor, "soft", "the brief");
            }
        }
    }

    /// Between what was found and what is not ruled out.
    fn open_strip(&mut self) {
        let known = || self.view.points.iter().filter_map(|p| Some((p.minutes, p.value?, p.bound?)));
        let above: Vec<(f64, f64)> = known().map(|(m, _, b)| (self.x(m), self.y(b))).collect();
        let below: Vec<(f64, f64)> = known().map(|(m, v, _)| (self.x(m), self.y(v))).collect();
        let round: Vec<(f64, f64)> = above.iter().copied().chain(below.into_iter().rev()).collect();
        let fill = self.svg.hatch("open", PURPLE);
        self.svg.path(&round, true, "unknown", &format!("fill=\"{fill}\" fill-opacity=\"0.45\""));
        let more = format!("fill=\"none\" stroke=\"{PURPLE}\" stroke-width=\"1.4\" stroke-dasharray=\"4 3\"");
        self.svg.path(&above, false, "bound", &more);
    }

    fn found(&mut self) {
        let line: Vec<(f64, f64)> =
            self.view.points.iter().filter_map(|p| Some((self.x(p.minutes), self.y(p.value?)))).collect();
        self.svg.path(
            &line,
            false,
            "found",
            &format!("fill=\"none\" stroke=\"{BLUE}\" stroke-width=\"1.8\""),
        );
        for (nth, point) in self.view.points.iter().enumerate() {
            let x = self.x(point.minutes);
            self.svg.open("point", "");
            self.svg.title(&in_words(point, &self.view.minutes));
            if let Some(value) = point.value {
                let own = self.view.own == Some(nth);
                let fill = if own { BLACK } else { BLUE };
                self.svg.circle(
                    (x, self.y(value)),
                    if own { 5.0 } else { 3.4 },
                    "found",
                    &format!("fill=\"{fill}\""),
                );
            } else {
                let y = TOP + HIGH - 7.0;
                let more = format!("stroke=\"{BLACK}\" stroke-width=\"1.4\"");
                self.svg.line([x - 4.0, y - 4.0, x + 4.0, y + 4.0], "none", &more);
                self.svg.line([x - 4.0, y + 4.0, x + 4.0, y - 4.0], "none", &more);
            }
            self.svg.close();
        }
    }

    fn legend(&mut self) {
        let none =
            if self.view.points.iter().any(|p| p.value.is_none()) { "; cross: no programme" } else { "" };
        let text = format!("dots: the best found; hatched: not ruled out{none}");
        let room = self.width - LEFT - RIGHT;
        let text = if width(&text, TEXT - 1.0) > room {
            "dots: found; hatched: not ruled out"
        } else {
            text.as_str()
        };
        self.svg.text(
            (LEFT, TOP + HIGH + 50.0),
            TEXT - 1.0,
            TextAnchor::Start,
            "soft",
            &cut(text, TEXT - 1.0, room),
        );
    }
}

/// A value to hold the scale where nothing was found.
fn none(view: &CurveView) -> Option<f64> {
    view.points.iter().all(|p| p.value.is_none()).then_some(0.0)
}

fn ends(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
    if low < high {
        (low, high)
    } else if low.is_finite() {
        (low - 1.0, low + 1.0)
    } else {
        (0.0, 1.0)
    }
}

fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

fn in_words(point: &CurvePoint, minutes: &str) -> String {
    let at = format!("{} {minutes}", short(point.minutes));
    match (point.value, point.bound, point.ruled_out) {
        (Some(value), Some(bound), _) => {
            format!("{at}: {value:.1} points found, no more than {bound:.1} possible")
        }
        (Some(value), None, _) => format!("{at}: {value:.1} points found"),
        (None, _, true) => format!("{at}: proven that there is no programme"),
        (None, _, false) => format!("{at}: no programme found, none ruled out"),
    }
}

fn described(view: &CurveView) -> String {
    let points: Vec<String> = view.points.iter().map(|p| in_words(p, &view.minutes)).collect();
    format!("{}.", points.join("; "))
}
