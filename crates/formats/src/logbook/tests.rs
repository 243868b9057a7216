//! Logs as spreadsheets save them, and what is wrong with them.

use super::*;
use setwright_gym::catalogue::builtin;
use std::fmt::Write as _;

fn options() -> LogbookOptions<'static> {
    LogbookOptions {
        client: Some("Mara"),
        dates: None,
        unit: MassUnit::Kg,
        today: "2026-11-25".parse().unwrap(),
    }
}

fn read_with(text: &str, options: LogbookOptions<'_>) -> Result<Logbook, String> {
    let source = crate::read::text("log.csv", text.as_bytes()).unwrap();
    parse(&source, builtin(), options).map_err(|p| {
        let all: Vec<String> = p.iter().map(|p| format!("{p} {}", p.hint)).collect();
        all.join("\n")
    })
}

fn read(text: &str) -> Result<Logbook, String> {
    read_with(text, options())
}

/// Each row as "date ms exercise load reps rir".
fn rows(text: &str) -> String {
    let book = read(text).unwrap_or_else(|e| panic!("{e}"));
    let shown = |r: &LogbookRow| {
        let load = r.load.map_or("-".to_owned(), |l| format!("{}{}", l.value, l.unit.symbol()));
        let exercise = &book.exercises[r.exercise as usize].0;
        let minutes = r.ms.map_or("-".to_owned(), |ms| (ms / 60_000).to_string());
        format!(
            "{} {minutes} {exercise} {load} {} {}",
            r.date,
            r.reps,
            r.rir.map_or("?".to_owned(), |r| r.to_string())
        )
    };
    book.rows.iter().map(shown).collect::<Vec<_>>().join("; ")
}

fn refused(text: &str, holds: &[&str]) {
    let said = read(text).expect_err(text);
    for words in holds {
        assert!(said.contains(words), "{text}\n{said}\nlacks {words}");
    }
}

#[test]
fn columns_in_any_order_and_three_kinds_of_marks_are_understood() {
    let want = "2026-11-24 - bench_press 80kg 8 2; 2026-11-24 1085 back_squat 100kg 5 ?";
    for text in [
        "date,exercise,load,reps,rir,time\n2026-11-24,bench press,80 kg,8,2,\n2026-11-24,squat,100 kg,5,,18:05\n",
        "Reps;RIR;Date;Load (kg);Exercise;Time\n8;2;24.11.2026;80;Bench Press;\n5;;24.11.2026;100,0;squats;18:05:00\n",
        "\u{feff}Exercise\tWeight\tReps\tRPE\tDate\tTime\nbench press\t80kg\t8\t8\t24 Nov 2026\t\nsquat\t100kg\t5\t\tNov 24, 2026\t18:05\n",
        "My log\n\ndate,movement,weight,unit,repetitions,left,time\r\n24/11/2026,bench press,80,kg,8,2,\r\n24/11/2026,squat,100,kg,5,,18:05\r\n",
    ] {
        assert_eq!(rows(text), want, "{text}");
    }
}

#[test]
fn a_row_may_stand_for_several_sets_alike() {
    let text = "date,exercise,sets,reps,load\n2026-11-24,press-up,3,12,\n";
    assert_eq!(rows(text), ["2026-11-24 - press_up - 12 ?"; 3].join("; "));
}

#[test]
fn a_header_that_is_wrong_is_refused_with_the_nearest_name() {
    refused("when,what,how much\n1,2,3\n", &["log.csv:1:1", "SW052", "No row names the columns"]);
    refused("date,excercise,load,reps\n", &["log.csv:1:1", "SW052", "\"exercise\"", "\"excercise\"? Rename"]);
    refused(
        "date,exercise,load,weight,reps\n",
        &["log.csv:1:4", "SW052", "Two columns are read as \"load\""],
    );
    refused("date,exercise,reps\n", &["SW005", "no rows"]);
}

