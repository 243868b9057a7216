//! Session sheets: what hangs on a clipboard. Exercise, load and reps are large enough to be read at arm's length; under each
//! exercise there is a field for every set to write what was done.
//!
//! A session fills one page. Where it has many blocks the type becomes smaller, but never smaller than can be read from
//! the floor; what then does not fit goes on overleaf, and nothing is cut.

use super::composer::{Composer, Type};
use super::face::Face;
use super::ink::{Ink, Page, PaperMark, Pen};
use super::tree::{OutlineEntry, PartId, PartKind, Tree};
use super::{About, NotWritten, Paper, writer};
use crate::lanes::{Lanes, low_height, low_lanes};

/// A session as it is printed. Every word is already chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetView {
    /// Whose it is.
    pub client: String,
    /// Which session: "Session 2, upper".
    pub title: String,
    /// When: "Tuesday, 3 November 2026", or "Day 3 of 7".
    pub when: String,
    /// Whether the day is still to be filled in.
    pub undated: bool,
    /// How long and how many sets.
    pub length: String,
    /// The session on a time axis.
    pub lanes: Lanes,
    /// Blocks in order.
    pub blocks: Vec<SheetBlock>,
    /// Explanations, in small type.
    pub remarks: Vec<String>,
    /// What comes before any training.
    pub cautions: Vec<String>,
}

/// A block.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetBlock {
    /// Its exercises; several are held together by a bracket.
    pub lines: Vec<SheetLine>,
}

/// An exercise.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetLine {
    /// `A`, or `B1` and `B2`.
    pub label: String,
    /// Plain name.
    pub name: String,
    /// "3 x 8-12 a side, 2 left".
    pub target: String,
    /// "60 kg".
    pub load: String,
    /// What to hang.
    pub hang: String,
    /// Turns, rest and warm-up.
    pub before: String,
    /// Work sets.
    pub sets: u32,
    /// What is written down for each: "kg", "reps", "left".
    pub fields: Vec<String>,
}

const MARGIN: f64 = 32.0;
const CLIENT: Type = Type::new(Face::Bold, 19.0);
const TITLE: Type = Type::new(Face::Bold, 14.0);
const WHEN: Type = Type::new(Face::Serif, 12.0);
const SMALL: Type = Type::new(Face::Serif, 8.5);
const FIELD: Type = Type::new(Face::Sans, 7.0).soft();
/// Width of the letter before an exercise.
const INDENT: f64 = 28.0;
/// Room for the day to be written by hand.
const DATE_BLANK: f64 = 130.0;
/// Gap between the name, the target and the load.
const GAP: f64 = 14.0;
/// Least room for a warm-up beside what is hung.
const BESIDE_LEAST: f64 = 150.0;
/// Most fields in a row.
const FIELDS_MOST: u32 = 5;
/// Height of the line of an exercise, as a share of its largest type.
const ONE_LINE: f64 = 1.15;
/// Gap between rows of fields.
const ROWS_APART: f64 = 2.0;
/// Widest field of a set.
const FIELD_WIDEST: f64 = 150.0;
/// Tightness tried in turn, from larger than usual (under 0) to as small as can be read at arm's length (1).
const TRIED: [f64; 8] = [-0.9, -0.6, -0.3, 0.0, 0.25, 0.5, 0.75, 1.0];

/// Sizes by how tight the page is.
struct Sizes {
    name: Type,
    load: Type,
    target: Type,
    hang: Type,
    before: Type,
    notes: Type,
    field: f64,
    pad: f64,
    gap: f64,
    lanes: f64,
}

impl Sizes {
    /// From roomy (0, or less) to tight (1). At the tight end names are 11.5 points, which reads from some 70 cm (judgement).
    fn of(tight: f64) -> Self {
        let between = |roomy: f64, least: f64| roomy + tight * (least - roomy);
        Self {
            name: Type::new(Face::Bold, between(16.0, 11.5)),
            load: Type::new(Face::Bold, between(19.0, 13.0)),
            target: Type::new(Face::Serif, between(17.0, 12.0)),
            hang: Type::new(Face::Serif, between(13.0, 10.0)),
            before: Type::new(Face::Serif, between(11.0, 8.8)),
            notes: Type::new(Face::Italic, between(11.0, 9.0)),
            field: between(29.0, 17.5),
            pad: between(2.5, 0.8),
            gap: between(11.0, 3.0),
            lanes: between(110.0, 56.0),
        }
    }
}

