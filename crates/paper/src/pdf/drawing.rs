//! Reads one of our own drawings and lays it on a page: the drawing of the page on screen and that of the paper are one.
//!
//! It knows the few elements that `crate::svg` writes and refuses any other, so that nothing can be left out unseen.

use super::face::{self, Face};
use super::ink::{Fill, Ink, PaperMark, Pen};
use crate::svg::PAPER;
use roxmltree::{Document, Node};

/// Distance of the lines of hatching, in units of a drawing: as `crate::svg` writes its patterns.
const HATCH: f64 = 5.0;

/// A drawing that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Width and height in its own units.
    pub size: (f64, f64),
    /// What it is and what it shows, in words.
    pub alt: String,
    marks: Vec<PaperMark>,
}

impl Drawing {
    /// Reads a drawing; what is wrong with it, in words, when it is none of ours.
    pub fn read(svg: &str) -> Result<Self, String> {
        let document = Document::parse(svg).map_err(|e| e.to_string())?;
        let root = document.root_element();
        let mut marks = Vec::new();
        let words = |name: &str| {
            let named = root.children().find(|n| n.has_tag_name(("http://www.w3.org/2000/svg", name)));
            named.and_then(|n| n.text()).unwrap_or_default()
        };
        let alt = format!("{}. {}", words("title"), words("desc"));
        for child in root.children().filter(Node::is_element) {
            if !matches!(child.tag_name().name(), "title" | "desc" | "defs") {
                read(child, &mut marks)?;
            }
        }
        Ok(Self { size: (number(root, "width")?, number(root, "height")?), alt, marks })
    }

    /// Its marks with the upper left corner here, so many points to a unit.
    pub fn at(&self, (left, top): (f64, f64), scale: f64) -> Vec<PaperMark> {
        let to = |(x, y): (f64, f64)| (left + scale * x, top + scale * y);
        self.marks.iter().map(|mark| placed(mark, &to, scale)).collect()
    }
}

fn placed(mark: &PaperMark, to: &impl Fn((f64, f64)) -> (f64, f64), scale: f64) -> PaperMark {
    let pen = |p: &Option<Pen>| {
        p.as_ref().map(|p| Pen {
            width: scale * p.width,
            dash: p.dash.iter().map(|d| scale * d).collect(),
            ..p.clone()
        })
    };
    let fill = |f: &Option<Fill>| {
        f.as_ref().map(|f| match f {
            Fill::Hatch(ink, apart, opacity) => Fill::Hatch(*ink, scale * apart, *opacity),
            plain @ Fill::Plain(..) => plain.clone(),
        })
    };
    match mark {
        PaperMark::Text { at, size, face, ink, text } => {
            PaperMark::Text { at: to(*at), size: scale * size, face: *face, ink: *ink, text: text.clone() }
        }
        PaperMark::Shape { points, closed, fill: f, pen: p } => PaperMark::Shape {
            points: points.iter().map(|p| to(*p)).collect(),
            closed: *closed,
            fill: fill(f),
            pen: pen(p),
        },
        PaperMark::Disc { at, radius, fill: f, pen: p } => {
            PaperMark::Disc { at: to(*at), radius: scale * radius, fill: fill(f), pen: pen(p) }
        }
    }
}

fn read(node: Node<'_, '_>, marks: &mut Vec<PaperMark>) -> Result<(), String> {
    match node.tag_name().name() {
        "title" => Ok(()),
        "g" => node.children().filter(Node::is_element).try_for_each(|child| read(child, marks)),
        "rect" => {
            let [x, y] = [number(node, "x")?, number(node, "y")?];
            let [width, height] = [number(node, "width")?, number(node, "height")?];
            marks.push(PaperMark::rect([x, y, width, height], fill(node)?, pen(node)?));
            Ok(())
        }
        "line" => {
            let ends = [number(node, "x1")?, number(node, "y1")?, number(node, "x2")?, number(node, "y2")?];
            marks.extend(pen(node)?.map(|pen| PaperMark::line(ends, pen)));
            Ok(())
        }
        "path" => {
            let (points, closed) = corners(node.attribute("d").unwrap_or_default())?;
            marks.push(PaperMark::Shape { points, closed, fill: fill(node)?, pen: pen(node)? });
            Ok(())
        }
        "circle" => {
            let at = (number(node, "cx")?, number(node, "cy")?);
            marks.push(PaperMark::Disc {
                at,
                radius: number(node, "r")?,
                fill: fill(node)?,
                pen: pen(node)?,
            });
            Ok(())
        }
        "text" => {
            marks.push(words(node)?);
            Ok(())
        }
        other => Err(format!("<{other}> in a drawing")),
    }
}

fn words(node: Node<'_, '_>) -> Result<PaperMark, String> {
    let (x, y, size) = (number(node, "x")?, number(node, "y")?, number(node, "font-size")?);
    let text = node.text().unwrap_or_default().to_owned();
    let wide = face::width(Face::Sans, size, &text);
    let left = match node.attribute("text-anchor") {
        Some("middle") => x - wide / 2.0,
        Some("end") => x - wide,
        _ => x,
    };
    let ink = colour(node.attribute("fill").unwrap_or_default())?;
    Ok(PaperMark::Text { at: (left, y), size, face: Face::Sans, ink, text })
}

fn number(node: Node<'_, '_>, name: &str) -> Result<f64, String> {
    let text = node.attribute(name).unwrap_or_default();
    text.parse().map_err(|_| format!("<{}> with {name}=\"{text}\"", node.tag_name().name()))
}

