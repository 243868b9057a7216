//! Chromium's own remote control: JSON messages over two pipes, each ended by a zero byte
//! (the `DevTools` protocol with `--remote-debugging-pipe`).

use serde_json::{Value, json};
use setwright::clock;
use setwright_model::Seconds;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

/// How long anything may take before the test has failed; machines are slow at times.
pub const ANSWER_WITHIN: Seconds = Seconds(60.0);

/// A running browser.
pub struct Browser {
    child: Child,
    say: ChildStdin,
    hear: Receiver<Value>,
    next: u64,
    /// Errors of pages: exceptions and messages at level error.
    pub complaints: Vec<String>,
}

impl Browser {
    /// Starts the browser with its memory in this folder.
    pub fn start(program: &Path, profile: &Path) -> Self {
        // The browser reads from its third file and answers on its fourth; the shell moves the pipes there.
        let mut child = Command::new("sh")
            .arg("-c")
            .arg("exec \"$0\" \"$@\" 3<&0 4>&1 0</dev/null 1>/dev/null 2>/dev/null")
            .arg(program)
            .args([
                "--headless=new",
                "--no-sandbox",
                "--remote-debugging-pipe",
                "--no-first-run",
                "--disable-gpu",
            ])
            .args([
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-dev-shm-usage",
                // The certificate of the tests is signed by nobody.
                "--ignore-certificate-errors",
            ])
            .arg(format!("--user-data-dir={}", profile.display()))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let say = child.stdin.take().unwrap();
        let mut from = BufReader::new(child.stdout.take().unwrap());
        let (tell, hear) = channel();
        std::thread::spawn(move || {
            let mut message = Vec::new();
            while from.read_until(0, &mut message).is_ok_and(|n| n > 0) {
                message.pop();
                let Ok(value) = serde_json::from_slice(&message) else { break };
                if tell.send(value).is_err() {
                    break;
                }
                message.clear();
            }
        });
        Self { child, say, hear, next: 0, complaints: Vec::new() }
    }

    /// Calls a method, of a page when `session` names one, and waits for its answer.
    pub fn call(&mut self, session: Option<&str>, method: &str, params: &Value) -> Value {
        self.ask(session, method, params).unwrap_or_else(|refused| panic!("{method}: {refused}"))
    }

    /// Calls a method, of a page when `session` names one, and waits for its answer or for why there is none.
    pub fn ask(&mut self, session: Option<&str>, method: &str, params: &Value) -> Result<Value, String> {
        self.next += 1;
        let id = self.next;
        let mut message = json!({ "id": id, "method": method, "params": params });
        if let Some(session) = session {
            message["sessionId"] = json!(session);
        }
        let mut bytes = serde_json::to_vec(&message).unwrap();
        bytes.push(0);
        self.say.write_all(&bytes).unwrap();
        let watch = clock::wall().stopwatch();
        loop {
            assert!(!watch.is_past(ANSWER_WITHIN), "{method} was not answered");
            let value = match self.hear.recv_timeout(Duration::from_secs(5)) {
                Ok(value) => value,
                Err(RecvTimeoutError::Timeout) => continue,
                Err(RecvTimeoutError::Disconnected) => panic!("the browser ended during {method}"),
            };
            if value["id"] == json!(id) {
                return value
                    .get("error")
                    .map_or_else(|| Ok(value["result"].clone()), |e| Err(e.to_string()));
            }
            self.note(&value);
        }
    }

    fn note(&mut self, event: &Value) {
        let said = match event["method"].as_str() {
            Some("Runtime.exceptionThrown") => event["params"]["exceptionDetails"].to_string(),
            // What the browser says of a page by itself: blocked by a policy, an unknown type, a missing file.
            Some("Log.entryAdded") if event["params"]["entry"]["level"] == "error" => {
                event["params"]["entry"].to_string()
            }
            _ => return,
        };
        self.complaints.push(said);
    }

    /// Ends the browser at once, as when a phone's battery dies.
    pub fn kill(mut self) {
        self.end();
    }

    fn end(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        self.end();
    }
}
