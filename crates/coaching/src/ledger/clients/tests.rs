//! Names: each one's own, never taken for an identifier, telling nothing of who may not be seen, and harmless wherever they are shown.

use super::*;
use crate::arrivals;
use crate::ledger::{care, export, import};
use crate::machine::Machine;
use crate::people::May;
use setwright_formats::Source;
use setwright_formats::logbook::{self, LogbookOptions};
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use setwright_model::ledger::{Event, Load, Note, SessionStarted, SetDone, SetKind, SetLogged, Voided};
use setwright_store::{EventFilter, SqliteStore};
use std::collections::BTreeSet;
use std::sync::Arc;

fn uow() -> UnitOfWork {
    uow_of(1)
}

/// A ledger of its own, on a machine with this chance.
fn uow_of(seed: u64) -> UnitOfWork {
    let machine = Machine::stopped("2026-11-27T10:00:00+01:00".parse().unwrap(), seed);
    UnitOfWork::on(SqliteStore::in_memory().unwrap(), &machine)
}

fn of_coach(uow: &mut UnitOfWork, clients: &[ClientId]) {
    uow.may = May::coach_these(clients.iter().copied().collect(), Arc::new(|_| Ok(())));
}

fn named(name: &str) -> ClientChange {
    ClientChange { name: Some(name.to_owned()), ..ClientChange::default() }
}

/// The events of a client, as they arrived.
fn events(uow: &mut UnitOfWork, client: ClientId) -> Vec<Event> {
    let kept = uow.store.events(EventFilter { client: Some(client) }, 0, 1_000).unwrap();
    kept.into_iter().map(|kept| kept.event).collect()
}

#[test]
fn a_name_is_taken_once_when_it_is_added_and_when_it_is_changed() {
    let mut uow = uow();
    add(&mut uow, "Mara", "", None).unwrap();
    let bo = add(&mut uow, "Bo", "", None).unwrap().id;
    for name in ["Mara", " mara ", "MARA"] {
        assert_eq!(add(&mut uow, name, "", None).unwrap_err().code, Code::ClientExists, "{name}");
        assert_eq!(change(&mut uow, "Bo", named(name)).unwrap_err().code, Code::ClientExists, "{name}");
    }
    add(&mut uow, "Mara  Lind", "", None).unwrap();
    assert_eq!(add(&mut uow, "mara lind", "", None).unwrap_err().code, Code::ClientExists, "blanks");
    change(&mut uow, "Bo", named("BO")).unwrap();
    assert_eq!(uow.client("Bo").unwrap().client, bo);
}

#[test]
fn undoing_does_not_give_a_name_back_that_somebody_else_has_by_now() {
    let mut uow = uow();
    let first = add(&mut uow, "Mara", "", None).unwrap().id;
    change(&mut uow, "Mara", named("Mara Lind")).unwrap();
    add(&mut uow, "Mara", "", None).unwrap();
    assert_eq!(care::undo(&mut uow, Some("Mara Lind"), None, None).unwrap_err().code, Code::ClientExists);
    assert_eq!(uow.client(&first.to_string()).unwrap().card.name, "Mara Lind");
}

#[test]
fn names_that_were_doubled_before_are_no_hindrance_to_anything_else() {
    let mut uow = uow();
    let first = add(&mut uow, "Mara", "", None).unwrap().id;
    let second = uow.ids.client(uow.wall.device_ms());
    let card = ClientCard { name: "Mara".to_owned(), about: String::new(), away: false };
    let card = uow.event(second, None, None, What::Client(card));
    uow.store.append_all(&mut [card].into_iter()).unwrap();
    let away = ClientChange { away: Some(true), ..ClientChange::default() };
    change(&mut uow, &second.to_string(), away).unwrap();
    let several = uow.client("mara").unwrap_err();
    assert!(several.what.contains(&first.short()) && several.what.contains(&second.short()), "{several:?}");
    let csv = "date,client,exercise,load,unit,reps\n2026-11-20,Mara,Back squat,60,kg,5\n";
    let refused = imported(&mut uow, csv).unwrap_err();
    assert_eq!(refused.first().map(|r| r.code), Some(Code::NoSuchClient), "whose set is it? {refused:?}");
}

#[test]
fn another_coachs_client_is_neither_told_of_nor_in_the_way() {
    let mut uow = uow();
    let mara = add(&mut uow, "Mara", "", None).unwrap().id;
    let ida = add(&mut uow, "Ida", "", None).unwrap().id;
    of_coach(&mut uow, &[ida]);
    let own = add(&mut uow, "Mara", "", None).unwrap().id;
    assert_ne!(own, mara);
    assert_eq!(uow.client("Mara").unwrap().client, own);
    change(&mut uow, "Ida", named("Ida Berg")).unwrap();
    assert_eq!(change(&mut uow, "Ida", named("mara")).unwrap_err().code, Code::ClientExists);
}

#[test]
fn what_was_written_of_somebody_elses_client_is_answered_as_what_never_was() {
    let mut uow = uow();
    let mara = add(&mut uow, "Mara", "", None).unwrap().id;
    let ida = add(&mut uow, "Ida", "", None).unwrap().id;
    let card = events(&mut uow, mara)[0].id;
    let never = uow.batch();
    for may in [May::client(ida), May::coach_these(BTreeSet::from([ida]), Arc::new(|_| Ok(())))] {
        uow.may = may;
        let mut told = |event: EventId| {
            let word = event.to_string();
            let undone = care::undo(&mut uow, None, Some(&word), None).unwrap_err();
            let void = uow.event(ida, None, None, What::Voided(Voided { event }));
            let void = serde_json::to_value(void).unwrap();
            let answer = arrivals::take(&mut uow, vec![void]).unwrap().answers[0].why.clone();
            (undone.code, undone.what.replace(&word, ""), answer)
        };
        assert_eq!(told(card), told(never));
    }
}

