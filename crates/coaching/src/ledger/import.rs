//! Bringing logs in: from rows or lines that were read to events, what of it is new, and all of it or nothing. The same
//! content of the same client gets the same identifiers, so that a second import finds everything there. They follow from the client's
//! key as well, and the client's own identifier comes from chance: neither tells a name or a set to who only tries names and sets.

use super::{UnitOfWork, of_store, refused};
use serde::Serialize;
use setwright_formats::Source;
use setwright_formats::doc::printable;
use setwright_formats::logbook::{Logbook, LogbookRow};
use setwright_model::MassUnit;
use setwright_model::code::Code;
use setwright_model::ledger::{
    ClientCard, ClientId, Date, Event, EventId, Load, Moment, Note, SessionStarted, SetDone, SetKind,
    SetLogged, What,
};
use setwright_model::name::folded;
use setwright_model::refusal::{Position, Refusal, Refusals};
use setwright_store::{Digest, SetState, Store, sha256};
use std::collections::{BTreeMap, BTreeSet};

/// What an import would do, or did.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ImportView {
    /// The file.
    pub file: String,
    /// Whether it was written.
    pub written: bool,
    /// Sets (or events, for JSON lines) in the file.
    pub found: u64,
    /// How many are new.
    pub new: u64,
    /// How many were in the ledger already.
    pub there: u64,
    /// New sessions.
    pub sessions: u64,
    /// Clients that come up.
    pub clients: Vec<ClientPart>,
    /// Exercises that come up, as they were written and as they were understood.
    pub exercises: Vec<ExercisePart>,
    /// First day.
    pub first: Option<String>,
    /// Last day.
    pub last: Option<String>,
    /// Sets with loads in kilograms, and in pounds.
    pub loads: [u64; 2],
    /// What was assumed or passed over.
    pub notes: Vec<String>,
}

/// A client of an import.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClientPart {
    /// The name.
    pub name: String,
    /// Whether the client is added.
    pub new: bool,
    /// Sets of the client in the file.
    pub sets: u64,
}

/// An exercise of an import.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExercisePart {
    /// As it was written first.
    pub written: String,
    /// As it was understood.
    pub id: String,
    /// Sets of it in the file.
    pub sets: u64,
}

/// Brings a log in, or shows what that would do.
pub fn logbook(
    uow: &mut UnitOfWork,
    source: &Source,
    book: &Logbook,
    write: bool,
) -> Result<ImportView, Refusals> {
    let mut import = Import::new(uow, source, book).map_err(|p| vec![p])?;
    import.sessions()?;
    import.sets()?;
    let Import { events, lines, mut view, .. } = import;
    view.written = write;
    settle(uow, source, events, &lines, if write { Taken::Named } else { Taken::Rehearsed })?;
    Ok(view)
}

/// How events are taken.
#[derive(Clone, Copy)]
enum Taken {
    /// Not at all, as it would be.
    Rehearsed,
    /// As they were exported: coaches of one ledger may each have had a client of the same name.
    AsTheyAre,
    /// If nobody new is called like somebody who is there.
    Named,
}

/// A name that two clients have: whose sets they are cannot be told.
fn either(name: &str, one: ClientId, other: ClientId) -> Refusal {
    let what = format!("\"{}\" may be {} or {}.", printable(name), one.short(), other.short());
    let hint = "Give one of the two another name: setwright client change DIGITS --name NAME.";
    Refusal::new(Code::NoSuchClient, what, hint)
}

/// Writes events or rehearses it; a refusal is told at the line it comes from.
fn settle(
    uow: &mut UnitOfWork,
    source: &Source,
    events: Vec<Event>,
    lines: &[u32],
    taken: Taken,
) -> Result<(u64, u64), Refusals> {
    let outcome = match taken {
        Taken::Rehearsed => uow.store.rehearse(&mut events.into_iter()),
        Taken::AsTheyAre => uow.store.append_all(&mut events.into_iter()),
        Taken::Named => {
            let may = &uow.may;
            uow.store.append_all_named(&events, &|client| may.see(client))
        }
    };
    let outcome = outcome.map_err(|e| vec![of_store(&e)])?;
    if outcome.refused.is_empty() {
        return Ok((outcome.created, outcome.exists));
    }
    let at = |index: usize| {
        let line = lines.get(index).map(|l| *l as usize);
        Position { file: source.name.clone(), line, column: line.map(|_| 1) }
    };
    Err(outcome.refused.iter().map(|r| refused(r).at(at(r.index))).collect())
}

