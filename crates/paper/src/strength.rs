//! Strength over weeks: what each session told as dots, and what is believed now with its interval.

use crate::svg::{BLACK, BLUE, GREY, Svg, TextAnchor, cut, ticks};

/// An exercise over time.
#[derive(Clone, Debug, PartialEq)]
pub struct StrengthView {
    /// Plain name.
    pub name: String,
    /// What the numbers are: kg or lb.
    pub unit: String,
    /// What each session told, in order.
    pub logged: Vec<Logged>,
    /// What is believed now: 5th, 50th, 95th percentile.
    pub now: [f64; 3],
    /// Day of now, from the first session.
    pub now_day: f64,
    /// Label of the first and of the last day.
    pub ends: [String; 2],
}

/// What one session told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Logged {
    /// Day, from the first.
    pub day: f64,
    /// Best estimate of the 1RM that a set of it gave.
    pub e1rm: f64,
}

const TEXT: f64 = 12.0;
const LEFT: f64 = 44.0;
const TOP: f64 = 22.0;
const HIGH: f64 = 120.0;
const RIGHT: f64 = 70.0;

/// Draws it.
pub fn strength(view: &StrengthView, width_px: f64, prefix: &str) -> String {
    let mut svg = Svg::new(prefix);
    let values = view.logged.iter().map(|l| l.e1rm).chain(view.now);
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
    let (low, high) = if low < high { (low, high) } else { (low - 1.0, low + 1.0) };
    let room = 0.08 * (high - low);
    let (low, high) = (low - room, high + room);
    let days = view.now_day.max(1.0);
    let x = |day: f64| LEFT + day.clamp(0.0, days) / days * (width_px - LEFT - RIGHT);
    let y = |value: f64| TOP + (high - value) / (high - low) * HIGH;
    for value in ticks(low, high, 4.0) {
        svg.line(
            [LEFT, y(value), width_px - RIGHT + 16.0, y(value)],
            "hair",
            &format!("stroke=\"{GREY}\" stroke-width=\"0.4\""),
        );
        svg.text((LEFT - 5.0, y(value) + 4.0), TEXT - 1.0, TextAnchor::End, "soft", &format!("{value:.0}"));
    }
    for logged in &view.logged {
        svg.circle(
            (x(logged.day), y(logged.e1rm)),
            2.2,
            "told",
            &format!("fill=\"none\" stroke=\"{BLUE}\" stroke-width=\"1.1\""),
        );
    }
    let at = x(view.now_day) + 10.0;
    let [five, middle, most] = view.now;
    svg.line([at, y(five), at, y(most)], "believed", &format!("stroke=\"{BLACK}\" stroke-width=\"1.4\""));
    for end in [five, most] {
        svg.line(
            [at - 4.0, y(end), at + 4.0, y(end)],
            "believed",
            &format!("stroke=\"{BLACK}\" stroke-width=\"1.4\""),
        );
    }
    svg.rect([at - 4.0, y(middle) - 2.0, 8.0, 4.0], "believed", &format!("fill=\"{BLACK}\""));
    svg.text((at + 8.0, y(middle) + 4.0), TEXT, TextAnchor::Start, "ink", &format!("{middle:.0}"));
    svg.text(
        (LEFT, 13.0),
        TEXT,
        TextAnchor::Start,
        "ink",
        &cut(&format!("{}, estimated 1RM, {}", view.name, view.unit), TEXT, width_px - LEFT),
    );
    let foot = TOP + HIGH + 16.0;
    svg.text((LEFT, foot), TEXT - 1.0, TextAnchor::Start, "soft", &view.ends[0]);
    svg.text((width_px - RIGHT + 16.0, foot), TEXT - 1.0, TextAnchor::End, "soft", &view.ends[1]);
    let description = format!(
        "{} sessions. Now {middle:.0} {}, between {five:.0} and {most:.0} in nine cases of ten.",
        view.logged.len(),
        view.unit
    );
    svg.finish((width_px, foot + 8.0), &format!("Strength: {}", view.name), &description)
}
