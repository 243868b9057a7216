//! How text is laid out on a terminal: columns that line up, paragraphs that wrap, colour that only repeats
//! what a word already says. It holds no words of its own.

use setwright_model::Severity;

/// Width of everything that is printed.
pub const WIDTH: usize = 100;

/// On which side the cells of a column stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellAlign {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Rows of cells that line up, without lines or boxes.
#[derive(Clone, Debug, Default)]
pub struct Columns {
    sides: Vec<CellAlign>,
    rows: Vec<Row>,
}

#[derive(Clone, Debug)]
enum Row {
    Cells(Vec<String>),
    /// A line under the row before, from the second column on.
    Under(String),
}

impl Row {
    fn cell(&self, column: usize) -> Option<&String> {
        match self {
            Self::Cells(cells) => cells.get(column),
            Self::Under(_) => None,
        }
    }
}

/// Words, in a list of columns.
pub const LEFT: CellAlign = CellAlign::Left;
/// Numbers, in a list of columns.
pub const RIGHT: CellAlign = CellAlign::Right;

impl Columns {
    /// Columns with cells on these sides.
    pub fn new(sides: &[CellAlign]) -> Self {
        Self { sides: sides.to_vec(), rows: Vec::new() }
    }

    /// Adds a row.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        self.rows.push(Row::Cells(cells.into_iter().map(Into::into).collect()));
    }

    /// Adds a line under the row before, from the second column on.
    pub fn under(&mut self, text: impl Into<String>) {
        self.rows.push(Row::Under(text.into()));
    }

    /// Whether there is nothing to show.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The rows as lines, two blanks between columns, with this many blanks before each. The last column wraps
    /// under itself when it would pass the width.
    pub fn lines(&self, indent: usize) -> String {
        let widths: Vec<usize> = (0..self.sides.len())
            .map(|c| self.rows.iter().filter_map(|r| r.cell(c)).map(|s| width(s)).max().unwrap_or(0))
            .collect();
        self.rows
            .iter()
            .map(|row| match row {
                Row::Cells(cells) => self.line(cells, &widths, indent),
                Row::Under(text) => {
                    let hang = indent + widths.first().copied().unwrap_or(0) + 2;
                    wrapped(text, hang, hang + 8)
                }
            })
            .collect()
    }

    fn line(&self, row: &[String], widths: &[usize], indent: usize) -> String {
        let mut line = " ".repeat(indent);
        for (c, cell) in row.iter().enumerate() {
            let is_last = c + 1 == self.sides.len();
            let blanks = widths.get(c).copied().unwrap_or(0).saturating_sub(width(cell));
            match self.sides.get(c) {
                Some(CellAlign::Left) if is_last => {
                    let hang = width(&line);
                    line.push_str(&hung(cell, hang));
                }
                Some(CellAlign::Right) => {
                    line.push_str(&" ".repeat(blanks));
                    line.push_str(cell);
                }
                _ => {
                    line.push_str(cell);
                    line.push_str(&" ".repeat(blanks));
                }
            }
            if !is_last {
                line.push_str("  ");
            }
        }
        format!("{}\n", line.trim_end())
    }
}

/// How many columns a text takes; our texts hold no wide letters.
pub fn width(text: &str) -> usize {
    text.chars().count()
}

/// A text that begins at column `hang` and goes on under its own beginning.
fn hung(text: &str, hang: usize) -> String {
    let room = WIDTH.saturating_sub(hang).max(24);
    let lines = broken(text, room);
    lines.join(&format!("\n{}", " ".repeat(hang)))
}

/// A paragraph wrapped to the width, each line after `first` blanks (`rest` from the second line on).
pub fn wrapped(text: &str, first: usize, rest: usize) -> String {
    wrapped_within(text, WIDTH, first, rest)
}

/// The same within another width.
pub fn wrapped_within(text: &str, width: usize, first: usize, rest: usize) -> String {
    let lines = broken(text, width.saturating_sub(first.max(rest)));
    let mut out = String::new();
    for (i, line) in lines.iter().enumerate() {
        out.push_str(&" ".repeat(if i == 0 { first } else { rest }));
        out.push_str(line);
        out.push('\n');
    }
    out
}

fn broken(text: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let fits = |line: &String| line.is_empty() || width(line) + 1 + width(word) <= room;
        match lines.last_mut() {
            Some(line) if fits(line) => {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Colour for words that already say the same: the nearest of the 256 to Okabe and Ito's palette.
#[derive(Clone, Copy, Debug, Default)]
pub struct Paint {
    /// Whether colour is wanted at all.
    pub on: bool,
}

impl Paint {
    /// Vermilion.
    pub fn bad(self, text: &str) -> String {
        self.with("38;5;166", text)
    }
    /// Green.
    pub fn good(self, text: &str) -> String {
        self.with("38;5;36", text)
    }
    /// Orange.
    pub fn doubt(self, text: &str) -> String {
        self.with("38;5;172", text)
    }
    /// The word for how serious something is.
    pub fn severity(self, severity: Severity) -> String {
        match severity {
            Severity::Error => self.bad("error"),
            Severity::Warning => self.doubt("warning"),
            Severity::Note => "note".to_owned(),
        }
    }

    fn with(self, code: &str, text: &str) -> String {
        if self.on { format!("\u{1b}[{code}m{text}\u{1b}[0m") } else { text.to_owned() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up_and_carry_no_blanks_at_the_end() {
        let mut columns = Columns::new(&[LEFT, RIGHT, LEFT]);
        columns.row(["squat", "3", "x"]);
        columns.row(["row", "12", ""]);
        assert_eq!(columns.lines(2), "  squat   3  x\n  row    12\n");
    }

    #[test]
    fn a_long_last_cell_goes_on_under_itself() {
        let mut columns = Columns::new(&[LEFT, LEFT]);
        columns.row(["a".to_owned(), "word ".repeat(30)]);
        let lines = columns.lines(0);
        assert!(lines.lines().count() > 1);
        assert!(lines.lines().all(|l| width(l) <= WIDTH));
        assert!(lines.lines().skip(1).all(|l| l.starts_with("   word")));
    }

    #[test]
    fn without_colour_a_word_is_only_itself() {
        assert_eq!(Paint { on: false }.severity(Severity::Error), "error");
        assert!(Paint { on: true }.severity(Severity::Error).contains("error"));
    }
}
