//! Where the ledger is kept.

use std::env;
use std::path::PathBuf;

/// The variable that names the ledger when no option does.
pub const VARIABLE: &str = "SETWRIGHT_LEDGER";

const FILE: &str = "ledger.sqlite3";

/// The ledger's path: as given, else as the environment says, else in the folder that the platform keeps data in.
pub fn path(given: Option<PathBuf>) -> PathBuf {
    let named = || env::var_os(VARIABLE).filter(|v| !v.is_empty()).map(PathBuf::from);
    given.or_else(named).unwrap_or_else(|| data_folder().join("setwright").join(FILE))
}

fn folder(variable: &str) -> Option<PathBuf> {
    env::var_os(variable).map(PathBuf::from).filter(|p| p.is_absolute())
}

#[cfg(target_os = "windows")]
fn data_folder() -> PathBuf {
    folder("APPDATA").unwrap_or_default()
}

#[cfg(target_os = "macos")]
fn data_folder() -> PathBuf {
    folder("HOME").unwrap_or_default().join("Library/Application Support")
}

#[cfg(not(any(target_os = "windows", target_os = "macos")))]
fn data_folder() -> PathBuf {
    folder("XDG_DATA_HOME").unwrap_or_else(|| folder("HOME").unwrap_or_default().join(".local/share"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_that_was_given_is_taken_as_it_is() {
        assert_eq!(path(Some("a/b".into())), PathBuf::from("a/b"));
    }
}
