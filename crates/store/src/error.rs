//! What can go wrong with the file that keeps a ledger, told apart by what can be done about it.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// A result of the store.
pub type Result<T> = std::result::Result<T, StoreError>;

/// What went wrong. Nothing that was being written is half there.
#[derive(Debug, Error)]
pub enum StoreError {
    /// There is no ledger at this path.
    #[error("there is no ledger at {}", .path.display())]
    NoLedger {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// Something is where something new should go.
    #[error("{} is already there", .path.display())]
    NotEmpty {
        /// What is in the way.
        path: PathBuf,
    },
    /// The file is something else.
    #[error("{} is not a ledger", .path.display())]
    NotALedger {
        /// The file.
        path: PathBuf,
    },
    /// The file or its folder must not be written.
    #[error("{} cannot be written", .path.display())]
    NotWritable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        what: String,
    },
    /// There is no room left.
    #[error("there is no room left for {}", .path.display())]
    Full {
        /// The file.
        path: PathBuf,
    },
    /// Another program is writing and did not finish in time.
    #[error("{} is in use by another program", .path.display())]
    Busy {
        /// The file.
        path: PathBuf,
    },
    /// The file is damaged.
    #[error("{} is damaged: {what}", .path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What was found.
        what: String,
    },
    /// What was acknowledged is not there: the end of the log was lost, or this is an older or another ledger.
    #[error("{}", lacks(.path, *.last, *.acknowledged))]
    EndLost {
        /// The file.
        path: PathBuf,
        /// The last event that is there.
        last: i64,
        /// The last event that was acknowledged.
        acknowledged: i64,
    },
    /// A key is missing without which nothing that is said of people can be read.
    #[error("{} is missing; what is said of clients cannot be read without it", .path.display())]
    KeyMissing {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// The file was moved or replaced while it lay open.
    #[error("{} is no longer the file that was opened", .path.display())]
    Moved {
        /// Where it was.
        path: PathBuf,
    },
    /// The file was written by a newer version of the program.
    #[error("{} has schema {have}; this program knows up to {know}", .path.display())]
    TooNew {
        /// The file.
        path: PathBuf,
        /// Its schema.
        have: i64,
        /// The newest that is known here.
        know: i64,
    },
    /// A backup is not what its checksum says.
    #[error("{} is not what its checksum says", .path.display())]
    WrongChecksum {
        /// The backup.
        path: PathBuf,
    },
    /// The file could not be read.
    #[error("{} could not be read: {what}", .path.display())]
    NotReadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        what: String,
    },
    /// Something else that the database says.
    #[error("the database says: {what}")]
    Database {
        /// Its words.
        what: String,
    },
}

fn lacks(path: &Path, last: i64, acknowledged: i64) -> String {
    let path = path.display();
    if last < acknowledged {
        format!("{path} ends at event {last}, and {acknowledged} were acknowledged")
    } else {
        format!("{path} has another event {acknowledged} than the one that was acknowledged")
    }
}

impl StoreError {
    /// What went wrong with a file outside the database.
    pub(crate) fn file(path: &Path, error: &io::Error) -> Self {
        let path = path.to_owned();
        match error.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
                Self::Full { path }
            }
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
                Self::NotWritable { path, what: error.to_string() }
            }
            _ => Self::NotReadable { path, what: error.to_string() },
        }
    }

    pub(crate) fn damaged(path: &Path, what: impl Into<String>) -> Self {
        Self::Damaged { path: path.to_owned(), what: what.into() }
    }

    /// What went wrong in the database that is kept in this file.
    pub(crate) fn sqlite(path: &Path, error: &sqlx::Error) -> Self {
        let path = path.to_owned();
        let what = error.to_string();
        let code = error.as_database_error().and_then(|e| e.code()?.parse::<u32>().ok());
        // Primary result codes: https://www.sqlite.org/rescode.html
        match code.map(|c| (c & 0xff, c)) {
            Some((5 | 6, _)) => Self::Busy { path },
            Some((8 | 3 | 14 | 23, _)) => Self::NotWritable { path, what },
            // No room, or writing, flushing or lengthening the file failed (IOERR_WRITE, _FSYNC, _DIR_FSYNC,
            // _TRUNCATE, _SHMOPEN, _SHMSIZE, _SHMMAP).
            Some((13, _) | (10, 778 | 1_034 | 1_290 | 1_546 | 4_618 | 4_874 | 5_386)) => Self::Full { path },
            Some((11, _)) => Self::Damaged { path, what },
            Some((26, _)) => Self::NotALedger { path },
            _ => Self::Database { what },
        }
    }
}
