//! A gym with one client who is forgotten: what is said before, who may, and what is left in its files.

use super::*;
use crate::arrivals;
use crate::ledger::{care, clients};
use crate::machine::Machine;
use crate::people::May;
use setwright_model::ledger::{Note, What};
use setwright_store::{AccountRole, Opening};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn machine() -> Machine {
    Machine::stopped("2026-11-27T10:00:00+01:00".parse().unwrap(), 1)
}

/// A gym with Mara Lind, who has an account, and Bo, of whom something is noted that names her.
fn gym() -> (TempDir, UnitOfWork, Book, ClientId) {
    let folder = TempDir::new().unwrap();
    let ledger = folder.path().join("ledger.sqlite3");
    let mut uow = UnitOfWork::open(&ledger, Opening::Create, &machine()).unwrap();
    let mara = clients::add(&mut uow, "Mara Lind", "left-handed", None).unwrap().id;
    let bo = clients::add(&mut uow, "Bo", "", None).unwrap().id;
    note(&mut uow, mara, "grumbling shoulder").unwrap();
    note(&mut uow, bo, "trains with Mara on Thursdays").unwrap();
    let mut book = Book::open(&ledger, Opening::Create, &machine()).unwrap();
    book.add("mara", AccountRole::Client, &BTreeSet::from([mara])).unwrap();
    (folder, uow, book, mara)
}

fn note(uow: &mut UnitOfWork, client: ClientId, text: &str) -> Result<(), Refusal> {
    let event = uow.event(client, None, None, What::Note(Note { about: None, text: text.to_owned() }));
    uow.write(vec![event]).map(|_| ())
}

/// Whether any file of the ledger holds any of these words.
fn holds(folder: &Path, words: &[&str]) -> bool {
    let files = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).filter(|path| path.is_file());
    let mut all = files.map(|path| fs::read(path).unwrap());
    all.any(|bytes| words.iter().any(|w| bytes.windows(w.len()).any(|at| at == w.as_bytes())))
}

#[test]
fn what_would_be_forgotten_is_said_first_and_nothing_is_done() {
    let (folder, mut uow, mut book, mara) = gym();
    care::backup(&mut uow, &folder.path().join("copies/monday")).unwrap();
    let view = look(&mut uow, Some(&mut book), "mara").unwrap();
    assert_eq!((view.id, view.forgotten, view.accounts.as_slice()), (mara, false, &["mara".to_owned()][..]));
    assert_eq!(view.named_by, ["Bo"], "what is said of others stays, and is pointed to");
    assert_eq!((view.copies.len(), view.copies[0].there), (1, true));
    assert_eq!([view.copies[0].made.as_str(), &view.copies[0].delete_by], ["2026-11-27", "2026-12-27"]);
    assert_eq!(uow.clients().unwrap().len(), 2);
}

#[test]
fn a_client_who_is_forgotten_is_gone_from_ledger_accounts_and_lines() {
    let (folder, mut uow, mut book, mara) = gym();
    let lines = roster_lines::beside(uow.store.path());
    for path in [&lines, &roster_lines::unfinished(&lines)] {
        fs::write(path, "Mara Lind: grumbling shoulder").unwrap();
    }
    let by = ForgottenBy::default();
    assert_eq!(forget(&mut uow, Some(&mut book), "mara", by).unwrap_err().code, Code::Usage);
    assert_eq!(uow.clients().unwrap().len(), 2, "the beginning of a name is not enough");
    let view = forget(&mut uow, Some(&mut book), "MARA lind", by).unwrap();
    assert_eq!((view.forgotten, view.events), (true, Some(2)));
    assert!(!holds(folder.path(), &["Mara", "mara", "grumbling"]));
    assert_eq!(uow.store.doctor().unwrap().faults, [""; 0]);
    assert_eq!(uow.client("Mara Lind").unwrap_err().code, Code::NoSuchClient);
    assert_eq!(uow.client(&mara.to_string()).unwrap_err().code, Code::ClientForgotten);
    assert_eq!(forget(&mut uow, Some(&mut book), "Mara Lind", by).unwrap_err().code, Code::NoSuchClient);
    // Somebody new may be called so.
    assert_ne!(clients::add(&mut uow, "Mara Lind", "", None).unwrap().id, mara);
}

#[test]
fn who_may_not_see_a_client_forgets_nobody_and_a_device_that_comes_late_is_told_to_clear() {
    let (_folder, mut uow, mut book, mara) = gym();
    let what = What::Note(Note { about: None, text: "written without reception".to_owned() });
    let late = serde_json::to_value(uow.event(mara, None, None, what)).unwrap();
    let by = ForgottenBy::default();
    uow.may = May::client(mara);
    assert_eq!(forget(&mut uow, Some(&mut book), "Mara Lind", by).unwrap_err().code, Code::NotForThisRole);
    let bo = uow.store.clients().unwrap()[0].client;
    let of_bo = || May::coach_these(BTreeSet::from([bo]), std::sync::Arc::new(|_| Ok(())));
    uow.may = of_bo();
    assert_eq!(forget(&mut uow, Some(&mut book), "Mara Lind", by).unwrap_err().code, Code::NoSuchClient);
    uow.may = May::everything();
    forget(&mut uow, Some(&mut book), "Mara Lind", by).unwrap();
    uow.may = of_bo();
    let arrived = arrivals::take(&mut uow, vec![late]).unwrap();
    assert_eq!(arrived.answers[0].answer, "gone");
}

#[test]
fn a_program_that_runs_lets_go_of_who_was_forgotten_by_another() {
    use crate::practice::Practice;
    let (_folder, mut uow, mut book, mara) = gym();
    let ledger = uow.store.path().to_owned();
    let practice = Practice::open(&ledger, machine()).unwrap();
    let pool = practice.ledger_pool();
    let all = |uow: &mut UnitOfWork| practice.clients(uow).map(|all| all.len());
    assert_eq!(pool.run_as_program(all).unwrap(), 2);
    let line = |uow: &mut UnitOfWork| {
        let client = uow.client("Mara Lind")?;
        practice.line(uow, client)
    };
    pool.run_as_program(line).unwrap();
    forget(&mut uow, Some(&mut book), "Mara Lind", ForgottenBy::default()).unwrap();
    assert_eq!(pool.run_as_program(all).unwrap(), 1, "the cards that were kept are read anew");
    let gone = pool.run_as_program(|uow| uow.client(&mara.to_string())).unwrap_err();
    assert_eq!(gone.code, Code::ClientForgotten);
    practice.close();
    assert!(!holds(ledger.parent().unwrap(), &["Mara", "grumbling"]));
}
