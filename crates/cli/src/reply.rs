//! What a command hands back and how it is to show things: data, talk and the exit status. Commands know this; it knows no command.

use crate::text::Paint;
use setwright_model::MassUnit;
use std::io::{self, ErrorKind, Write};

/// Done.
pub const DONE: u8 = 0;
/// Done, with findings, or no programme.
pub const FINDINGS: u8 = 1;
/// Bad input or usage.
pub const BAD_INPUT: u8 = 2;
/// A mistake of the program.
pub const INTERNAL: u8 = 3;
/// Nothing is wrong with what was asked, and later it may be done.
pub const LATER: u8 = 4;
/// Nothing is wrong with what was asked: the disk is full, or the ledger or the machine is not as it must be.
pub const MACHINE: u8 = 5;

/// What a command hands back.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reply {
    /// Data, for the standard output.
    pub data: String,
    /// Talk, for the standard error.
    pub talk: String,
    /// Exit code.
    pub code: u8,
}

impl Reply {
    /// Data, and done.
    pub fn data(data: String) -> Self {
        Self { data, ..Self::default() }
    }
}

/// How to show things.
#[derive(Clone, Copy, Debug, Default)]
pub struct Look {
    /// Colour on the standard output.
    pub paint: Paint,
    /// Whether the standard error is a terminal that may show progress.
    pub progress: bool,
    /// What loads are shown in.
    pub units: MassUnit,
    /// Columns of the terminal that the standard output is; none where it is a file or a pipe.
    pub columns: Option<usize>,
}

/// Writes; a reader that has gone away is no error.
pub fn say(to: &mut impl Write, text: &str) {
    if text.is_empty() {
        return;
    }
    let written = to.write_all(text.as_bytes()).and_then(|()| to.flush());
    if let Err(error) = written
        && error.kind() != ErrorKind::BrokenPipe
    {
        let _ = writeln!(io::stderr(), "could not write: {error}");
    }
}
