//! Pages being filled from top to bottom: a place on the page, paragraphs, drawings, turning the page.

use super::drawing::Drawing;
use super::face::{self, Face};
use super::ink::{Ink, Page, PaperMark, Pen};
use super::tree::{OutlineEntry, PartId, PartKind, Tree};
use super::{NotWritten, Paper};

/// How far the base line lies under the top of a line, as a share of the size (the typeface's own ascent, rounded).
const ASCENT: f64 = 0.9;
/// Height of a line as a share of its size (judgement: close, and still easy to follow).
const LEADING: f64 = 1.24;

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    /// Typeface.
    pub face: Face,
    /// Size.
    pub size: f64,
    /// Colour.
    pub ink: Ink,
}

impl Type {
    /// A typeface in ink.
    pub const fn new(face: Face, size: f64) -> Self {
        Self { face, size, ink: Ink::BLACK }
    }

    /// The same in a softer ink.
    pub const fn soft(self) -> Self {
        Self { ink: Ink::SOFT, ..self }
    }

    /// Height of a line.
    pub fn line(self) -> f64 {
        LEADING * self.size
    }

    /// How wide a text is.
    pub fn width(self, text: &str) -> f64 {
        face::width(self.face, self.size, text)
    }

    /// A text broken into lines of a width.
    pub fn broken(self, text: &str, room: f64) -> Vec<String> {
        face::broken(self.face, self.size, text, room)
    }

    /// A run of text whose line begins at this height.
    pub fn at(self, left: f64, top: f64, text: &str) -> PaperMark {
        let at = (left, top + ASCENT * self.size);
        PaperMark::Text { at, size: self.size, face: self.face, ink: self.ink, text: text.to_owned() }
    }
}

/// Pages being filled.
pub struct Composer {
    /// Width and height of a page.
    pub size: (f64, f64),
    /// Left and right margin.
    pub margin: f64,
    /// Top of what is filled.
    pub top: f64,
    /// End of what is filled.
    pub bottom: f64,
    /// Where the next thing goes.
    pub y: f64,
    /// Parts so far.
    pub tree: Tree,
    done: Vec<Page>,
    current: Page,
}

impl Composer {
    /// An empty page after those that are done.
    pub fn new(paper: Paper, margin: f64, foot: f64, (done, tree): (Vec<Page>, Tree)) -> Self {
        let size = paper.size();
        let (top, bottom) = (margin, size.1 - foot);
        Self { size, margin, top, bottom, y: top, tree, done, current: Page::default() }
    }

    /// All pages and parts.
    pub fn finish(mut self) -> (Vec<Page>, Tree) {
        self.done.push(self.current);
        (self.done, self.tree)
    }

    /// How many pages there are, the one that is filled included.
    pub fn count(&self) -> usize {
        self.done.len() + 1
    }

    /// All pages in order.
    pub fn pages(&mut self) -> impl Iterator<Item = &mut Page> {
        self.done.iter_mut().chain(std::iter::once(&mut self.current))
    }

    /// Width between the margins.
    pub fn width(&self) -> f64 {
        self.size.0 - 2.0 * self.margin
    }

    /// Height that is left on the page.
    pub fn room(&self) -> f64 {
        self.bottom - self.y
    }

    /// Height of an empty page.
    pub fn whole(&self) -> f64 {
        self.bottom - self.top
    }

    /// The page that is filled.
    pub const fn page(&mut self) -> &mut Page {
        &mut self.current
    }

    /// Begins a new page.
    pub fn turn(&mut self) {
        self.done.push(std::mem::take(&mut self.current));
        self.y = self.top;
    }

    /// Begins a new page unless there is room for this much.
    pub fn need(&mut self, height: f64) {
        if self.room() < height && self.y > self.top {
            self.turn();
        }
    }

    /// A paragraph at the left margin.
    pub fn paragraph(&mut self, part: PartId, text: &str, kind: Type) {
        self.indented(part, text, kind, 0.0);
    }

    /// A paragraph so far from the left margin.
    pub fn indented(&mut self, part: PartId, text: &str, kind: Type, indent: f64) {
        let lines = kind.broken(text, self.width() - indent);
        let last = lines.len().saturating_sub(1);
        for (nth, line) in lines.iter().enumerate() {
            self.need(kind.line());
            // A blank at the end of a line keeps its last word from the next one when it is read out or copied.
            let text = if nth == last { line.clone() } else { format!("{line} ") };
            let mark = kind.at(self.margin + indent, self.y, &text);
            self.page().put(part, mark);
            self.y += kind.line();
        }
    }

    /// A heading that readers of PDF list among the contents.
    pub fn heading(&mut self, under: Option<PartId>, level: u16, text: &str, kind: Type) -> PartId {
        let part = self.tree.add(under, PartKind::Heading(level, text.to_owned()));
        let entry = OutlineEntry { level, text: text.to_owned(), page: self.count() - 1, y: self.y };
        self.tree.entries.push(entry);
        self.paragraph(part, text, kind);
        part
    }

    /// A drawing over the width, told in words to who cannot see it.
    pub fn drawing(&mut self, under: Option<PartId>, svg: &str, width: f64) -> Result<(), NotWritten> {
        let drawing = Drawing::read(svg).map_err(|why| NotWritten::because(&why))?;
        let (wide, high) = drawing.size;
        // A drawing that is higher than a page is made smaller: nothing is cut.
        let scale = (width / wide.max(1.0)).min(self.whole() / high.max(1.0));
        self.need(scale * high);
        let part = self.tree.add(under, PartKind::Figure(drawing.alt.clone()));
        let (left, top) = (self.margin, self.y);
        for mark in drawing.at((left, top), scale) {
            self.page().put(part, mark);
        }
        self.y += scale * high;
        Ok(())
    }

    /// A hairline over the width.
    pub fn rule(&mut self, ink: Ink, width: f64) {
        let (left, right, y) = (self.margin, self.size.0 - self.margin, self.y);
        self.page().deck(PaperMark::line([left, y, right, y], Pen::plain(ink, width)));
    }
}