#[test]
fn cells_are_refused_with_line_column_cause_and_hint() {
    let row =
        |row: &str| format!("date,exercise,load,reps,rir,kind,time\n2026-11-24,squat,100 kg,5,2,,\n{row}\n");
    for (cells, holds) in [
        ("yesterday,squat,100 kg,5,2,,", ["log.csv:3:1", "SW053", "2026-11-25, 25.11.2026"]),
        (
            "2026-02-30,squat,100 kg,5,2,,",
            ["log.csv:3:1", "SW053", "\"2026-02-30\" was not understood as date"],
        ),
        ("24.11.26,squat,100 kg,5,2,,", ["log.csv:3:1", "SW053", "four digits"]),
        ("46350,squat,100 kg,5,2,,", ["log.csv:3:1", "SW053", "not understood as date"]),
        ("2026-11-24,sqat,100 kg,5,2,,", ["log.csv:3:2", "SW011", "Did you mean"]),
        ("2026-11-24,,100 kg,5,2,,", ["log.csv:3:2", "SW053", "is empty"]),
        ("2026-11-24,squat,,5,2,,", ["log.csv:3:3", "SW053", "is missing"]),
        ("2026-11-24,squat,heavy,5,2,,", ["log.csv:3:3", "SW053", "not understood as load"]),
        ("2026-11-24,squat,\"1,000 kg\",5,2,,", ["log.csv:3:3", "SW053", "not understood as load"]),
        ("2026-11-24,squat,601 kg,5,2,,", ["log.csv:3:3", "SW053", "not understood as load"]),
        ("2026-11-24,plank,10 kg,45,2,,", ["log.csv:3:3", "SW053", "without a load"]),
        ("2026-11-24,squat,100 kg,8-12,2,,", ["log.csv:3:4", "SW053", "one whole number"]),
        ("2026-11-24,squat,100 kg,601,2,,", ["log.csv:3:4", "SW053", "one whole number"]),
        ("2026-11-24,squat,100 kg,5,11,,", ["log.csv:3:5", "SW053", "from 0 to 10"]),
        ("2026-11-24,squat,100 kg,5,2,drop,", ["log.csv:3:6", "SW053", "work or warm-up"]),
        ("2026-11-24,squat,100 kg,5,2,,25:00", ["log.csv:3:7", "SW053", "18:05"]),
        ("2026-12-24,squat,100 kg,5,2,,", ["log.csv:3:1", "SW054", "has not come yet"]),
        ("2026-11-24,squat,100 kg,5,2,,\",,", ["log.csv:3:1", "SW022", "never closed"]),
    ] {
        refused(&row(cells), &holds);
    }
    assert!(read(&row("2026-11-24,squat,600 kg,600,10,warm-up,23:59")).is_ok());
}

#[test]
fn a_decimal_comma_that_cuts_a_number_in_two_is_named() {
    refused(
        "date,exercise,reps,load kg\n2026-11-24,squat,5,82,5\n",
        &["log.csv:2:5", "SW022", "5 cells under 4 headings", "decimal comma"],
    );
    assert_eq!(
        rows("date;exercise;reps;load kg\n2026-11-24;squat;5;82,5\n"),
        "2026-11-24 - back_squat 82.5kg 5 ?"
    );
    assert_eq!(
        rows("date,exercise,reps,load kg\n2026-11-24,squat,5,\"82,5\"\n"),
        "2026-11-24 - back_squat 82.5kg 5 ?"
    );
}

#[test]
fn dates_that_can_be_read_two_ways_are_refused_unless_a_row_or_the_coach_says_which() {
    let log = |dates: &[&str]| {
        dates.iter().fold("date,exercise,reps\n".to_owned(), |mut text, date| {
            let _ = writeln!(text, "{date},press-up,10");
            text
        })
    };
    let day = |dates: &[&str]| rows(&log(dates)).split(' ').next().unwrap().to_owned();
    assert_eq!(day(&["03/04/2026", "13/04/2026"]), "2026-04-03");
    assert_eq!(day(&["03/04/2026", "04/13/2026"]), "2026-03-04");
    refused(&log(&["03/04/2026", "05/06/2026"]), &["log.csv:2:1", "SW054", "two ways", "--dates day-first"]);
    refused(
        &log(&["13/04/2026", "03/13/2026"]),
        &["log.csv:3:1", "SW054", "the month comes first, in line 2"],
    );
    refused(&log(&["2026-04-03", "04.04.2026"]), &["log.csv:3:1", "SW054", "25.11.2026 here", "line 2"]);
    refused(&log(&["2026-04-03", "04.04.2026", "4/5/2026"]), &["log.csv:3:1", "SW054"]);
    let given = |order| LogbookOptions { dates: Some(order), ..options() };
    let book = read_with(&log(&["03/04/2026"]), given(DateOrder::MonthFirst)).unwrap();
    assert_eq!(book.rows[0].date.to_string(), "2026-03-04");
    let said = read_with(&log(&["13/04/2026"]), given(DateOrder::MonthFirst)).unwrap_err();
    assert!(said.contains("Say --dates day-first"), "{said}");
}

