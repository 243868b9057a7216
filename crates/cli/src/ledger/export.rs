//! `export`: the ledger as CSV or JSON lines.

use super::care::lacking;
use super::with_ledger;
use crate::ledger_args::{ExportArgs, Format};
use crate::machine;
use crate::reply::{FINDINGS, Reply};
use crate::show::{count, json};
use serde::Serialize;
use setwright_coaching::ledger::{UnitOfWork, everything, export, of_store};
use setwright_coaching::people::accounts::Book;
use setwright_model::code::Code;
use setwright_model::refusal::{Position, Refusal, Refusals};
use setwright_store::{Accounts, Opening};
use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::Path;

#[derive(Serialize)]
struct Done<'a> {
    file: &'a str,
    count: u64,
}

/// Runs `export`.
pub fn run(args: &ExportArgs, ledger: &Path) -> Result<Reply, Refusals> {
    with_ledger(ledger, Opening::Reading, |uow| {
        let has_accounts = args.everything.is_some() && Accounts::of(ledger).exists();
        let book = has_accounts.then(|| Book::open(ledger, Opening::Reading, &machine::this()));
        let mut book = book.transpose().map_err(|p| vec![p])?;
        let lost = uow.store.lost().map_err(|e| vec![of_store(&e)])?;
        let mut reply = to_place(args, uow, book.as_mut()).map_err(|p| vec![p])?;
        if lost > 0 {
            reply.talk.push_str(&lacking(lost));
            reply.code = FINDINGS;
        }
        Ok(reply)
    })
}

fn to_place(args: &ExportArgs, uow: &mut UnitOfWork, book: Option<&mut Book>) -> Result<Reply, Refusal> {
    let Some(path) = &args.out else {
        let stdout = io::stdout();
        // Two million rows are not held in memory: this goes out as it is read.
        let mut out = Quiet(BufWriter::new(stdout.lock()));
        write(args, uow, book, &mut out)?;
        return Ok(Reply::default());
    };
    let name = path.display().to_string();
    let broken = |e: io::Error| {
        let what = format!("{name} could not be written: {e}.");
        Refusal::new(Code::NotWritable, what, "Check the folder and its rights.").at(Position::file(&name))
    };
    let mut file = BufWriter::new(File::create(path).map_err(broken)?);
    let exported = write(args, uow, book, &mut file)?;
    file.into_inner().map_err(|e| broken(e.into_error()))?.sync_all().map_err(broken)?;
    if args.json {
        return Ok(Reply::data(json(&Done { file: &name, count: exported.count })));
    }
    let thing = if args.everything.is_none() && args.format == Format::Csv { "set" } else { "event" };
    let talk = format!("Wrote {} to {name}.\n", count(exported.count as usize, thing));
    Ok(Reply { talk, ..Reply::default() })
}

fn write(
    args: &ExportArgs,
    uow: &mut UnitOfWork,
    book: Option<&mut Book>,
    to: &mut dyn Write,
) -> Result<export::Exported, Refusal> {
    if let Some(client) = &args.everything {
        return everything::export(uow, book, client, to);
    }
    let client = args.client.as_deref().map(|name| uow.client(name)).transpose()?;
    match args.format {
        Format::Csv => export::csv(uow, client.as_ref(), to),
        Format::Jsonl => export::json_lines(uow, client.map(|c| c.client), to),
    }
}

/// A reader that has gone away is no error.
struct Quiet<W: Write>(W);

impl<W: Write> Write for Quiet<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self.0.write(bytes) {
            Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(bytes.len()),
            other => other,
        }
    }
    fn flush(&mut self) -> io::Result<()> {
        match self.0.flush() {
            Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            other => other,
        }
    }
}
