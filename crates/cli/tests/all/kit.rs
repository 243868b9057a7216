//! Running the program and making files for it.

use std::ffi::OsString;
use std::io::{BufRead, BufReader, Write};
use std::ops::Deref;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use tempfile::TempDir;

/// What a run said.
#[derive(Debug)]
pub struct Said {
    /// Standard output.
    pub data: String,
    /// Standard error.
    pub talk: String,
    /// Exit code.
    pub code: i32,
}

/// Runs the program in the root of the tree.
pub fn run(args: &[&str]) -> Said {
    run_with(args, "", &[])
}

/// Runs the program with something on its standard input and in its environment.
pub fn run_with(args: &[&str], input: &str, environment: &[(&str, &str)]) -> Said {
    let mut child = Command::new(env!("CARGO_BIN_EXE_setwright"))
        .args(args)
        .current_dir(root())
        .env_remove("NO_COLOR")
        .envs(environment.iter().copied())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A run that needs no input may be over before it is written.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    let output = child.wait_with_output().unwrap();
    Said {
        data: String::from_utf8(output.stdout).unwrap(),
        talk: String::from_utf8(output.stderr).unwrap(),
        code: output.status.code().unwrap(),
    }
}

/// The program that is measured: that of these tests, unless `SETWRIGHT_PROGRAM` names another build of it.
pub fn program() -> OsString {
    std::env::var_os("SETWRIGHT_PROGRAM").unwrap_or_else(|| env!("CARGO_BIN_EXE_setwright").into())
}

/// Starts a command that serves; the process, and the host and port that it told.
pub fn serving(mut command: Command) -> (Child, String) {
    let mut child =
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
    let mut said = BufReader::new(child.stderr.take().unwrap());
    let mut line = String::new();
    while !line.contains("://") {
        line.clear();
        assert!(said.read_line(&mut line).unwrap() > 0, "the program ended before it served");
    }
    // Whoever stops reading makes the writer wait.
    std::thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
    let (_, after) = line.split_once("://").unwrap();
    (child, after.split('/').next().unwrap().trim().to_owned())
}

/// The root of the tree.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A folder of its own, gone when it is dropped.
pub fn folder() -> TempDir {
    tempfile::Builder::new().prefix("setwright-test-").tempdir().unwrap()
}

/// A file in a folder of its own; both are gone when it is dropped.
pub struct Kept {
    path: String,
    _folder: TempDir,
}

impl Deref for Kept {
    type Target = str;
    fn deref(&self) -> &str {
        &self.path
    }
}

/// Writes a file into a folder of its own.
pub fn file(name: &str, bytes: impl AsRef<[u8]>) -> Kept {
    let folder = folder();
    let path = folder.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    Kept { path: path.display().to_string(), _folder: folder }
}

/// A small brief that is right, to be made wrong.
pub const BRIEF: &str = "\
name = \"Test\"
goal = \"general\"
training_age = \"intermediate\"

[time]
sessions = 3
minutes = 60

[body]
mass_kg = 60
";

/// The talk without the folder that the file was in.
pub fn plain(text: &str, path: &str) -> String {
    let folder = Path::new(path).parent().unwrap().display().to_string();
    text.replace(&format!("{folder}/"), "")
}

/// Says that the test on this thread is skipped, and fails it in CI. It goes past what the runner captures, for a test that ended well shows nothing.
pub fn skipped(why: &str) {
    static SO_FAR: AtomicUsize = AtomicUsize::new(0);
    assert!(std::env::var_os("CI").is_none(), "CI skips no test: {why}");
    let thread = std::thread::current();
    let (name, nth) = (thread.name().unwrap_or("a test"), SO_FAR.fetch_add(1, Ordering::Relaxed) + 1);
    let _ = writeln!(std::io::stderr(), "skipped: {name}: {why} ({nth} skipped so far)");
}
