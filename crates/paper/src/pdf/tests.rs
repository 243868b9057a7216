//! Documents as readers and printers meet them. With `SETWRIGHT_PAPERS=FOLDER` the PDFs are kept to be looked at.

use super::face;
use super::ink::{Page, PaperMark};
use super::sheet::pages;
use super::*;
use crate::lanes::{Bar, BarKind, BlockBand, Lane, Lanes};

fn about() -> About {
    About {
        title: "Session sheets: Mara".to_owned(),
        subject: "To train from".to_owned(),
        date: Some((2026, 11, 3)),
    }
}

const LONGEST: &str = "rear-foot-raised split squat on a chair with pause";

fn line(label: &str, name: &str, sets: u32) -> SheetLine {
    SheetLine {
        label: label.to_owned(),
        name: name.to_owned(),
        target: format!("{sets} \u{d7} 12\u{2013}15 a side, 2 left"),
        load: "102.5 kg".to_owned(),
        hang: "hang 25 + 10 + 5 + 1.25 a side".to_owned(),
        before:
            "Rest 2:30 min after each set. Warm-up: 8 \u{d7} 20 kg (bare), 5 \u{d7} 45 kg (10 + 2.5 a side), \
                 3 \u{d7} 65 kg (20 + 2.5 a side), 1 \u{d7} 85 kg (25 + 5 + 2.5 a side)."
                .to_owned(),
        sets,
        fields: ["kg", "reps", "left"].map(str::to_owned).to_vec(),
    }
}

fn lanes(blocks: &[SheetBlock]) -> Lanes {
    let bar = |from_s: f64, kind| Bar { from_s, length_s: 40.0, kind };
    let work = BarKind::Work { share: Some(0.7), near_failure: true };
    let lane = |l: &SheetLine, nth: usize| Lane {
        id: String::new(),
        name: l.name.clone(),
        what: l.target.clone(),
        bars: vec![bar(300.0 * nth as f64, BarKind::SetUp), bar(300.0 * nth as f64 + 90.0, work)],
    };
    let band = |(nth, b): (usize, &SheetBlock)| BlockBand {
        label: view_letter(nth),
        lanes: b.lines.iter().map(|l| lane(l, nth)).collect(),
    };
    let blocks: Vec<BlockBand> = blocks.iter().enumerate().map(band).collect();
    let end_s = 300.0 * blocks.len() as f64;
    Lanes { title: "Session 1".to_owned(), limit_s: Some(end_s * 0.8), end_s, blocks }
}

fn view_letter(nth: usize) -> String {
    char::from(b'A' + (nth % 26) as u8).to_string()
}

/// A session of so many blocks, each of so many exercises with these sets.
fn session(blocks: usize, together: usize, sets: u32, name: &str, client: &str) -> SheetView {
    let block = |nth: usize| SheetBlock {
        lines: (0..together)
            .map(|l| {
                let label =
                    if together > 1 { format!("{}{}", view_letter(nth), l + 1) } else { view_letter(nth) };
                line(&label, name, sets)
            })
            .collect(),
    };
    let blocks: Vec<SheetBlock> = (0..blocks).map(block).collect();
    SheetView {
        client: client.to_owned(),
        title: "Session 2, upper body".to_owned(),
        when: "Wednesday, 23 September 2026".to_owned(),
        undated: true,
        length: "152 of 160 minutes, 118 sets".to_owned(),
        lanes: lanes(&blocks),
        blocks,
        remarks: vec![
            "Loads are those of the programme. Left: how many more you could have done.".to_owned(),
        ],
        cautions: vec!["This is a training plan, not medical advice. ".repeat(4)],
    }
}

fn hard() -> Vec<SheetView> {
    let long =
        "Maximiliane-Alexandra von und zu Hohenlohe-Waldenburg-Schillingsfürst-Bartenstein, the second";
    vec![
        session(3, 1, 3, "back squat", "Mara"),
        session(6, 1, 4, "bench press", "Mara"),
        session(4, 2, 3, "one-arm row", "Bram"),
        session(12, 1, 4, LONGEST, long),
        session(12, 2, 5, LONGEST, long),
        session(1, 2, 30, LONGEST, "Ana"),
        session(40, 2, 5, LONGEST, long),
    ]
}

/// Left, top, right and bottom of a mark.
fn extent(mark: &PaperMark) -> [f64; 4] {
    match mark {
        PaperMark::Text { at: (x, y), size, face, text, .. } => {
            [*x, y - 0.72 * size, x + face::width(*face, *size, text.trim_end()), y + 0.2 * size]
        }
        PaperMark::Shape { points, .. } => {
            let xs = || points.iter().map(|p| p.0);
            let ys = || points.iter().map(|p| p.1);
            [
                xs().fold(f64::INFINITY, f64::min),
                ys().fold(f64::INFINITY, f64::min),
                xs().fold(f64::NEG_INFINITY, f64::max),
                ys().fold(f64::NEG_INFINITY, f64::max),
            ]
        }
        PaperMark::Disc { at: (x, y), radius, .. } => [x - radius, y - radius, x + radius, y + radius],
    }
}

