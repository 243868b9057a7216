//! Readers over many inputs: what is written is read back, and a sheet means the same in every spelling.

use proptest::prelude::*;
use setwright_formats::sheet::{self, SheetOptions};
use setwright_formats::{Source, cells, programme};
use setwright_gym::catalogue::builtin;
use setwright_model::{Block, BlockKind, Kilograms, Prescription, Programme, RampStep, Seconds, Session};

fn source(name: &str, text: &str) -> Source {
    Source { name: name.to_owned(), text: text.to_owned() }
}

fn read(text: &str) -> sheet::Sheet {
    sheet::parse(&source("a.csv", text), builtin(), SheetOptions::default()).unwrap()
}

const PLAIN: &str = "\
day,block,exercise,sets,reps,RIR,load,rest
1,A1,bench press,3,8-12,2,60 kg,
1,A2,barbell row,3,8-12,2,50,30
3,B,back squat,4,5,3,62.5,180
";

#[test]
fn a_sheet_means_the_same_in_every_spelling() {
    let semicolons = "\u{feff}DAY;Block;Exercise;Sets;Reps;RIR;Load (kg);Rest\r\nMon;a1;Bench Press;3;8 – 12;2;60;\r\n;a2;Barbell rows;3;8 to 12;2;50,0;30 s\r\nWed;b;Squat;4;5;RIR 3;62,5;3 min\r\n";
    let semicolons = semicolons.trim_start_matches('\u{feff}');
    let shuffled = "My programme\n\nRest,Movement,Day,Weight kg,Reps,Sets,Reps in reserve,Group,Notes\n,bench press,1,60,8-12,3,2,A,\n0:30,barbell row,,50,8-12,3,2,A,\"slow, please\"\n3:00,back squat,3,62.5,5,4,3,B,\n";
    let tabs = PLAIN.replace(',', "\t");
    for other in [semicolons, shuffled, &tabs] {
        let (a, b) = (read(PLAIN).programme, read(other).programme);
        assert_eq!(a, b, "{other}");
    }
}

#[test]
fn rows_with_one_letter_are_one_block() {
    let programme = read(PLAIN).programme;
    assert_eq!(programme.sessions.len(), 2);
    let block = &programme.sessions[0].blocks[0];
    assert_eq!((block.kind, block.exercises.len(), block.rest_s), (BlockKind::Alternating, 2, Seconds(30.0)));
    assert_eq!(programme.sessions[1].day, 3);
}

#[test]
fn two_exercises_for_one_muscle_are_read_as_such() {
    let text = "day,block,exercise,sets,reps\n1,A,barbell curl,3,10\n1,A,hammer curl,3,10\n";
    assert_eq!(read(text).programme.sessions[0].blocks[0].kind, BlockKind::SameMuscle);
}

#[test]
fn pounds_in_the_header_or_the_cell_are_pounds() {
    let of = |header: &str, cell: &str| {
        let text = format!("day,exercise,sets,reps,{header}\n1,bench press,3,8,{cell}\n");
        read(&text).programme.sessions[0].blocks[0].exercises[0].load_kg
    };
    let pounds = Some(Kilograms::from_lb(135.0));
    assert_eq!(of("load lb", "135"), pounds);
    assert_eq!(of("load", "135 lbs"), pounds);
    assert_eq!(of("load lb", "60 kg"), Some(Kilograms(60.0)));
}

#[test]
fn what_a_sheet_leaves_out_is_assumed_and_said() {
    let sheet = read("day,exercise,sets\n1,bench press,3\n");
    assert!(sheet.rows[0].assumed.iter().any(|a| a.starts_with("reps")));
    assert!(sheet.rows[0].assumed.iter().any(|a| a == "RIR 2"));
    assert!(sheet.rows[0].assumed.iter().any(|a| a.starts_with("rest")));
    assert!(sheet.notes.iter().any(|n| n.contains("every 7 days")));
}

#[test]
fn a_quote_that_is_never_closed_is_refused_with_its_line() {
    let text = "day,exercise,sets,reps,notes\n1,bench press,3,8,fine\n1,\"back squat,3,8,\n1,deadlift,3,5,\n";
    let problems = sheet::parse(&source("a.csv", text), builtin(), SheetOptions::default()).unwrap_err();
    assert_eq!(
        problems[0].to_string(),
        "a.csv:3:1: SW022: A quotation mark opens a cell and is never closed."
    );
}

