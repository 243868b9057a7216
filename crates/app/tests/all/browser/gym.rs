//! A gym with one client and a programme, served by the program itself, which can go away and come back.

use super::super::web::Pages;
use setwright_model::ledger::ClientId;
use setwright_store::{Opening, SessionState, SetState, SqliteStore, Store};
use std::io::{BufRead, BufReader};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

/// A gym.
pub struct Gym {
    /// Everything lies here.
    pub folder: TempDir,
    served: Option<Child>,
    port: u16,
}

impl Gym {
    /// A gym with a client who has a programme; and the path of the client's page.
    pub fn with(name: &str) -> (Self, String) {
        let folder = TempDir::new().unwrap();
        let path = Pages::on(&folder.path().join("ledger.sqlite3")).newcomer(name);
        let mut gym = Self { folder, served: None, port: 0 };
        gym.open();
        (gym, path)
    }

    /// Where the ledger is.
    pub fn ledger(&self) -> PathBuf {
        self.folder.path().join("ledger.sqlite3")
    }

    /// The address of a path.
    pub fn at(&self, path: &str) -> String {
        format!("http://localhost:{}{path}", self.port)
    }

    /// The demo's gym: eight clients with half a year of logs.
    pub fn demo() -> Self {
        let mut gym = Self { folder: TempDir::new().unwrap(), served: None, port: 0 };
        let mut demo = Command::new(env!("CARGO_BIN_EXE_setwright"));
        demo.args(["demo", "--no-open", "--port", "0"]);
        gym.serve(demo);
        gym
    }

    /// Serves, at the same address as before.
    pub fn open(&mut self) {
        let mut serve = Command::new(env!("CARGO_BIN_EXE_setwright"));
        serve.arg("--ledger").arg(self.ledger());
        serve.args(["serve", "--no-open", "--port", &self.port.to_string()]);
        self.serve(serve);
    }

    fn serve(&mut self, mut command: Command) {
        let mut child =
            command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
        let mut said = BufReader::new(child.stderr.take().unwrap());
        let mut line = String::new();
        while !line.contains("http://") {
            line.clear();
            assert!(said.read_line(&mut line).unwrap() > 0, "the program ended before it served");
        }
        // Whoever stops reading makes the writer wait.
        std::thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
        let port =
            line.split("http://").nth(1).and_then(|a| a.split('/').next()).and_then(|a| a.rsplit(':').next());
        self.port = port.unwrap().parse().unwrap();
        self.served = Some(child);
    }

    /// The program is killed, or the reception is lost: to a phone it is the same.
    pub fn vanish(&mut self) {
        if let Some(mut child) = self.served.take() {
            child.kill().unwrap();
            child.wait().unwrap();
        }
    }

    /// The only client's sessions and sets, in the order in which they were done.
    pub fn logged(&self) -> (Vec<SessionState>, Vec<SetState>) {
        let mut store = SqliteStore::open(&self.ledger(), Opening::Existing).unwrap();
        let client: ClientId = store.clients().unwrap().first().unwrap().client;
        let mut sets = store.sets(client).unwrap();
        sets.sort_by_key(|s| s.at.unix_ms());
        (store.sessions(client).unwrap(), sets)
    }
}

impl Drop for Gym {
    fn drop(&mut self) {
        self.vanish();
    }
}
