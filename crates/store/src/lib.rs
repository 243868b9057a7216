//! Keeps the ledger: a log of events that is only added to, and what stands now, reckoned from it; and beside it the accounts
//! of those who may come over a network ([`Accounts`]), the only thing that changes in place.
//!
//! [`Store`] is what the rest of the program sees; [`SqliteStore`] keeps it in one file. Whatever keeps a ledger
//! passes the same story tests.
//!
//! Invariant: an event that was answered `Created` is on the disk and stays there; what stands is a function of the
//! log alone, so that it can be thrown away and rebuilt to the same bytes. Nothing here knows an equation, reads a
//! clock or makes an identifier, and no file is touched but the ones whose path is handed in.

mod cipher;
mod digest;
mod error;
mod fold;
mod sqlite;
mod state;
mod store;

pub use digest::{Digest, sha256};
pub use error::{Result, StoreError};
pub use sqlite::{
    Account, AccountRole, Accounts, Begin, CopyMade, Deed, Entry, FileId, Lifetimes, Opening, RecordFilter,
    Restored, SCHEMA_VERSION, SecondStep, SharedSecret, SignedIn, SqliteStore, Trace, write_over,
};
pub use state::{
    AdviceState, BodyMassState, BriefState, ClientState, ConsentState, NoteState, PainAnswer, PainState,
    ProgrammeState, RetentionState, ScreeningState, SessionState, SetState, SorenessState, SpellState, State,
    StateKind,
};
pub use store::{
    Backup, BatchOutcome, Erasure, EventFilter, Health, Rebuilt, Receipt, Refused, Seq, Store, StoredEvent,
    in_order,
};
