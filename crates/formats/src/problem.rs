//! What is wrong with a file or a request: code, what, where, why, hint. The one type that readers refuse with.
//!
//! It knows no terminal and no page; those decide how it looks.

use serde::Serialize;
use setwright_model::finding::CodeInfo;
use std::fmt;

/// Where in a file: line and column count from 1. In a sheet the column is the number of the cell.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Place {
    /// The file as it was named.
    pub file: String,
    /// Line, when it is known.
    pub line: Option<usize>,
    /// Column, when it is known.
    pub column: Option<usize>,
}

impl Place {
    /// A whole file.
    pub fn file(file: impl Into<String>) -> Self {
        Self { file: file.into(), line: None, column: None }
    }
    /// A line and a column of a file.
    pub fn at(file: impl Into<String>, line: usize, column: usize) -> Self {
        Self { file: file.into(), line: Some(line), column: Some(column) }
    }
    /// The place of a byte of a text.
    pub fn of_byte(file: impl Into<String>, text: &str, byte: usize) -> Self {
        let before = text.get(..byte).unwrap_or(text);
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        Self::at(file, line, column)
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        Ok(())
    }
}

/// A refusal: what is wrong, where, and what can be done. Why the rule exists stands with its code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Stable code, one of [`CODES`].
    pub code: &'static str,
    /// What is wrong, as a sentence.
    pub what: String,
    /// Where it is, when it is in a file.
    pub place: Option<Place>,
    /// What can be done, as a sentence.
    pub hint: String,
}

impl Problem {
    /// A problem that is in no file.
    pub fn new(code: &'static str, what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { code, what: what.into(), place: None, hint: hint.into() }
    }
    /// The same problem, found there.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }
    /// Why the rule exists.
    pub fn why(&self) -> &'static str {
        CODES.iter().find(|c| c.code == self.code).map_or("", |c| c.why)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.place {
            Some(place) => write!(f, "{place}: {}: {}", self.code, self.what),
            None => write!(f, "{}: {}", self.code, self.what),
        }
    }
}

impl std::error::Error for Problem {}

/// All that a reader refuses; never empty.
pub type Problems = Vec<Problem>;

const OWN: &str = "judgement";

