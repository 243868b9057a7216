//! From pages and parts to the bytes of a PDF. It decides nothing of how things look.
//!
//! The document is written as PDF 1.7 after PDF/UA-1: the writer's own checks refuse one without title, language, list of
//! contents, or with a figure that is not told in words.

use super::face::{self, Face};
use super::ink::{Fill, Ink, Page, PaperMark, Pen};
use super::tree::{OutlineEntry, PartId, PartKind, Tree};
use super::{About, NotWritten, Paper};
use crate::narrow::narrow;
use krilla::color::rgb;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{FillRule, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, SpanTag, TableHeaderScope, Tag, TagGroup,
    TagTree,
};
use krilla::text::{GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};
use std::collections::BTreeMap;
use std::num::NonZeroU16;

/// Language of all documents.
const LANGUAGE: &str = "en-GB";
/// The program that made it.
const PROGRAM: &str = concat!("Setwright ", env!("CARGO_PKG_VERSION"));
/// How far the handles of a curve lie from its ends for a quarter of a circle, as a share of the radius
/// (exact to 0.03 %; numeric).
const QUARTER: f64 = 0.552_284_75;

type Found = BTreeMap<PartId, Vec<Identifier>>;

/// Writes a document.
pub fn write(pages: &[Page], tree: &Tree, about: &About, paper: Paper) -> Result<Vec<u8>, NotWritten> {
    let configuration = ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|e| NotWritten::because(&format!("{e:?}")))?;
    let mut document =
        Document::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    document.set_metadata(metadata(about));
    let (width, height) = paper.size();
    let mut found = Found::new();
    for page in pages {
        let settings = PageSettings::from_wh(narrow(width), narrow(height))
            .ok_or_else(|| NotWritten::because("a page has no size"))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        lay(page, &mut surface, &mut found)?;
        surface.finish();
        sheet.finish();
    }
    document.set_outline(outline(&tree.entries));
    document.set_tag_tree(tags(tree, &found));
    document.finish().map_err(|e| NotWritten::because(&format!("{e:?}")))
}

fn metadata(about: &About) -> Metadata {
    let all = Metadata::new()
        .title(about.title.clone())
        .description(about.subject.clone())
        .language(LANGUAGE.to_owned())
        .creator(PROGRAM.to_owned())
        .producer(PROGRAM.to_owned())
        .document_id(format!("{} {}", about.title, about.subject));
    let Some((year, month, day)) = about.date else { return all };
    let narrow = |n: u32| u8::try_from(n).unwrap_or(1);
    all.creation_date(DateTime::new(u16::try_from(year).unwrap_or(0)).month(narrow(month)).day(narrow(day)))
}

fn lay(page: &Page, surface: &mut Surface<'_>, found: &mut Found) -> Result<(), NotWritten> {
    let is_text = |mark: &PaperMark| matches!(mark, PaperMark::Text { .. });
    let together = |a: &(Option<PartId>, PaperMark), b: &(Option<PartId>, PaperMark)| {
        a.0 == b.0 && (a.0.is_some() || is_text(&a.1) == is_text(&b.1))
    };
    for run in page.marks.chunk_by(together) {
        let part = run.first().and_then(|(part, _)| *part);
        let tag = match (part, run.first().is_some_and(|(_, mark)| is_text(mark))) {
            (Some(_), _) => ContentTag::Span(SpanTag::empty()),
            // Words for the eye alone repeat what stands elsewhere: heads of tables, feet of pages.
            (None, true) => ContentTag::Artifact(Artifact::with_kind(ArtifactType::PaginationOther)),
            (None, false) => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
        };
        let id = surface.start_tagged(tag);
        for (_, mark) in run {
            put(mark, surface)?;
        }
        surface.end_tagged();
        if let Some(part) = part {
            found.entry(part).or_default().push(id);
        }
    }
    Ok(())
}

