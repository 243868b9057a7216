//! Readers fed with files that were damaged at random: they answer or refuse, and never come down.
//! `SETWRIGHT_FUZZ_SECONDS` makes it run longer, `SETWRIGHT_FUZZ_SEED` replays a run.

use setwright_coaching::{belief, demo};
use setwright_formats::{brief, either, lines, logbook, read};
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use std::time::{Duration, Instant};

const SHEET: &str = "day,block,exercise,sets,reps,RIR,load,rest\n1,A1,bench press,3,8-12,2,60 kg,90\n1,A2,\"barbell row\",3,8,2,,1:30\n3,B,squat,5,5,1,135 lb,3 min\n";
const PROGRAMME: &str = "cycle_days = 7\n[[sessions]]\nday = 1\n[[sessions.blocks]]\nkind = \"straight\"\nrest_s = 120\nexercises = [{ id = \"bench_press\", sets = 3, reps = [8, 12], rir = 2, load_kg = 60.0, ramp = [{ reps = 8, load_kg = 30 }] }]\n";
const LOG: &str = "date;time;client;exercise;kind;load;unit;sets;reps;rir;note\n24/11/2026;18:05;A;squat;warm-up;60;kg;1;5;;\n24/11/2026;;A;bench press;work;82,5;kg;3;8;2;tired\n25/11/2026;9:30:10;A;plank;;;;;45;;\n";
const BRIEF: &str = "name = \"Test\"\ngoal = \"general\"\ntraining_age = \"intermediate\"\n\n[time]\nsessions = 3\nminutes = 60\n\n[body]\nmass_kg = 60\n";
const LINES: &str = "day: 2026-11-25 18:05\nsquat: warm 60 kg for 5; 100 kg for 5+3 2 of 5+2\npull-up: body+5 kg for 6+1, 5\nsore: quads 4, lower back 2\nweighs: 71.4 kg\neffort: 7\nnote: slept\n";
/// What damaged files are likely to hold.
const PIECES: [&str; 22] = [
    "nan",
    "-inf",
    "1e308",
    "-1",
    "0",
    "99999999999999999999",
    "\"",
    "'''",
    "\u{feff}",
    "\u{202e}",
    "\0",
    "[[",
    "]]",
    "{",
    "=",
    ",",
    ";",
    "\r\n",
    "é",
    "\n[time]\n",
    "4294967295",
    "-0.0",
];

/// A small generator of our own, so that a seed replays a run on any machine (xorshift64).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }
    fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }
}

fn damage(bytes: &mut Vec<u8>, chance: &mut Chance) {
    for _ in 0..=chance.below(6) {
        let at = chance.below(bytes.len() + 1);
        let end = (at + chance.below(12)).min(bytes.len());
        match chance.below(6) {
            0 => drop(bytes.drain(at..end)),
            1 => drop(bytes.splice(at..at, PIECES[chance.below(PIECES.len())].bytes())),
            2 => drop(bytes.splice(at..end, PIECES[chance.below(PIECES.len())].bytes())),
            3 => {
                let copy: Vec<u8> = bytes[at..end].to_vec();
                let to = chance.below(bytes.len() + 1);
                drop(bytes.splice(to..to, copy));
            }
            4 if at < bytes.len() => bytes[at] = chance.next() as u8,
            _ => bytes.truncate(at.max(1)),
        }
    }
}

fn feed(name: &str, bytes: &[u8]) {
    let Ok(source) = read::text(name, bytes) else { return };
    let brief = brief::parse(&source, builtin());
    if let Ok(read) = either::read(&source, builtin(), None, MassUnit::Lb) {
        let belief = belief::of_anyone(builtin());
        let report = setwright_check::audit(&read.programme, brief.as_ref().ok(), builtin(), &belief);
        assert!(report.sessions.iter().all(|s| s.minutes.get().is_finite()));
    }
    let today = "2026-11-25".parse().unwrap();
    let options = logbook::LogbookOptions { client: Some("A"), dates: None, unit: MassUnit::Kg, today };
    if let Ok(book) = logbook::parse(&source, builtin(), options) {
        assert!(book.rows.iter().all(|r| r.load.is_none_or(|l| l.kg.get().is_finite())));
    }
    drop(lines::parse(&source, builtin(), lines::LineOptions { unit: MassUnit::Lb, today }));
    if let Ok(brief) = brief {
        assert!(brief.time.sessions >= 1 && brief.time.cycle_days >= 5);
        drop(belief::of(&brief, builtin()));
    }
}

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

#[test]
#[allow(clippy::disallowed_methods, reason = "how long to go on, when asked")]
fn damaged_files_never_bring_a_reader_down() {
    let mut seeds: Vec<(&str, Vec<u8>)> =
        demo::FILES.iter().map(|(n, t)| (*n, t.as_bytes().to_vec())).collect();
    seeds.extend([
        ("a.csv", SHEET.into()),
        ("a.toml", PROGRAMME.into()),
        ("b.toml", BRIEF.into()),
        ("a", SHEET.into()),
        ("log.csv", LOG.into()),
        ("log.txt", LINES.into()),
    ]);
    for (name, bytes) in &seeds {
        feed(name, bytes);
    }
    let mut chance = Chance(number("SETWRIGHT_FUZZ_SEED").unwrap_or(0x9e37_79b9_7f4a_7c15).max(1));
    let limit = number("SETWRIGHT_FUZZ_SECONDS").map(Duration::from_secs);
    let begun = Instant::now();
    let mut runs = 0_u32;
    while limit.map_or(runs < 3_000, |l| begun.elapsed() < l) {
        let (name, bytes) = &seeds[chance.below(seeds.len())];
        let mut bytes = bytes.clone();
        damage(&mut bytes, &mut chance);
        feed(name, &bytes);
        runs += 1;
    }
    println!("{runs} damaged files");
}
