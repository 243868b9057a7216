//! What the store refuses, as problems with a code and a hint.

use setwright_formats::doc::printable;
use setwright_formats::words;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_store::{Receipt, Refused, StoreError};

/// What went wrong with the file of a ledger.
pub fn of_store(error: &StoreError) -> Refusal {
    let (code, hint) = match error {
        StoreError::NoLedger { .. } => (
            Code::NoLedger,
            "setwright client add NAME begins one; --ledger PATH or SETWRIGHT_LEDGER names another place.",
        ),
        StoreError::NotEmpty { .. } => {
            (Code::LedgerInTheWay, "Name a place where nothing is; nothing is ever written over.")
        }
        StoreError::NotALedger { .. } => {
            (Code::NotALedger, "Check the path after --ledger or in SETWRIGHT_LEDGER.")
        }
        StoreError::NotWritable { .. } => {
            (Code::LedgerNotWritable, "Check the rights of the folder, or name another with --ledger.")
        }
        StoreError::Full { .. } => {
            (Code::LedgerFull, "Make room and do it again; what was written before is whole.")
        }
        StoreError::Busy { .. } => (Code::LedgerBusy, "Wait for the other program and do it again."),
        StoreError::Damaged { .. } => (
            Code::LedgerDamaged,
            "Keep the file as it is, and restore the last backup to another place: setwright restore BACKUP --ledger PATH.",
        ),
        StoreError::EndLost { .. } => (
            Code::LedgerDamaged,
            "Keep the file, and those of its name beside it, as they are. setwright doctor says what is missing. Restore the newest backup \
             to another place, or what is left: setwright backup FILE, then setwright restore FILE --ledger PATH.",
        ),
        StoreError::KeyMissing { .. } => (
            Code::LedgerDamaged,
            "Put the file back beside the ledger, or restore a backup that has it: setwright restore BACKUP --ledger PATH.",
        ),
        StoreError::Moved { .. } => (
            Code::LedgerNotWritable,
            "Put the file back, or end the program and begin it anew where the ledger is now. What was acknowledged is in the file that was moved.",
        ),
        StoreError::TooNew { .. } => {
            (Code::LedgerTooNew, "Use the version of setwright that wrote it, or a newer one.")
        }
        StoreError::WrongChecksum { .. } => {
            (Code::WrongChecksum, "Take another backup; this one was changed or cut short after it was made.")
        }
        StoreError::NotReadable { .. } => (Code::NotReadable, "Check the path and its rights."),
        StoreError::Database { .. } => {
            (Code::LedgerFailed, "setwright doctor examines the ledger; do it again when it is well.")
        }
    };
    let said = error.to_string();
    // A path keeps its small letter.
    let sentence = if said.starts_with("there ") || said.starts_with("the ") {
        words::sentence(&said)
    } else {
        format!("{}.", said.trim_end_matches('.'))
    };
    Refusal::new(code, sentence, hint)
}

/// Why an event was not taken.
pub fn refused(event: &Refused) -> Refusal {
    if let Receipt::NameTaken(name) = &event.answer {
        return name_taken(name);
    }
    let (why, hint) = match &event.answer {
        Receipt::Rejected(fault) => {
            (format!("{}: {}", fault.field, fault.what), "Nothing was written. Mend it and do it again.")
        }
        Receipt::Conflict => (
            "another event has this identifier.".to_owned(),
            "Nothing was written. An entry is corrected by a new one, never by changing it.",
        ),
        Receipt::Gone => (
            "its client was forgotten.".to_owned(),
            "Nothing of them is taken any more; clear what is kept of them.",
        ),
        Receipt::Created | Receipt::Exists | Receipt::NameTaken(_) => (String::new(), ""),
    };
    let what = format!("Event {} was not taken: {why}", event.id);
    Refusal::new(Code::EventRefused, what, hint)
}

/// Somebody is called so already.
pub fn name_taken(name: &str) -> Refusal {
    Refusal::new(
        Code::ClientExists,
        format!("There is a client \"{}\" in the ledger.", printable(name)),
        "Give a name that tells the two apart; setwright client change gives another to who is there.",
    )
}
