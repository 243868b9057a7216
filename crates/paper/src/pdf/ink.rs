//! What stands on a page before it is written: marks at their places, each belonging to a part of the text or to none.

use super::face::Face;
use super::tree::PartId;

/// A colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ink(pub u8, pub u8, pub u8);

impl Ink {
    /// Text.
    pub const BLACK: Self = Self(0x1f, 0x23, 0x28);
    /// Remarks and rules: dark enough to be read on paper (4.9 to 1 on white).
    pub const SOFT: Self = Self(0x63, 0x68, 0x70);
    /// Hairlines.
    pub const PALE: Self = Self(0xb9, 0xbd, 0xc3);
    /// The ground of a drawing, which is the paper itself.
    pub const WHITE: Self = Self(0xff, 0xff, 0xff);
}

/// A stroke.
#[derive(Clone, Debug, PartialEq)]
pub struct Pen {
    /// Colour.
    pub ink: Ink,
    /// Width.
    pub width: f64,
    /// Dashes and gaps; none for a whole line.
    pub dash: Vec<f64>,
    /// How much of what is under it is covered.
    pub opacity: f64,
}

impl Pen {
    /// A whole line.
    pub const fn plain(ink: Ink, width: f64) -> Self {
        Self { ink, width, dash: Vec::new(), opacity: 1.0 }
    }
}

/// What fills a shape.
#[derive(Clone, Debug, PartialEq)]
pub enum Fill {
    /// One colour.
    Plain(Ink, f64),
    /// Lines at a slant: colour, distance, opacity.
    Hatch(Ink, f64, f64),
}

/// A mark.
#[derive(Clone, Debug, PartialEq)]
pub enum PaperMark {
    /// A run of text; the place is the left end of its base line.
    Text {
        /// Where it begins.
        at: (f64, f64),
        /// Height of the letters' body.
        size: f64,
        /// Typeface.
        face: Face,
        /// Colour.
        ink: Ink,
        /// The words.
        text: String,
    },
    /// A shape of straight lines.
    Shape {
        /// Corners.
        points: Vec<(f64, f64)>,
        /// Whether the last goes back to the first.
        closed: bool,
        /// What is in it.
        fill: Option<Fill>,
        /// What is around it.
        pen: Option<Pen>,
    },
    /// A disc.
    Disc {
        /// Middle.
        at: (f64, f64),
        /// Radius.
        radius: f64,
        /// What is in it.
        fill: Option<Fill>,
        /// What is around it.
        pen: Option<Pen>,
    },
}

impl PaperMark {
    /// A straight line.
    pub fn line([x1, y1, x2, y2]: [f64; 4], pen: Pen) -> Self {
        Self::Shape { points: vec![(x1, y1), (x2, y2)], closed: false, fill: None, pen: Some(pen) }
    }

    /// A rectangle from its upper left corner.
    pub fn rect([x, y, width, height]: [f64; 4], fill: Option<Fill>, pen: Option<Pen>) -> Self {
        let points = vec![(x, y), (x + width, y), (x + width, y + height), (x, y + height)];
        Self::Shape { points, closed: true, fill, pen }
    }
}

/// A page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// Marks in the order of reading; what belongs to no part is there for the eye alone.
    pub marks: Vec<(Option<PartId>, PaperMark)>,
}

impl Page {
    /// Adds a mark that belongs to a part.
    pub fn put(&mut self, part: PartId, mark: PaperMark) {
        self.marks.push((Some(part), mark));
    }

    /// Adds a mark for the eye alone.
    pub fn deck(&mut self, mark: PaperMark) {
        self.marks.push((None, mark));
    }
}