/// What leaves the paper, and texts that run into each other.
fn faults(page: &Page, paper: Paper) -> Vec<String> {
    let (width, height) = paper.size();
    let mut out = Vec::new();
    let mut texts: Vec<([f64; 4], &str)> = Vec::new();
    for (_, mark) in &page.marks {
        let [left, top, right, bottom] = extent(mark);
        if left < 14.0 || top < 14.0 || right > width - 14.0 || bottom > height - 14.0 {
            out.push(format!("off the paper: {mark:?}"));
        }
        if let PaperMark::Text { text, .. } = mark {
            texts.push(([left, top, right, bottom], text));
        }
    }
    for (nth, (a, said)) in texts.iter().enumerate() {
        for (b, other) in texts.iter().skip(nth + 1) {
            let apart = a[2] <= b[0] + 0.2 || b[2] <= a[0] + 0.2 || a[3] <= b[1] + 0.2 || b[3] <= a[1] + 0.2;
            if !apart {
                out.push(format!("\"{said}\" {a:?} runs into \"{other}\" {b:?}"));
            }
        }
    }
    out
}

fn keep(name: &str, bytes: &[u8]) {
    if let Some(folder) = std::env::var_os("SETWRIGHT_PAPERS") {
        std::fs::write(std::path::Path::new(&folder).join(format!("{name}.pdf")), bytes).unwrap();
    }
}

fn said(pages: &[Page]) -> String {
    let texts = pages.iter().flat_map(|p| &p.marks).filter_map(|(_, mark)| match mark {
        PaperMark::Text { text, .. } => Some(text.as_str()),
        _ => None,
    });
    texts.collect::<Vec<_>>().join("")
}

#[test]
fn nothing_of_a_sheet_is_cut_or_runs_into_another_on_either_paper() {
    for paper in [Paper::A4, Paper::Letter] {
        for (nth, view) in hard().into_iter().enumerate() {
            let (pages, _) = pages(std::slice::from_ref(&view), paper).unwrap();
            for page in &pages {
                assert_eq!(faults(page, paper), Vec::<String>::new(), "{paper:?}, session {nth}");
            }
            let words = said(&pages).replace(' ', "");
            for line in view.blocks.iter().flat_map(|b| &b.lines) {
                for text in [&line.name, &line.target, &line.load, &line.hang, &line.before] {
                    assert!(words.contains(&text.replace(' ', "")), "{text} in {words}");
                }
            }
            let caution = view.cautions.concat().replace(' ', "");
            assert_eq!(words.matches(&caution).count(), pages.len(), "the caution stands on every page");
        }
    }
}

#[test]
fn a_session_fills_one_page_and_a_crowded_one_goes_on_overleaf() {
    let pages_of = |view: SheetView| pages(&[view], Paper::A4).unwrap().0.len();
    assert_eq!(pages_of(session(6, 1, 4, "bench press", "Mara")), 1);
    assert_eq!(pages_of(session(9, 1, 5, LONGEST, "Mara")), 1);
    assert!(pages_of(session(12, 2, 5, LONGEST, "Mara")) > 1);
}

#[test]
fn type_is_never_smaller_than_can_be_read_from_the_floor() {
    for view in hard() {
        let name = view.blocks[0].lines[0].name.clone();
        let (pages, _) = pages(&[view], Paper::Letter).unwrap();
        let sizes = pages.iter().flat_map(|p| &p.marks).filter_map(|(_, mark)| match mark {
            PaperMark::Text { size, text, face: face::Face::Bold, .. } if name.contains(text.trim()) => {
                Some(*size)
            }
            _ => None,
        });
        assert!(sizes.into_iter().all(|size| size >= 11.5));
    }
}

#[test]
fn the_same_sheets_give_the_same_bytes_and_say_what_they_are() {
    let views = hard();
    let write = |paper| sheets(&views, &about(), paper).unwrap();
    let (a4, letter) = (write(Paper::A4), write(Paper::Letter));
    assert_eq!(a4, write(Paper::A4));
    assert_ne!(a4, letter);
    keep("sheets-a4", &a4);
    keep("sheets-letter", &letter);
    let text = String::from_utf8_lossy(&a4);
    for needle in [
        "%PDF-1.7",
        "/StructTreeRoot",
        "/Lang(en-GB)",
        "/Marked true",
        "pdfuaid:part",
        "/DisplayDocTitle true",
    ] {
        assert!(text.contains(needle), "{needle}");
    }
    assert!(
        text.contains("/MediaBox[0 0 595")
            && String::from_utf8_lossy(&letter).contains("/MediaBox[0 0 612 792]")
    );
}

#[test]
fn a_name_in_letters_that_the_typefaces_lack_is_still_written() {
    let view = session(1, 1, 2, "squat", "\u{674e}\u{5a1c} \u{1f3cb} Ωμέγα Ольга");
    assert!(sheets(&[view], &about(), Paper::A4).is_ok());
}