fn put(mark: &PaperMark, surface: &mut Surface<'_>) -> Result<(), NotWritten> {
    match mark {
        PaperMark::Text { at, size, face, ink, text } => run(*at, *size, *face, *ink, text, surface),
        PaperMark::Shape { points, closed, fill, pen } => {
            if let Some(outline) = outlined(points, *closed) {
                shape(&outline, &ends(points), fill.as_ref(), pen.as_ref(), surface);
            }
            Ok(())
        }
        PaperMark::Disc { at, radius, fill, pen } => {
            if let Some(outline) = disc(*at, *radius) {
                let (x, y) = *at;
                let around = [x - radius, y - radius, x + radius, y + radius];
                shape(&outline, &around, fill.as_ref(), pen.as_ref(), surface);
            }
            Ok(())
        }
    }
}

fn run(
    (x, y): (f64, f64),
    size: f64,
    face: Face,
    ink: Ink,
    text: &str,
    surface: &mut Surface<'_>,
) -> Result<(), NotWritten> {
    if text.is_empty() {
        return Ok(());
    }
    let font = face::font(face).ok_or_else(|| NotWritten::because("a typeface is broken"))?;
    let glyph = |g: face::PlacedGlyph| {
        let id = GlyphId::new(u32::from(g.glyph));
        KrillaGlyph::new(id, narrow(g.advance), narrow(0.0), narrow(0.0), narrow(0.0), g.range, None)
    };
    let glyphs: Vec<KrillaGlyph> = face::glyphs(face, text).into_iter().map(glyph).collect();
    surface.set_fill(Some(plain(ink, 1.0)));
    surface.set_stroke(None);
    surface.draw_glyphs(point(x, y), &glyphs, font, text, narrow(size), false);
    Ok(())
}

fn shape(path: &Path, around: &[f64; 4], fill: Option<&Fill>, pen: Option<&Pen>, surface: &mut Surface<'_>) {
    if let Some(Fill::Hatch(ink, apart, opacity)) = fill {
        hatch(path, around, *ink, *apart, *opacity, surface);
    }
    let inside = match fill {
        Some(Fill::Plain(ink, opacity)) => Some(plain(*ink, *opacity)),
        _ => None,
    };
    if inside.is_none() && pen.is_none() {
        return;
    }
    surface.set_fill(inside);
    surface.set_stroke(pen.map(stroke));
    surface.draw_path(path);
}

/// Lines at a slant, cut off at the edge of a shape.
fn hatch(path: &Path, around: &[f64; 4], ink: Ink, apart: f64, opacity: f64, surface: &mut Surface<'_>) {
    let [left, top, right, bottom] = *around;
    let (high, apart) = (bottom - top, apart.max(0.5));
    surface.push_clip_path(path, &FillRule::NonZero);
    surface.set_fill(None);
    let pen = Pen { ink, width: apart * 0.3, dash: Vec::new(), opacity };
    surface.set_stroke(Some(stroke(&pen)));
    let first = ((left - high) / apart).floor() * apart;
    let lines = ((right - first) / apart).ceil().max(0.0) as usize;
    for nth in 0..=lines {
        let x = first + apart * nth as f64;
        if let Some(line) = outlined(&[(x, top), (x + high, bottom)], false) {
            surface.draw_path(&line);
        }
    }
    surface.pop();
}

fn plain(Ink(red, green, blue): Ink, opacity: f64) -> krilla::paint::Fill {
    krilla::paint::Fill {
        paint: rgb::Color::new(red, green, blue).into(),
        opacity: share(opacity),
        rule: FillRule::NonZero,
    }
}

fn stroke(pen: &Pen) -> Stroke {
    let Ink(red, green, blue) = pen.ink;
    let dash = (!pen.dash.is_empty())
        .then(|| StrokeDash { array: pen.dash.iter().map(|d| narrow(*d)).collect(), offset: narrow(0.0) });
    Stroke {
        paint: rgb::Color::new(red, green, blue).into(),
        width: narrow(pen.width),
        opacity: share(pen.opacity),
        dash,
        ..Stroke::default()
    }
}