fn optional(node: Node<'_, '_>, name: &str, otherwise: f64) -> Result<f64, String> {
    if node.has_attribute(name) { number(node, name) } else { Ok(otherwise) }
}

fn fill(node: Node<'_, '_>) -> Result<Option<Fill>, String> {
    let opacity = optional(node, "fill-opacity", 1.0)?;
    match node.attribute("fill") {
        Some("none") => Ok(None),
        Some(url) if url.starts_with("url(#") => {
            let id = url.trim_start_matches("url(#").trim_end_matches(')');
            let pattern = node.document().descendants().find(|n| n.attribute("id") == Some(id));
            let line = pattern.and_then(|p| p.first_element_child());
            let stroke = line.and_then(|l| l.attribute("stroke")).unwrap_or_default();
            Ok(Some(Fill::Hatch(colour(stroke)?, HATCH, opacity)))
        }
        given => Ok(Some(Fill::Plain(colour(given.unwrap_or("#000000"))?, opacity))),
    }
}

fn pen(node: Node<'_, '_>) -> Result<Option<Pen>, String> {
    let Some(stroke) = node.attribute("stroke").filter(|s| *s != "none") else { return Ok(None) };
    let width = optional(node, "stroke-width", 1.0)?;
    if width <= 0.0 {
        return Ok(None);
    }
    let dashes = node.attribute("stroke-dasharray").unwrap_or_default();
    let dash: Result<Vec<f64>, _> = dashes.split_whitespace().map(str::parse).collect();
    let dash = dash.map_err(|_| format!("dashes of \"{dashes}\""))?;
    Ok(Some(Pen { ink: colour(stroke)?, width, dash, opacity: optional(node, "stroke-opacity", 1.0)? }))
}

/// A colour as `#rrggbb`. The ground of drawings is the paper itself.
fn colour(text: &str) -> Result<Ink, String> {
    if text == PAPER {
        return Ok(Ink::WHITE);
    }
    let hex = text.strip_prefix('#').filter(|h| h.len() == 6);
    let value = hex.and_then(|h| u32::from_str_radix(h, 16).ok()).ok_or(format!("the colour \"{text}\""))?;
    let [_, red, green, blue] = value.to_be_bytes();
    Ok(Ink(red, green, blue))
}

/// The corners of a path of straight lines: `M1 2L3 4Z`.
fn corners(d: &str) -> Result<(Vec<(f64, f64)>, bool), String> {
    let (lines, closed) = match d.strip_suffix('Z') {
        Some(open) => (open, true),
        None => (d, false),
    };
    let point = |text: &str| {
        let (x, y) = text.split_once(' ')?;
        Some((x.parse().ok()?, y.parse().ok()?))
    };
    let points: Option<Vec<(f64, f64)>> = match lines.strip_prefix('M') {
        Some(rest) => rest.split('L').map(point).collect(),
        None if lines.is_empty() => Some(Vec::new()),
        None => None,
    };
    points.map(|points| (points, closed)).ok_or_else(|| format!("the path \"{d}\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::svg::{BLUE, Svg, TextAnchor};

    #[test]
    fn a_drawing_is_read_as_it_was_written() {
        let mut svg = Svg::new("p");
        let fill = svg.hatch("h", BLUE);
        svg.open("g", "");
        svg.title("told");
        svg.rect([1.0, 2.0, 3.0, 4.0], "a", &format!("fill=\"{fill}\" fill-opacity=\"0.5\""));
        svg.line([0.0, 0.0, 5.0, 5.0], "b", &format!("stroke=\"{BLUE}\" stroke-dasharray=\"2 3\""));
        svg.path(&[(0.0, 0.0), (1.5, -2.0)], true, "c", "fill=\"#fbfaf7\" stroke-width=\"0\"");
        svg.circle((3.0, 3.0), 2.0, "d", &format!("fill=\"{BLUE}\""));
        svg.text((9.0, 8.0), 10.0, TextAnchor::End, "e", "a < b");
        svg.close();
        let drawing = Drawing::read(&svg.finish((20.0, 10.0), "Title", "What.")).unwrap();
        assert_eq!((drawing.size, drawing.alt.as_str()), ((20.0, 10.0), "Title. What."));
        let blue = Ink(0, 0x72, 0xb2);
        let [
            PaperMark::Shape { fill, .. },
            PaperMark::Shape { pen: Some(pen), .. },
            PaperMark::Shape { fill: ground, .. },
            _,
            text,
        ] = drawing.marks.as_slice()
        else {
            panic!("{:?}", drawing.marks)
        };
        assert_eq!(*fill, Some(Fill::Hatch(blue, HATCH, 0.5)));
        assert_eq!((pen.dash.as_slice(), pen.ink), ([2.0, 3.0].as_slice(), blue));
        assert_eq!(*ground, Some(Fill::Plain(Ink::WHITE, 1.0)));
        let PaperMark::Text { at, text, .. } = text else { panic!("{text:?}") };
        assert_eq!(text, "a < b");
        assert!((at.0 + face::width(Face::Sans, 10.0, "a < b") - 9.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_no_drawing_of_ours_is_refused() {
        for wrong in ["<svg width=\"1\" height=\"1\"><image/></svg>", "<svg/>", "no"] {
            assert!(Drawing::read(wrong).is_err(), "{wrong}");
        }
    }
}