/// What a thing's identifier follows from: its content, or the identifier it brought.
struct Base {
    given: Option<EventId>,
    client: ClientId,
    content: Digest,
}

impl Base {
    /// What it follows from; something else when those before are in the log and stand no more.
    fn content(&self, generation: u32) -> Digest {
        match generation {
            0 => self.content,
            n => sha256(&[b"again", &n.to_be_bytes(), &self.content.0]),
        }
    }
}

/// How identifiers follow from content.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Making {
    /// By the client's key.
    Keyed,
    /// By nothing else, as before there were keys: what was brought in then is still found.
    Plain,
}

/// Identifiers for some of these things.
fn made(
    uow: &mut UnitOfWork,
    bases: &[Base],
    which: &[usize],
    (making, generation): (Making, u32),
) -> Result<Vec<(usize, EventId)>, Refusal> {
    let mut ids = Vec::with_capacity(which.len());
    let mut keyed: BTreeMap<ClientId, (Vec<usize>, Vec<Digest>)> = BTreeMap::new();
    for &i in which {
        let Some(base) = bases.get(i) else { continue };
        let content = base.content(generation);
        match (base.given, making) {
            (Some(id), _) if generation == 0 => ids.push((i, id)),
            (_, Making::Plain) => ids.push((i, EventId::derived(content.half()))),
            (_, Making::Keyed) => {
                let of_client = keyed.entry(base.client).or_default();
                of_client.0.push(i);
                of_client.1.push(content);
            }
        }
    }
    for (client, (which, contents)) in keyed {
        let made = uow.store.derived(client, &contents).map_err(|e| of_store(&e))?;
        ids.extend(which.into_iter().zip(made));
    }
    Ok(ids)
}

/// Identifiers for things, and which of them stand already.
fn settled(
    uow: &mut UnitOfWork,
    bases: &[Base],
    stands: &dyn Fn(EventId) -> bool,
) -> Result<Vec<(EventId, bool)>, Refusal> {
    let mut settled = vec![None; bases.len()];
    for making in [Making::Plain, Making::Keyed] {
        let mut open: Vec<usize> =
            (0..bases.len()).filter(|i| !matches!(settled.get(*i), Some(Some((_, true))))).collect();
        let mut generation = 0;
        while !open.is_empty() {
            for (i, id) in made(uow, bases, &open, (making, generation))? {
                if let Some(slot) = settled.get_mut(i) {
                    *slot = Some((id, stands(id)));
                }
            }
            let at = |i: &usize| settled.get(*i).copied().flatten();
            open.retain(|i| at(i).is_some_and(|(_, there)| !there));
            let ids: Vec<EventId> = open.iter().filter_map(|i| Some(at(i)?.0)).collect();
            let gone = uow.store.there(&ids).map_err(|e| of_store(&e))?;
            open.retain(|i| at(i).is_some_and(|(id, _)| gone.contains(&id)));
            generation += 1;
        }
    }
    Ok(settled.into_iter().flatten().collect())
}

/// The session of a row: client, day, and what the column of sessions says.
type SessionKey = (u32, Date, Option<u32>);

/// What a set's identifier follows from.
type SetKey = (SessionKey, Option<u32>, u32, SetKind, Option<(u64, MassUnit)>, u32, Option<u32>);

struct Import<'i> {
    uow: &'i mut UnitOfWork,
    book: &'i Logbook,
    source: &'i Source,
    batch: EventId,
    clients: Vec<ClientId>,
    standing: Vec<BTreeMap<EventId, SetState>>,
    /// When each row happened.
    moments: Vec<Moment>,
    /// The session of each key, and whether it stands already.
    known: BTreeMap<SessionKey, (EventId, bool)>,
    /// When each session began: at the first of its rows.
    begins: BTreeMap<SessionKey, Moment>,
    events: Vec<Event>,
    /// The line that each event comes from.
    lines: Vec<u32>,
    view: ImportView,
}

impl<'i> Import<'i> {
    fn new(uow: &'i mut UnitOfWork, source: &'i Source, book: &'i Logbook) -> Result<Self, Refusal> {
        let batch = uow.batch();
        let mut import = Self {
            uow,
            book,
            source,
            batch,
            clients: Vec::new(),
            standing: Vec::new(),
            moments: Vec::new(),
            known: BTreeMap::new(),
            begins: BTreeMap::new(),
            events: Vec::new(),
            lines: Vec::new(),
            view: view(source, book),
        };
        import.clients()?;
        import.moments()?;
        Ok(import)
    }

