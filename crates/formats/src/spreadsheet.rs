//! Words in a cell that a spreadsheet opens: some begin what it takes for a formula. Every word of people's own that is written into a
//! CSV file passes here, and every one that is read from such a file comes back as it was.

use std::borrow::Cow;

/// With these a spreadsheet begins a formula, or a cell of its own before one; the last four are the wide forms, which some read alike
/// (OWASP, "CSV injection"). An apostrophe in front says that it is text.
const BEGINS: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

fn is_formula(text: &str) -> bool {
    text.trim_start_matches(['\'', ' ']).starts_with(BEGINS)
}

/// The text as a cell that is no formula.
pub fn cell_of(text: &str) -> Cow<'_, str> {
    if is_formula(text) { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

/// The text of a cell that was written so.
pub fn text_of(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|text| is_formula(text)).unwrap_or(cell)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_is_no_formula_and_comes_back_as_it_was() {
        for text in
            ["", "Mara", "O'Hara", "'Mara'", "=1", " =1", "'=1", "''=1", "-2", "+49 30", "@a", "\t=1", "\r1"]
        {
            let cell = cell_of(text);
            assert!(!cell.starts_with(BEGINS), "{text:?}");
            assert_eq!(text_of(&cell), text, "{cell:?}");
        }
        assert_eq!((cell_of("O'Hara"), cell_of("=1")), ("O'Hara".into(), "'=1".into()));
    }
}
