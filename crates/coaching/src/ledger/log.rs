//! Logging: from lines that were read to events, and what was written as it is shown.

use super::clients::{LoggedSessionView, SetView};
use super::{UnitOfWork, of_store, one_ending};
use serde::Serialize;
use setwright_formats::doc::printable;
use setwright_formats::lines::{Loading, Written, loading};
use setwright_model::Catalogue;
use setwright_model::code::Code;
use setwright_model::ledger::{
    BodyMass, ClientId, Date, Event, EventId, Moment, Note, SessionFinished, SessionStarted, SetCorrected,
    SetDone, SetKind, SetLogged, Soreness, Spell, SpellKind, What,
};
use setwright_model::refusal::{Refusal, Refusals};
use setwright_store::{SessionState, SetState, Store};

/// What was logged.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LogView {
    /// Whose log.
    pub client: String,
    /// Sessions that sets were added to, with those sets alone.
    pub sessions: Vec<LoggedSessionView>,
    /// What else was written, in words.
    pub also: Vec<String>,
    /// What can be undone in one go; absent when nothing was written.
    pub batch: Option<EventId>,
}

/// When nobody said.
#[derive(Clone, Copy, Debug, Default)]
pub struct When {
    /// The day of what comes before any day is named.
    pub day: Option<Date>,
    /// The minute of that day.
    pub minute: Option<u32>,
}

/// The second of the day for what has a day and no time: noon (judgement: no side of the day is favoured).
const NOON_S: u32 = 12 * 3_600;

/// Logs what was read.
///
/// # Errors
/// An unknown client, a ledger that cannot be written, or an event that it refuses; then nothing was written.
pub fn log(
    uow: &mut UnitOfWork,
    wanted: &str,
    written: &[Written],
    when: When,
    write: bool,
) -> Result<LogView, Refusal> {
    let client = uow.client(wanted)?;
    let batch = uow.batch();
    let mut scribe = Scribe::new(uow, client.client, batch)?;
    for entry in written {
        scribe.entry(entry, when)?;
    }
    let Scribe { events, sessions, also, .. } = scribe;
    if write {
        uow.write(events)?;
    }
    Ok(LogView { client: client.card.name, sessions, also, batch: write.then_some(batch) })
}

/// Turns entries into events.
struct Scribe<'d> {
    uow: &'d UnitOfWork,
    client: ClientId,
    batch: EventId,
    known: Vec<SessionState>,
    sets: Vec<SetState>,
    events: Vec<Event>,
    sessions: Vec<LoggedSessionView>,
    also: Vec<String>,
}

impl<'d> Scribe<'d> {
    fn new(uow: &'d mut UnitOfWork, client: ClientId, batch: EventId) -> Result<Self, Refusal> {
        let known = uow.store.sessions(client).map_err(|e| of_store(&e))?;
        let sets = uow.store.sets(client).map_err(|e| of_store(&e))?;
        let uow = &*uow;
        let (events, sessions, also) = (Vec::new(), Vec::new(), Vec::new());
        Ok(Self { uow, client, batch, known, sets, events, sessions, also })
    }

    fn push(&mut self, at: Moment, what: What) -> EventId {
        let event = self.uow.event(self.client, Some(at), Some(self.batch), what);
        let id = event.id;
        self.events.push(event);
        id
    }

    fn entry(&mut self, entry: &Written, when: When) -> Result<(), Refusal> {
        let at = self.moment(entry, when)?;
        if !entry.sets.is_empty() || entry.effort.is_some() {
            let (session, begins) = self.session(at, entry.day.is_some() && entry.minute.is_some());
            self.sets(session, begins, at, &entry.sets);
            if let Some(effort) = entry.effort {
                self.push(
                    at,
                    What::SessionFinished(SessionFinished { session, effort: Some(effort), early: false }),
                );
                self.also.push(format!("effort {effort} of 10"));
            }
        }
        for &(muscle, level) in &entry.sore {
            self.push(at, What::Soreness(Soreness { muscle, level }));
            self.also.push(format!("{muscle} sore {level} of 10 on {}", at.date()));
        }
        if let Some(mass) = entry.mass {
            self.push(at, What::BodyMass(BodyMass { mass }));
            self.also.push(format!("weighs {} {} on {}", mass.value, mass.unit.symbol(), at.date()));
        }
        for &(spell, first) in &entry.spells {
            let at = self.midnight(first)?;
            self.push(at, What::Spell(spell));
            self.also.push(format!("{} from {first} on", spell_in_words(spell)));
        }
        for text in &entry.notes {
            self.push(at, What::Note(Note { text: text.clone(), about: None }));
            self.also.push(format!("note on {}: {text}", at.date()));
        }
        Ok(())
    }