    fn push(&mut self, id: EventId, at: Moment, client: ClientId, line: u32, what: What) {
        let mut event = self.uow.event(client, Some(at), Some(self.batch), what);
        event.id = id;
        self.events.push(event);
        self.lines.push(line);
    }

    /// Finds the clients or adds them, and gets what stands of them.
    fn clients(&mut self) -> Result<(), Refusal> {
        let there = self.uow.clients()?;
        for (i, name) in self.book.clients.iter().enumerate() {
            let sets = self.book.rows.iter().filter(|r| r.client as usize == i).count() as u64;
            let mut called = there.iter().filter(|c| folded(&c.card.name) == folded(name));
            let known = called.next();
            if let Some((one, other)) = known.zip(called.next()) {
                return Err(either(name, one.client, other.client));
            }
            self.view.clients.push(ClientPart { name: name.clone(), new: known.is_none(), sets });
            if let Some(known) = known {
                let standing = self.uow.store.sets(known.client).map_err(|e| of_store(&e))?;
                self.clients.push(known.client);
                self.standing.push(standing.into_iter().map(|s| (s.id, s)).collect());
                continue;
            }
            let client = self.uow.ids.client(self.uow.wall.device_ms());
            let card = ClientCard { name: name.clone(), about: String::new(), away: false };
            let now = self.uow.wall.now();
            let card_id = self.uow.batch();
            self.push(card_id, now, client, 1, What::Client(card));
            self.clients.push(client);
            self.standing.push(BTreeMap::new());
        }
        Ok(())
    }

    fn client(&self, index: u32) -> Option<ClientId> {
        self.clients.get(index as usize).copied()
    }

    /// When each row happened: at its time, else at noon; rows of a session with the same time a second apart, so that
    /// their order is kept.
    fn moments(&mut self) -> Result<(), Refusal> {
        let mut before: BTreeMap<(SessionKey, Option<u32>), u32> = BTreeMap::new();
        for row in &self.book.rows {
            let earlier = before.entry((key(row), row.ms)).or_default();
            let ms = i64::from(row.ms.unwrap_or(NOON_MS)) + i64::from(*earlier) * 1_000;
            *earlier += 1;
            let at = moment(self.uow, row, ms.min(LAST_MS)).ok_or_else(|| {
                let what = "This day and time are no moment.";
                Refusal::new(Code::LogCell, what, "Look at the date, the time and the offset.")
                    .at(Position::at(self.source.name.as_str(), row.line as usize, 1))
            })?;
            let begins = self.begins.entry(key(row)).or_insert(at);
            *begins = (*begins).min(at);
            self.moments.push(at);
        }
        Ok(())
    }

    /// Finds the sessions or begins them.
    fn sessions(&mut self) -> Result<(), Refusals> {
        let mut stands = BTreeSet::new();
        for (client, part) in self.clients.clone().into_iter().zip(&self.view.clients) {
            if !part.new {
                let sessions = self.uow.store.sessions(client).map_err(|e| vec![of_store(&e)])?;
                stands.extend(sessions.iter().map(|s| s.id));
            }
        }
        let keys: Vec<SessionKey> = self.begins.keys().copied().collect();
        let bases: Vec<Base> = keys.iter().filter_map(|key| self.session_base(*key)).collect();
        let settled = settled(self.uow, &bases, &|id| stands.contains(&id)).map_err(|p| vec![p])?;
        self.view.sessions = settled.iter().filter(|(_, there)| !there).count() as u64;
        self.known = keys.into_iter().zip(settled).collect();
        Ok(())
    }

    fn session_text(&self, session: Option<u32>) -> &str {
        session.and_then(|s| self.book.sessions.get(s as usize)).map_or("", String::as_str)
    }

    fn session_base(&self, (client, date, session): SessionKey) -> Option<Base> {
        let text = self.session_text(session);
        let client = self.client(client);
        let bytes = client.map(ClientId::bytes).unwrap_or_default();
        let content = sha256(&[b"session", &bytes, &date.days().to_be_bytes(), text.as_bytes()]);
        Some(Base { given: text.parse().ok(), client: client?, content })
    }