/// Lays sheets on pages and writes them, each session on its own page.
///
/// # Errors
/// A drawing that cannot be read: a mistake of ours.
pub fn sheets(views: &[SheetView], about: &About, paper: Paper) -> Result<Vec<u8>, NotWritten> {
    let (pages, tree) = pages(views, paper)?;
    writer::write(&pages, &tree, about, paper)
}

/// The pages before they are written.
pub(super) fn pages(views: &[SheetView], paper: Paper) -> Result<(Vec<Page>, Tree), NotWritten> {
    let mut done = (Vec::new(), Tree::default());
    for (nth, view) in views.iter().enumerate() {
        // What the sheet before says as well is read out once, and printed on each.
        let before = nth.checked_sub(1).and_then(|n| views.get(n));
        let told = before.is_some_and(|b| b.cautions == view.cautions && b.remarks == view.remarks);
        let foot = Foot { told, ..Foot::of(view, paper) };
        let mut c = Composer::new(paper, MARGIN, foot.height, done);
        sheet(&mut c, view, &foot)?;
        done = c.finish();
    }
    Ok(done)
}

/// Cautions and remarks under every page of a session.
struct Foot {
    remarks: Vec<String>,
    cautions: Vec<String>,
    height: f64,
    told: bool,
}

impl Foot {
    fn of(view: &SheetView, paper: Paper) -> Self {
        let room = paper.size().0 - 2.0 * MARGIN;
        let broken = |texts: &[String]| match texts {
            [] => Vec::new(),
            some => SMALL.broken(&some.join(" "), room),
        };
        let (remarks, cautions) = (broken(&view.remarks), broken(&view.cautions));
        let lines = (remarks.len() + cautions.len()) as f64;
        Self { remarks, cautions, height: MARGIN * 0.8 + lines * SMALL.line() + 8.0, told: false }
    }
}

fn sheet(c: &mut Composer, view: &SheetView, foot: &Foot) -> Result<(), NotWritten> {
    let first = c.count();
    let section = c.tree.add(None, PartKind::Section);
    head(c, section, view);
    let sizes = chosen(c, view);
    let width = c.width();
    c.drawing(Some(section), &low_lanes(&view.lanes, (width, sizes.lanes), "lanes"), width)?;
    c.y += 0.5 * sizes.gap;
    let columns = Columns::of(view, &sizes, width);
    for block in &view.blocks {
        let high = block_height(block, &sizes, &columns);
        if c.room() < high.min(c.whole() - 40.0) {
            overleaf(c, view);
        }
        lay_block(c, section, block, view, (&sizes, &columns));
    }
    notes(c, &sizes);
    under(c, section, foot, first);
    Ok(())
}

/// Name, session, day and length.
fn head(c: &mut Composer, section: PartId, view: &SheetView) {
    let right = c.size.0 - MARGIN;
    let top = c.y;
    let heading = format!("{}: {}", view.client, view.title);
    let part = c.tree.add(Some(section), PartKind::Heading(1, heading.clone()));
    c.tree.entries.push(OutlineEntry {
        level: 1,
        text: format!("{}, {}", view.title, view.when),
        page: c.count() - 1,
        y: top,
    });
    let when = WHEN.width(&view.when);
    let blank = if view.undated { DATE_BLANK } else { 0.0 };
    let room = c.width() - when - blank - GAP;
    let kind = if CLIENT.width(&view.client) <= room { CLIENT } else { TITLE };
    for line in kind.broken(&view.client, room) {
        let mark = kind.at(MARGIN, c.y, &format!("{line} "));
        c.page().put(part, mark);
        c.y += kind.line();
    }
    let length = WHEN.width(&view.length);
    // A title that is long may go under its own beginning; the length stands beside the first line.
    let lines = TITLE.broken(&view.title, c.width() - length - GAP);
    let under = c.y;
    for line in lines {
        let mark = TITLE.at(MARGIN, c.y, &format!("{line} "));
        c.page().put(part, mark);
        c.y += TITLE.line();
    }
    let told = c.tree.add(Some(section), PartKind::Text);
    let mark = WHEN.at(right - when, top + 5.0, &format!("{} ", view.when));
    c.page().put(told, mark);
    let mark = WHEN.at(right - length, under + 1.5, &view.length);
    c.page().put(told, mark);
    if view.undated {
        let (y, to) = (top + 5.0 + WHEN.size, right - when - 10.0);
        c.page().deck(PaperMark::line([to - DATE_BLANK + 30.0, y, to, y], Pen::plain(Ink::SOFT, 0.6)));
        c.page().deck(FIELD.at(to - DATE_BLANK + 10.0, y - FIELD.size, "date"));
    }
    c.y += 3.0;
    c.rule(Ink::BLACK, 0.8);
    c.y += 5.0;
}