    /// When the entry happened: as it says, else as the command says, else now.
    fn moment(&self, entry: &Written, when: When) -> Result<Moment, Refusal> {
        let now = self.uow.wall.now();
        let (day, minute) = match entry.day {
            Some(day) => (Some(day), entry.minute),
            None => (when.day, when.minute),
        };
        let at = match (day, minute) {
            (None, None) => return Ok(now),
            (day, minute) => {
                let day = day.unwrap_or(now.date());
                let second = minute.map_or(NOON_S, |m| m * 60);
                // What was done today without a time was done by now.
                let at = self.uow.wall.on(day, second);
                at.map(|at| if minute.is_none() && day == now.date() { at.min(now) } else { at })
            }
        };
        at.ok_or_else(no_moment)
    }

    /// When a day begins.
    fn midnight(&self, day: Date) -> Result<Moment, Refusal> {
        self.uow.wall.on(day, 0).ok_or_else(no_moment)
    }

    /// The session that a moment belongs to, and when it began: one of the same day that is there, else a new one. An
    /// hour that was written out begins a session of its own unless one began at that very time.
    fn session(&mut self, at: Moment, hour_was_said: bool) -> (EventId, Moment) {
        let same_day =
            self.known.iter().rev().find(|s| s.at.date() == at.date() && (!hour_was_said || s.at == at));
        if let Some(session) = same_day {
            return (session.id, session.at);
        }
        let started = SessionStarted::default();
        let id = self.push(at, What::SessionStarted(started.clone()));
        self.known.push(SessionState { id, at, started, finished: None, effort: None, early: false });
        (id, at)
    }

    /// Sets after those of the session that are there, a second apart, so that their order is kept.
    fn sets(&mut self, session: EventId, begins: Moment, at: Moment, sets: &[SetDone]) {
        let last = self.sets.iter().filter(|s| s.session == session).map(|s| s.at.unix_ms()).max();
        let mut next = last.map_or(at.unix_ms(), |last| at.unix_ms().max(last + 1_000));
        let mut shown = Vec::new();
        for done in sets {
            let at = Moment::new(next, at.offset_min()).unwrap_or(at);
            let id = self.push(at, What::Set(SetLogged { session, done: done.clone() }));
            let set = SetState { id, at, session, done: done.clone(), corrected: None };
            shown.push(SetView::of(&set));
            self.sets.push(set);
            next += 1_000;
        }
        match self.sessions.iter_mut().find(|s| s.id == session) {
            Some(there) => there.sets.extend(shown),
            None if shown.is_empty() => {}
            None => self.sessions.push(LoggedSessionView { id: session, at: begins, sets: shown }),
        }
    }
}

fn no_moment() -> Refusal {
    Refusal::new(Code::OutOfRange, "That day and time are no moment.", "Check the date.")
}

/// The one set that replaces another.
///
/// # Errors
/// More than one set was written, or none.
pub fn one_set(written: &[Written]) -> Result<SetDone, Refusals> {
    let mut sets = written.iter().flat_map(|w| &w.sets);
    match (sets.next(), sets.next()) {
        (Some(set), None) => Ok(set.clone()),
        _ => Err(vec![Refusal::new(
            Code::Usage,
            "A correction is one set.",
            "Write it as it was: \"bench press: 80 kg for 6+1\".",
        )]),
    }
}

