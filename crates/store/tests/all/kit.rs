//! Events to tell stories with. Every identifier counts up, so that a story is the same every time.

use setwright_model::MassUnit;
use setwright_model::brief::Brief;
use setwright_model::exercise::ExerciseId;
use setwright_model::ledger::{
    Actor, BriefSet, ClientCard, ClientId, Event, EventId, Load, Moment, SessionStarted, SetCorrected,
    SetDone, SetKind, SetLogged, Voided, What,
};
use setwright_store::{Digest, Opening, SqliteStore, sha256};
use sqlx::{Connection, SqliteConnection};
use std::path::Path;

/// Writes events one after the other.
pub struct Pen {
    count: u64,
    pub client: ClientId,
}

/// The moment of the first event.
const START_MS: i64 = 1_764_000_000_000;

impl Pen {
    pub fn new(client: u8) -> Self {
        Self { count: u64::from(client) << 32, client: ClientId::timed(START_MS as u64, [client; 10]) }
    }

    pub fn id(&mut self) -> EventId {
        self.count += 1;
        let mut chance = [0; 10];
        chance[2..].copy_from_slice(&self.count.to_be_bytes());
        EventId::timed(START_MS as u64 + self.count, chance)
    }

    pub fn at(minutes: i64) -> Moment {
        Moment::new(START_MS + minutes * 60_000, 60).unwrap()
    }

    pub fn event(&mut self, minutes: i64, what: What) -> Event {
        Event {
            id: self.id(),
            at: Self::at(minutes),
            client: self.client,
            actor: Actor::COACH,
            batch: None,
            reason: None,
            what,
        }
    }

    pub fn card(&mut self, name: &str) -> Event {
        self.event(0, What::Client(ClientCard { name: name.to_owned(), about: String::new(), away: false }))
    }

    pub fn session(&mut self, minutes: i64) -> Event {
        self.event(minutes, What::SessionStarted(SessionStarted::default()))
    }

    pub fn set(&mut self, minutes: i64, session: EventId, kg: f64) -> Event {
        self.event(minutes, What::Set(SetLogged { session, done: done(kg, 8) }))
    }

    pub fn correct(&mut self, minutes: i64, set: EventId, kg: f64) -> Event {
        self.event(minutes, What::SetCorrected(SetCorrected { set, done: done(kg, 8) }))
    }

    pub fn void(&mut self, minutes: i64, event: EventId) -> Event {
        self.event(minutes, What::Voided(Voided { event }))
    }

    pub fn brief(&mut self, minutes: i64, name: &str) -> Event {
        let brief: Brief = serde_json::from_str(&format!(
            "{{\"name\":\"{name}\",\"goal\":\"size\",\"training_age\":\"beginner\",\
             \"time\":{{\"sessions\":2,\"minutes\":45}},\"muscles\":{{\"quads\":{{\"least\":3.5}}}}}}"
        ))
        .unwrap();
        self.event(minutes, What::Brief(Box::new(BriefSet { brief })))
    }

    /// A client with this many sets in one session, ready to be appended.
    pub fn client_with_sets(&mut self, name: &str, sets: usize) -> Vec<Event> {
        let card = self.card(name);
        let session = self.session(1);
        let in_session = session.id;
        let mut events = vec![card, session];
        events.extend((0..sets).map(|i| self.set(2 + i as i64, in_session, 60.0 + i as f64 / 4.0)));
        events
    }
}

pub fn done(kg: f64, reps: u32) -> SetDone {
    SetDone {
        exercise: ExerciseId::from("bench_press"),
        kind: SetKind::Work,
        load: Some(Load::new(kg, MassUnit::Kg)),
        reps,
        rir: Some(2),
        rest_s: None,
    }
}

/// Does something to a file of SQLite, as only a fault of the disk, a meddler or an older program would.
pub fn meddle(path: &Path, sql: &str) {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
    runtime.block_on(async {
        let mut c = SqliteConnection::connect(path.to_str().unwrap()).await.unwrap();
        sqlx::raw_sql(sqlx::AssertSqlSafe(sql.to_owned())).execute(&mut c).await.unwrap();
        c.close().await.unwrap();
    });
}

/// Writes a ledger as the program wrote it before what is said of people was sealed: in the schema of this version, up to 5.
pub fn as_before(events: &[Event], path: &Path, schema: i64) {
    SqliteStore::open_up_to(path, Opening::Create, schema).unwrap().close().unwrap();
    let hex = |bytes: &[u8; 16]| format!("{:032x}", u128::from_be_bytes(*bytes));
    let (mut chain, mut rows) = (Digest([0; 32]), Vec::new());
    for (seq, event) in (1..).zip(events) {
        let body = serde_json::to_string(event).unwrap();
        chain = sha256(&[&chain.0, body.as_bytes()]);
        let (subject, kind) = match &event.what {
            What::Client(_) | What::Brief(_) => (event.client.bytes(), event.what.kind()),
            What::SessionStarted(_) => (event.id.bytes(), "session"),
            What::Set(_) | What::Note(_) => (event.id.bytes(), event.what.kind()),
            other => panic!("the kit does not write {other:?} as it was before"),
        };
        rows.push(format!(
            "({seq}, X'{}', X'{}', '{}', X'{}', '{kind}', '{}', X'{chain}')",
            hex(&event.id.bytes()),
            hex(&event.client.bytes()),
            event.what.kind(),
            hex(&subject),
            body.replace('\'', "''"),
        ));
    }
    meddle(path, &format!("INSERT INTO events VALUES {}", rows.join(", ")));
}

/// All files of a folder that hold any of these words, each with the word.
pub fn files_with(folder: &Path, words: &[&str]) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files_with(&path, words));
            continue;
        }
        // A file that was dropped is closed on another thread, which takes away what lay beside it.
        let Ok(bytes) = std::fs::read(&path) else { continue };
        let has = |word: &&&str| bytes.windows(word.len()).any(|w| w == word.as_bytes());
        found.extend(words.iter().filter(has).map(|word| (path.display().to_string(), (*word).to_owned())));
    }
    found
}
