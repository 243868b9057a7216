//! Entry of the program `setwright`: everything is in the library, so that tests can call it.

fn main() -> std::process::ExitCode {
    setwright::main()
}
