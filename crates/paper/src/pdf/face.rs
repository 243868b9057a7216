//! Typefaces as layout needs them: which glyph a letter has, how wide a run of text is, where a paragraph breaks.

use crate::fonts;
use krilla::text::Font;
use std::collections::BTreeMap;
use std::sync::OnceLock;
use ttf_parser::GlyphId;

/// A typeface of a document.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// Running text.
    Serif,
    /// What is read first.
    Bold,
    /// Remarks.
    Italic,
    /// Drawings and what is filled in.
    Sans,
}

/// A glyph of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedGlyph {
    /// Number of the glyph in its typeface.
    pub glyph: u16,
    /// Bytes of the text that it stands for.
    pub range: std::ops::Range<usize>,
    /// How far the next one is, as a share of the size.
    pub advance: f64,
}

/// What is drawn for a letter that no typeface here has. The text behind it keeps the letter.
const MISSING: char = '\u{25a1}';

struct Loaded {
    font: Font,
    face: ttf_parser::Face<'static>,
    per_em: f64,
    common: BTreeMap<char, (u16, f64)>,
}

impl Loaded {
    fn new(bytes: &'static [u8]) -> Option<Self> {
        let font = Font::new(bytes.into(), 0)?;
        let face = ttf_parser::Face::parse(bytes, 0).ok()?;
        let mut loaded = Self { font, per_em: f64::from(face.units_per_em()), face, common: BTreeMap::new() };
        loaded.common = (' '..='~').map(|c| (c, loaded.look_up(c))).collect();
        Some(loaded)
    }

    fn look_up(&self, letter: char) -> (u16, f64) {
        let glyph = self
            .face
            .glyph_index(letter)
            .or_else(|| self.face.glyph_index(MISSING))
            .or_else(|| self.face.glyph_index('?'))
            .unwrap_or(GlyphId(0));
        let advance = self.face.glyph_hor_advance(glyph).unwrap_or(0);
        (glyph.0, f64::from(advance) / self.per_em)
    }

    fn of(&self, letter: char) -> (u16, f64) {
        self.common.get(&letter).copied().unwrap_or_else(|| self.look_up(letter))
    }

    fn kerning(&self, left: u16, right: u16) -> f64 {
        let tables = self.face.tables().kern.into_iter().flat_map(|kern| kern.subtables);
        let mut plain = tables.filter(|t| t.horizontal && !t.has_cross_stream && !t.has_state_machine);
        let units = plain.find_map(|t| t.glyphs_kerning(GlyphId(left), GlyphId(right)));
        units.map_or(0.0, |units| f64::from(units) / self.per_em)
    }
}

fn loaded(face: Face) -> Option<&'static Loaded> {
    static ALL: OnceLock<[Option<Loaded>; 4]> = OnceLock::new();
    let all = ALL
        .get_or_init(|| [fonts::SERIF, fonts::SERIF_BOLD, fonts::SERIF_ITALIC, fonts::SANS].map(Loaded::new));
    all.get(face as usize).and_then(Option::as_ref)
}

/// The typeface as the writer of PDF takes it; none if the embedded file were broken.
pub fn font(face: Face) -> Option<Font> {
    loaded(face).map(|l| l.font.clone())
}

/// The glyphs of a text, each with the way to the next one.
pub fn glyphs(face: Face, text: &str) -> Vec<PlacedGlyph> {
    let Some(of) = loaded(face) else { return Vec::new() };
    let mut out: Vec<PlacedGlyph> = Vec::with_capacity(text.len());
    for (at, letter) in text.char_indices() {
        let (glyph, advance) = of.of(letter);
        if let Some(last) = out.last_mut() {
            last.advance += of.kerning(last.glyph, glyph);
        }
        out.push(PlacedGlyph { glyph, range: at..at + letter.len_utf8(), advance });
    }
    out
}

/// How wide a text is.
pub fn width(face: Face, size: f64, text: &str) -> f64 {
    size * glyphs(face, text).iter().map(|g| g.advance).sum::<f64>()
}

/// A paragraph broken into lines that fit a width. A word that fits no line is broken where it must.
pub fn broken(face: Face, size: f64, text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let (mut line, mut long) = (String::new(), 0.0);
    let blank = width(face, size, " ");
    for word in text.split_whitespace() {
        for piece in pieces(face, size, word, room) {
            let wide = width(face, size, &piece);
            if line.is_empty() {
                (line, long) = (piece, wide);
            } else if long + blank + wide <= room {
                line.push(' ');
                line.push_str(&piece);
                long += blank + wide;
            } else {
                lines.push(std::mem::replace(&mut line, piece));
                long = wide;
            }
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// A word, or the parts of one that is wider than a line.
fn pieces(face: Face, size: f64, word: &str, room: f64) -> Vec<String> {
    if width(face, size, word) <= room {
        return vec![word.to_owned()];
    }
    // At its hyphens, if each part then fits.
    let parts: Vec<String> = word.split_inclusive('-').map(str::to_owned).collect();
    if parts.len() > 1 && parts.iter().all(|part| width(face, size, part) <= room) {
        return joined(face, size, parts, room);
    }
    let mut out = vec![String::new()];
    for letter in word.chars() {
        let Some(last) = out.last_mut() else { break };
        let mut longer = last.clone();
        longer.push(letter);
        if last.is_empty() || width(face, size, &longer) <= room {
            *last = longer;
        } else {
            out.push(letter.to_string());
        }
    }
    out
}

/// Parts of a word put together again as far as they fit.
fn joined(face: Face, size: f64, parts: Vec<String>, room: f64) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for part in parts {
        match out.last_mut() {
            Some(last) if width(face, size, &format!("{last}{part}")) <= room => last.push_str(&part),
            _ => out.push(part),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_typeface_is_there_and_kerns() {
        for face in [Face::Serif, Face::Bold, Face::Italic, Face::Sans] {
            assert!(font(face).is_some());
            let apart = width(face, 10.0, "A") + width(face, 10.0, "V");
            assert!(width(face, 10.0, "AV") < apart, "{face:?}");
        }
    }

    #[test]
    fn a_paragraph_breaks_at_words_and_a_long_word_where_it_must() {
        let lines = broken(Face::Serif, 10.0, "a squat, then Donaudampfschifffahrtsgesellschaft", 60.0);
        assert!(lines.iter().all(|l| width(Face::Serif, 10.0, l) <= 60.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), "asquat,thenDonaudampfschifffahrtsgesellschaft");
        assert_eq!(broken(Face::Serif, 10.0, "", 60.0), [""]);
    }

    #[test]
    fn a_letter_that_is_not_there_has_a_glyph_and_keeps_its_text() {
        let run = glyphs(Face::Serif, "a\u{674e}b");
        assert!(run.iter().all(|g| g.glyph != 0), "{run:?}");
        assert_eq!(run.get(1).map(|g| g.range.clone()), Some(1..4));
    }
}
