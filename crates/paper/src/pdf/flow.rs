//! Documents that flow over pages: headings, paragraphs, lists, tables, drawings, a foot with the number of the page.

use super::composer::{Composer, Type};
use super::face::Face;
use super::ink::Ink;
use super::table::{self, Table};
use super::tree::PartKind;
use super::{About, NotWritten, Paper, writer};

/// A document.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// What it says of itself; the title stands at its head.
    pub about: About,
    /// A line under the title.
    pub under: String,
    /// What it is made of.
    pub pieces: Vec<Piece>,
}

/// A piece of a document.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// The heading of a section.
    Section(String),
    /// A heading within a section.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// A remark in softer ink.
    Remark(String),
    /// What must not be overlooked.
    Caution(String),
    /// Lines, each with a short rule before it.
    List(Vec<String>),
    /// A table.
    Table(Table),
    /// One of our drawings, and the share of the width that it takes.
    Drawing(String, f64),
    /// What follows begins on a new page.
    Turn,
}

const MARGIN: f64 = 51.0;
const FOOT: f64 = 58.0;
const TITLE: Type = Type::new(Face::Bold, 22.0);
const SECTION: Type = Type::new(Face::Bold, 14.0);
const HEADING: Type = Type::new(Face::Bold, 11.5);
const BODY: Type = Type::new(Face::Serif, 11.0);
const REMARK: Type = Type::new(Face::Italic, 9.5).soft();
const SMALL: Type = Type::new(Face::Serif, 8.5).soft();
/// Room that must be left under a heading, or it goes to the next page.
const UNDER_HEADING: f64 = 70.0;

/// Lays a document on pages and writes it.
///
/// # Errors
/// A drawing that is none of ours.
pub fn document(view: &Document, paper: Paper) -> Result<Vec<u8>, NotWritten> {
    let mut c = Composer::new(paper, MARGIN, FOOT, Default::default());
    c.heading(None, 1, &view.about.title, TITLE);
    if !view.under.is_empty() {
        let part = c.tree.add(None, PartKind::Text);
        c.paragraph(part, &view.under, BODY.soft());
    }
    c.y += 6.0;
    for (nth, piece) in view.pieces.iter().enumerate() {
        // A heading stays with what it is over.
        let follows = view.pieces.get(nth + 1..).unwrap_or_default();
        lay(&mut c, piece, follows)?;
    }
    foot(&mut c, &view.about.title);
    let (pages, tree) = c.finish();
    writer::write(&pages, &tree, &view.about, paper)
}

fn lay(c: &mut Composer, piece: &Piece, follows: &[Piece]) -> Result<(), NotWritten> {
    match piece {
        Piece::Section(text) => {
            c.y += 12.0;
            c.need(SECTION.line() + room_for(c, follows));
            c.heading(None, 2, text, SECTION);
            c.y += 3.0;
        }
        Piece::Heading(text) => {
            c.y += 7.0;
            c.need(HEADING.line() + room_for(c, follows));
            c.heading(None, 3, text, HEADING);
            c.y += 1.0;
        }
        Piece::Text(text) => paragraph(c, text, BODY),
        Piece::Remark(text) => {
            if let Some(Piece::Drawing(..)) = follows.first() {
                // What explains a drawing stays with it.
                c.need(REMARK.broken(text, c.width()).len() as f64 * REMARK.line() + room_for(c, follows));
            }
            paragraph(c, text, REMARK);
        }
        Piece::Caution(text) => caution(c, text),
        Piece::List(lines) => list(c, lines),
        Piece::Table(table) => table::lay(c, None, table),
        Piece::Drawing(svg, share) => {
            c.drawing(None, svg, share * c.width())?;
            c.y += 6.0;
        }
        Piece::Turn if c.y > c.top => c.turn(),
        Piece::Turn => {}
    }
    Ok(())
}

/// Room for what follows a heading: sentences up to and with a drawing, or the beginning of anything else.
fn room_for(c: &Composer, follows: &[Piece]) -> f64 {
    let mut room = 0.0;
    for piece in follows {
        match piece {
            Piece::Text(text) => room += BODY.broken(text, c.width()).len() as f64 * BODY.line() + 4.0,
            Piece::Remark(text) => room += REMARK.broken(text, c.width()).len() as f64 * REMARK.line() + 4.0,
            Piece::Drawing(svg, share) => {
                let size = super::drawing::Drawing::read(svg).map_or((1.0, 0.0), |d| d.size);
                room += share * c.width() / size.0.max(1.0) * size.1;
                break;
            }
            _ => break,
        }
    }
    (room + UNDER_HEADING / 2.0).clamp(UNDER_HEADING, 0.8 * c.whole())
}

fn paragraph(c: &mut Composer, text: &str, kind: Type) {
    let part = c.tree.add(None, PartKind::Text);
    c.paragraph(part, text, kind);
    c.y += 4.0;
}

fn caution(c: &mut Composer, text: &str) {
    const INDENT: f64 = 10.0;
    let high = BODY.broken(text, c.width() - INDENT).len() as f64 * BODY.line();
    c.need(high);
    let part = c.tree.add(None, PartKind::Text);
    let (from, page) = (c.y, c.count());
    c.indented(part, text, BODY, INDENT);
    if c.count() == page {
        let to = c.y;
        table::upright(c, from, to);
    }
    c.y += 6.0;
}

fn list(c: &mut Composer, lines: &[String]) {
    const INDENT: f64 = 14.0;
    let part = c.tree.add(None, PartKind::List);
    for line in lines {
        c.need(BODY.line());
        let item = c.tree.add(Some(part), PartKind::Item);
        let body = c.tree.add(Some(item), PartKind::ItemBody);
        let dash = BODY.soft().at(c.margin, c.y, "–");
        c.page().deck(dash);
        c.indented(body, line, BODY, INDENT);
        c.y += 2.0;
    }
    c.y += 3.0;
}

/// Under each page: the title, and which page of how many. Headings tell both to who listens.
fn foot(c: &mut Composer, title: &str) {
    let count = c.count();
    let (margin, width, y) = (c.margin, c.width(), c.size.1 - FOOT + 20.0);
    for (nth, page) in c.pages().enumerate() {
        let number = format!("Page {} of {count}", nth + 1);
        let right = margin + width - SMALL.width(&number);
        let rule = super::ink::Pen::plain(Ink::PALE, 0.5);
        page.deck(super::ink::PaperMark::line([margin, y - 5.0, margin + width, y - 5.0], rule));
        let room = width - SMALL.width(&number) - 20.0;
        let first = SMALL.broken(title, room).into_iter().next().unwrap_or_default();
        page.deck(SMALL.at(margin, y, &first));
        page.deck(SMALL.at(right, y, &number));
    }
}
