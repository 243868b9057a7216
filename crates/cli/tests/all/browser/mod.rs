//! The pages in a real browser, with the real program behind them: a thumb, a keyboard, lost reception, a killed phone.
//! Where there is no Chromium each of these tests says that it was skipped, with its name and how many were so far; in CI (`CI=true`)
//! its absence is a failure.

pub mod access;
pub mod account;
pub mod cdp;
pub mod editor;
pub mod floor;
pub mod forget;
pub mod gym;
pub mod newcomer;
pub mod page;
pub mod pictures;
pub mod sign_in;

use std::io::Write;
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};

/// The browser, if there is one.
pub fn chromium() -> Option<PathBuf> {
    let named = std::env::var_os("SETWRIGHT_CHROMIUM").map(PathBuf::from);
    let folders = std::env::var_os("PATH").unwrap_or_default();
    let names = ["chromium", "chromium-browser", "google-chrome"];
    let found = named.or_else(|| {
        std::env::split_paths(&folders).flat_map(|f| names.map(|n| f.join(n))).find(|p| p.is_file())
    });
    if found.is_none() {
        assert!(std::env::var_os("CI").is_none(), "CI runs the browser tests: install chromium");
        skipped("there is no Chromium here");
    }
    found
}

/// Says that the test on this thread is skipped. It goes past what the runner captures, for a test that ended well shows nothing.
pub fn skipped(why: &str) {
    static SO_FAR: AtomicUsize = AtomicUsize::new(0);
    let thread = std::thread::current();
    let (name, nth) = (thread.name().unwrap_or("a test"), SO_FAR.fetch_add(1, Ordering::Relaxed) + 1);
    let _ = writeln!(std::io::stderr(), "skipped: {name}: {why} ({nth} skipped so far)");
}
