//! Accounts: links that can be used once, sessions that end, and what is kept of secrets.

use setwright_model::ledger::ClientId;
use setwright_store::{
    AccountRole, Accounts, Begin, Deed, Digest, Lifetimes, Opening, RecordFilter, SecondStep, StoreError,
    Trace, sha256,
};
use std::collections::BTreeSet;
use tempfile::TempDir;

const NOW: i64 = 1_764_000_000_000;
const LASTS: Lifetimes = Lifetimes { idle_ms: 1_000, whole_ms: 5_000 };
const HERE: Trace = Trace::here(NOW);

fn begin(accounts: &mut Accounts, id: i64, session: Digest, at_ms: i64) {
    accounts.begin(id, Begin { session, browser: "", instead: None }, &Trace::here(at_ms), LASTS).unwrap();
}

fn accounts() -> (TempDir, Accounts) {
    let folder = TempDir::new().unwrap();
    let path = Accounts::beside(&folder.path().join("ledger.sqlite3"));
    let accounts = Accounts::open(&path, Opening::Create).unwrap();
    (folder, accounts)
}

#[test]
fn a_name_belongs_to_one_account_whatever_its_letters() {
    let (_folder, mut accounts) = accounts();
    let client = ClientId::timed(1, [7; 10]);
    let coach = accounts.add("Ada", AccountRole::Coach, &BTreeSet::from([client]), &HERE).unwrap().unwrap();
    assert!(accounts.add(" aDA ", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().is_none());
    assert_eq!(accounts.named("ADA").unwrap().unwrap(), coach);
    assert_eq!(accounts.all().unwrap(), std::slice::from_ref(&coach));
    accounts.take(coach.id, client, &HERE).unwrap();
    assert!(accounts.named("ada").unwrap().unwrap().clients.is_empty());
}

#[test]
fn a_link_is_good_once_and_only_for_its_time() {
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    let (first, second) = (sha256(&[b"first"]), sha256(&[b"second"]));
    accounts.put_link(id, first, NOW + 10, &HERE).unwrap();
    accounts.put_link(id, second, NOW + 10, &HERE).unwrap();
    assert!(accounts.link(first, NOW).unwrap().is_none(), "a new link ends the one before");
    assert!(accounts.link(second, NOW + 10).unwrap().is_none(), "its time is over");
    let session = sha256(&[b"session"]);
    begin(&mut accounts, id, session, NOW);
    assert!(accounts.use_link(second, "hash", &HERE).unwrap().is_some());
    assert!(accounts.use_link(second, "other", &HERE).unwrap().is_none());
    assert_eq!(accounts.named("ada").unwrap().unwrap().hash.as_deref(), Some("hash"));
    assert!(accounts.session(session, NOW, LASTS, 1).unwrap().is_none(), "a new password ends sessions");
}

#[test]
fn sessions_end_when_idle_when_old_when_told_and_when_the_account_is_shut() {
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    let session = sha256(&[b"session"]);
    let lives = |accounts: &mut Accounts, at: i64| accounts.session(session, at, LASTS, 1).unwrap().is_some();
    begin(&mut accounts, id, session, NOW);
    assert!(lives(&mut accounts, NOW + 1_000) && lives(&mut accounts, NOW + 2_000));
    assert!(!lives(&mut accounts, NOW + 3_001), "nobody came for a second");
    for at in [3_000, 4_000, 5_000] {
        assert!(lives(&mut accounts, NOW + at));
    }
    assert!(!lives(&mut accounts, NOW + 5_001), "five seconds are all");
    begin(&mut accounts, id, sha256(&[b"next"]), NOW + 60_000);
    assert!(!lives(&mut accounts, NOW), "it was cleared away");
    begin(&mut accounts, id, session, NOW + 60_000);
    accounts.shut(id, true, &HERE).unwrap();
    accounts.shut(id, false, &HERE).unwrap();
    assert!(!lives(&mut accounts, NOW + 60_000));
    begin(&mut accounts, id, session, NOW + 60_000);
    assert_eq!(accounts.end_all(id, None, &HERE).unwrap(), 1);
    assert!(!lives(&mut accounts, NOW + 60_000));
}

#[test]
fn what_another_program_wrote_is_left_alone() {
    let folder = TempDir::new().unwrap();
    let ledger = folder.path().join("ledger.sqlite3");
    drop(setwright_store::SqliteStore::open(&ledger, Opening::Create).unwrap());
    assert!(matches!(Accounts::open(&ledger, Opening::Existing), Err(StoreError::Damaged { .. })));
    let none = Accounts::open(&folder.path().join("none"), Opening::Existing);
    assert!(matches!(none, Err(StoreError::NoLedger { .. })));
}

#[test]
fn a_browser_that_signs_in_anew_has_one_session_and_others_keep_theirs() {
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    let [old, new, other] = [b"old", b"new", b"oth"].map(|text| sha256(&[text]));
    begin(&mut accounts, id, other, NOW);
    begin(&mut accounts, id, old, NOW);
    let trace = Trace { at_ms: NOW + 1, place: "192.0.2.1".to_owned() };
    let again = Begin { session: new, browser: "Firefox on Linux", instead: Some(old) };
    accounts.begin(id, again, &trace, LASTS).unwrap();
    assert!(accounts.session(old, NOW + 1, LASTS, 1).unwrap().is_none());
    let signed_in = accounts.signed_in(id, NOW + 1, LASTS).unwrap();
    assert_eq!(signed_in.iter().map(|s| s.session).collect::<Vec<_>>(), [new, other]);
    assert_eq!(
        (signed_in[0].place.as_str(), signed_in[0].browser.as_str()),
        ("192.0.2.1", "Firefox on Linux")
    );
    let ben = accounts.add("Ben", AccountRole::Coach, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    assert!(!accounts.end(ben, new, &trace, Deed::Ended).unwrap(), "nobody ends another's");
    assert_eq!(accounts.end_all(id, Some(new), &trace).unwrap(), 1);
    assert!(accounts.session(new, NOW + 1, LASTS, 1).unwrap().is_some());
    assert!(accounts.end(id, new, &trace, Deed::Ended).unwrap());
    assert!(accounts.session(new, NOW + 1, LASTS, 1).unwrap().is_none());
}

#[test]
fn a_session_made_under_a_wrong_clock_lives_no_longer_than_one_made_under_a_right_one() {
    const DAY: i64 = 86_400_000;
    let week = Lifetimes { idle_ms: 7 * DAY, whole_ms: 30 * DAY };
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    let session = sha256(&[b"session"]);
    let begin_at = |accounts: &mut Accounts, at_ms: i64| {
        accounts.begin(id, Begin { session, browser: "", instead: None }, &Trace::here(at_ms), week).unwrap();
    };
    // Begun by a clock that was a month ahead; it is put right while the session is in use, or before anybody asks.
    begin_at(&mut accounts, NOW + 35 * DAY);
    assert!(accounts.session(session, NOW + 35 * DAY + 1, week, 1).unwrap().is_some());
    assert!(accounts.session(session, NOW + 60_000, week, 1).unwrap().is_none());
    assert!(
        accounts.session(session, NOW + 35 * DAY + 2, week, 1).unwrap().is_none(),
        "it does not come back"
    );
    // Begun by a right clock, in use for twenty days, then the clock is set back by ten.
    begin_at(&mut accounts, NOW + 40 * DAY);
    for day in (1..=20).step_by(5) {
        assert!(accounts.session(session, NOW + (40 + day) * DAY, week, 1).unwrap().is_some());
    }
    accounts.put_link(id, sha256(&[b"link"]), NOW + 60 * DAY, &Trace::here(NOW + 56 * DAY)).unwrap();
    assert!(accounts.session(session, NOW + 46 * DAY, week, 1).unwrap().is_none());
    assert!(accounts.link(sha256(&[b"link"]), NOW + 46 * DAY).unwrap().is_none());
    // A clock that is put right by seconds ends nothing.
    begin_at(&mut accounts, NOW + 90 * DAY);
    assert!(accounts.session(session, NOW + 90 * DAY - 30_000, week, 1).unwrap().is_some());
    // In use by nobody while the clock went on for six days, and was set back by three.
    accounts.clock_went(NOW + 90 * DAY, NOW + 96 * DAY).unwrap();
    accounts.clock_went(NOW + 96 * DAY, NOW + 96 * DAY - 30_000).unwrap();
    assert!(accounts.session(session, NOW + 96 * DAY, week, i64::MAX).unwrap().is_some());
    accounts.clock_went(NOW + 96 * DAY, NOW + 93 * DAY).unwrap();
    assert!(accounts.session(session, NOW + 93 * DAY, week, i64::MAX).unwrap().is_none());
    let told = accounts.recorded(&RecordFilter::default(), 0, 100).unwrap();
    assert_eq!(told.iter().filter(|entry| entry.deed == Deed::ClockBack).count(), 3);
}

#[test]
fn another_password_ends_other_sessions_and_links_and_only_where_the_old_one_stands() {
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    let [own, other, link] = [b"own.", b"oth.", b"link"].map(|text| sha256(&[text]));
    accounts.put_link(id, link, NOW + 10, &HERE).unwrap();
    accounts.use_link(link, "first", &HERE).unwrap().unwrap();
    accounts.put_link(id, link, NOW + 10, &HERE).unwrap();
    begin(&mut accounts, id, own, NOW);
    begin(&mut accounts, id, other, NOW);
    assert!(!accounts.change_password(id, ("wrong", "second"), Some(own), &HERE).unwrap());
    assert!(accounts.session(other, NOW, LASTS, 1).unwrap().is_some());
    assert!(accounts.change_password(id, ("first", "second"), Some(own), &HERE).unwrap());
    assert!(
        !accounts.change_password(id, ("first", "third"), Some(own), &HERE).unwrap(),
        "of two at once one"
    );
    assert_eq!(accounts.named("ada").unwrap().unwrap().hash.as_deref(), Some("second"));
    assert!(accounts.session(own, NOW, LASTS, 1).unwrap().is_some());
    assert!(accounts.session(other, NOW, LASTS, 1).unwrap().is_none());
    assert!(accounts.link(link, NOW).unwrap().is_none());
}

#[test]
fn a_code_and_a_recovery_code_are_used_once_and_a_secret_stands_when_it_is_confirmed() {
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    let second = |accounts: &mut Accounts| accounts.named("ada").unwrap().unwrap().second;
    accounts.require(AccountRole::Owner, true, &HERE).unwrap();
    assert_eq!(second(&mut accounts), SecondStep::Wanted);
    assert!(accounts.propose_secret(id, &[1; 20]).unwrap() && accounts.propose_secret(id, &[2; 20]).unwrap());
    assert!(!accounts.use_step(id, 5).unwrap(), "not before it is confirmed");
    let codes = [sha256(&[b"one"]), sha256(&[b"two"])];
    let other = sha256(&[b"other"]);
    begin(&mut accounts, id, other, NOW);
    assert!(accounts.confirm_secret(id, 10, &codes, None, &HERE).unwrap());
    assert!(accounts.session(other, NOW, LASTS, 1).unwrap().is_none(), "it was begun without a code");
    assert_eq!(second(&mut accounts), SecondStep::On);
    assert!(!accounts.propose_secret(id, &[3; 20]).unwrap(), "a secret that stands is not written over");
    assert!(!accounts.confirm_secret(id, 11, &codes, None, &HERE).unwrap());
    let used = [9, 10, 11, 11, 12].map(|step| accounts.use_step(id, step).unwrap());
    assert_eq!(used, [false, false, true, false, true]);
    assert_eq!([0, 0, 1].map(|n| accounts.use_recovery(id, codes[n], &HERE).unwrap()), [true, false, true]);
    assert_eq!(accounts.recovery_left(id).unwrap(), 0);
    accounts.renew_recovery(id, &codes, &HERE).unwrap();
    assert!(accounts.drop_secret(id, None, &HERE, Deed::CodesReset).unwrap());
    assert_eq!(accounts.recovery_left(id).unwrap(), 0);
    accounts.require(AccountRole::Owner, false, &HERE).unwrap();
    assert_eq!(second(&mut accounts), SecondStep::Off);
}

#[test]
fn who_gave_the_password_may_give_a_code_for_some_minutes() {
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    let pending = sha256(&[b"pending"]);
    let there = |accounts: &mut Accounts, at: i64| accounts.pending(pending, at).unwrap().is_some();
    accounts.put_pending(id, pending, NOW).unwrap();
    assert!(there(&mut accounts, NOW + 600_000) && !there(&mut accounts, NOW + 600_001));
    assert!(!there(&mut accounts, NOW - 300_001), "by another clock");
    begin(&mut accounts, id, sha256(&[b"session"]), NOW);
    assert!(!there(&mut accounts, NOW), "once");
    accounts.put_pending(id, sha256(&[b"again"]), NOW).unwrap();
    accounts.shut(id, true, &HERE).unwrap();
    accounts.shut(id, false, &HERE).unwrap();
    assert!(accounts.pending(sha256(&[b"again"]), NOW).unwrap().is_none());
}

#[test]
fn the_record_is_bounded_in_age_and_number_and_failures_push_out_nothing_else() {
    const DAY: i64 = 86_400_000;
    let (_folder, mut accounts) = accounts();
    let id = accounts.add("Ada", AccountRole::Owner, &BTreeSet::new(), &HERE).unwrap().unwrap().id;
    let client = ClientId::timed(1, [7; 10]);
    let from = Trace { at_ms: NOW + 1, place: "192.0.2.1".to_owned() };
    accounts.record(&from, Deed::SawClient, Some(id), Some(client)).unwrap();
    for n in 0..5_010 {
        let trace = Trace { at_ms: NOW + 2 + n, place: "192.0.2.9".to_owned() };
        accounts.record(&trace, Deed::WrongPassword, None, None).unwrap();
    }
    let all = accounts.recorded(&RecordFilter::default(), 0, 10_000).unwrap();
    assert_eq!(all.len(), 5_002);
    let [saw, added] = [5_000, 5_001].map(|n: usize| &all[n]);
    assert_eq!((saw.deed, saw.client, saw.account.as_deref()), (Deed::SawClient, Some(client), Some("Ada")));
    assert_eq!((&saw.trace, added.deed), (&from, Deed::Added));
    let of = |accounts: &mut Accounts, filter| accounts.recorded(&filter, 0, 10).unwrap().len();
    assert_eq!(of(&mut accounts, RecordFilter { account: Some(id), ..RecordFilter::default() }), 2);
    assert_eq!(of(&mut accounts, RecordFilter { client: Some(client), ..RecordFilter::default() }), 1);
    let no_views = RecordFilter { account: Some(id), without_views: true, ..RecordFilter::default() };
    assert_eq!(of(&mut accounts, no_views), 1);
    // By a clock that is wrong once little is lost.
    let later = Trace::here(NOW + 500 * DAY);
    accounts.record(&later, Deed::WrongPassword, None, None).unwrap();
    assert_eq!(accounts.recorded(&RecordFilter::default(), 0, 10_000).unwrap().len(), 5_002 + 1 - 20);
    accounts.record(&later, Deed::SawRoster, Some(id), None).unwrap();
    let about = RecordFilter { client: Some(client), ..RecordFilter::default() };
    assert!(accounts.recorded(&about, 0, 10).unwrap().is_empty(), "older than is kept");
}
