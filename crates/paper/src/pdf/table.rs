//! Tables: columns as wide as they need, shrunk evenly where the page is too narrow, cells that wrap, a head that is
//! repeated on the next page, hairlines and no boxes.

use super::composer::{Composer, Type};
use super::face::Face;
use super::ink::{Ink, PaperMark, Pen};
use super::tree::{PartId, PartKind};

/// On which side the cells of a column stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellSide {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableColumn {
    /// What stands over it.
    pub title: String,
    /// Side of its cells.
    pub side: CellSide,
}

impl TableColumn {
    /// A column of words.
    pub fn words(title: &str) -> Self {
        Self { title: title.to_owned(), side: CellSide::Left }
    }

    /// A column of numbers.
    pub fn numbers(title: &str) -> Self {
        Self { title: title.to_owned(), side: CellSide::Right }
    }
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// Columns.
    pub columns: Vec<TableColumn>,
    /// Rows of cells.
    pub rows: Vec<Vec<String>>,
}

/// Gap between columns.
const GAP: f64 = 10.0;
/// Gap over and under the words of a row.
const PAD: f64 = 2.2;
const CELL: Type = Type::new(Face::Serif, 9.5);
const HEAD: Type = Type::new(Face::Italic, 9.0).soft();

/// A row broken into lines, by column.
type Broken = Vec<Vec<String>>;

/// Lays a table.
pub fn lay(c: &mut Composer, under: Option<PartId>, table: &Table) {
    let widths = widths(table, c.width());
    let head: Broken = broken(table.columns.iter().map(|column| column.title.as_str()), &widths, HEAD);
    let part = c.tree.add(under, PartKind::Table);
    let first = table.rows.first().map(|row| height(&cells(row, &widths), CELL));
    c.need(height(&head, HEAD) + first.unwrap_or(0.0) + 2.0);
    let over = c.tree.add(Some(part), PartKind::TableHead);
    let row = c.tree.add(Some(over), PartKind::Row);
    let titles: Vec<PartId> = widths.iter().map(|_| c.tree.add(Some(row), PartKind::HeadCell)).collect();
    draw(c, table, &head, &widths, HEAD, Some(&titles));
    let line = |c: &mut Composer, ink| c.rule(ink, 0.5);
    line(c, Ink::BLACK);
    let body = c.tree.add(Some(part), PartKind::TableBody);
    for given in &table.rows {
        let row = c.tree.add(Some(body), PartKind::Row);
        let parts: Vec<PartId> = widths.iter().map(|_| c.tree.add(Some(row), PartKind::Cell)).collect();
        let lines = cells(given, &widths);
        let high = height(&lines, CELL);
        if c.room() < high && high < c.whole() / 2.0 {
            c.turn();
            draw(c, table, &head, &widths, HEAD, None);
            line(c, Ink::BLACK);
        }
        draw(c, table, &lines, &widths, CELL, Some(&parts));
        line(c, Ink::PALE);
    }
    c.y += 4.0;
}

fn cells(row: &[String], widths: &[f64]) -> Broken {
    broken((0..widths.len()).map(|n| row.get(n).map_or("", String::as_str)), widths, CELL)
}

fn broken<'t>(texts: impl Iterator<Item = &'t str>, widths: &[f64], kind: Type) -> Broken {
    // A hair more room, so that what was measured whole is not broken by the last digit of a sum.
    texts.zip(widths).map(|(text, width)| kind.broken(text, width + 0.01)).collect()
}

fn height(lines: &Broken, kind: Type) -> f64 {
    lines.iter().map(Vec::len).max().unwrap_or(1) as f64 * kind.line() + 2.0 * PAD
}

/// Draws a row line by line; without parts it is for the eye alone.
fn draw(
    c: &mut Composer,
    table: &Table,
    lines: &Broken,
    widths: &[f64],
    kind: Type,
    parts: Option<&[PartId]>,
) {
    let most = lines.iter().map(Vec::len).max().unwrap_or(1);
    c.y += PAD;
    let (first, page) = (c.y, c.count());
    for nth in 0..most {
        c.need(kind.line());
        // Cells are put one after the other, so that each is read as a whole; only a row that goes over a page is
        // put line by line.
        if c.count() > page || c.room() < (most - nth) as f64 * kind.line() {
            one_line(c, table, lines, widths, kind, parts, nth);
            c.y += kind.line();
        } else {
            for column in 0..widths.len() {
                for line in nth..most {
                    c.y = first + line as f64 * kind.line();
                    cell(c, table, lines, widths, kind, parts, (column, line));
                }
            }
            c.y = first + most as f64 * kind.line();
            break;
        }
    }
    c.y += PAD;
}

fn one_line(
    c: &mut Composer,
    table: &Table,
    lines: &Broken,
    widths: &[f64],
    kind: Type,
    parts: Option<&[PartId]>,
    nth: usize,
) {
    for column in 0..widths.len() {
        cell(c, table, lines, widths, kind, parts, (column, nth));
    }
}

fn cell(
    c: &mut Composer,
    table: &Table,
    lines: &Broken,
    widths: &[f64],
    kind: Type,
    parts: Option<&[PartId]>,
    (column, nth): (usize, usize),
) {
    let of = lines.get(column);
    let Some(text) = of.and_then(|l| l.get(nth)).filter(|t| !t.is_empty()) else { return };
    let is_last = of.is_some_and(|l| nth + 1 == l.len());
    let left = c.margin + widths.iter().take(column).map(|w| w + GAP).sum::<f64>();
    let wide = widths.get(column).copied().unwrap_or(0.0);
    let right = table.columns.get(column).is_some_and(|c| c.side == CellSide::Right);
    let x = if right { left + wide - kind.width(text) } else { left };
    let text = if is_last { text.clone() } else { format!("{text} ") };
    let mark = kind.at(x, c.y, &text);
    match parts.and_then(|p| p.get(column)) {
        Some(part) => c.page().put(*part, mark),
        None => c.page().deck(mark),
    }
}

/// Widths of the columns: as they need, or all under one cap where the page is too narrow.
fn widths(table: &Table, room: f64) -> Vec<f64> {
    let natural: Vec<f64> = table
        .columns
        .iter()
        .enumerate()
        .map(|(n, column)| {
            let cells = table.rows.iter().filter_map(|row| row.get(n)).map(|text| CELL.width(text));
            cells.fold(HEAD.width(&column.title), f64::max)
        })
        .collect();
    let gaps = GAP * natural.len().saturating_sub(1) as f64;
    let free = (room - gaps).max(1.0);
    let sum = |cap: f64| natural.iter().map(|w| w.min(cap)).sum::<f64>();
    if sum(f64::INFINITY) <= free {
        return natural;
    }
    let (mut low, mut high) = (0.0, room);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if sum(middle) <= free { low = middle } else { high = middle }
    }
    natural.into_iter().map(|w| w.min(low)).collect()
}

/// A thin upright beside what is not to be overlooked.
pub fn upright(c: &mut Composer, from: f64, to: f64) {
    let x = c.margin + 1.5;
    c.page().deck(PaperMark::line([x, from, x, to], Pen::plain(Ink::BLACK, 2.0)));
}