/// Corrects a set: the last digits of its identifier say which.
pub fn correct(
    uow: &mut UnitOfWork,
    wanted: &str,
    set: &str,
    done: SetDone,
    reason: Option<String>,
) -> Result<LogView, Refusal> {
    let client = uow.client(wanted)?;
    let set = find_set(uow, client.client, set)?;
    let batch = uow.batch();
    let what = What::SetCorrected(SetCorrected { set: set.id, done: done.clone() });
    let mut event = uow.event(client.client, None, Some(batch), what);
    event.reason = reason;
    let corrected = SetState { done, corrected: Some(event.id), ..set.clone() };
    uow.write(vec![event])?;
    let session = LoggedSessionView { id: set.session, at: set.at, sets: vec![SetView::of(&corrected)] };
    Ok(LogView { client: client.card.name, sessions: vec![session], also: Vec::new(), batch: Some(batch) })
}

/// A set of a client, by the whole of its identifier or the last digits.
///
/// # Errors
/// No one set of this client is meant.
pub fn own_set(uow: &mut UnitOfWork, wanted: &str, set: &str) -> Result<SetState, Refusal> {
    let client = uow.client(wanted)?;
    find_set(uow, client.client, set)
}

fn find_set(uow: &mut UnitOfWork, client: ClientId, wanted: &str) -> Result<SetState, Refusal> {
    let sets = uow.store.sets(client).map_err(|e| of_store(&e))?;
    one_ending(sets, |s| s.id, wanted).ok_or_else(|| {
        Refusal::new(
            Code::NoSuchEvent,
            format!("No one set of this client ends in \"{}\".", printable(wanted)),
            "setwright client show NAME lists sets with the digits that tell them apart.",
        )
    })
}

/// A spell in words: "deload, 7 days".
pub fn spell_in_words(spell: Spell) -> String {
    let kind = match spell.kind {
        SpellKind::Deload => "deload",
        SpellKind::Illness => "ill",
    };
    format!("{kind}, {} {}", spell.days, if spell.days == 1 { "day" } else { "days" })
}

/// A set in words: "plank, 45+2".
pub fn set_in_words(done: &SetDone) -> String {
    let load = done.load.map_or_else(String::new, |l| format!(" {}", l.as_written()));
    let left = done.rir.map_or_else(String::new, |r| format!("+{r}"));
    format!("{}{load}, {}{left}", done.exercise, done.reps)
}

/// A set as it would be typed: "back squat: warm 60 kg for 5", read again as the same.
pub fn set_as_typed(done: &SetDone, catalogue: &Catalogue) -> String {
    let exercise = catalogue.get(&done.exercise);
    let name = exercise.map_or(done.exercise.as_str(), |e| e.name.as_str());
    let warm = if done.kind == SetKind::WarmUp { "warm " } else { "" };
    let body = if exercise.is_some_and(|e| loading(e) == Loading::Maybe) { "body+" } else { "" };
    let load = done.load.map_or_else(String::new, |l| format!("{body}{} for ", l.as_written()));
    let left = done.rir.map_or_else(String::new, |r| format!("+{r}"));
    format!("{name}: {warm}{load}{}{left}", done.reps)
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_formats::Source;
    use setwright_formats::lines::{self, LineOptions};
    use setwright_gym::catalogue::builtin;
    use setwright_model::MassUnit;

    #[test]
    fn a_set_as_it_would_be_typed_is_read_as_the_same_set() {
        let options = LineOptions { unit: MassUnit::Kg, today: "2026-11-27".parse().unwrap() };
        for line in [
            "back squat: warm 60 kg for 5",
            "bench press: 82.5 kg for 8+2",
            "bench press: 185 lb for 6",
            "pull-up: body+5 kg for 6+1",
            "pull-up: 6+0",
            "plank: 45+2",
            "assisted dip: 20 kg for 10+3",
        ] {
            let read = |text: &str| {
                let source = Source { name: "log".to_owned(), text: text.to_owned() };
                lines::parse(&source, builtin(), options).unwrap()[0].sets[0].clone()
            };
            let set = read(line);
            assert_eq!(read(&set_as_typed(&set, builtin())), set, "{}", set_as_typed(&set, builtin()));
        }
    }
}
