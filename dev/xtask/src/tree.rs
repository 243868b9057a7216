//! The files of the repository as texts. The only place of this crate that reads them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::Path;

/// Folders that are not ours to judge: build outputs and what tools leave behind.
const SKIPPED_FOLDERS: &[&str] = &["target", "node_modules"];

/// Hidden folders that are ours.
const HIDDEN_FOLDERS: &[&str] = &[".ci"];

/// Every path of the repository, and the text of those that are text.
#[derive(Clone, Debug, Default)]
pub struct Tree {
    texts: BTreeMap<String, String>,
    paths: BTreeSet<String>,
}

impl Tree {
    /// A tree made of these files.
    pub fn of(files: &[(&str, &str)]) -> Self {
        let mut tree = Self::default();
        for (path, text) in files {
            tree.add(path, Some((*text).to_owned()));
        }
        tree
    }

    /// The tree under `root`.
    pub fn read(root: &Path) -> io::Result<Self> {
        let mut tree = Self::default();
        tree.read_folder(root, "")?;
        Ok(tree)
    }

    fn read_folder(&mut self, root: &Path, folder: &str) -> io::Result<()> {
        for entry in fs::read_dir(root.join(folder))? {
            let entry = entry?;
            let Ok(name) = entry.file_name().into_string() else { continue };
            let path = if folder.is_empty() { name.clone() } else { format!("{folder}/{name}") };
            let kind = entry.file_type()?;
            if kind.is_dir() && is_ours(&name) {
                self.read_folder(root, &path)?;
            } else if kind.is_file() && name != ".git" {
                self.add(&path, String::from_utf8(fs::read(entry.path())?).ok());
            }
        }
        Ok(())
    }

    fn add(&mut self, path: &str, text: Option<String>) {
        self.paths.insert(path.to_owned());
        let folders = path.match_indices('/').filter_map(|(end, _)| path.get(..end));
        self.paths.extend(folders.map(str::to_owned));
        if let Some(text) = text {
            self.texts.insert(path.to_owned(), text);
        }
    }

    /// Files with their text, in order of path.
    pub fn files(&self) -> impl Iterator<Item = (&str, &str)> {
        self.texts.iter().map(|(path, text)| (path.as_str(), text.as_str()))
    }

    /// The text of a file.
    pub fn text(&self, path: &str) -> Option<&str> {
        self.texts.get(path).map(String::as_str)
    }

    /// All files and folders, from the root of the repository.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.paths.iter().map(String::as_str)
    }

    /// Whether there is such a file or folder.
    pub fn has(&self, path: &str) -> bool {
        self.paths.contains(path)
    }
}

fn is_ours(folder: &str) -> bool {
    let hidden = folder.starts_with('.') && !HIDDEN_FOLDERS.contains(&folder);
    !hidden && !SKIPPED_FOLDERS.contains(&folder)
}

/// Whether the file's name ends in this extension.
pub fn has_extension(path: &str, extension: &str) -> bool {
    Path::new(path).extension().is_some_and(|found| found == extension)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_of_a_file_exist_too() {
        let tree = Tree::of(&[("crates/model/src/lib.rs", "")]);
        assert!(tree.has("crates/model") && tree.has("crates/model/src/lib.rs"));
        assert!(!tree.has("crates/mod"));
    }

    #[test]
    fn build_outputs_and_hidden_folders_are_not_ours_but_the_build_scripts_are() {
        assert!(!is_ours("target") && !is_ours(".git"));
        assert!(is_ours(".ci") && is_ours("crates"));
    }

    #[test]
    fn the_repository_is_read_from_its_root() {
        let tree = Tree::read(&crate::root()).unwrap();
        assert!(
            tree.text("dev/xtask/src/tree.rs").unwrap().contains("fn the_repository_is_read_from_its_root")
        );
        assert!(tree.paths().all(|path| !path.starts_with("target/")));
    }
}
