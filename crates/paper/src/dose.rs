//! Sets a week by muscle against what the brief asks: a bar, and the asked range as a bracket.

use crate::svg::{BLACK, GREEN, GREY, Svg, TextAnchor, VERMILION, cut, width};

/// A muscle's dose.
#[derive(Clone, Debug, PartialEq)]
pub struct Dose {
    /// Plain name.
    pub name: String,
    /// Fractional sets a week.
    pub sets: f64,
    /// Least that the brief asks.
    pub least: Option<f64>,
    /// Most that it allows.
    pub most: Option<f64>,
}

impl Dose {
    /// Whether the brief is kept, to a twentieth of a set.
    fn is_within(&self) -> bool {
        self.least.is_none_or(|least| self.sets >= least - 0.05)
            && self.most.is_none_or(|most| self.sets <= most + 0.05)
    }
}

const ROW: f64 = 20.0;
const TEXT: f64 = 12.0;
const MARGIN: f64 = 6.0;
/// Most of the width that names may take.
const NAMES_SHARE: f64 = 0.4;

/// Draws the doses, one row a muscle.
pub fn doses(title: &str, view: &[Dose], width_px: f64, prefix: &str) -> String {
    let mut svg = Svg::new(prefix);
    let longest = view.iter().map(|d| width(&d.name, TEXT)).fold(0.0, f64::max);
    let left = (longest + MARGIN + 8.0).min(width_px * NAMES_SHARE);
    let right = 42.0;
    let most = view.iter().flat_map(|d| [Some(d.sets), d.least, d.most]).flatten().fold(4.0, f64::max);
    let x = |sets: f64| left + sets / most * (width_px - left - right - MARGIN);
    for (nth, dose) in view.iter().enumerate() {
        let y = MARGIN + ROW * nth as f64;
        svg.open("muscle", "");
        svg.title(&in_words(dose));
        svg.text(
            (MARGIN, y + 13.0),
            TEXT,
            TextAnchor::Start,
            "ink",
            &cut(&dose.name, TEXT, left - MARGIN - 4.0),
        );
        let asked = dose.least.is_some() || dose.most.is_some();
        let (colour, class) = match (asked, dose.is_within()) {
            (false, _) => (GREY, "free"),
            (true, true) => (GREEN, "within"),
            (true, false) => (VERMILION, "outside"),
        };
        svg.rect([left, y + 6.0, x(dose.sets) - left, 8.0], class, &format!("fill=\"{colour}\""));
        for end in [dose.least, dose.most].into_iter().flatten() {
            svg.line(
                [x(end), y + 2.0, x(end), y + 18.0],
                "asked",
                &format!("stroke=\"{BLACK}\" stroke-width=\"1.3\""),
            );
        }
        if let (Some(low), Some(high)) = (dose.least, dose.most) {
            svg.line(
                [x(low), y + 18.0, x(high), y + 18.0],
                "asked",
                &format!("stroke=\"{BLACK}\" stroke-width=\"1.3\""),
            );
        }
        let sign = if asked && !dose.is_within() { " !" } else { "" };
        svg.text(
            (width_px - MARGIN, y + 13.0),
            TEXT,
            TextAnchor::End,
            "ink",
            &format!("{:.1}{sign}", dose.sets),
        );
        svg.close();
    }
    let words: Vec<String> = view.iter().map(in_words).collect();
    svg.finish((width_px, 2.0 * MARGIN + ROW * view.len() as f64), title, &format!("{}.", words.join("; ")))
}

fn in_words(dose: &Dose) -> String {
    let asked = match (dose.least, dose.most) {
        (None, None) => String::new(),
        (Some(least), None) => format!(", at least {least:.0} asked"),
        (None, Some(most)) => format!(", at most {most:.0} allowed"),
        (Some(least), Some(most)) => format!(", {least:.0} to {most:.0} asked"),
    };
    format!("{} {:.1} sets a week{asked}", dose.name, dose.sets)
}
