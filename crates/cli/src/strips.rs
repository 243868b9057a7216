//! A session as lanes on a terminal: a row for each block, its first exercise in the upper halves of the letters and its
//! second in the lower, so that the two of an alternating block interlock; dots are warm-up and making ready. Below runs the
//! clock. Drawn only where it can be seen whole.

use setwright_paper::{BarKind, BlockBand, Lanes};
use std::fmt::Write as _;

/// Columns before the lanes.
const INDENT: usize = 6;
/// Least width in columns at which a set is told from its rest (judgement).
pub const COLUMNS_MIN: usize = 72;
/// Most columns: a longer line is followed by no eye (judgement).
const COLUMNS_MAX: usize = 120;
/// Minutes between two numbers of the clock.
const CLOCK_MIN: usize = 10;

/// The lanes of a session in so many columns; nothing when they are too few.
pub fn strips(lanes: &Lanes, columns: usize) -> String {
    if columns < COLUMNS_MIN || lanes.blocks.is_empty() {
        return String::new();
    }
    let room = columns.min(COLUMNS_MAX) - INDENT;
    let whole_s = lanes.end_s.max(lanes.limit_s.unwrap_or(0.0)).max(60.0);
    let scale = room as f64 / whole_s;
    let mut out = String::new();
    for block in &lanes.blocks {
        let _ = writeln!(out, "  {:<4}{}", block.label, row(block, room, scale).trim_end());
    }
    out.push_str(&clock(room, scale, whole_s));
    out
}

fn row(block: &BlockBand, room: usize, scale: f64) -> String {
    let mut works = vec![[false; 2]; room];
    let mut readies = vec![false; room];
    for (half, lane) in block.lanes.iter().take(2).enumerate() {
        for bar in &lane.bars {
            let columns = columns(bar.from_s * scale, (bar.from_s + bar.length_s) * scale);
            for column in columns.filter(|c| *c < room) {
                match bar.kind {
                    BarKind::Work { .. } => works[column][half] = true,
                    BarKind::Ramp | BarKind::SetUp => readies[column] = true,
                    BarKind::Rest | BarKind::Walk => {}
                }
            }
        }
    }
    let letter = |(work, ready): (&[bool; 2], &bool)| match (work, ready) {
        ([true, true], _) => '█',
        ([true, false], _) => '▀',
        ([false, true], _) => '▄',
        (_, true) => '·',
        _ => ' ',
    };
    works.iter().zip(&readies).map(letter).collect()
}

/// The columns that a stretch covers by half or more, or the one that it lies about when it covers none so far: what touches a
/// column a little belongs to the rest beside it, and no set is left out.
fn columns(from: f64, until: f64) -> std::ops::Range<usize> {
    let (first, last) = ((from + 0.5) as usize, (until + 0.5) as usize);
    if first < last {
        first..last
    } else {
        let middle = f64::midpoint(from, until) as usize;
        middle..middle + 1
    }
}

fn clock(room: usize, scale: f64, whole_s: f64) -> String {
    let mut line = vec![' '; INDENT + room + 4];
    for minute in (0..=(whole_s / 60.0) as usize).step_by(CLOCK_MIN) {
        let at = INDENT + (minute as f64 * 60.0 * scale) as usize;
        let text = if minute == 0 { "0 min".to_owned() } else { minute.to_string() };
        for (letter, place) in text.chars().zip(line.iter_mut().skip(at)) {
            *place = letter;
        }
    }
    line.into_iter().collect::<String>().trim_end().to_owned() + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_paper::{Bar, Lane};

    fn lanes() -> Lanes {
        let work = BarKind::Work { share: None, near_failure: false };
        let lane = |bars: &[(f64, f64, BarKind)]| Lane {
            id: String::new(),
            name: String::new(),
            what: String::new(),
            bars: bars
                .iter()
                .map(|(from_s, length_s, kind)| Bar { from_s: *from_s, length_s: *length_s, kind: *kind })
                .collect(),
        };
        let first = lane(&[(0.0, 60.0, BarKind::Ramp), (120.0, 60.0, work), (300.0, 60.0, work)]);
        let second = lane(&[(200.0, 60.0, work), (380.0, 60.0, work)]);
        let blocks = vec![BlockBand { label: "A".to_owned(), lanes: vec![first, second] }];
        Lanes { title: String::new(), limit_s: Some(1_500.0), end_s: 440.0, blocks }
    }

    #[test]
    fn the_two_of_a_block_take_turns_in_upper_and_lower_halves() {
        let drawn = strips(&lanes(), 80);
        let row: String = drawn.lines().next().unwrap().chars().skip(INDENT).collect();
        let turns: String = row.chars().filter(|c| !c.is_whitespace()).collect();
        // A minute is 2.96 of the 74 columns that 25 minutes have.
        assert_eq!(turns, "···▀▀▀▄▄▄▀▀▀▄▄▄", "{drawn}");
        assert!(drawn.lines().all(|l| l.chars().count() <= 80), "{drawn}");
    }

    #[test]
    fn the_clock_counts_in_tens_and_too_narrow_a_terminal_has_no_lanes() {
        let drawn = strips(&lanes(), 80);
        let clock = drawn.lines().last().unwrap();
        assert!(
            clock.contains("0 min") && clock.contains("10") && clock.trim_end().ends_with("20"),
            "{clock}"
        );
        assert_eq!(strips(&lanes(), COLUMNS_MIN - 1), "");
        assert!(strips(&lanes(), 1_000).lines().all(|l| l.chars().count() <= COLUMNS_MAX + 4));
    }
}
