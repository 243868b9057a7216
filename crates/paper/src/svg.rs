//! A little writer of SVG: escapes text, rounds numbers to a tenth, and keeps titles and descriptions first.

use std::fmt::Write as _;

/// Ink.
pub const BLACK: &str = "#1f2328";
/// Ground.
pub const PAPER: &str = "#fbfaf7";
/// First exercise of a block (Okabe and Ito 2008, Color Universal Design).
pub const BLUE: &str = "#0072b2";
/// Second exercise of a block (Okabe and Ito 2008).
pub const VERMILION: &str = "#d55e00";
/// Within the brief (Okabe and Ito 2008: bluish green).
pub const GREEN: &str = "#009e73";
/// What is not known yet (Okabe and Ito 2008: reddish purple).
pub const PURPLE: &str = "#cc79a7";
/// Rest and walking.
pub const GREY: &str = "#8a8f96";
/// All colours that a drawing may use.
pub const COLOURS: [&str; 7] = [BLACK, PAPER, BLUE, VERMILION, GREEN, PURPLE, GREY];

/// Width of a letter as a share of its height, generously: no text may run into another (numeric).
const LETTER: f64 = 0.58;

/// A drawing being written.
pub struct Svg {
    body: String,
    definitions: String,
    prefix: String,
}

/// Where text stands.
#[derive(Clone, Copy)]
pub enum TextAnchor {
    Start,
    Middle,
    End,
}

impl Svg {
    /// Begins a drawing; `prefix` keeps the identifiers of several on one page apart.
    pub fn new(prefix: &str) -> Self {
        let prefix = prefix.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
        Self { body: String::new(), definitions: String::new(), prefix }
    }

    /// Hatching of lines in a colour, as a fill.
    pub fn hatch(&mut self, name: &str, colour: &str) -> String {
        let id = format!("{}-{name}", self.prefix);
        if !self.definitions.contains(&format!("\"{id}\"")) {
            let _ = write!(
                self.definitions,
                "<pattern id=\"{id}\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" \
                 patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"5\" stroke=\"{colour}\" \
                 stroke-width=\"1.6\"/></pattern>"
            );
        }
        format!("url(#{id})")
    }

    pub fn rect(&mut self, [x, y, width, height]: [f64; 4], class: &str, more: &str) {
        let (x, y, width, height) = (n(x), n(y), n(width.max(0.0)), n(height.max(0.0)));
        let _ = write!(
            self.body,
            "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" {more}/>"
        );
    }

    pub fn line(&mut self, [x1, y1, x2, y2]: [f64; 4], class: &str, more: &str) {
        let (x1, y1, x2, y2) = (n(x1), n(y1), n(x2), n(y2));
        let _ = write!(
            self.body,
            "<line class=\"{class}\" x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" {more}/>"
        );
    }

    pub fn path(&mut self, points: &[(f64, f64)], closed: bool, class: &str, more: &str) {
        let mut d = String::new();
        for (k, (x, y)) in points.iter().enumerate() {
            let _ = write!(d, "{}{} {}", if k == 0 { "M" } else { "L" }, n(*x), n(*y));
        }
        if closed {
            d.push('Z');
        }
        let _ = write!(self.body, "<path class=\"{class}\" d=\"{d}\" {more}/>");
    }

    pub fn circle(&mut self, (x, y): (f64, f64), radius: f64, class: &str, more: &str) {
        let _ = write!(
            self.body,
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\" {more}/>",
            n(x),
            n(y),
            n(radius)
        );
    }

    pub fn text(&mut self, (x, y): (f64, f64), size: f64, anchor: TextAnchor, class: &str, text: &str) {
        let anchor = match anchor {
            TextAnchor::Start => "start",
            TextAnchor::Middle => "middle",
            TextAnchor::End => "end",
        };
        let _ = write!(
            self.body,
            "<text class=\"{class}\" x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{anchor}\" fill=\"{BLACK}\">{}</text>",
            n(x),
            n(y),
            n(size),
            escaped(text)
        );
    }

    pub fn open(&mut self, class: &str, more: &str) {
        let _ = write!(self.body, "<g class=\"{class}\" {more}>");
    }

    pub fn close(&mut self) {
        self.body.push_str("</g>");
    }

    /// A sentence that is read out and shown when pointed at, for what was opened last.
    pub fn title(&mut self, text: &str) {
        let _ = write!(self.body, "<title>{}</title>", escaped(text));
    }

    /// The whole drawing.
    pub fn finish(self, (width, height): (f64, f64), title: &str, description: &str) -> String {
        let Self { body, definitions, prefix } = self;
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"drawing\" width=\"{0}\" height=\"{1}\" viewBox=\"0 0 {0} {1}\" \
             role=\"img\" aria-labelledby=\"{prefix}-title {prefix}-desc\" \
             font-family=\"Liberation Sans, Helvetica, Arial, sans-serif\"><title id=\"{prefix}-title\">{2}</title>\
             <desc id=\"{prefix}-desc\">{3}</desc><defs>{definitions}</defs>{body}</svg>",
            n(width),
            n(height),
            escaped(title),
            escaped(description),
        )
    }
}

/// A number to a tenth, without a sign before nothing.
fn n(value: f64) -> f64 {
    let rounded = (value * 10.0).round() / 10.0;
    if rounded == 0.0 || !rounded.is_finite() { 0.0 } else { rounded }
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// How wide a text is at most.
pub fn width(text: &str, size: f64) -> f64 {
    text.chars().count() as f64 * size * LETTER
}

/// A text cut to a width, with an ellipsis where something was left out.
pub fn cut(text: &str, size: f64, room: f64) -> String {
    let fits = (room / (size * LETTER)).max(0.0) as usize;
    if text.chars().count() <= fits {
        return text.to_owned();
    }
    let mut out: String = text.chars().take(fits.saturating_sub(1)).collect();
    out.truncate(out.trim_end().len());
    out.push('…');
    out
}

/// Round steps of a scale: about so many between two ends.
pub fn ticks(low: f64, high: f64, about: f64) -> Vec<f64> {
    let span = (high - low).max(1e-9);
    let raw = span / about.max(1.0);
    let mut step = 1e-6;
    while step < raw {
        step *= 10.0;
    }
    for share in [0.1, 0.2, 0.5] {
        if step * share >= raw {
            step *= share;
            break;
        }
    }
    let first = (low / step).ceil() as i64;
    let last = (high / step).floor() as i64;
    (first..=last).map(|k| k as f64 * step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_escaped_and_cut_at_letters() {
        assert_eq!(escaped("a<b>&\"c\"\u{7}"), "a&lt;b&gt;&amp;&quot;c&quot; ");
        assert_eq!(cut("kettlebell swing", 10.0, 1_000.0), "kettlebell swing");
        let short = cut("kettlebell swing", 10.0, 60.0);
        assert!(short.ends_with('…') && width(&short, 10.0) <= 60.0, "{short}");
    }

    #[test]
    fn scales_have_round_steps() {
        assert_eq!(ticks(0.0, 47.0, 5.0), [0.0, 10.0, 20.0, 30.0, 40.0]);
        assert_eq!(ticks(61.0, 64.0, 4.0), [61.0, 62.0, 63.0, 64.0]);
    }
}