#[test]
fn units_that_are_mixed_up_are_refused() {
    let log = |head: &str, rows: &[&str]| {
        rows.iter().fold(format!("date,exercise,reps,{head}\n"), |mut text, row| {
            let _ = writeln!(text, "2026-11-24,squat,5,{row}");
            text
        })
    };
    refused(
        &log("load", &["100 kg", "225"]),
        &["log.csv:3:4", "SW055", "has no unit; the one in line 2 has"],
    );
    refused(&log("load", &["225", "100 lb"]), &["log.csv:2:4", "SW055", "line 3"]);
    refused(
        &log("load kg", &["100", "225 lb"]),
        &["log.csv:3:4", "SW055", "The header says kg, the load lb"],
    );
    refused(&log("load,unit", &["100 kg,lb"]), &["log.csv:2:4", "SW055", "The column of units says lb"]);
    refused(&log("load,unit", &["100,stone"]), &["log.csv:2:5", "SW053", "kg or lb"]);
    refused(&log("load,unit", &["100,kg", "225,"]), &["log.csv:3:4", "SW055"]);
    let notes = |text: &str| read(text).unwrap().notes.join(" ");
    assert!(notes(&log("load", &["100 kg", "225 lb"])).contains("Some loads are in kg, some in lb"));
    assert!(notes(&log("load", &["100"])).contains("kg was assumed"));
    assert!(!notes(&log("load lb", &["100"])).contains("assumed (--units"));
}

#[test]
fn the_client_is_named_by_a_column_or_by_the_command() {
    let log = "date,client,exercise,reps\n2026-11-24,Mara,press-up,10\n2026-11-24,mara,press-up,9\n2026-11-24,Bram,press-up,8\n";
    let book = read_with(log, LogbookOptions { client: None, ..options() }).unwrap();
    assert_eq!(book.clients, ["Mara", "Bram"]);
    assert_eq!(book.rows.iter().map(|r| r.client).collect::<Vec<_>>(), [0, 0, 1]);
    refused(log, &["log.csv:4:2", "SW053", "is of \"Bram\", not of \"Mara\""]);
    let said = read_with(
        "date,exercise,reps\n2026-11-24,press-up,10\n",
        LogbookOptions { client: None, ..options() },
    );
    assert!(said.unwrap_err().contains("--client NAME"));
}

#[test]
fn as_many_rows_as_the_limit_are_read_and_one_more_is_not() {
    let mut text = String::from("date,exercise,reps\n");
    text.push_str(&"2026-11-24,press-up,10\n".repeat(IMPORT_ROWS_MAX));
    assert_eq!(read(&text).unwrap().rows.len(), IMPORT_ROWS_MAX);
    text.push_str("2026-11-24,press-up,10\n");
    refused(&text, &["log.csv:2000002:1", "SW019", "more than 2000000 rows", "by year"]);
}

#[test]
fn an_unknown_exercise_is_told_once_and_problems_are_not_told_without_end() {
    let text = format!("date,exercise,reps\n{}", "2026-11-24,hovering,10\n".repeat(1_000));
    assert_eq!(read(&text).unwrap_err().lines().count(), 1);
    let text = format!("date,exercise,reps\n{}", "2026-11-24,press-up,many\n".repeat(1_000));
    assert_eq!(read(&text).unwrap_err().lines().count(), PROBLEMS_MAX);
}
