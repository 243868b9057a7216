//! A clock that was wrong by years.

use super::*;
use crate::insight::{self, BeliefStart};
use crate::ledger::{UnitOfWork, clients};
use crate::machine::Machine;
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use setwright_model::ledger::{BodyMass, ClientId, Event, Load, SessionStarted, What};
use setwright_store::{SqliteStore, Store};

fn ida() -> (UnitOfWork, ClientId) {
    let machine = Machine::stopped("2026-11-27T09:00:00+01:00".parse().unwrap(), 1);
    let mut uow = UnitOfWork::on(SqliteStore::in_memory().unwrap(), &machine);
    let client = clients::add(&mut uow, "Ida", "", None).unwrap().id;
    (uow, client)
}

fn session(uow: &UnitOfWork, client: ClientId, at: &str) -> Event {
    let started = What::SessionStarted(SessionStarted::default());
    uow.event(client, Some(at.parse().unwrap()), None, started)
}

#[test]
fn what_is_dated_more_than_a_day_ahead_is_refused_by_how_much() {
    let (mut uow, client) = ida();
    for (at, by) in [
        ("2026-11-28T09:00:01+01:00", "1 days ahead"),
        ("2027-11-27T09:00:00+01:00", "365 days ahead"),
        ("2036-11-27T09:00:00+01:00", "10 years ahead"),
    ] {
        let event = session(&uow, client, at);
        let refusal = uow.write(vec![event]).unwrap_err();
        assert_eq!(refusal.code, Code::EventRefused);
        assert!(refusal.what.contains(by) && refusal.what.contains("2026-11-27"), "{}", refusal.what);
    }
    let event = session(&uow, client, "2026-11-28T09:00:00+01:00");
    uow.write(vec![event]).unwrap();
}

#[test]
fn what_was_taken_once_is_answered_as_such_and_nothing_is_planned_from_it() {
    let (mut uow, client) = ida();
    let far = session(&uow, client, "2036-11-27T09:00:00+01:00");
    let mass = What::BodyMass(BodyMass { mass: Load::new(280.0, MassUnit::Kg) });
    let heavy = uow.event(client, Some(far.at), None, mass);
    let near = session(&uow, client, "2026-11-26T09:00:00+01:00");
    // As a program took them that did not look at the day.
    uow.store.append_all(&mut [far.clone(), heavy, near.clone()].into_iter()).unwrap();
    assert!(uow.admit(&far).is_ok());
    let known = insight::known(&mut uow, "Ida", BeliefStart::Population, builtin()).unwrap();
    assert_eq!(known.sessions.iter().map(|s| s.id).collect::<Vec<_>>(), [near.id]);
    assert_eq!(known.body_mass, None);
}
