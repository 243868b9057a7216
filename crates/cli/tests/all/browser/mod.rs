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

use crate::all::kit::skipped;
use std::path::PathBuf;

/// The browser, if there is one.
pub fn chromium() -> Option<PathBuf> {
    let named = std::env::var_os("SETWRIGHT_CHROMIUM").map(PathBuf::from);
    let folders = std::env::var_os("PATH").unwrap_or_default();
    let names = ["chromium", "chromium-browser", "google-chrome"];
    let found = named.or_else(|| {
        std::env::split_paths(&folders).flat_map(|f| names.map(|n| f.join(n))).find(|p| p.is_file())
    });
    if found.is_none() {
        skipped("there is no Chromium here: install it, or name one in SETWRIGHT_CHROMIUM");
    }
    found
}