fn share(value: f64) -> NormalizedF32 {
    NormalizedF32::new(narrow(value.clamp(0.0, 1.0))).unwrap_or(NormalizedF32::ONE)
}

const fn point(x: f64, y: f64) -> Point {
    Point { x: narrow(x), y: narrow(y) }
}

fn outlined(points: &[(f64, f64)], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    for (nth, (x, y)) in points.iter().enumerate() {
        if nth == 0 {
            path.move_to(narrow(*x), narrow(*y));
        } else {
            path.line_to(narrow(*x), narrow(*y));
        }
    }
    if closed {
        path.close();
    }
    path.finish()
}

fn disc((x, y): (f64, f64), radius: f64) -> Option<Path> {
    let mut path = PathBuilder::new();
    let place = |along: f64, across: f64| (narrow(x + radius * along), narrow(y + radius * across));
    let (start_x, start_y) = place(1.0, 0.0);
    path.move_to(start_x, start_y);
    for (ux, uy) in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)] {
        // A quarter turn takes (ux, uy) to (-uy, ux).
        let (ax, ay) = place(ux - QUARTER * uy, uy + QUARTER * ux);
        let (bx, by) = place(-uy + QUARTER * ux, ux + QUARTER * uy);
        let (cx, cy) = place(-uy, ux);
        path.cubic_to(ax, ay, bx, by, cx, cy);
    }
    path.close();
    path.finish()
}

fn ends(points: &[(f64, f64)]) -> [f64; 4] {
    let start = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    points.iter().fold(start, |[l, t, r, b], (x, y)| [l.min(*x), t.min(*y), r.max(*x), b.max(*y)])
}

/// The list of contents: a heading stands under the last one of a lower level.
fn outline(entries: &[OutlineEntry]) -> Outline {
    let mut outline = Outline::new();
    let mut rest = entries;
    while let Some((node, left)) = branch(rest) {
        outline.push_child(node);
        rest = left;
    }
    outline
}

fn branch(entries: &[OutlineEntry]) -> Option<(OutlineNode, &[OutlineEntry])> {
    let (first, mut rest) = entries.split_first()?;
    let mut node = OutlineNode::new(first.text.clone(), XyzDestination::new(first.page, point(0.0, first.y)));
    while rest.first().is_some_and(|next| next.level > first.level) {
        let Some((child, left)) = branch(rest) else { break };
        node.push_child(child);
        rest = left;
    }
    Some((node, rest))
}

fn tags(tree: &Tree, found: &Found) -> TagTree {
    let mut all = TagTree::new();
    for part in tree.top() {
        if let Some(group) = group(*part, tree, found) {
            all.push(group);
        }
    }
    all
}

fn group(id: PartId, tree: &Tree, found: &Found) -> Option<TagGroup> {
    let part = tree.get(id)?;
    let mut group = match &part.kind {
        PartKind::Section => TagGroup::new(Tag::Section),
        PartKind::Heading(level, text) => {
            TagGroup::new(Tag::Hn(NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN), Some(text.clone())))
        }
        PartKind::Text => TagGroup::new(Tag::P),
        PartKind::List => TagGroup::new(Tag::L(ListNumbering::None)),
        PartKind::Item => TagGroup::new(Tag::LI),
        PartKind::ItemBody => TagGroup::new(Tag::LBody),
        PartKind::Figure(told) => TagGroup::new(Tag::Figure(Some(told.clone()))),
        PartKind::Table => TagGroup::new(Tag::Table),
        PartKind::TableHead => TagGroup::new(Tag::THead),
        PartKind::TableBody => TagGroup::new(Tag::TBody),
        PartKind::Row => TagGroup::new(Tag::TR),
        PartKind::HeadCell => TagGroup::new(Tag::TH(TableHeaderScope::Column)),
        PartKind::Cell => TagGroup::new(Tag::TD),
    };
    for identifier in found.get(&id).into_iter().flatten() {
        group.push(*identifier);
    }
    for under in &part.under {
        if let Some(child) = self::group(*under, tree, found) {
            group.push(child);
        }
    }
    Some(group)
}