#[test]
fn a_mark_for_inches_closes_nothing() {
    let text = "day,exercise,sets,reps,notes\n1,bench press,3,8,8\" board\n1,dip,3,8,\n";
    assert_eq!(read(text).rows.len(), 2);
}

#[test]
fn a_sheet_without_a_header_or_rows_is_refused() {
    let code = |text: &str| {
        sheet::parse(&source("a.csv", text), builtin(), SheetOptions::default()).unwrap_err()[0].code
    };
    assert_eq!(code("1,A,bench press,3,8\n"), "SW020");
    assert_eq!(code("day,sets,reps\n1,3,8\n"), "SW020");
    assert_eq!(code("day,exercise,sets,sets\n1,dip,3,3\n"), "SW020");
    assert_eq!(code("day,exercise,sets\n"), "SW005");
    assert_eq!(code("day,exercise,sets\n15,dip,3\n"), "SW013");
    assert_eq!(code(&format!("day,exercise,sets\n{}", "1,dip,3\n".repeat(2_001))), "SW019");
}

fn any_prescription() -> impl Strategy<Value = Prescription> {
    let ids: Vec<_> = builtin().iter().map(|e| e.id.clone()).collect();
    let load = prop::option::of((1_u32..1200).prop_map(|h| Kilograms(f64::from(h) / 2.0)));
    let step = (1_u32..20, load.clone()).prop_map(|(reps, load_kg)| RampStep { reps, load_kg });
    let ramp = prop::collection::vec(step, 0..4);
    (prop::sample::select(ids), 1_u32..=30, 1_u32..30, 0_u32..20, 0_u32..=10, load, ramp).prop_map(
        |(id, sets, low, more, rir, load_kg, ramp)| Prescription {
            id,
            sets,
            reps: [low, low + more],
            rir,
            load_kg,
            ramp,
        },
    )
}

fn any_programme() -> impl Strategy<Value = Programme> {
    let kinds = [BlockKind::Straight, BlockKind::Alternating, BlockKind::SameMuscle];
    let block =
        (prop::sample::select(kinds.to_vec()), 0_u32..600, prop::collection::vec(any_prescription(), 1..3))
            .prop_map(|(kind, rest, exercises)| Block { kind, rest_s: Seconds(f64::from(rest)), exercises });
    let session = (prop::collection::vec(block, 0..5), "[a-z ]{0,12}");
    (5_u32..=14, prop::collection::vec(session, 1..5), "[a-zA-Z\"\\\\é ]{0,12}").prop_map(
        |(cycle_days, sessions, client)| Programme {
            client: client.trim().to_owned(),
            cycle_days,
            sessions: (1..)
                .zip(sessions)
                .map(|(day, (blocks, focus))| Session { day, focus: focus.trim().to_owned(), blocks })
                .collect(),
        },
    )
}

proptest! {
    #[test]
    fn a_programme_that_is_written_is_read_back(programme in any_programme()) {
        let text = programme::write(&programme, &["A note\nof two lines".to_owned()]);
        let read = programme::parse(&source("p.toml", &text), builtin());
        prop_assert_eq!(read, Ok(programme));
    }

    #[test]
    fn no_cell_brings_a_reader_down(text in "\\PC{0,24}") {
        let _ = cells::day(&text);
        let _ = cells::block(&text);
        let _ = cells::sets(&text);
        let _ = cells::reps(&text);
        let _ = cells::rir(&text);
        let _ = cells::rpe(&text);
        let _ = cells::load(&text, setwright_model::MassUnit::Lb);
        let _ = cells::rest(&text, cells::RestUnit::Minutes);
    }

    #[test]
    fn a_load_in_pounds_is_the_load_in_kilograms(pounds in 1_u32..1300) {
        let lb = cells::load(&format!("{pounds} lb"), setwright_model::MassUnit::Kg);
        prop_assert_eq!(lb, Ok(Some(Kilograms(f64::from(pounds) * 0.453_592_37))));
    }
}
