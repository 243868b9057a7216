//! The codes of refusals, each with its kind, a title, and why the rule exists. A code is never used for anything else again; what a
//! program answers with, a status of HTTP or of a process, follows from the kind.

use crate::finding::CodeInfo;
use serde::{Serialize, Serializer};
use std::fmt;

/// Whose matter a refusal is, from the mildest to the worst: of several the worst is answered for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// What was asked or sent cannot be done as it stands; sent again it is refused again.
    Input,
    /// Whoever asks may not.
    Forbidden,
    /// What was meant is not there.
    Missing,
    /// It was there once.
    Gone,
    /// Nobody has said who asks.
    SignIn,
    /// It was tried too often of late.
    TooOften,
    /// Somebody else is at it; later it may be done.
    Busy,
    /// The disk is full.
    NoRoom,
    /// The ledger or the machine is not as it must be; nothing that was asked is wrong.
    Machine,
    /// The program made a mistake.
    Internal,
}

impl Kind {
    /// All kinds, from the mildest to the worst.
    pub const ALL: [Self; 10] = [
        Self::Input,
        Self::Forbidden,
        Self::Missing,
        Self::Gone,
        Self::SignIn,
        Self::TooOften,
        Self::Busy,
        Self::NoRoom,
        Self::Machine,
        Self::Internal,
    ];

    /// What it means to whoever is refused, as a sentence.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Input => "What was asked or sent cannot be done as it stands.",
            Self::Forbidden => "Whoever asks may not.",
            Self::Missing => "What was meant is not there.",
            Self::Gone => "It was there once.",
            Self::SignIn => "Nobody has said who asks.",
            Self::TooOften => "It was tried too often; wait, and try again.",
            Self::Busy => "Somebody else is at it; try again later.",
            Self::NoRoom => "The disk is full.",
            Self::Machine => "The ledger or the machine is not as it must be; what was asked is not wrong.",
            Self::Internal => "The program made a mistake.",
        }
    }
}

/// Where the reasons come from.
const OWN: &str = "judgement";

