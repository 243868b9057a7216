//! Sessions that ran much longer than the session clock has them: rests that grew, a busy room, more talk than sets. It says so and
//! changes nothing; whether the programme should be shorter is the coach's to say.

use super::Known;
use serde::Serialize;
use setwright_model::ledger::{EventId, Moment};
use setwright_model::{Catalogue, Minutes};
use setwright_science::clock;
use setwright_store::SessionState;

/// By how much a session is much longer than planned: by a quarter and by ten minutes, so that neither a short nor a long one is
/// remarked for what a queue at one rack takes (judgement).
pub const MUCH_LONGER: f64 = 1.25;
/// See [`MUCH_LONGER`].
pub const MUCH_LONGER_MIN: f64 = 10.0;
/// Days back that are looked at (judgement: four weeks, as everywhere).
const LOOKED_AT_DAYS: f64 = 28.0;
/// Minutes beyond which nobody trained on: a set was written later (judgement).
const WRITTEN_LATER_MIN: f64 = 300.0;

/// A session that ran much longer than planned.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Overrun {
    /// Which session.
    pub session: EventId,
    /// When it began.
    pub at: Moment,
    /// Its place in the programme, from 1.
    pub number: usize,
    /// How long the session clock has it.
    pub planned: Minutes,
    /// From its beginning to its last set.
    pub took: Minutes,
}

/// Sessions of the last four weeks that ran much longer than the programme in force has them, the newest first.
pub fn overruns(known: &Known, catalogue: &Catalogue) -> Vec<Overrun> {
    let recent = |s: &&SessionState| known.now.hours_since(s.at).get() <= 24.0 * LOOKED_AT_DAYS;
    let times = known.sessions.iter().rev().filter(recent);
    times.filter_map(|s| timed(known, s, catalogue)).filter(is_much_longer).collect()
}

fn is_much_longer(time: &Overrun) -> bool {
    let (planned, took) = (time.planned.get(), time.took.get());
    took > planned * MUCH_LONGER && took > planned + MUCH_LONGER_MIN && took <= WRITTEN_LATER_MIN
}

/// How long a session of the programme in force took, beside the session clock. None of one that follows no programme or one of before,
/// or whose sets were written down in one go.
fn timed(known: &Known, session: &SessionState, catalogue: &Catalogue) -> Option<Overrun> {
    let current = known.programme.as_ref().filter(|p| Some(p.id) == session.started.programme)?;
    let day = session.started.day?;
    let (place, planned) = current.programme.sessions.iter().enumerate().find(|(_, s)| s.day == day)?;
    let cold = known.brief.as_ref().is_some_and(|b| b.time.cold);
    let planned = clock::session(planned, catalogue, cold).ok()?.minutes();
    let last = known.sets.iter().filter(|s| s.session == session.id).map(|s| s.at).max()?;
    let took = Minutes(60.0 * last.hours_since(session.at).get());
    Some(Overrun { session: session.id, at: session.at, number: place + 1, planned, took })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::insight::{self, BeliefStart};
    use crate::ledger::{UnitOfWork, clients};
    use crate::machine::Machine;
    use crate::plan::{self, Objective, Search};
    use crate::publish;
    use setwright_gym::catalogue::builtin;
    use setwright_model::Seconds;
    use setwright_model::ledger::{SessionStarted, SetDone, SetKind, SetLogged, What};
    use setwright_store::SqliteStore;

    /// Bram with a programme, and how long the session clock has its first session.
    fn bram() -> (UnitOfWork, f64) {
        let machine = Machine::stopped("2026-11-01T09:00:00+01:00".parse().unwrap(), 1);
        let mut uow = UnitOfWork::on(SqliteStore::in_memory().unwrap(), &machine);
        let brief = demo::roster(Some("bram")).unwrap().remove(0);
        clients::add(&mut uow, "Bram", "", Some(brief.clone())).unwrap();
        let search = Search { mode: Objective::Benefit, seed: 1, moves: 40_000, limit: Seconds(120.0) };
        let planned =
            plan::plan(&brief, None, builtin(), search, &uow.wall.stopwatch(), &mut |_| {}).unwrap();
        let known = insight::known(&mut uow, "Bram", BeliefStart::Population, builtin()).unwrap();
        publish::planned(&mut uow, &known, &known.current, (&brief, &planned), builtin()).unwrap();
        let programme = planned.programme.unwrap();
        let first = &programme.get().sessions[0];
        (uow, clock::session(first, builtin(), false).unwrap().minutes().get())
    }

    fn known(uow: &mut UnitOfWork) -> Known {
        insight::known(uow, "Bram", BeliefStart::Population, builtin()).unwrap()
    }

    /// Logs a session whose sets were done at these minutes.
    fn trained(uow: &mut UnitOfWork, date: &str, minutes: &[f64], follows: bool) {
        let known = known(uow);
        let programme = known.programme.unwrap();
        let day = programme.programme.sessions[0].day;
        let begun: Moment = format!("{date}T18:00:00+01:00").parse().unwrap();
        let started = SessionStarted { programme: follows.then_some(programme.id), day: Some(day) };
        let start = uow.event(known.client.client, Some(begun), None, What::SessionStarted(started));
        let exercise = programme.programme.sessions[0].blocks[0].exercises[0].id.clone();
        let (reps, rir, kind) = (8, Some(2), SetKind::Work);
        let done = SetDone { exercise, kind, load: None, reps, rir, rest_s: None };
        let set = |minute: &f64| {
            let at = Moment::new(begun.unix_ms() + (minute * 60_000.0) as i64, begun.offset_min());
            let what = What::Set(SetLogged { session: start.id, done: done.clone() });
            uow.event(known.client.client, Some(at.unwrap()), None, what)
        };
        let sets: Vec<_> = minutes.iter().map(set).collect();
        uow.write(std::iter::once(start.clone()).chain(sets).collect()).unwrap();
    }

    #[test]
    fn only_what_ran_much_longer_is_remarked_the_newest_first() {
        let (mut uow, planned) = bram();
        uow.wall = uow.wall.standing("2026-11-14T09:00:00+01:00".parse().unwrap());
        let limit = (planned * MUCH_LONGER).max(planned + MUCH_LONGER_MIN);
        trained(&mut uow, "2026-11-03", &[5.0, limit - 0.1], true);
        trained(&mut uow, "2026-11-05", &[5.0, limit + 0.1], true);
        trained(&mut uow, "2026-11-07", &[5.0, limit + 9.0], false);
        trained(&mut uow, "2026-11-09", &[5.0, WRITTEN_LATER_MIN + 1.0], true);
        trained(&mut uow, "2026-11-11", &[0.0, 0.0], true);
        trained(&mut uow, "2026-11-13", &[5.0, 2.0 * planned], true);
        let found = overruns(&known(&mut uow), builtin());
        let days: Vec<String> = found.iter().map(|o| o.at.date().to_string()).collect();
        assert_eq!(days, ["2026-11-13", "2026-11-05"]);
        assert!((found[0].took.get() / planned - 2.0).abs() < 1e-3 && found[0].number == 1);
        assert!((found[0].planned.get() - planned).abs() < 1e-9);
        uow.wall = uow.wall.standing("2026-12-08T09:00:00+01:00".parse().unwrap());
        assert_eq!(overruns(&known(&mut uow), builtin()).len(), 1, "what is long ago is not told again");
    }
}