    /// Turns rows that are not there yet into sets, each session before its first.
    fn sets(&mut self) -> Result<(), Refusals> {
        let bases = self.set_bases();
        let standing = std::mem::take(&mut self.standing);
        let stands = |id: EventId| standing.iter().any(|of| of.contains_key(&id));
        let settled = settled(self.uow, &bases, &stands).map_err(|p| vec![p])?;
        let mut begun: BTreeSet<EventId> = BTreeSet::new();
        let mut problems = Vec::new();
        let rows = self.book.rows.iter().zip(self.moments.clone()).zip(settled);
        for ((row, at), (id, there)) in rows {
            let Some(client) = self.client(row.client) else { continue };
            let done = self.done(row);
            if there {
                self.view.there += 1;
                let have = standing.iter().find_map(|of| of.get(&id));
                problems.extend(have.filter(|h| h.done != done).map(|h| self.differs(row, h)));
                continue;
            }
            let Some((session, session_there)) = self.known.get(&key(row)).copied() else { continue };
            if !session_there && begun.insert(session) {
                let begins = self.begins.get(&key(row)).copied().unwrap_or(at);
                self.push(session, begins, client, row.line, What::SessionStarted(SessionStarted::default()));
            }
            self.view.new += 1;
            self.push(id, at, client, row.line, What::Set(SetLogged { session, done }));
            if let Some(text) = &row.note {
                let note = self.note_id(client, id).map_err(|p| vec![p])?;
                let what = What::Note(Note { text: text.to_string(), about: Some(id) });
                self.push(note, at, client, row.line, what);
            }
        }
        problems.truncate(PROBLEMS_MAX);
        if problems.is_empty() { Ok(()) } else { Err(problems) }
    }

    /// The identifier of what is noted of a set.
    fn note_id(&mut self, client: ClientId, set: EventId) -> Result<EventId, Refusal> {
        let made = self.uow.store.derived(client, &[sha256(&[b"note", &set.bytes()])]);
        let made = made.map_err(|e| of_store(&e))?.pop();
        Ok(made.unwrap_or_else(|| self.uow.batch()))
    }

    fn set_bases(&self) -> Vec<Base> {
        let mut nth: BTreeMap<SetKey, u32> = BTreeMap::new();
        let base = |row: &LogbookRow| {
            let load = row.load.map(|l| (l.value.to_bits(), l.unit));
            let key: SetKey = (key(row), row.ms, row.exercise, row.kind, load, row.reps, row.rir);
            let n = nth.entry(key).or_default();
            *n += 1;
            Some(Base { given: row.id, client: self.client(row.client)?, content: self.content(row, *n) })
        };
        self.book.rows.iter().filter_map(base).collect()
    }

    /// The checksum of what a row says, and of how many rows before it say the same.
    fn content(&self, row: &LogbookRow, nth: u32) -> Digest {
        let client = self.client(row.client).map(ClientId::bytes).unwrap_or_default();
        let exercise = self.book.exercises.get(row.exercise as usize).map_or("", |(id, _)| id.as_str());
        let load = row.load.map_or_else(String::new, |l| format!("{} {}", l.value, l.unit.symbol()));
        let number = |n: Option<u32>| n.map_or_else(String::new, |n| n.to_string());
        let text = format!(
            "{}\n{}\n{}\n{exercise}\n{:?}\n{load}\n{}\n{}\n{nth}",
            row.date,
            number(row.ms),
            self.session_text(row.session),
            row.kind,
            row.reps,
            number(row.rir),
        );
        sha256(&[b"set", &client, text.as_bytes()])
    }

    fn done(&self, row: &LogbookRow) -> SetDone {
        let exercise = self.book.exercises.get(row.exercise as usize).map(|(id, _)| id.clone());
        SetDone {
            exercise: exercise.unwrap_or_else(|| "".into()),
            kind: row.kind,
            load: row.load,
            reps: row.reps,
            rir: row.rir,
            rest_s: None,
        }
    }

    /// A row with the identifier of a set that says something else.
    fn differs(&self, row: &LogbookRow, have: &SetState) -> Refusal {
        let (ours, theirs) =
            (super::log::set_in_words(&have.done), super::log::set_in_words(&self.done(row)));
        Refusal::new(
            Code::EventRefused,
            format!("The ledger has {ours} under this identifier, the file {theirs}."),
            "Correct it with setwright log CLIENT --correct, or empty the cell id to bring it in as another set.",
        )
        .at(Position::at(self.source.name.as_str(), row.line as usize, 1))
    }
}