macro_rules! codes {
    ($($name:ident = $code:literal, $kind:ident, $title:literal, $why:literal;)*) => {
        /// A stable code of a refusal, `SW` and three digits; `setwright explain CODE` says more.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Code {
            $(#[doc = $title] $name,)*
        }

        impl Code {
            /// Every code, in order.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// As it is written: `SW001`.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$name => $code,)* }
            }

            /// Whose matter it is.
            pub const fn kind(self) -> Kind {
                match self { $(Self::$name => Kind::$kind,)* }
            }

            /// A short title, why the rule exists, and where it comes from.
            #[allow(clippy::too_many_lines, reason = "a table")]
            pub const fn info(self) -> CodeInfo {
                match self {
                    $(Self::$name => CodeInfo { code: $code, title: $title, why: $why, source: OWN },)*
                }
            }
        }
    };
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl Serialize for Code {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl PartialEq<&str> for Code {
    fn eq(&self, other: &&str) -> bool {
        self.as_str() == *other
    }
}

codes! {
    NotFound = "SW001", Input, "file not found",
        "Nothing can be planned or checked without the file; a near name in the same folder is the usual slip.";
    NotReadable = "SW002", Input, "file cannot be read",
        "A folder or a file without permission has nothing to read.";
    TooLarge = "SW003", Input, "file too large",
        "Briefs and programmes are a few kilobytes. A much larger file is something else, so it is refused before it is read.";
    NotUtf8 = "SW004", Input, "not UTF-8 text",
        "Names and units would be read wrongly in another encoding.";
    Empty = "SW005", Input, "file empty",
        "An empty file says nothing about a client or a programme.";
    Syntax = "SW006", Input, "not valid TOML",
        "A file that cannot be taken apart cannot be understood in part either.";
    UnknownField = "SW007", Input, "unknown field",
        "A misspelt field that is passed over in silence would give a programme that nobody asked for.";
    MissingField = "SW008", Input, "field missing",
        "Without it the tool would have to guess what the client brings.";
    WrongKind = "SW009", Input, "value of the wrong kind",
        "A word where a number belongs, or the reverse, cannot be reckoned with.";
    UnknownWord = "SW010", Input, "unknown word",
        "Goals, muscles, stations and the like are fixed lists, so that every part of the tool means the same by them.";
    UnknownExercise = "SW011", Input, "unknown exercise",
        "Time, dose and recovery are reckoned from what the catalogue knows of an exercise.";
    OutOfRange = "SW012", Input, "number out of range",
        "Every number has a lowest and a highest value that a coach can have meant; beyond them it is a slip.";
    TimeDoesNotFit = "SW013", Input, "days, sessions and minutes do not fit together",
        "The planner needs as many days as there are sessions, each a different day of the cycle.";
    LocksContradict = "SW014", Input, "locks contradict",
        "Locks are built into the programme and never bent, so they must be possible together.";
    LeastAboveMost = "SW015", Input, "least above most",
        "No dose can be at least the one and at most the other.";
    EquipmentContradicts = "SW016", Input, "equipment contradicts itself or cannot be used",
        "Loads are rounded to what can be put together from the bar, the discs and the dumbbells that are there.";
    ImplausibleLoad = "SW017", Input, "load hard to believe",
        "The usual cause is a number in pounds in a field in kilograms, which would more than double every load.";
    BadText = "SW018", Input, "text that cannot be printed",
        "Control characters and endless names spoil sheets and terminals.";
    TooMany = "SW019", Input, "list too long",
        "Every list has a limit, so that a broken file cannot take the machine down.";
    SheetHeader = "SW020", Input, "no header understood",
        "Columns are found by their names, in any order.";
    SheetCell = "SW021", Input, "cell not understood",
        "A cell that is guessed at would be timed and counted as something it is not.";
    SheetShape = "SW022", Input, "sheet broken",
        "A quote that is never closed or a row that is cut short puts cells under the wrong header.";
    NoSuchTopic = "SW023", Input, "no such code or constant",
        "Only registered codes and constants have a reason and a source to show.";
    NoMatch = "SW024", Missing, "nothing has that name",
        "A word that names nothing would give an empty answer, which looks like a finding.";
    NotWritable = "SW025", Machine, "file cannot be written",
        "The programme is on screen, but it was not kept.";
    NoRamp = "SW026", Input, "no warm-up with loads",
        "Only an outside load that can be made lighter is ramped; body weight and bands are not.";
    Usage = "SW027", Input, "request not understood",
        "An answer to another question than the one that was asked is worse than none.";
    NotCertified = "SW030", Internal, "answer of the planner failed the check",
        "Only certified programmes leave. The planner and the check disagree, which is a mistake in the program.";
    LedgerFailed = "SW039", Internal, "database failed",
        "Something was refused by the database that keeps the ledger; it writes all or nothing, so nothing is half there.";
    NoLedger = "SW040", Input, "no ledger there",
        "A ledger is begun only when a client is added, a log is imported or a backup is restored, so that a slip in a path does not begin a second one.";
    LedgerInTheWay = "SW041", Input, "something is already there",
        "A backup or a ledger that is written over cannot be got back.";
    NotALedger = "SW042", Machine, "not a ledger",
        "A file that something else wrote is left alone.";
    LedgerNotWritable = "SW043", Machine, "ledger cannot be written",
        "What cannot be flushed to the disk is not acknowledged.";
    LedgerFull = "SW044", NoRoom, "no room left",
        "Writing stopped before anything was half written; all that was acknowledged is there.";
    LedgerBusy = "SW045", Busy, "ledger in use",
        "Two programs may share a ledger; one writes at a time, and the other waits a while before it gives up.";
    LedgerDamaged = "SW046", Machine, "ledger damaged",
        "Each event carries a checksum over all before it, so that what was changed or lost is found rather than believed.";
    LedgerTooNew = "SW047", Machine, "ledger of a newer version",
        "An older program would not understand all that is there, and might write over it.";
    WrongChecksum = "SW048", Machine, "backup not as it was made",
        "A backup is restored only if it is what its checksum says.";
    NoSuchClient = "SW049", Missing, "no such client",
        "What is logged under the wrong name teaches the wrong body.";
    ClientExists = "SW050", Input, "client already there",
        "Two clients of one name could not be told apart when a set is logged.";
    LogLine = "SW051", Input, "line of a log not understood",
        "A set that is guessed at would be learned from for months.";
    LogHeader = "SW052", Input, "header of a log not understood",
        "Columns are found by their names, in any order; without the date, the exercise and the reps there is no set.";
    LogCell = "SW053", Input, "cell of a log not understood",
        "A set that is guessed at would be learned from for months.";
    LogDates = "SW054", Input, "dates that can be read two ways",
        "Recovery is learned from the days between sessions; a day taken for a month would spoil it all.";
    LogUnits = "SW055", Input, "units mixed up",
        "A load in pounds taken for kilograms is more than twice as heavy.";
    EventRefused = "SW056", Input, "event not taken",
        "An entry in the ledger is never changed, and one that cannot be meant is not taken.";
    NothingToUndo = "SW057", Input, "nothing to undo",
        "Undoing adds an entry that voids another; there is none left to void.";
    NotPublished = "SW058", Input, "programme not published",
        "Only certified programmes leave, whoever wrote them.";
    NoSuchEvent = "SW059", Input, "no such entry",
        "A correction needs the one entry that it corrects.";
    NothingInForce = "SW069", Input, "nothing in force",
        "What comes next is read from the programme that was handed out, and loads from the brief.";
    NoSuchAdvice = "SW070", Input, "no such advice",
        "An answer that is kept under the wrong advice would silence the right one.";
    TooFewClients = "SW071", Input, "too few clients",
        "An average of a few people can tell of one of them.";
    CannotServe = "SW072", Input, "pages cannot be served",
        "A port belongs to one program at a time, and pages on a network need a certificate and accounts.";
    RequestRefused = "SW073", Input, "request refused",
        "A page answers to its own buttons on this machine, and to nobody else's.";
    Internal = "SW074", Internal, "mistake of the program",
        "What is kept in the ledger is on the disk before it is answered, so that a mistake loses nothing.";
    CannotEdit = "SW075", Input, "change that does not fit",
        "Changes are laid on a programme one after another; each is meant for what the ones before it left.";
    NoSuchWork = "SW076", Input, "no such work",
        "A plan in the making is kept in memory until it is handed out; a program that was started anew has none.";
    NoSuchAccount = "SW077", Input, "account cannot be found or kept so",
        "An account is one person's: its name is its own, its role says whose clients it sees, its password is long enough not to be guessed.";
    LinkVoid = "SW078", Gone, "set-up link void",
        "A link to choose a password works once and for some hours, so that one that was left lying about opens nothing.";
    NotSignedIn = "SW079", SignIn, "not signed in",
        "Over a network pages answer to those who signed in, and for as long as the session lasts.";
    NotForThisRole = "SW080", Forbidden, "not for this role",
        "A client sees and logs what is their own; plans, briefs and advice are a coach's work, and accounts the owner's.";
    TooManyTries = "SW081", TooOften, "too many tries",
        "Passwords are guessed by trying many; each wrong one makes the next wait longer.";
    StaleForm = "SW082", Forbidden, "form of another session",
        "A form carries a mark of the session it was made for, so that no other page can send it in your name.";
    ClinicianFirst = "SW089", Input, "a clinician first",
        "A session is shown to be trained, and the answers before training ask for a clinician first.";
    NotPrinted = "SW090", Internal, "not printed",
        "A document that cannot be read by everyone is not handed out; the writer checks each one.";
    NoSuchZone = "SW091", Input, "no such time zone",
        "An hour without its zone is another hour after the clocks have changed.";
    BriefContradicts = "SW092", Input, "brief contradicts itself",
        "Of two things that cannot both be true of a client, the tool must not choose the one that is easier on it.";
    SomethingNewer = "SW093", Input, "something newer is current",
        "A brief, a programme or answers before training that somebody wrote since may hold what keeps a client safe; the last to write must not undo it unseen.";
    NotScreened = "SW094", Input, "questions before training are open",
        "Nobody trains by a programme before it is known whether a clinician has to be asked first; until then it is a draft.";
    TooManyEvents = "SW095", TooOften, "too many events",
        "A device that goes wrong, or is made to, must not keep the ledger from everybody else; it keeps what it has and sends it later.";
    SecondStepFirst = "SW096", Forbidden, "one-time codes first",
        "A password alone can be read over a shoulder; whoever keeps the accounts has asked for a second step of everybody in this role.";
    ClientForgotten = "SW097", Gone, "client forgotten",
        "Who asks to be forgotten is taken out for good; a device or a page that still names them is told to clear what it keeps.";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_there_once_and_in_order() {
        let codes: Vec<&str> = Code::ALL.iter().map(|c| c.as_str()).collect();
        let mut sorted = codes.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(codes, sorted);
        assert!(Code::ALL.iter().map(|c| c.info()).all(|c| !c.why.is_empty() && !c.title.ends_with('.')));
    }

    #[test]
    fn kinds_are_listed_from_the_mildest_to_the_worst() {
        assert!(Kind::ALL.is_sorted());
        assert!(Kind::ALL.iter().all(|kind| Code::ALL.iter().any(|code| code.kind() == *kind)));
    }

    #[test]
    fn a_full_disk_a_busy_ledger_and_a_mistake_of_ours_are_not_what_was_asked() {
        let kinds = [Code::LedgerFull, Code::LedgerBusy, Code::Internal, Code::UnknownField].map(Code::kind);
        assert_eq!(kinds, [Kind::NoRoom, Kind::Busy, Kind::Internal, Kind::Input]);
    }
}
