//! A line of news on the standard error while work takes more than a second, and only on a terminal.

use indicatif::{ProgressBar, ProgressDrawTarget};
use std::sync::mpsc::{Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// Work shorter than this shows nothing.
const QUIET: Duration = Duration::from_secs(1);
/// Time between two movements of the mark.
const TICK: Duration = Duration::from_millis(120);

/// News of one piece of work; it is gone when this is dropped.
pub struct SearchNews {
    bar: ProgressBar,
    done: Option<Sender<()>>,
    waiter: Option<JoinHandle<()>>,
}

impl SearchNews {
    /// Begins; says nothing when `on` is false.
    pub fn begin(on: bool, what: &str) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        bar.set_message(what.to_owned());
        if !on {
            return Self { bar, done: None, waiter: None };
        }
        let (done, wait) = channel();
        let shown = bar.clone();
        let waiter = thread::spawn(move || {
            if wait.recv_timeout(QUIET).is_err() && !shown.is_finished() {
                shown.set_style(indicatif::ProgressStyle::default_spinner());
                shown.set_draw_target(ProgressDrawTarget::stderr());
                shown.enable_steady_tick(TICK);
            }
        });
        Self { bar, done: Some(done), waiter: Some(waiter) }
    }

    /// Says something new.
    pub fn say(&self, text: String) {
        self.bar.set_message(text);
    }
}

impl Drop for SearchNews {
    fn drop(&mut self) {
        if let Some(done) = self.done.take() {
            // The waiter may have gone already: then there is nobody to tell.
            let _ = done.send(());
        }
        if let Some(waiter) = self.waiter.take() {
            let _ = waiter.join();
        }
        self.bar.finish_and_clear();
    }
}
