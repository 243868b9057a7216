//! The load command: a gym of a thousand clients with two years of logs each, served by the program itself and asked fifty times
//! a second for a minute, on this machine alone. What is measured is printed, and stands in `docs/quality.md`.
//!
//! ```sh
//! cargo test --release -p setwright --test all -- --ignored load:: --nocapture
//! ```
//!
//! `SETWRIGHT_LOAD_CLIENTS` and `SETWRIGHT_LOAD_S` make it smaller, `SETWRIGHT_PROGRAM` names another build of the program.
//! The ledger is made once, in the system's folder for such things, and used again.

use super::kit::{program, serving};
use serde_json::{Value, json};
use setwright::{clock, machine};
use setwright_chance::Chance;
use setwright_coaching::demo::{self, past};
use setwright_coaching::ids::Ids;
use setwright_coaching::ledger::UnitOfWork;
use setwright_coaching::plan::{Objective, Search, plan};
use setwright_gym::catalogue::builtin;
use setwright_model::Seconds;
use setwright_model::ledger::{ClientId, Event, EventId, What};
use setwright_store::{EventFilter, Opening, Store};
use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// Requests a second, clients who ask at once, and clients who train meanwhile.
const A_SECOND: u64 = 50;
const ASKERS: usize = 16;
const TRAINING: usize = 40;
/// Days of log.
const DAYS: i64 = 730;
/// Of a hundred requests, how many are of which kind.
const MIX: [(Kind, u64); 7] = [
    (Kind::Roster, 8),
    (Kind::Client, 18),
    (Kind::Programme, 12),
    (Kind::FloorPage, 6),
    (Kind::Floor, 16),
    (Kind::Session, 20),
    (Kind::Set, 20),
];

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Roster,
    Client,
    Programme,
    FloorPage,
    Floor,
    Session,
    Set,
}

fn of_environment(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// The ledger, made unless it is there.
fn ledger(clients: usize) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("setwright-load-{clients}"));
    let path = folder.join("ledger.sqlite3");
    if path.exists() {
        return path;
    }
    let watch = clock::wall().stopwatch();
    let making = folder.join("making.sqlite3");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    let lives: Vec<Vec<Event>> = (1..5).map(life).collect();
    let mut uow = UnitOfWork::open(&making, Opening::Create, &machine::this()).unwrap();
    for nth in 0..clients {
        let events = another(&uow, &lives[nth % lives.len()], nth);
        let outcome = uow.store.append_all(&mut events.into_iter()).unwrap();
        assert_eq!(outcome.refused, []);
    }
    uow.close().unwrap();
    std::fs::rename(making, &path).unwrap();
    println!("{clients} clients made in {:.0} s", watch.elapsed().get());
    path
}

/// Two years of one client of the demo roster.
fn life(nth: usize) -> Vec<Event> {
    let folder = tempfile::TempDir::new().unwrap();
    let mut uow =
        UnitOfWork::open(&folder.path().join("ledger.sqlite3"), Opening::Create, &machine::this()).unwrap();
    let brief = demo::roster(None).unwrap().swap_remove(nth);
    let search = Search { mode: Objective::Benefit, seed: 1, moves: 50_000, limit: Seconds(60.0) };
    let planned = plan(&brief, None, builtin(), search, &clock::wall().stopwatch(), &mut |_| {}).unwrap();
    past::live_for(&mut uow, nth, &brief, &planned, DAYS, builtin()).unwrap();
    let all = uow.store.events(EventFilter::default(), 0, usize::MAX >> 1).unwrap();
    let sets = all.iter().filter(|k| matches!(k.event.what, What::Set(_))).count();
    println!("client {nth}: {} events, {sets} sets", all.len());
    all.into_iter().map(|kept| kept.event).collect()
}

/// The same life of somebody else: identifiers and name of their own.
fn another(uow: &UnitOfWork, life: &[Event], nth: usize) -> Vec<Event> {
    let client = ClientId::timed(1_700_000_000_000 + nth as u64, [3; 10]);
    let ids: BTreeMap<String, String> =
        life.iter().map(|e| (e.id.to_string(), uow.ids.event(uow.wall.device_ms()).to_string())).collect();
    let of = |event: &Event| {
        let mut value = serde_json::to_value(event).unwrap();
        renamed(&mut value, &ids);
        value["client"] = json!(client);
        let mut event: Event = serde_json::from_value(value).unwrap();
        if let What::Client(card) = &mut event.what {
            card.name = format!("Client {nth:04}");
        }
        event
    };
    life.iter().map(of).collect()
}

