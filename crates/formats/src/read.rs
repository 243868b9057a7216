//! From a path to text, with every limit and refusal on the way. Nothing is read whole before its size is known
//! to be within the limit.

use setwright_model::code::Code;
use setwright_model::limits::FILE_BYTES_MAX;
use setwright_model::refusal::{Position, Refusal};
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read};
use std::path::Path;

/// A file's text and the name it goes by in messages.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The name to show.
    pub name: String,
    /// The text, without a byte-order mark.
    pub text: String,
}

/// Reads a file, or the standard input when the path is `-`.
pub fn read(path: &Path) -> Result<Source, Refusal> {
    read_within(path, FILE_BYTES_MAX)
}

/// The same with another limit of its size.
pub fn read_within(path: &Path, bytes_max: u64) -> Result<Source, Refusal> {
    if path == Path::new("-") {
        return text("standard input", &limited("standard input", io::stdin().lock(), bytes_max)?);
    }
    let name = path.display().to_string();
    let meta = fs::metadata(path).map_err(|e| cannot_open(path, &e))?;
    if meta.is_dir() {
        return Err(Refusal::new(
            Code::NotReadable,
            format!("{name} is a folder."),
            "Name a file inside it.",
        )
        .at(Position::file(name)));
    }
    if meta.len() > bytes_max {
        return Err(too_large(&name, bytes_max));
    }
    let file = File::open(path).map_err(|e| cannot_open(path, &e))?;
    text(&name, &limited(&name, file, bytes_max)?)
}

fn limited(name: &str, from: impl Read, bytes_max: u64) -> Result<Vec<u8>, Refusal> {
    let mut bytes = Vec::new();
    from.take(bytes_max + 1).read_to_end(&mut bytes).map_err(|e| {
        Refusal::new(
            Code::NotReadable,
            format!("{name} could not be read: {e}."),
            "Check that the file may be read.",
        )
        .at(Position::file(name))
    })?;
    if bytes.len() as u64 > bytes_max { Err(too_large(name, bytes_max)) } else { Ok(bytes) }
}

/// Writes a text file.
pub fn write(path: &Path, text: &str) -> Result<(), Refusal> {
    write_bytes(path, text.as_bytes())
}

/// Writes a file.
pub fn write_bytes(path: &Path, bytes: &[u8]) -> Result<(), Refusal> {
    fs::write(path, bytes).map_err(|e| {
        let name = path.display().to_string();
        Refusal::new(
            Code::NotWritable,
            format!("{name} could not be written: {e}."),
            "Check the folder and its rights.",
        )
        .at(Position::file(name))
    })
}

/// Text from bytes: UTF-8, not empty.
pub fn text(name: &str, bytes: &[u8]) -> Result<Source, Refusal> {
    let text = std::str::from_utf8(bytes).map_err(|e| not_utf8(name, bytes, e.valid_up_to()))?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(Refusal::new(
            Code::Empty,
            format!("{name} is empty."),
            "Start from a copy of a file in data/demo, or see docs/guide/first-brief.md.",
        )
        .at(Position::file(name)));
    }
    Ok(Source { name: name.to_owned(), text: text.to_owned() })
}

fn not_utf8(name: &str, bytes: &[u8], valid: usize) -> Refusal {
    let before = std::str::from_utf8(bytes.get(..valid).unwrap_or_default()).unwrap_or_default();
    let hint = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        "It looks like UTF-16. Save it again as UTF-8."
    } else {
        "Save it again as UTF-8; a spreadsheet offers \"CSV UTF-8\"."
    };
    Refusal::new(Code::NotUtf8, format!("{name} is not UTF-8 text."), hint).at(Position::of_byte(
        name,
        before,
        before.len(),
    ))
}

fn too_large(name: &str, bytes_max: u64) -> Refusal {
    Refusal::new(
        Code::TooLarge,
        format!("{name} is larger than {} MB.", bytes_max / (1024 * 1024)),
        "Check that it is the file you mean.",
    )
    .at(Position::file(name))
}

fn cannot_open(path: &Path, error: &io::Error) -> Refusal {
    let name = path.display().to_string();
    if error.kind() != ErrorKind::NotFound {
        return Refusal::new(
            Code::NotReadable,
            format!("{name} could not be opened: {error}."),
            "Check that the file may be read.",
        )
        .at(Position::file(name));
    }
    let hint = match nearest_file(path) {
        Some(near) => format!("Did you mean {near}?"),
        None => "Check the name and the folder you are in.".to_owned(),
    };
    Refusal::new(Code::NotFound, format!("There is no file {name}."), hint).at(Position::file(name))
}

/// The file of the same folder whose name is nearest, when one is near.
fn nearest_file(path: &Path) -> Option<String> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let wanted = path.file_name()?.to_string_lossy().into_owned();
    let mut names: Vec<String> = fs::read_dir(folder)
        .ok()?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .take(5_000)
        .collect();
    names.sort();
    let near = super::near::nearest(&wanted, names.iter().map(String::as_str))?;
    Some(path.with_file_name(near).display().to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use tempfile::{TempDir, tempdir};

    /// A folder that is gone when it is dropped.
    fn folder() -> TempDir {
        tempdir().unwrap()
    }

    #[test]
    fn a_missing_file_names_its_nearest_neighbour() {
        let folder = folder();
        fs::write(folder.path().join("mara.toml"), "x = 1").unwrap();
        let problem = read(&folder.path().join("mare.toml")).unwrap_err();
        assert_eq!(problem.code, "SW001");
        assert!(problem.hint.contains("mara.toml"), "{}", problem.hint);
    }

    #[test]
    fn a_folder_is_not_a_file() {
        assert_eq!(read(folder().path()).unwrap_err().code, "SW002");
    }

    #[test]
    fn a_file_of_exactly_the_limit_is_read_and_one_byte_more_is_not() {
        let folder = folder();
        let path = folder.path().join("big.toml");
        fs::write(&path, vec![b'#'; FILE_BYTES_MAX as usize]).unwrap();
        assert!(read(&path).is_ok());
        fs::write(&path, vec![b'#'; FILE_BYTES_MAX as usize + 1]).unwrap();
        assert_eq!(read(&path).unwrap_err().code, "SW003");
    }

    #[test]
    fn a_stream_that_never_ends_is_cut_at_the_limit() {
        assert_eq!(limited("stream", io::repeat(b'a'), FILE_BYTES_MAX).unwrap_err().code, "SW003");
    }

    #[test]
    fn text_that_is_not_utf8_says_where() {
        let problem = text("a.csv", b"day\nM\xfcller").unwrap_err();
        assert_eq!(
            (problem.code.as_str(), problem.place.unwrap().to_string().as_str()),
            ("SW004", "a.csv:2:2")
        );
        assert!(text("a.csv", &[0xff, 0xfe, b'a', 0]).unwrap_err().hint.contains("UTF-16"));
    }

    #[test]
    fn a_file_of_blanks_is_empty_and_a_mark_at_the_start_is_dropped() {
        assert_eq!(text("a", "\u{feff} \n\t".as_bytes()).unwrap_err().code, "SW005");
        assert_eq!(text("a", "\u{feff}day".as_bytes()).unwrap().text, "day");
    }
}
