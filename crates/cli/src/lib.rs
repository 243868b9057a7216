//! The command line: the only part that talks to a terminal, and the program `setwright` itself. Data goes to the standard output,
//! talk to the standard error; commands hand back what to say, and only this file says it.
//!
//! Invariant: only here is anything printed, an argument taken apart, the environment read or a clock that runs; every rule is
//! asked of the crates below.

mod account;
mod account_args;
mod args;
mod audit;
pub mod clock;
mod common;
mod curve;
mod demo;
mod exercises;
mod explain;
mod ledger;
mod ledger_args;
mod ledger_path;
pub mod machine;
mod paper;
mod paper_args;
mod plan;
pub mod problems;
mod programme;
mod progress;
mod ramp;
pub mod reply;
mod roadmap;
mod schema;
mod schemas;
mod screen;
mod serve;
mod show;
mod strips;
pub mod text;

pub use args::Cli;

use args::Command;
use clap::{CommandFactory, Parser};
use reply::{BAD_INPUT, INTERNAL, Look, Reply, say};
use setwright_model::refusal::Refusals;
use std::io::{self, IsTerminal};
use std::panic;
use std::path::Path;
use std::process::ExitCode;
use text::Paint;
use tracing::{dispatcher, error};

/// Reads the arguments, runs the command, prints what it says.
pub fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // A closed pipe is the only way in which printing help can fail, and then nobody reads it.
            let _ = error.print();
            return ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(BAD_INPUT));
        }
    };
    let look = Look {
        paint: Paint { on: colour_wanted(io::stdout().is_terminal()) },
        progress: io::stderr().is_terminal(),
        units: cli.units.into(),
        columns: terminal_size::terminal_size_of(io::stdout()).map(|(width, _)| usize::from(width.0)),
    };
    let json = cli.command.json();
    let ledger = ledger_path::path(cli.ledger);
    let reply = match guarded(move || run(cli.command, look, &ledger)) {
        Some(Ok(reply)) => reply,
        Some(Err(problems)) => problems::reply(&problems, json, colour_wanted(io::stderr().is_terminal())),
        None => Reply { code: INTERNAL, ..Reply::default() },
    };
    say(&mut io::stdout().lock(), &reply.data);
    say(&mut io::stderr().lock(), &reply.talk);
    ExitCode::from(reply.code)
}

fn colour_wanted(is_terminal: bool) -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|v| !v.is_empty());
    is_terminal && !set("NO_COLOR") && std::env::var_os("TERM").is_none_or(|t| t != "dumb")
}

/// Runs work; a mistake of the program becomes one sentence rather than a trace.
fn guarded<T>(work: impl FnOnce() -> T + panic::UnwindSafe) -> Option<T> {
    panic::set_hook(Box::new(|info| {
        let place = info.location().map(|l| format!("{}:{}", l.file(), l.line())).unwrap_or_default();
        if dispatcher::has_been_set() {
            error!(%place, "mistake of the program; the request or job that met it ended");
            return;
        }
        let text = format!(
            "internal error ({place}): this is a mistake of the program, not of your file.\n  hint: run it again with RUST_BACKTRACE=1 and report what was asked.\n"
        );
        say(&mut io::stderr().lock(), &text);
    }));
    let outcome = panic::catch_unwind(work).ok();
    drop(panic::take_hook());
    outcome
}

/// Runs a command with the ledger at this path.
pub fn run(command: Command, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    match command {
        Command::Client(args) => ledger::client::run(&args, ledger),
        Command::Log(args) => ledger::log::run(&args, look, ledger),
        Command::Import(args) => ledger::import::run(&args, look, ledger),
        Command::Export(args) => ledger::export::run(&args, ledger),
        Command::Undo(args) => ledger::care::undo(&args, ledger),
        Command::Consent(args) => ledger::consent::say(&args, ledger),
        Command::Retention(args) => ledger::consent::rule(&args, ledger),
        Command::Forget(args) => ledger::forget::run(&args, ledger),
        Command::Doctor(args) => ledger::care::doctor(args, ledger),
        Command::Rebuild(args) => ledger::care::rebuild(args, ledger),
        Command::Backup(args) => ledger::care::backup(&args, ledger),
        Command::Restore(args) => ledger::care::restore(&args, ledger),
        Command::Publish(args) => ledger::publish::run(&args, look.units, ledger),
        Command::Advice(args) => ledger::insight::advice(&args, look, ledger),
        Command::Review(args) => ledger::insight::review(&args, look.units, ledger),
        Command::Forecast(args) => ledger::insight::forecast(&args, ledger),
        Command::Next(args) => ledger::insight::next(&args, look, ledger),
        Command::Pain(args) => ledger::pain::run(&args, ledger),
        Command::Roster(args) => ledger::insight::roster(args, look, ledger),
        Command::Plan(args) => plan::run(&args, look, ledger),
        Command::Curve(args) => curve::run(&args, look),
        Command::Roadmap(args) => roadmap::run(&args, look, ledger),
        Command::Draw(args) => paper::draw::run(&args, look, ledger),
        Command::Calendar(args) => paper::calendar::run(&args, look, ledger),
        Command::Report(args) => paper::report::run(&args, look, ledger),
        Command::Sheet(args) => paper::sheet::run(&args, look, ledger),
        Command::Audit(args) => audit::run(&args, look),
        Command::Ramp(args) => ramp::run(&args, look),
        Command::Screen(args) => screen::run(&args, ledger),
        Command::Exercises(args) => Ok(exercises::run(&args)),
        Command::Schema(args) => Ok(schema::run(args)),
        Command::Explain(args) => explain::run(&args),
        Command::Account(args) => account::run(&args, ledger),
        Command::Serve(args) => serve::run(&args, ledger),
        Command::Demo(args) => demo::run(&args, look),
        Command::Completions(args) => Ok(completions(args)),
    }
}

fn completions(args: args::CompletionsArgs) -> Reply {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "setwright", &mut script);
    Reply::data(String::from_utf8_lossy(&script).into_owned())
}
