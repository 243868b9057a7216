//! How long session sheets take to print, one and many: `cargo run --release -p setwright-evidence --bin print_sheets`.
//! The cost of a sheet among 1,000 beside that among 100, in turn, so that what else the machine does meets both alike.
#![allow(clippy::print_stdout, reason = "a command for developers")]
#![allow(clippy::disallowed_methods, reason = "it measures time")]

use setwright_paper::pdf::{About, NotWritten, Paper, SheetBlock, SheetLine, SheetView, sheets};
use setwright_paper::{Bar, BarKind, BlockBand, Lane, Lanes};
use std::time::Instant;

/// Pairs of exercises in a session, and sets of each: an hour of a busy adult.
const PAIRS: usize = 6;
const SETS: u32 = 3;
/// Times that both are measured; the middle one counts.
const ROUNDS: usize = 5;

fn main() -> Result<(), NotWritten> {
    let first = timed(1)?;
    println!("one sheet, typefaces read and all: {:.1} ms", 1e3 * first);
    let mut few = Vec::new();
    let mut many = Vec::new();
    for _ in 0..ROUNDS {
        few.push(timed(100)? / 100.0);
        many.push(timed(1_000)? / 1_000.0);
    }
    let (few, many) = (middle(few), middle(many));
    println!(
        "a sheet among 100: {:.2} ms; among 1,000: {:.2} ms; ratio {:.3}",
        1e3 * few,
        1e3 * many,
        many / few
    );
    let bytes = |count| written(count).map(|pdf| pdf.len() / count);
    println!("bytes a sheet: {} alone, {} among 1,000", bytes(1)?, bytes(1_000)?);
    Ok(())
}

fn middle(mut all: Vec<f64>) -> f64 {
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(f64::NAN)
}

fn timed(count: usize) -> Result<f64, NotWritten> {
    let started = Instant::now();
    written(count)?;
    Ok(started.elapsed().as_secs_f64())
}

fn written(count: usize) -> Result<Vec<u8>, NotWritten> {
    let about = About { title: "Session sheets".to_owned(), subject: "Measured".to_owned(), date: None };
    let views: Vec<SheetView> = (0..count).map(session).collect();
    sheets(&views, &about, Paper::A4)
}

/// A session that differs from the one before in its day and its loads.
fn session(nth: usize) -> SheetView {
    let line = |label: String, lane: usize| SheetLine {
        label,
        name: ["bent-over dumbbell row", "machine chest press"][lane % 2].to_owned(),
        target: format!("{SETS} \u{d7} 8\u{2013}12, 2 left"),
        load: format!("{} kg", 40 + nth % 40),
        hang: "hang 10 + 1.25 a side".to_owned(),
        before: if lane == 0 {
            "In turn with the other: a set of each, then rest 60 s.".to_owned()
        } else {
            String::new()
        },
        sets: SETS,
        fields: ["kg", "reps", "left"].map(str::to_owned).to_vec(),
    };
    let letter = |pair: usize| char::from(b'A' + pair as u8);
    let block = |pair: usize| SheetBlock {
        lines: (0..2).map(|lane| line(format!("{}{}", letter(pair), lane + 1), lane)).collect(),
    };
    let work = BarKind::Work { share: Some(0.7), near_failure: false };
    let bars = |pair: usize, lane: usize| {
        let bar = |set: u32| Bar {
            from_s: 600.0 * pair as f64 + 60.0 * lane as f64 + 180.0 * f64::from(set),
            length_s: 40.0,
            kind: work,
        };
        (0..SETS).map(bar).collect()
    };
    let band = |pair: usize| BlockBand {
        label: letter(pair).to_string(),
        lanes: (0..2)
            .map(|lane| Lane {
                id: String::new(),
                name: "row".to_owned(),
                what: "3 x 8-12".to_owned(),
                bars: bars(pair, lane),
            })
            .collect(),
    };
    SheetView {
        client: "Bram".to_owned(),
        title: "Session 2, whole body".to_owned(),
        when: format!("Day {}", nth + 1),
        undated: false,
        length: "57 of 60 minutes, 36 sets".to_owned(),
        lanes: Lanes {
            title: "Session 2".to_owned(),
            limit_s: Some(3_600.0),
            end_s: 3_420.0,
            blocks: (0..PAIRS).map(band).collect(),
        },
        blocks: (0..PAIRS).map(block).collect(),
        remarks: vec!["Loads are those of the programme.".to_owned()],
        cautions: vec!["This is a training plan, not medical advice.".to_owned()],
    }
}
