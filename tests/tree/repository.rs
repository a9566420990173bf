//! The files that belong to the project.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A text file: where it is below the top of the tree, and what it says.
#[derive(Clone, Debug)]
pub struct Text {
    /// Folders and name, separated by `/`.
    pub path: String,
    /// The content.
    pub content: String,
}

impl Text {
    /// A text that is in no file.
    pub fn new(path: &str, content: &str) -> Self {
        Self { path: path.to_owned(), content: content.to_owned() }
    }

    /// The lines with their numbers from 1.
    pub fn lines(&self) -> impl Iterator<Item = (usize, &str)> {
        (1..).zip(self.content.lines())
    }

    /// Whether it is Rust.
    pub fn is_rust(&self) -> bool {
        self.path.ends_with(".rs")
    }

    /// Whether it is under one of these folders.
    pub fn is_under(&self, folders: &[&str]) -> bool {
        folders.iter().any(|folder| self.path.strip_prefix(folder).is_some_and(|rest| rest.starts_with('/')))
    }

    /// Whether it is test code from beginning to end.
    pub fn is_test_code(&self) -> bool {
        self.path.starts_with("tests/") || self.path.contains("/tests/")
    }
}

/// The top of the tree.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the tests lie below the top")
}

/// The paths of all files that are in the repository or about to be: what git ignores is left out.
///
/// Without git, or where git does not know the tree, the folders are walked.
pub fn paths() -> Vec<String> {
    let mut paths = listed_by_git(root()).unwrap_or_else(|| walked(root()));
    // A file that was taken away stays in git's list until that is committed.
    paths.retain(|path| root().join(path).is_file());
    paths.sort_unstable();
    paths.dedup();
    assert!(paths.iter().any(|path| path == "Cargo.toml"), "the top of the tree is not among {paths:?}");
    paths
}

/// All text files of the repository.
pub fn texts() -> Vec<Text> {
    let read = |path: String| {
        let content = fs::read(root().join(&path)).expect("a listed file can be read");
        // What is not UTF-8 is not text: a picture, an archive.
        String::from_utf8(content).ok().map(|content| Text { path, content })
    };
    paths().into_iter().filter_map(read).collect()
}

fn listed_by_git(top: &Path) -> Option<Vec<String>> {
    let listed = Command::new("git")
        .arg("-C")
        .arg(top)
        .args(["ls-files", "-z", "--cached", "--others", "--exclude-standard"])
        .output()
        .ok()
        .filter(|output| output.status.success())?;
    let names = String::from_utf8(listed.stdout).ok()?;
    let names: Vec<_> = names.split('\0').filter(|name| !name.is_empty()).map(str::to_owned).collect();
    (!names.is_empty()).then_some(names)
}

fn walked(top: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::from(top)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder can be read") {
            let path = entry.expect("a folder can be read").path();
            let below = path.strip_prefix(top).expect("it is below the top");
            let below = below.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/");
            if below == ".git" || below == "target" {
                continue;
            }
            if path.is_dir() { folders.push(path) } else { found.push(below) }
        }
    }
    found
}

#[test]
fn git_and_the_folders_agree() {
    let walked = walked(root());
    for path in paths() {
        assert!(walked.contains(&path), "{path} is missing from the walk");
    }
}