#[test]
fn a_device_takes_back_only_what_devices_write() {
    let mut uow = uow();
    let mara = add(&mut uow, "Mara", "", None).unwrap().id;
    change(&mut uow, "Mara", named("Mara Lind")).unwrap();
    let card = events(&mut uow, mara)[1].id;
    let void = uow.event(mara, None, None, What::Voided(Voided { event: card }));
    let answers = arrivals::take(&mut uow, vec![serde_json::to_value(void).unwrap()]).unwrap();
    assert_eq!(answers.answers[0].answer, "rejected");
    assert_eq!(uow.client("Mara").unwrap().card.name, "Mara Lind");
}

#[test]
fn an_identifier_is_never_taken_for_a_name() {
    let mut uow = uow();
    let mara = add(&mut uow, "Mara", "", None).unwrap().id;
    let whole = mara.to_string();
    let refused = add(&mut uow, &whole, "", None).unwrap_err();
    assert_eq!(refused.code, Code::EventRefused, "{refused:?}");
    let hers = mara.short();
    add(&mut uow, &hers, "", None).unwrap();
    let either = uow.client(&hers).unwrap_err();
    assert_eq!(either.code, Code::NoSuchClient);
    assert!(either.what.contains(&whole), "{either:?}");
    assert_eq!(uow.client(&whole).unwrap().client, mara);
    // One whose name only begins like it.
    let mut uow = self::uow();
    let mara = add(&mut uow, "Mara", "", None).unwrap().id;
    add(&mut uow, &format!("{} x", mara.short()), "", None).unwrap();
    assert!(uow.client(&mara.short()).is_err());
    // Nobody is found by an identifier that is nobody's, whatever names there are.
    let other = uow.ids.client(uow.wall.device_ms()).to_string();
    let card = ClientCard { name: other.clone(), about: String::new(), away: false };
    let card = uow.event(mara, None, None, What::Client(card));
    assert!(uow.write(vec![card]).is_err());
    assert_eq!(uow.client(&other).unwrap_err().code, Code::NoSuchClient);
}

#[test]
fn marks_that_cannot_be_seen_stand_in_no_name() {
    let mut uow = uow();
    for mark in
        ['\u{7}', '\t', '\n', '\u{85}', '\u{200b}', '\u{200f}', '\u{202e}', '\u{2067}', '\u{61c}', '\u{feff}']
    {
        let name = format!("Ma{mark}ra");
        assert!(add(&mut uow, &name, "", None).is_err(), "{mark:?}");
        let csv = format!("date,client,exercise,load,unit,reps\n2026-11-20,\"{name}\",Back squat,60,kg,5\n");
        assert!(imported(&mut uow, &csv).is_err(), "{mark:?}");
    }
    let mara = add(&mut uow, "Mara", "", None).unwrap().id;
    let note = |text: &str| What::Note(Note { about: None, text: text.to_owned() });
    let turned = uow.event(mara, None, None, note("slept \u{202e}yldab"));
    assert!(uow.write(vec![turned]).is_err());
    // What is written in other scripts, and pictures that are made of several, are words like others.
    let of_words = uow.event(
        mara,
        None,
        None,
        note("\u{1f469}\u{200d}\u{2695}\u{fe0f} says \u{5e9}\u{5dc}\u{5d5}\u{5dd}\u{200f}!\nAll is well."),
    );
    uow.write(vec![of_words]).unwrap();
}

fn imported(uow: &mut UnitOfWork, csv: &str) -> Result<import::ImportView, Vec<Refusal>> {
    let source = Source { name: "log.csv".to_owned(), text: csv.to_owned() };
    let options =
        LogbookOptions { client: None, dates: None, unit: MassUnit::Kg, today: uow.wall.now().date() };
    let book = logbook::parse(&source, builtin(), options)?;
    import::logbook(uow, &source, &book, true)
}

/// What is exported as CSV.
fn exported(uow: &mut UnitOfWork) -> String {
    let mut bytes = Vec::new();
    export::csv(uow, None, &mut bytes).unwrap();
    String::from_utf8(bytes).unwrap()
}

#[test]
fn no_cell_of_an_export_is_a_formula_and_all_comes_back_as_it_was() {
    let mut uow = uow();
    let names = ["=1+1", "+SUM(A1)", "-2", "@SUM(A1)", "'=1", "'Mara'", "\u{ff1d}1", "O'Hara"];
    for name in names {
        let client = add(&mut uow, name, "", None).unwrap().id;
        let session = uow.event(client, None, None, What::SessionStarted(SessionStarted::default()));
        let done = SetDone {
            exercise: "=2+2".into(),
            kind: SetKind::Work,
            load: Some(Load::new(60.0, MassUnit::Kg)),
            reps: 5,
            rir: None,
            rest_s: None,
        };
        let set = uow.event(client, None, None, What::Set(SetLogged { session: session.id, done }));
        uow.write(vec![session, set]).unwrap();
    }
    let text = exported(&mut uow);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    for record in reader.records() {
        for cell in &[&record.as_ref().unwrap()[4], &record.as_ref().unwrap()[6]] {
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\u{ff1d}']), "{cell}");
        }
    }
    let mut other = uow_of(2);
    let known = text.replace("'=2+2", "back_squat");
    imported(&mut other, &known).unwrap();
    let mut back: Vec<String> = list(&mut other).unwrap().into_iter().map(|c| c.name).collect();
    let mut wanted: Vec<String> = names.iter().map(|n| (*n).to_owned()).collect();
    back.sort();
    wanted.sort();
    assert_eq!(back, wanted);
}