/// The roomiest sizes that need the fewest pages.
fn chosen(c: &Composer, view: &SheetView) -> Sizes {
    let tried = TRIED.map(|tight| {
        let sizes = Sizes::of(tight);
        let columns = Columns::of(view, &sizes, c.width());
        let lanes = low_height(&view.lanes, sizes.lanes);
        let pages = pages_for(c, view, &sizes, &columns, lanes);
        (pages, sizes)
    });
    let least = tried.iter().map(|(pages, _)| *pages).min().unwrap_or(1);
    let mut fitting = tried.into_iter().filter(|(pages, _)| *pages == least);
    fitting.next().map_or_else(|| Sizes::of(1.0), |(_, sizes)| sizes)
}

fn pages_for(c: &Composer, view: &SheetView, sizes: &Sizes, columns: &Columns, lanes: f64) -> usize {
    let mut room = c.room() - lanes - 0.5 * sizes.gap;
    let mut pages = 1;
    for block in &view.blocks {
        let high = block_height(block, sizes, columns);
        if room < high {
            pages += 1;
            room = c.whole() - OVERLEAF;
        }
        room -= high;
    }
    pages
}

/// Height of the head of a page that goes on.
const OVERLEAF: f64 = 30.0;

fn overleaf(c: &mut Composer, view: &SheetView) {
    const HEAD: Type = Type::new(Face::Bold, 11.0);
    c.turn();
    let y = c.y;
    let words = format!("{}, continued: {}", view.title, view.client);
    let mut lines = HEAD.broken(&words, c.width() - 12.0).into_iter();
    let first = lines.next().unwrap_or_default();
    let more = if lines.next().is_some() { "\u{2026}" } else { "" };
    c.page().deck(HEAD.at(MARGIN, y, &format!("{first}{more}")));
    c.y += HEAD.line() + 3.0;
    c.rule(Ink::BLACK, 0.8);
    c.y += OVERLEAF - HEAD.line() - 3.0;
}

/// Widths of the columns, the same for all exercises of a session.
struct Columns {
    width: f64,
    load: f64,
    target: f64,
}

impl Columns {
    fn of(view: &SheetView, sizes: &Sizes, width: f64) -> Self {
        let lines = || view.blocks.iter().flat_map(|b| &b.lines);
        let load = lines().map(|l| sizes.load.width(&l.load)).fold(0.0, f64::max);
        let target = lines().map(|l| sizes.target.width(&l.target)).fold(0.0, f64::max);
        Self { width, load, target }
    }

    fn name(&self) -> f64 {
        (self.width - INDENT - self.target - self.load - 2.0 * GAP).max(90.0)
    }

    /// Room for rest and warm-up beside what is hung.
    fn beside(&self, line: &SheetLine, sizes: &Sizes) -> f64 {
        self.width - INDENT - sizes.hang.width(&line.hang) - GAP
    }
}

struct LinePlan {
    name: Vec<String>,
    hang: Vec<String>,
    before: Vec<String>,
    beside: bool,
    rows: u32,
    each: u32,
}

impl LinePlan {
    fn of(line: &SheetLine, sizes: &Sizes, columns: &Columns) -> Self {
        let lines = |kind: Type, text: &str, room: f64| match text {
            "" => Vec::new(),
            some => kind.broken(some, room),
        };
        let hang = lines(sizes.hang, &line.hang, columns.width - INDENT);
        let room = columns.beside(line, sizes);
        let under = lines(sizes.before, &line.before, columns.width - INDENT);
        let next_to = lines(sizes.before, &line.before, room.max(BESIDE_LEAST));
        // Beside what is hung, unless that needs more lines than under it.
        let high = |before: usize| before as f64 * sizes.before.line();
        let stacked = hang.len() as f64 * sizes.hang.line() + high(under.len());
        let beside = room >= BESIDE_LEAST && high(next_to.len()) <= stacked;
        let before = if beside { next_to } else { under };
        let each = line.sets.clamp(1, FIELDS_MOST);
        let name = sizes.name.broken(&line.name, columns.name());
        Self { name, hang, before, beside, rows: line.sets.div_ceil(each), each }
    }

