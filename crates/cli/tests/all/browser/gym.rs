//! A gym with one client and a programme, served by the program itself, which can go away and come back.

use super::super::kit::{program, serving};
use super::super::network::pem;
use super::super::pages::Pages;
use setwright_model::ledger::ClientId;
use setwright_store::{Opening, PainState, SessionState, SetState, SqliteStore, Store};
use std::path::PathBuf;
use std::process::{Child, Command};
use tempfile::TempDir;

/// A gym.
pub struct Gym {
    /// Everything lies here.
    pub folder: TempDir,
    served: Option<Child>,
    port: u16,
    /// Whether it is open to a network, by TLS and to accounts alone.
    guarded: bool,
}

impl Gym {
    /// A gym with a client who has a programme; and the path of the client's page.
    pub fn with(name: &str) -> (Self, String) {
        let folder = TempDir::new().unwrap();
        let path = Pages::on(&folder.path().join("ledger.sqlite3")).newcomer(name);
        let mut gym = Self::closed(folder);
        gym.open();
        (gym, path)
    }

    fn closed(folder: TempDir) -> Self {
        Self { folder, served: None, port: 0, guarded: false }
    }

    /// Where the ledger is.
    pub fn ledger(&self) -> PathBuf {
        self.folder.path().join("ledger.sqlite3")
    }

    /// The address of a path.
    pub fn at(&self, path: &str) -> String {
        let scheme = if self.guarded { "https" } else { "http" };
        format!("{scheme}://localhost:{}{path}", self.port)
    }

    /// The same gym open to a network, with an account for its coach; and the path of the link that sets its password.
    pub fn guarded(name: &str) -> (Self, String, String) {
        let (mut gym, path) = Self::with(name);
        gym.vanish();
        let link = gym.account(&["Ada", "--role", "owner"]);
        (gym.port, gym.guarded) = (0, true);
        gym.open();
        (gym, path, link)
    }

    /// Adds an account; the path of the link that sets its password.
    pub fn account(&self, of: &[&str]) -> String {
        let mut add = Command::new(program());
        add.arg("--ledger").arg(self.ledger()).args(["account", "add"]).args(of);
        let said = String::from_utf8(add.output().unwrap().stdout).unwrap();
        format!("/welcome/{}", said.trim().split_once("/welcome/").unwrap().1)
    }

    /// The demo's gym: eight clients with half a year of logs.
    pub fn demo() -> Self {
        let mut gym = Self::closed(TempDir::new().unwrap());
        let mut demo = Command::new(program());
        demo.args(["demo", "--no-open", "--port", "0"]);
        gym.serve(demo);
        gym
    }

    /// Serves, at the same address as before.
    pub fn open(&mut self) {
        let mut serve = Command::new(program());
        serve.arg("--ledger").arg(self.ledger());
        if self.guarded {
            let (cert, key) = (pem("cert.pem"), pem("key.pem"));
            let at = format!("127.0.0.1:{}", self.port);
            serve.args(["serve", "--no-open", "--listen", &at, "--cert", &cert, "--key", &key]);
        } else {
            serve.args(["serve", "--no-open", "--port", &self.port.to_string()]);
        }
        self.serve(serve);
    }

    fn serve(&mut self, command: Command) {
        let (child, address) = serving(command);
        self.port = address.rsplit(':').next().unwrap().parse().unwrap();
        self.served = Some(child);
    }

    /// The program is killed, or the reception is lost: to a phone it is the same.
    pub fn vanish(&mut self) {
        if let Some(mut child) = self.served.take() {
            child.kill().unwrap();
            child.wait().unwrap();
        }
    }

    /// The only client's reports of pain.
    pub fn pains(&self) -> Vec<PainState> {
        let mut store = SqliteStore::open(&self.ledger(), Opening::Existing).unwrap();
        let client: ClientId = store.clients().unwrap().first().unwrap().client;
        store.pains(client).unwrap()
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
