//! What the store refuses, as problems with a code and a hint.

use setwright_formats::problem::{self, Problem};
use setwright_formats::words;
use setwright_store::{Answer, Refused, StoreError};

/// What went wrong with the file of a ledger.
pub fn of_store(error: &StoreError) -> Problem {
    let (code, hint) = match error {
        StoreError::NoLedger { .. } => (
            problem::NO_LEDGER,
            "setwright client add NAME begins one; --ledger PATH or SETWRIGHT_LEDGER names another place.",
        ),
        StoreError::NotEmpty { .. } => {
            (problem::LEDGER_IN_THE_WAY, "Name a place where nothing is; nothing is ever written over.")
        }
        StoreError::NotALedger { .. } => {
            (problem::NOT_A_LEDGER, "Check the path after --ledger or in SETWRIGHT_LEDGER.")
        }
        StoreError::NotWritable { .. } => {
            (problem::LEDGER_NOT_WRITABLE, "Check the rights of the folder, or name another with --ledger.")
        }
        StoreError::Full { .. } => {
            (problem::LEDGER_FULL, "Make room and do it again; what was written before is whole.")
        }
        StoreError::Busy { .. } => (problem::LEDGER_BUSY, "Wait for the other program and do it again."),
        StoreError::Damaged { .. } => (
            problem::LEDGER_DAMAGED,
            "Keep the file as it is, and restore the last backup to another place: setwright restore BACKUP --ledger PATH.",
        ),
        StoreError::TooNew { .. } => {
            (problem::LEDGER_TOO_NEW, "Use the version of setwright that wrote it, or a newer one.")
        }
        StoreError::WrongChecksum { .. } => (
            problem::WRONG_CHECKSUM,
            "Take another backup; this one was changed or cut short after it was made.",
        ),
        StoreError::NotReadable { .. } => (problem::NOT_READABLE, "Check the path and its rights."),
        StoreError::Database { .. } => {
            (problem::LEDGER_FAILED, "setwright doctor examines the ledger; do it again when it is well.")
        }
    };
    let said = error.to_string();
    // A path keeps its small letter.
    let sentence = if said.starts_with("there ") || said.starts_with("the ") {
        words::sentence(&said)
    } else {
        format!("{}.", said.trim_end_matches('.'))
    };
    Problem::new(code, sentence, hint)
}

/// Why an event was not taken.
pub fn refused(event: &Refused) -> Problem {
    let (why, hint) = match &event.answer {
        Answer::Rejected(fault) => {
            (format!("{}: {}", fault.field, fault.what), "Nothing was written. Mend it and do it again.")
        }
        Answer::Conflict => (
            "another event has this identifier.".to_owned(),
            "Nothing was written. An entry is corrected by a new one, never by changing it.",
        ),
        Answer::Created | Answer::Exists => (String::new(), ""),
    };
    let what = format!("Event {} was not taken: {why}", event.id);
    Problem::new(problem::EVENT_REFUSED, what, hint)
}