    fn head(&self, sizes: &Sizes) -> f64 {
        (self.name.len() as f64 * sizes.name.line()).max(ONE_LINE * sizes.load.size)
    }

    fn middle(&self, sizes: &Sizes) -> f64 {
        let hang = self.hang.len() as f64 * sizes.hang.line();
        let before = self.before.len() as f64 * sizes.before.line();
        if self.beside { hang.max(before) } else { hang + before }
    }

    /// Fields in rows, a little apart.
    fn fields(&self, sizes: &Sizes) -> f64 {
        f64::from(self.rows) * (sizes.field + ROWS_APART) - ROWS_APART
    }

    fn height(&self, sizes: &Sizes) -> f64 {
        self.head(sizes) + self.middle(sizes) + sizes.pad + self.fields(sizes) + sizes.gap
    }
}

fn block_height(block: &SheetBlock, sizes: &Sizes, columns: &Columns) -> f64 {
    block.lines.iter().map(|l| LinePlan::of(l, sizes, columns).height(sizes)).sum::<f64>()
}

fn lay_block(
    c: &mut Composer,
    section: PartId,
    block: &SheetBlock,
    view: &SheetView,
    (sizes, columns): (&Sizes, &Columns),
) {
    let (from, page) = (c.y, c.count());
    for line in &block.lines {
        let plan = LinePlan::of(line, sizes, columns);
        if c.room() < plan.height(sizes) - sizes.gap && c.whole() > plan.height(sizes) + OVERLEAF {
            overleaf(c, view);
        }
        lay_line(c, section, line, &plan, (sizes, columns));
    }
    if block.lines.len() > 1 && c.count() == page {
        let (x, to) = (MARGIN - 7.0, c.y - sizes.gap);
        let pen = || Pen::plain(Ink::BLACK, 1.2);
        c.page().deck(PaperMark::line([x, from + 2.0, x, to], pen()));
        c.page().deck(PaperMark::line([x, from + 2.0, x + 4.0, from + 2.0], pen()));
        c.page().deck(PaperMark::line([x, to, x + 4.0, to], pen()));
    }
}

/// What an exercise is, how much of it, what to hang, and fields to write in.
fn lay_line(
    c: &mut Composer,
    section: PartId,
    line: &SheetLine,
    plan: &LinePlan,
    (sizes, columns): (&Sizes, &Columns),
) {
    let right = c.size.0 - MARGIN;
    let heading = c.tree.add(Some(section), PartKind::Heading(2, format!("{} {}", line.label, line.name)));
    let (top, left) = (c.y, MARGIN + INDENT);
    // Names, targets and loads of different sizes stand on one base line.
    let base = |kind: Type| 0.9 * (sizes.load.size - kind.size);
    let label = sizes.name.at(MARGIN, top + base(sizes.name), &format!("{} ", line.label));
    c.page().put(heading, label);
    for (nth, text) in plan.name.iter().enumerate() {
        let y = top + base(sizes.name) + nth as f64 * sizes.name.line();
        c.page().put(heading, sizes.name.at(left, y, &format!("{text} ")));
    }
    let told = c.tree.add(Some(section), PartKind::Text);
    let x = right - columns.load - GAP - sizes.target.width(&line.target);
    c.page().put(told, sizes.target.at(x, top + base(sizes.target), &format!("{} ", line.target)));
    let x = right - sizes.load.width(&line.load);
    c.page().put(told, sizes.load.at(x, top, &format!("{} ", line.load)));
    c.y = top + plan.head(sizes);
    let middle = c.y;
    for text in &plan.hang {
        let x = right - sizes.hang.width(text);
        let mark = sizes.hang.at(x, c.y, &format!("{text} "));
        c.page().put(told, mark);
        c.y += sizes.hang.line();
    }
    if plan.beside {
        c.y = middle + 0.9 * (sizes.hang.size - sizes.before.size).max(0.0);
    }
    for text in &plan.before {
        let mark = sizes.before.at(left, c.y, &format!("{text} "));
        c.page().put(told, mark);
        c.y += sizes.before.line();
    }
    c.y = middle + plan.middle(sizes) + sizes.pad;
    fields(c, section, line, plan, sizes);
    c.y += sizes.gap;
}