fn renamed(value: &mut Value, ids: &BTreeMap<String, String>) {
    match value {
        Value::String(text) => {
            if let Some(new) = ids.get(text.as_str()) {
                text.clone_from(new);
            }
        }
        Value::Array(all) => all.iter_mut().for_each(|v| renamed(v, ids)),
        Value::Object(all) => all.values_mut().for_each(|v| renamed(v, ids)),
        _ => {}
    }
}

/// The program, serving.
struct Served {
    child: Child,
    address: String,
}

impl Served {
    fn on(ledger: &Path) -> Self {
        let mut serve = Command::new(program());
        serve.arg("--ledger").arg(ledger).args(["serve", "--no-open", "--port", "0"]);
        let (child, address) = serving(serve);
        Self { child, address }
    }

    /// Status and answer, as a browser asks or as a program does.
    fn ask(&self, method: &str, path: &str, body: &str) -> std::io::Result<(u16, Vec<u8>)> {
        let packed = if method == "GET" { "Accept-Encoding: gzip\r\n" } else { "" };
        self.asked(method, path, packed, body)
    }

    fn plain(&self, path: &str) -> Vec<u8> {
        self.asked("GET", path, "", "").unwrap().1
    }

    fn asked(&self, method: &str, path: &str, packed: &str, body: &str) -> std::io::Result<(u16, Vec<u8>)> {
        let mut stream = TcpStream::connect(&self.address)?;
        stream.set_read_timeout(Some(Duration::from_mins(1)))?;
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n{packed}\
             Content-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.address,
            body.len()
        );
        stream.write_all(head.as_bytes())?;
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer)?;
        let status = String::from_utf8_lossy(answer.get(9..12).unwrap_or_default()).parse().unwrap_or(0);
        Ok((status, answer))
    }

    fn memory_mb(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap_or_default();
        let line = status.lines().find_map(|l| l.strip_prefix("VmRSS:")).unwrap_or_default();
        line.trim().trim_end_matches(" kB").parse::<u64>().unwrap_or(0) / 1_024
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Who trains: the session that was begun for each.
struct Training {
    client: ClientId,
    session: EventId,
}

/// What was measured: milliseconds from when a request was due.
#[derive(Default)]
struct Measured {
    all: Mutex<BTreeMap<Kind, Vec<f64>>>,
    errors: AtomicU64,
}

#[test]
#[ignore = "takes minutes: the load command"]
fn a_thousand_clients_under_fifty_requests_a_second() {
    let clients = of_environment("SETWRIGHT_LOAD_CLIENTS", 1_000) as usize;
    let seconds = of_environment("SETWRIGHT_LOAD_S", 60);
    let path = ledger(clients);
    let mut uow = UnitOfWork::open(&path, Opening::Existing, &machine::this()).unwrap();
    assert_eq!(uow.clients().unwrap().len(), clients);
    let everybody: Vec<ClientId> =
        (0..clients).map(|nth| ClientId::timed(1_700_000_000_000 + nth as u64, [3; 10])).collect();
    uow.close().unwrap();
    let served = Served::on(&path);
    let ids = Mutex::new(Ids::with(machine::this().entropy));
    let training = begun(&ids, &served, &everybody);
    warm(&served);
    let measured = Measured::default();
    let (next, watch) = (AtomicU64::new(0), clock::wall().stopwatch());
    std::thread::scope(|scope| {
        for _ in 0..ASKERS {
            scope.spawn(|| {
                loop {
                    let nth = next.fetch_add(1, Ordering::Relaxed);
                    if nth >= seconds * A_SECOND {
                        break;
                    }
                    let due_s = nth as f64 / A_SECOND as f64;
                    std::thread::sleep(Duration::from_secs_f64((due_s - watch.elapsed().get()).max(0.0)));
                    let (kind, ok) = one(nth, &ids, &served, &everybody, &training);
                    let took_ms = 1_000.0 * (watch.elapsed().get() - due_s);
                    measured.all.lock().unwrap().entry(kind).or_default().push(took_ms);
                    measured.errors.fetch_add(u64::from(!ok), Ordering::Relaxed);
                }
            });
        }
    });
    told(&measured, watch.elapsed().get(), served.memory_mb());
    assert_eq!(measured.errors.load(Ordering::Relaxed), 0);
}

/// Begins a session for some of the clients, as the floor page does.
fn begun(ids: &Mutex<Ids>, served: &Served, everybody: &[ClientId]) -> Vec<Training> {
    let step = (everybody.len() / TRAINING).max(1);
    let mut training = Vec::new();
    for client in everybody.iter().step_by(step).take(TRAINING) {
        let answer = served.plain(&format!("/api/v1/clients/{client}/floor"));
        let text = String::from_utf8(answer).unwrap();
        let floor: Value = serde_json::from_str(text.split_once("\r\n\r\n").unwrap().1).unwrap();
        let session: EventId = floor["session"].as_str().unwrap().parse().unwrap();
        if floor["begun"] == true {
            // An earlier run began it.
            training.push(Training { client: *client, session });
            continue;
        }
        let started = json!({ "programme": floor["programme"], "day": floor["day"] });
        let mut event = written(ids, *client, &json!({ "session_started": started }));
        event["id"] = json!(session);
        let (status, answer) = served.ask("POST", "/api/v1/events", &json!([event]).to_string()).unwrap();
        assert!(status == 200 && has(&answer, "created"), "{}", String::from_utf8_lossy(&answer));
        training.push(Training { client: *client, session });
    }
    training
}

fn written(ids: &Mutex<Ids>, client: ClientId, what: &Value) -> Value {
    let wall = clock::wall();
    let id = ids.lock().unwrap().event(wall.device_ms());
    json!({ "id": id, "at": wall.now(), "client": client, "actor": { "role": "coach" }, "what": what })
}

fn has(answer: &[u8], text: &str) -> bool {
    answer.windows(text.len()).any(|part| part == text.as_bytes())
}

/// Waits until the roster is whole, as it is when a gym has been open for a while.
fn warm(served: &Served) {
    let watch = clock::wall().stopwatch();
    while has(&served.plain("/"), "being reckoned") {
        assert!(!watch.is_past(Seconds(3_600.0)), "the roster is never whole");
        std::thread::sleep(Duration::from_secs(2));
    }
    println!("the roster was whole after {:.0} s; {} MB", watch.elapsed().get(), served.memory_mb());
}

/// One request, drawn from its place alone.
fn one(
    nth: u64,
    ids: &Mutex<Ids>,
    served: &Served,
    everybody: &[ClientId],
    training: &[Training],
) -> (Kind, bool) {
    let mut chance = Chance::new(7, nth);
    let anybody = everybody[chance.below(everybody.len())];
    let trains = &training[chance.below(training.len())];
    let mut share = chance.below(100) as u64;
    let mut kind = Kind::Roster;
    for (one, of_hundred) in MIX {
        kind = one;
        if share < of_hundred {
            break;
        }
        share -= of_hundred;
    }
    let floor = if chance.unit() < 0.5 { trains.client } else { anybody };
    let (client, session) = (trains.client, trains.session);
    let answer = match kind {
        Kind::Roster => served.ask("GET", "/", ""),
        Kind::Client => served.ask("GET", &format!("/clients/{anybody}"), ""),
        Kind::Programme => served.ask("GET", &format!("/clients/{anybody}/programme"), ""),
        Kind::FloorPage => served.ask("GET", &format!("/clients/{floor}/floor"), ""),
        Kind::Floor => served.ask("GET", &format!("/api/v1/clients/{floor}/floor"), ""),
        Kind::Session => served.ask("GET", &format!("/api/v1/clients/{client}/sessions/{session}"), ""),
        Kind::Set => {
            let load = json!({ "value": 60.0, "unit": "kg", "kg": 60.0 });
            let done = json!({ "exercise": "back_squat", "kind": "work", "load": load, "reps": 8, "rir": 2 });
            let event = written(ids, client, &json!({ "set": { "session": session, "done": done } }));
            served.ask("POST", "/api/v1/events", &json!([event]).to_string())
        }
    };
    let ok = answer.is_ok_and(|(status, body)| status == 200 && (kind != Kind::Set || has(&body, "created")));
    (kind, ok)
}

fn told(measured: &Measured, seconds: f64, memory_mb: u64) {
    let all = measured.all.lock().unwrap();
    let total: usize = all.values().map(Vec::len).sum();
    println!(
        "{total} requests in {seconds:.1} s, {} errors, {memory_mb} MB",
        measured.errors.load(Ordering::Relaxed)
    );
    println!("{:<10} {:>6} {:>8} {:>8} {:>8} {:>8}", "ms", "n", "p50", "p95", "p99", "worst");
    let mut whole: Vec<f64> = all.values().flatten().copied().collect();
    for (kind, times) in &*all {
        line(&format!("{kind:?}"), &mut times.clone());
    }
    line("all", &mut whole);
}

fn line(name: &str, times: &mut [f64]) {
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() as f64 * share) as usize).min(times.len() - 1)];
    println!(
        "{name:<10} {:>6} {:>8.1} {:>8.1} {:>8.1} {:>8.1}",
        times.len(),
        at(0.5),
        at(0.95),
        at(0.99),
        at(1.0)
    );
}
