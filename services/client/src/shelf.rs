//! Files of the user's own, each there whole or not at all: what the yard has not sent yet, and what it needs to work
//! without signal.

use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt};
use std::path::{Path, PathBuf};

/// What the files are called at their end.
const ENDING: &str = ".json";

/// A directory with files of the user's own, for nobody else to read.
///
/// A file is written under another name, brought to the disk, given its own name, and the directory is brought to the
/// disk: whatever ends the program or the power in between, the file is there as it was or as it is now, never half.
///
/// ```
/// # let place = std::env::temp_dir().join(format!("skid-shelf-{}", std::process::id()));
/// let shelf = client::shelf::Shelf::at(&place)?;
/// shelf.put("one", b"{}")?;
/// assert_eq!(shelf.names()?, ["one"]);
/// assert_eq!(shelf.read("one")?.as_deref(), Some(&b"{}"[..]));
/// shelf.remove("one")?;
/// assert_eq!(shelf.read("one")?, None);
/// # std::fs::remove_dir_all(place)?;
/// # Ok::<(), std::io::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Shelf(PathBuf);

/// Where the program keeps the user's state: `SKID_HOME`, or `skidway` in `XDG_STATE_HOME`, or in `~/.local/state`.
/// None when none of them is an absolute path.
#[must_use]
pub fn of_user() -> Option<PathBuf> {
    let absolute = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    absolute("SKID_HOME")
        .or_else(|| Some(absolute("XDG_STATE_HOME")?.join("skidway")))
        .or_else(|| Some(absolute("HOME")?.join(".local").join("state").join("skidway")))
}

/// One step of writing. Tests make each of them fail in turn.
fn step() -> io::Result<()> {
    #[cfg(test)]
    return failing::step();
    #[cfg(not(test))]
    Ok(())
}

impl Shelf {
    /// The directory at this place, made where it is not there yet.
    ///
    /// # Errors
    ///
    /// Whatever the disk answers.
    pub fn at(place: &Path) -> io::Result<Self> {
        if !place.is_dir() {
            step()?;
            DirBuilder::new().recursive(true).mode(0o700).create(place)?;
            if let Some(above) = place.parent() {
                File::open(above)?.sync_all()?;
            }
        }
        Ok(Self(place.to_owned()))
    }

    /// Where it is.
    #[must_use]
    pub fn place(&self) -> &Path {
        &self.0
    }

    /// Where a file of it is.
    #[must_use]
    pub fn file(&self, name: &str) -> PathBuf {
        self.0.join(format!("{name}{ENDING}"))
    }

    /// Puts a file there, in the place of the one before. When it answers well, the file outlasts a loss of power.
    ///
    /// # Errors
    ///
    /// Whatever the disk answers; then the file is as it was, or, when only the last step failed, as it is now.
    pub fn put(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let beside = self.0.join(format!(".{name}-{}", std::process::id()));
        let written = write_beside(&beside, bytes).and_then(|()| {
            step()?;
            fs::rename(&beside, self.file(name))
        });
        if written.is_err() {
            // What is left of it would be in the way of the next.
            let _gone = fs::remove_file(&beside);
        }
        written.and_then(|()| self.sync())
    }

    /// Puts a file there that is new: when it cannot be made sure that it stays, it is taken away again.
    ///
    /// # Errors
    ///
    /// Whatever the disk answers.
    pub fn add(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let added = self.put(name, bytes);
        if added.is_err() {
            let _gone = fs::remove_file(self.file(name));
        }
        added
    }

    /// What a file holds; none where there is no such file.
    ///
    /// # Errors
    ///
    /// Whatever the disk answers.
    pub fn read(&self, name: &str) -> io::Result<Option<Vec<u8>>> {
        match fs::read(self.file(name)) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// Takes a file away; it may be gone already.
    ///
    /// # Errors
    ///
    /// Whatever the disk answers.
    pub fn remove(&self, name: &str) -> io::Result<()> {
        step()?;
        match fs::remove_file(self.file(name)) {
            Err(error) if error.kind() != ErrorKind::NotFound => Err(error),
            _ => self.sync(),
        }
    }

    /// The names of the files, in order. What was being written when a program ended is not among them.
    ///
    /// # Errors
    ///
    /// Whatever the disk answers.
    pub fn names(&self) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for found in fs::read_dir(&self.0)? {
            let name = found?.file_name();
            let name = name.to_str().and_then(|name| name.strip_suffix(ENDING));
            names.extend(name.filter(|name| !name.starts_with('.')).map(str::to_owned));
        }
        names.sort_unstable();
        Ok(names)
    }

    /// Takes away what was being written when a program ended. Nobody may be writing here meanwhile.
    ///
    /// # Errors
    ///
    /// Whatever the disk answers.
    pub fn tidy(&self) -> io::Result<()> {
        for found in fs::read_dir(&self.0)? {
            let found = found?;
            let name = found.file_name();
            if name.to_str().is_some_and(|name| name.starts_with('.')) {
                fs::remove_file(found.path())?;
            }
        }
        Ok(())
    }

    fn sync(&self) -> io::Result<()> {
        step()?;
        File::open(&self.0)?.sync_all()
    }
}

fn write_beside(beside: &Path, bytes: &[u8]) -> io::Result<()> {
    step()?;
    let mut file = OpenOptions::new().write(true).create(true).truncate(true).mode(0o600).open(beside)?;
    step()?;
    file.write_all(bytes)?;
    step()?;
    file.sync_all()
}

/// Makes steps of writing fail, for the tests of what is built on it.
#[cfg(test)]
pub(crate) mod failing {
    use std::cell::Cell;
    use std::io;

    thread_local! {
        static LEFT: Cell<Option<usize>> = const { Cell::new(None) };
    }

    /// The step after this many fails, and every one behind it; none: all go well.
    pub(crate) fn after(steps: Option<usize>) {
        LEFT.with(|left| left.set(steps));
    }

    pub(super) fn step() -> io::Result<()> {
        LEFT.with(|left| match left.get() {
            Some(0) => Err(io::Error::other("the disk is full")),
            Some(more) => {
                left.set(Some(more - 1));
                Ok(())
            }
            None => Ok(()),
        })
    }
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::PermissionsExt;

    use super::*;

    #[test]
    fn a_file_is_as_it_was_or_as_it_is_now() {
        let place = tempfile::tempdir().unwrap();
        let shelf = Shelf::at(&place.path().join("deep").join("er")).unwrap();
        shelf.put("a", b"before").unwrap();
        let mut went_well = false;
        for steps in 0..10 {
            failing::after(Some(steps));
            let put = shelf.put("a", b"after");
            failing::after(None);
            let held = shelf.read("a").unwrap().unwrap();
            assert!(held == b"before" || held == b"after", "{held:?}");
            assert!(put.is_err() || held == b"after", "it said that it was there");
            assert_eq!(shelf.names().unwrap(), ["a"]);
            went_well = put.is_ok();
            if !went_well {
                shelf.put("a", b"before").unwrap();
            }
        }
        assert!(went_well);
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(shelf.place()), mode(&shelf.file("a"))), (0o700, 0o600), "others could read it");
    }

    #[test]
    fn what_was_being_written_is_not_there() {
        let place = tempfile::tempdir().unwrap();
        let shelf = Shelf::at(place.path()).unwrap();
        fs::write(place.path().join(".b-17"), "half").unwrap();
        assert!(shelf.names().unwrap().is_empty());
        shelf.tidy().unwrap();
        assert_eq!(fs::read_dir(place.path()).unwrap().count(), 0);
    }
}
