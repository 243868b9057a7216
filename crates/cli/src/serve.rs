//! `serve`: the workbench in a browser, on this machine or over a network.

use super::args::ServeArgs;
use crate::machine;
use crate::reply::{Reply, say};
use setwright_coaching::machine::Machine;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_web::{self as web, Listen, Proxies, log};
use std::io;
use std::net::SocketAddr;
use std::path::Path;
use std::process::{Command, Stdio};
use tracing::dispatcher;

/// Serves until it is told to stop.
pub fn run(args: &ServeArgs, ledger: &Path) -> Result<Reply, Refusals> {
    match args.listen {
        Some(at) => network(args, at, ledger)?,
        None => serve(ledger, args.port, !args.no_open)?,
    }
    Ok(Reply::default())
}

/// Serves to a network; never without a certificate, for passwords would be read on the way.
fn network(args: &ServeArgs, at: SocketAddr, ledger: &Path) -> Result<(), Refusals> {
    let (Some(cert), Some(key)) = (args.cert.clone(), args.key.clone()) else {
        let what = "A network is served only with a certificate.";
        let hint = "Give one with --cert FILE and --key FILE; without --listen the pages answer on this machine alone.";
        return Err(vec![Refusal::new(Code::CannotServe, what, hint)]);
    };
    let begun = |address: &str| {
        say(&mut io::stderr().lock(), &format!("The workbench is at {address} (Ctrl-C ends it).\n"));
    };
    let proxies = Proxies::new(&args.proxy, args.address_in.into());
    let how = Listen { at, cert, key, proxies };
    let machine = machine::this();
    keep_log(&machine);
    web::serve_network(ledger, &how, machine, begun).map_err(|p| vec![p])
}

/// From now on the program says to the standard error what a server has to say.
fn keep_log(machine: &Machine) {
    // A second server of the same program writes to the same place.
    let _ = dispatcher::set_global_default(log::lines(machine.wall.clone(), io::stderr));
}

/// Serves a ledger, says where, and opens a browser there when asked.
pub fn serve(ledger: &Path, port: u16, open: bool) -> Result<(), Refusals> {
    let begun = |address: &str| {
        say(&mut io::stderr().lock(), &format!("The workbench is at {address} (Ctrl-C ends it).\n"));
        if open {
            open_browser(address);
        }
    };
    let machine = machine::this();
    keep_log(&machine);
    web::serve(ledger, port, machine, begun).map_err(|p| vec![p])
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
