//! The log of one server, so that a test hears nobody else's.

use super::pages::wall;
use axum::Router;
use axum::extract::Request;
use axum::middleware::{Next, from_fn};
use setwright_web::log;
use std::io::{self, Write};
use std::sync::{Arc, Mutex};
use tracing::Dispatch;
use tracing::instrument::WithSubscriber;
use tracing_subscriber::fmt::MakeWriter;

/// What a server said.
#[derive(Clone, Default)]
pub struct Lines(Arc<Mutex<Vec<u8>>>);

impl Lines {
    /// A log that is written here, its clock showing this moment.
    pub fn log(&self, now: &str) -> Dispatch {
        log::lines(wall(now), self.clone())
    }

    pub fn all(&self) -> Vec<String> {
        let text = String::from_utf8(self.0.lock().unwrap().clone()).unwrap();
        text.lines().map(str::to_owned).collect()
    }

    /// The last line, which is forgotten with all before it.
    pub fn last(&self) -> String {
        let last = self.all().pop().unwrap_or_default();
        self.0.lock().unwrap().clear();
        last
    }
}

impl Write for Lines {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.lock().unwrap().write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl MakeWriter<'_> for Lines {
    type Writer = Self;

    fn make_writer(&self) -> Self {
        self.clone()
    }
}

/// Pages that are heard there and nowhere else.
pub fn heard(pages: Router, log: Dispatch) -> Router {
    pages.layer(from_fn(move |request: Request, next: Next| next.run(request).with_subscriber(log.clone())))
}