/// A field for every set: what was lifted, how often, what was left. Who listens is told that there is room to write.
fn fields(c: &mut Composer, section: PartId, line: &SheetLine, plan: &LinePlan, sizes: &Sizes) {
    let told = format!(
        "Room to write {} for each of {} sets of the exercise {}.",
        line.fields.join(", "),
        line.sets,
        line.name
    );
    let part = c.tree.add(Some(section), PartKind::Figure(told));
    let wide = ((c.width() - INDENT) / f64::from(plan.each.max(3))).min(FIELD_WIDEST);
    for set in 0..line.sets {
        let (row, place) = (set / plan.each, set % plan.each);
        let x = MARGIN + INDENT + wide * f64::from(place);
        let y = c.y + f64::from(row) * (sizes.field + ROWS_APART);
        field(c.page(), part, &line.fields, set, [x, y, wide - 4.0, sizes.field]);
    }
    c.y += plan.fields(sizes);
}

fn field(page: &mut Page, part: PartId, names: &[String], set: u32, [x, y, wide, high]: [f64; 4]) {
    page.put(part, PaperMark::rect([x, y, wide, high], None, Some(Pen::plain(Ink::SOFT, 0.6))));
    page.put(part, FIELD.at(x + 2.5, y + 1.0, &format!("{} ", set + 1)));
    let each = wide / names.len().max(1) as f64;
    for (nth, name) in names.iter().enumerate() {
        let from = x + each * nth as f64;
        if nth > 0 {
            page.put(
                part,
                PaperMark::line([from, y + high - 8.0, from, y + high], Pen::plain(Ink::SOFT, 0.5)),
            );
        }
        let at = from + each - 3.0 - FIELD.width(name);
        page.put(part, FIELD.at(at, y + high - FIELD.line() + 0.5, &format!("{name} ")));
    }
}

/// Lines to write on, where the page has room for them.
fn notes(c: &mut Composer, sizes: &Sizes) {
    const APART: f64 = 21.0;
    const MOST: usize = 4;
    let lines = ((c.room() - sizes.before.line()) / APART).floor().clamp(0.0, MOST as f64) as usize;
    if lines == 0 {
        return;
    }
    let mark = sizes.notes.at(MARGIN, c.y + 4.0, "Notes: sleep, aches, what to change");
    c.page().deck(mark);
    for nth in 1..=lines {
        let y = c.y + nth as f64 * APART;
        let from = if nth == 1 {
            MARGIN + sizes.notes.width("Notes: sleep, aches, what to change") + 8.0
        } else {
            MARGIN
        };
        let right = c.size.0 - MARGIN;
        c.page().deck(PaperMark::line([from, y, right, y], Pen::plain(Ink::PALE, 0.6)));
    }
}

/// Remarks and cautions: read out once, printed under every page.
fn under(c: &mut Composer, section: PartId, foot: &Foot, first: usize) {
    let (bottom, right) = (c.bottom, c.size.0 - MARGIN);
    let parts = [&foot.remarks, &foot.cautions].map(|lines| {
        let some = !lines.is_empty() && !foot.told;
        some.then(|| c.tree.add(Some(section), PartKind::Text))
    });
    for (nth, page) in c.pages().enumerate().skip(first - 1) {
        let mut y = bottom + 4.0;
        page.deck(PaperMark::line([MARGIN, y - 2.0, right, y - 2.0], Pen::plain(Ink::BLACK, 0.5)));
        for (lines, part) in [&foot.remarks, &foot.cautions].into_iter().zip(parts) {
            for line in lines {
                let mark = SMALL.at(MARGIN, y, &format!("{line} "));
                match part.filter(|_| nth + 1 == first) {
                    Some(part) => page.put(part, mark),
                    None => page.deck(mark),
                }
                y += SMALL.line();
            }
        }
    }
}