/// Noon, and the last second of a day, in milliseconds.
const NOON_MS: u32 = 12 * 3_600_000;
const LAST_MS: i64 = 86_399_000;
/// So many problems are told.
const PROBLEMS_MAX: usize = 50;

const fn key(row: &LogbookRow) -> SessionKey {
    (row.client, row.date, row.session)
}

fn moment(uow: &UnitOfWork, row: &LogbookRow, ms: i64) -> Option<Moment> {
    if let Some(offset_min) = row.offset_min {
        return Moment::on(row.date, ms, offset_min).ok();
    }
    let at = uow.wall.on(row.date, (ms / 1_000) as u32)?;
    Moment::new(at.unix_ms() + ms % 1_000, at.offset_min()).ok()
}

fn view(source: &Source, book: &Logbook) -> ImportView {
    let mut per_exercise = vec![0_u64; book.exercises.len()];
    for row in &book.rows {
        if let Some(count) = per_exercise.get_mut(row.exercise as usize) {
            *count += 1;
        }
    }
    let exercises = book.exercises.iter().zip(per_exercise);
    let loads = |unit: MassUnit| {
        let in_unit = |load: &Load| load.unit == unit;
        book.rows.iter().filter(|r| r.load.as_ref().is_some_and(in_unit)).count() as u64
    };
    ImportView {
        file: source.name.clone(),
        found: book.rows.len() as u64,
        exercises: exercises
            .map(|((id, written), sets)| ExercisePart { written: written.clone(), id: id.to_string(), sets })
            .collect(),
        first: book.rows.iter().map(|r| r.date).min().map(|d| d.to_string()),
        last: book.rows.iter().map(|r| r.date).max().map(|d| d.to_string()),
        loads: [loads(MassUnit::Kg), loads(MassUnit::Lb)],
        notes: book.notes.clone(),
        ..ImportView::default()
    }
}

/// Brings events in from JSON lines, or shows what that would do.
pub fn json_lines(uow: &mut UnitOfWork, source: &Source, write: bool) -> Result<ImportView, Refusals> {
    let (mut events, mut lines, mut problems) = (Vec::new(), Vec::new(), Vec::new());
    for (at, line) in source.text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()) {
        match serde_json::from_str::<Event>(line) {
            Ok(event) => {
                events.push(event);
                lines.push(at as u32 + 1);
            }
            Err(error) => problems.push(not_an_event(source, at + 1, &error)),
        }
        if problems.len() >= PROBLEMS_MAX {
            break;
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let mut view = of_events(source, &events);
    let taken = if write { Taken::AsTheyAre } else { Taken::Rehearsed };
    (view.new, view.there) = settle(uow, source, events, &lines, taken)?;
    view.written = write;
    Ok(view)
}

fn not_an_event(source: &Source, line: usize, error: &serde_json::Error) -> Refusal {
    let said = error.to_string();
    let cause = said.split(" at line ").next().unwrap_or_default();
    let what = format!("The line is no event: {cause}.");
    let hint = "setwright schema event shows the form; setwright export --format jsonl writes it.";
    let column = error.column().max(1);
    Refusal::new(Code::LogCell, what, hint).at(Position::at(source.name.as_str(), line, column))
}

fn of_events(source: &Source, events: &[Event]) -> ImportView {
    let cards = events.iter().filter_map(|e| match &e.what {
        What::Client(card) => Some((e.client, card.name.clone())),
        _ => None,
    });
    let names: BTreeMap<ClientId, String> = cards.collect();
    let mut sets: BTreeMap<ClientId, u64> = BTreeMap::new();
    for event in events {
        *sets.entry(event.client).or_default() += u64::from(matches!(event.what, What::Set(_)));
    }
    let part = |(client, sets): (&ClientId, &u64)| ClientPart {
        name: names.get(client).cloned().unwrap_or_else(|| client.to_string()),
        new: false,
        sets: *sets,
    };
    ImportView {
        file: source.name.clone(),
        found: events.len() as u64,
        sessions: events.iter().filter(|e| matches!(e.what, What::SessionStarted(_))).count() as u64,
        clients: sets.iter().map(part).collect(),
        first: events.iter().map(|e| e.at.date()).min().map(|d| d.to_string()),
        last: events.iter().map(|e| e.at.date()).max().map(|d| d.to_string()),
        ..ImportView::default()
    }
}
