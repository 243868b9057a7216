//! Invented sessions last as long as the session clock has them.

use super::*;
use crate::clock::Wall;
use crate::machine::Machine;
use crate::plan::{self, Objective, Search};
use setwright_gym::catalogue::builtin;
use setwright_store::SqliteStore;

const NOW: &str = "2026-11-27T21:00:00+01:00";

/// What a client of the roster took for each session, as a share of what the session clock says.
fn shares(name: &str, nth: usize) -> Vec<f64> {
    let brief = crate::demo::roster(Some(name)).unwrap().remove(0);
    let machine = Machine::stopped(NOW.parse().unwrap(), 1);
    let mut uow = UnitOfWork::on(SqliteStore::in_memory().unwrap(), &machine);
    let search =
        Search { mode: Objective::Benefit, seed: 1, moves: 60_000, limit: setwright_model::Seconds(120.0) };
    let watch = Wall::stopped(NOW.parse().unwrap()).stopwatch();
    let planned = plan::plan(&brief, None, builtin(), search, &watch, &mut |_| {}).unwrap();
    live(&mut uow, nth, &brief, &planned, builtin()).unwrap();
    let client = uow.client(name).unwrap().client;
    let (sessions, sets) = (uow.store.sessions(client).unwrap(), uow.store.sets(client).unwrap());
    let programme = planned.programme.unwrap();
    let share = |s: &setwright_store::SessionState| {
        let session = programme.get().sessions.iter().find(|p| Some(p.day) == s.started.day).unwrap();
        let planned = setwright_science::clock::session(session, builtin(), brief.time.cold).unwrap().total;
        let last = sets.iter().filter(|set| set.session == s.id).map(|set| set.at).max().unwrap();
        3_600.0 * last.hours_since(s.at).get() / planned.get()
    };
    sessions.iter().map(share).collect()
}

#[test]
fn invented_sessions_last_as_long_as_the_session_clock_says_and_now_and_then_much_longer() {
    let mut all = Vec::new();
    for (name, nth) in [("Ottilie", 0), ("Bram", 1)] {
        let mut shares = shares(name, nth);
        shares.sort_by(f64::total_cmp);
        let at = |share: f64| shares[(share * (shares.len() - 1) as f64) as usize];
        println!("{name}: {} sessions, {:.2} {:.2} {:.2}", shares.len(), at(0.05), at(0.5), at(0.95));
        assert!((at(0.5) - 1.0).abs() < 0.03, "{name}: half take {:.2}", at(0.5));
        assert!(at(0.05) > 0.85 && at(0.05) < 0.97, "{name}: {:.2}", at(0.05));
        all.extend(shares);
    }
    let longer = all.iter().filter(|share| **share > 1.25).count();
    assert!(longer >= 1 && longer < all.len() / 10, "{longer} of {}", all.len());
}
