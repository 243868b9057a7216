//! `serve`: the workbench in a browser on this machine.

use super::args::ServeArgs;
use super::{Reply, say};
use crate::clock::Wall;
use crate::files::Problems;
use crate::web;
use crate::web::watch::Tell;
use std::io;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;

/// The usual port (judgement: not one that is often taken).
pub const PORT: u16 = 8410;

/// Serves until it is told to stop.
pub fn run(args: ServeArgs, ledger: &Path) -> Result<Reply, Problems> {
    serve(ledger, args.port, !args.no_open)?;
    Ok(Reply::default())
}

/// Serves a ledger, says where, and opens a browser there when asked.
pub fn serve(ledger: &Path, port: u16, open: bool) -> Result<(), Problems> {
    let begun = |address: &str| {
        say(&mut io::stderr().lock(), &format!("The workbench is at {address} (Ctrl-C ends it).\n"));
        if open {
            open_browser(address);
        }
    };
    let tell: Tell = Arc::new(|line| say(&mut io::stderr().lock(), &format!("{line}\n")));
    web::serve(ledger, port, Wall::system(), begun, &tell).map_err(|p| vec![p])
}

/// Asks the system for its browser. That there is none is no error: the address was printed.
fn open_browser(address: &str) {
    let with = if cfg!(target_os = "macos") {
        Command::new("open").arg(address).stdout(Stdio::null()).stderr(Stdio::null()).spawn()
    } else if cfg!(windows) {
        Command::new("explorer").arg(address).stdout(Stdio::null()).stderr(Stdio::null()).spawn()
    } else {
        Command::new("xdg-open").arg(address).stdout(Stdio::null()).stderr(Stdio::null()).spawn()
    };
    drop(with);
}