macro_rules! codes {
    ($($name:ident = $code:literal, $title:literal, $why:literal;)*) => {
        $(#[doc = $title] pub const $name: &str = $code;)*
        /// Every code of the readers and the command line, in order.
        pub const CODES: &[CodeInfo] = &[
            $(CodeInfo { code: $code, title: $title, why: $why, source: OWN },)*
        ];
    };
}

codes! {
    NOT_FOUND = "SW001", "file not found",
        "Nothing can be planned or checked without the file; a near name in the same folder is the usual slip.";
    NOT_READABLE = "SW002", "file cannot be read",
        "A folder or a file without permission has nothing to read.";
    TOO_LARGE = "SW003", "file too large",
        "Briefs and programmes are a few kilobytes. A much larger file is something else, so it is refused before it is read.";
    NOT_UTF8 = "SW004", "not UTF-8 text",
        "Names and units would be read wrongly in another encoding.";
    EMPTY = "SW005", "file empty",
        "An empty file says nothing about a client or a programme.";
    SYNTAX = "SW006", "not valid TOML",
        "A file that cannot be taken apart cannot be understood in part either.";
    UNKNOWN_FIELD = "SW007", "unknown field",
        "A misspelt field that is passed over in silence would give a programme that nobody asked for.";
    MISSING_FIELD = "SW008", "field missing",
        "Without it the tool would have to guess what the client brings.";
    WRONG_KIND = "SW009", "value of the wrong kind",
        "A word where a number belongs, or the reverse, cannot be reckoned with.";
    UNKNOWN_WORD = "SW010", "unknown word",
        "Goals, muscles, stations and the like are fixed lists, so that every part of the tool means the same by them.";
    UNKNOWN_EXERCISE = "SW011", "unknown exercise",
        "Time, dose and recovery are reckoned from what the catalogue knows of an exercise.";
    OUT_OF_RANGE = "SW012", "number out of range",
        "Every number has a lowest and a highest value that a coach can have meant; beyond them it is a slip.";
    TIME_DOES_NOT_FIT = "SW013", "days, sessions and minutes do not fit together",
        "The planner needs as many days as there are sessions, each a different day of the cycle.";
    LOCKS_CONTRADICT = "SW014", "locks contradict",
        "Locks are built into the programme and never bent, so they must be possible together.";
    LEAST_ABOVE_MOST = "SW015", "least above most",
        "No dose can be at least the one and at most the other.";
    EQUIPMENT_CONTRADICTS = "SW016", "equipment contradicts itself or cannot be used",
        "Loads are rounded to what can be put together from the bar, the discs and the dumbbells that are there.";
    IMPLAUSIBLE_LOAD = "SW017", "load hard to believe",
        "The usual cause is a number in pounds in a field in kilograms, which would more than double every load.";
    BAD_TEXT = "SW018", "text that cannot be printed",
        "Control characters and endless names spoil sheets and terminals.";
    TOO_MANY = "SW019", "list too long",
        "Every list has a limit, so that a broken file cannot take the machine down.";
    SHEET_HEADER = "SW020", "no header understood",
        "Columns are found by their names, in any order.";
    SHEET_CELL = "SW021", "cell not understood",
        "A cell that is guessed at would be timed and counted as something it is not.";
    SHEET_SHAPE = "SW022", "sheet broken",
        "A quote that is never closed or a row that is cut short puts cells under the wrong header.";
    NO_SUCH_TOPIC = "SW023", "no such code or constant",
        "Only registered codes and constants have a reason and a source to show.";
    NO_MATCH = "SW024", "nothing has that name",
        "A word that names nothing would give an empty answer, which looks like a finding.";
    NOT_WRITABLE = "SW025", "file cannot be written",
        "The programme is on screen, but it was not kept.";
    NO_RAMP = "SW026", "no warm-up with loads",
        "Only an outside load that can be made lighter is ramped; body weight and bands are not.";
    USAGE = "SW027", "request not understood",
        "An answer to another question than the one that was asked is worse than none.";
    NOT_CERTIFIED = "SW030", "answer of the planner failed the check",
        "Only certified programmes leave. The planner and the check disagree, which is a mistake in the program.";
    LEDGER_FAILED = "SW039", "database failed",
        "Something was refused by the database that keeps the ledger; it writes all or nothing, so nothing is half there.";
    NO_LEDGER = "SW040", "no ledger there",
        "A ledger is begun only when a client is added, a log is imported or a backup is restored, so that a slip in a path does not begin a second one.";
    LEDGER_IN_THE_WAY = "SW041", "something is already there",
        "A backup or a ledger that is written over cannot be got back.";
    NOT_A_LEDGER = "SW042", "not a ledger",
        "A file that something else wrote is left alone.";
    LEDGER_NOT_WRITABLE = "SW043", "ledger cannot be written",
        "What cannot be flushed to the disk is not acknowledged.";
    LEDGER_FULL = "SW044", "no room left",
        "Writing stopped before anything was half written; all that was acknowledged is there.";
    LEDGER_BUSY = "SW045", "ledger in use",
        "Two programs may share a ledger; one writes at a time, and the other waits a while before it gives up.";
    LEDGER_DAMAGED = "SW046", "ledger damaged",
        "Each event carries a checksum over all before it, so that what was changed or lost is found rather than believed.";
    LEDGER_TOO_NEW = "SW047", "ledger of a newer version",
        "An older program would not understand all that is there, and might write over it.";
    WRONG_CHECKSUM = "SW048", "backup not as it was made",
        "A backup is restored only if it is what its checksum says.";
    NO_SUCH_CLIENT = "SW049", "no such client",
        "What is logged under the wrong name teaches the wrong body.";
    CLIENT_EXISTS = "SW050", "client already there",
        "Two clients of one name could not be told apart when a set is logged.";
    LOG_LINE = "SW051", "line of a log not understood",
        "A set that is guessed at would be learned from for months.";
    LOG_HEADER = "SW052", "header of a log not understood",
        "Columns are found by their names, in any order; without the date, the exercise and the reps there is no set.";
    LOG_CELL = "SW053", "cell of a log not understood",
        "A set that is guessed at would be learned from for months.";
    LOG_DATES = "SW054", "dates that can be read two ways",
        "Recovery is learned from the days between sessions; a day taken for a month would spoil it all.";
    LOG_UNITS = "SW055", "units mixed up",
        "A load in pounds taken for kilograms is more than twice as heavy.";
    EVENT_REFUSED = "SW056", "event not taken",
        "An entry in the ledger is never changed, and one that cannot be meant is not taken.";
    NOTHING_TO_UNDO = "SW057", "nothing to undo",
        "Undoing adds an entry that voids another; there is none left to void.";
    NOT_PUBLISHED = "SW058", "programme not published",
        "Only certified programmes leave, whoever wrote them.";
    NO_SUCH_EVENT = "SW059", "no such entry",
        "A correction needs the one entry that it corrects.";
    NOTHING_IN_FORCE = "SW069", "nothing in force",
        "What comes next is read from the programme that was handed out, and loads from the brief.";
    NO_SUCH_ADVICE = "SW070", "no such advice",
        "An answer that is kept under the wrong advice would silence the right one.";
    TOO_FEW_CLIENTS = "SW071", "too few clients",
        "An average of a few people can tell of one of them.";
    CANNOT_SERVE = "SW072", "pages cannot be served",
        "A port belongs to one program at a time, and pages on a network need a certificate and accounts.";
    REQUEST_REFUSED = "SW073", "request refused",
        "A page answers to its own buttons on this machine, and to nobody else's.";
    INTERNAL = "SW074", "mistake of the program",
        "What is kept in the ledger is on the disk before it is answered, so that a mistake loses nothing.";
    CANNOT_EDIT = "SW075", "change that does not fit",
        "Changes are laid on a programme one after another; each is meant for what the ones before it left.";
    NO_SUCH_WORK = "SW076", "no such work",
        "A plan in the making is kept in memory until it is handed out; a program that was started anew has none.";
    NO_SUCH_ACCOUNT = "SW077", "account cannot be found or kept so",
        "An account is one person's: its name is its own, its role says whose clients it sees, its password is long enough not to be guessed.";
    LINK_VOID = "SW078", "set-up link void",
        "A link to choose a password works once and for some hours, so that one that was left lying about opens nothing.";
    NOT_SIGNED_IN = "SW079", "not signed in",
        "Over a network pages answer to those who signed in, and for as long as the session lasts.";
    NOT_FOR_THIS_ROLE = "SW080", "not for this role",
        "A client sees and logs what is their own; plans, briefs and advice are a coach's work, and accounts the owner's.";
    TOO_MANY_TRIES = "SW081", "too many tries",
        "Passwords are guessed by trying many; each wrong one makes the next wait longer.";
    STALE_FORM = "SW082", "form of another session",
        "A form carries a mark of the session it was made for, so that no other page can send it in your name.";
    CLINICIAN_FIRST = "SW089", "a clinician first",
        "A sheet is there to train from, and the answers before training ask for a clinician first.";
    NOT_PRINTED = "SW090", "not printed",
        "A document that cannot be read by everyone is not handed out; the writer checks each one.";
    NO_SUCH_ZONE = "SW091", "no such time zone",
        "An hour without its zone is another hour after the clocks have changed.";
    BRIEF_CONTRADICTS = "SW092", "brief contradicts itself",
        "Of two things that cannot both be true of a client, the tool must not choose the one that is easier on it.";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_registered_once_and_in_order() {
        let codes: Vec<&str> = CODES.iter().map(|c| c.code).collect();
        let mut sorted = codes.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(codes, sorted);
        assert!(CODES.iter().all(|c| !c.why.is_empty() && !c.title.ends_with('.')));
    }

    #[test]
    fn a_byte_is_found_by_line_and_character_not_by_byte() {
        let place = Place::of_byte("a.toml", "né\nüx = 1", "né\nüx".len());
        assert_eq!(place.to_string(), "a.toml:2:3");
        assert_eq!(Place::of_byte("a.toml", "x", 99).to_string(), "a.toml:1:2");
    }
}
