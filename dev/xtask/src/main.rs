//! The command `cargo run -p setwright-xtask -- tidy`: prints what breaks the rules of the tree.
//!
//! It only prints; the rules are in the library.
#![expect(clippy::print_stdout, clippy::print_stderr, reason = "a tool for a developer's terminal")]

use setwright_xtask::{RULES, root, tidy};
use std::process::ExitCode;

const USAGE: &str = "usage: cargo run -p setwright-xtask -- tidy";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if arguments != ["tidy"] {
        eprintln!("{USAGE}");
        return ExitCode::from(2);
    }
    match tidy(&root()) {
        Err(error) => {
            eprintln!("the tree could not be read: {error}");
            ExitCode::from(3)
        }
        Ok(breaches) if breaches.is_empty() => {
            println!("tidy: all {} rules are kept", RULES.len());
            ExitCode::SUCCESS
        }
        Ok(breaches) => {
            for (rule, breach) in breaches {
                println!("{breach} [{rule}]");
            }
            ExitCode::from(1)
        }
    }
}
