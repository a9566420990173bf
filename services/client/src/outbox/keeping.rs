//! Keeping: the directories of the outbox, and what is in them.

use std::fs::{File, OpenOptions};
use std::os::unix::fs::OpenOptionsExt;
use std::path::Path;

use jiff::SignedDuration;
use kernel::Clock;

use super::{Entry, Filing, Key, OutboxError, Owner, Place};
use crate::shelf::{self, Shelf};

/// How many days an answered entry is kept with its reply.
pub const KEPT_DAYS: i64 = 60;

/// What is filed on its way to the service: a directory for each [`Place`].
#[derive(Clone, Debug)]
pub struct Outbox {
    above: Shelf,
    shelves: [(Place, Shelf); 4],
}

/// What came of keeping a filing.
#[derive(Clone, Debug, PartialEq)]
pub enum Kept {
    /// It is on the disk, under a new number.
    New(Entry),
    /// The same waits already.
    Waits(Entry),
}

impl Kept {
    /// The entry.
    #[must_use]
    pub const fn entry(&self) -> &Entry {
        match self {
            Self::New(entry) | Self::Waits(entry) => entry,
        }
    }
}

pub(super) fn disk(path: &Path) -> impl Fn(std::io::Error) -> OutboxError {
    move |source| OutboxError::Disk { path: path.display().to_string(), source }
}

impl Outbox {
    /// The user's own.
    ///
    /// # Errors
    ///
    /// [`OutboxError`] when there is no place for it or the disk refuses.
    pub fn of_user() -> Result<Self, OutboxError> {
        Self::at(&shelf::of_user().ok_or(OutboxError::NoPlace)?.join("outbox"))
    }

    /// The one in this directory, made where it is not there yet.
    ///
    /// # Errors
    ///
    /// [`OutboxError`] when the disk refuses.
    pub fn at(place: &Path) -> Result<Self, OutboxError> {
        let open = |place: &Path| Shelf::at(place).map_err(disk(place));
        let above = open(place)?;
        let shelf = |of: Place| Ok::<_, OutboxError>((of, open(&place.join(of.name()))?));
        let [first, second, third, fourth] = Place::ALL;
        let shelves = [shelf(first)?, shelf(second)?, shelf(third)?, shelf(fourth)?];
        let outbox = Self { above, shelves };
        let _writing = outbox.writing()?;
        for (_, shelf) in &outbox.shelves {
            shelf.tidy().map_err(disk(shelf.place()))?;
        }
        outbox.end_moves()?;
        Ok(outbox)
    }

    /// Ends what was being moved when a program ended: it is where it was moved to, and there alone.
    fn end_moves(&self) -> Result<(), OutboxError> {
        for (place, shelf) in &self.shelves {
            for name in shelf.names().map_err(disk(shelf.place()))? {
                if self.moved_on(&name, *place) {
                    shelf.remove(&name).map_err(disk(shelf.place()))?;
                }
            }
        }
        Ok(())
    }

    pub(super) fn shelf(&self, place: Place) -> &Shelf {
        let found = self.shelves.iter().find(|(known, _)| *known == place);
        found.map_or(&self.above, |(_, shelf)| shelf)
    }

    /// Holds off everybody else who writes here, for the moment that writing takes.
    pub(super) fn writing(&self) -> Result<File, OutboxError> {
        let (path, file) = self.lock_file("writing.lock")?;
        file.lock().map_err(disk(&path))?;
        Ok(file)
    }

    pub(super) fn lock_file(&self, name: &str) -> Result<(std::path::PathBuf, File), OutboxError> {
        let path = self.above.place().join(name);
        let opened = OpenOptions::new().write(true).create(true).truncate(false).mode(0o600).open(&path);
        Ok((path.clone(), opened.map_err(disk(&path))?))
    }

    /// Keeps a filing. When it answers well, the filing is on the disk and will be sent.
    ///
    /// # Errors
    ///
    /// [`OutboxError`] when the disk refuses, and then nothing is kept; [`OutboxError::OtherWaits`] when something of the
    /// same name waits with other content.
    pub fn keep(&self, filing: Filing, owner: &Owner, clock: &dyn Clock) -> Result<Kept, OutboxError> {
        let _writing = self.writing()?;
        if let Some(same) = self.same_name(&filing, owner)? {
            let is_same = same.filing.path == filing.path && same.filing.body == filing.body;
            let other = || OutboxError::OtherWaits { number: same.number, says: same.filing.says.clone() };
            return if is_same { Ok(Kept::Waits(same)) } else { Err(other()) };
        }
        let mut last = 0;
        for (_, shelf) in &self.shelves {
            let names = shelf.names().map_err(disk(shelf.place()))?;
            last = names.iter().filter_map(|name| name.parse().ok()).fold(last, u64::max);
        }
        let entry = Entry {
            number: last.saturating_add(1),
            made_at: clock.now(),
            owner: owner.clone(),
            filing,
            tries: 0,
            tried_at: None,
            told: None,
            answer: None,
            refusal: None,
            dropped: None,
        };
        let shelf = self.shelf(Place::Waiting);
        let written = written(&entry).and_then(|text| shelf.add(&name(entry.number), &text));
        written.map_err(disk(shelf.place()))?;
        Ok(Kept::New(entry))
    }

    /// What waits under the same name.
    fn same_name(&self, filing: &Filing, owner: &Owner) -> Result<Option<Entry>, OutboxError> {
        let Key::Name(_) = &filing.key else { return Ok(None) };
        let waiting = self.entries(Place::Waiting)?.into_iter();
        let mut same = waiting.filter(|one| one.filing.key == filing.key && one.owner.has_books_of(owner));
        Ok(same.next())
    }

    /// The entries in one place, in the order they were kept. What was being moved when a program ended is where it was
    /// moved to.
    ///
    /// # Errors
    ///
    /// [`OutboxError`] when the disk refuses or a file is not what was written.
    pub fn entries(&self, place: Place) -> Result<Vec<Entry>, OutboxError> {
        let shelf = self.shelf(place);
        let mut entries = Vec::new();
        for name in shelf.names().map_err(disk(shelf.place()))? {
            // It may have been moved on since the names were read.
            if !self.moved_on(&name, place) {
                entries.extend(self.read(place, &name)?);
            }
        }
        entries.sort_by_key(|entry: &Entry| entry.number);
        Ok(entries)
    }

    /// An entry, and where it is.
    ///
    /// # Errors
    ///
    /// [`OutboxError::NoEntry`] when there is none of that number; otherwise as [`Self::entries`].
    pub fn find(&self, number: u64) -> Result<(Place, Entry), OutboxError> {
        for place in Place::ALL {
            if let Some(entry) = self.read(place, &name(number))? {
                return Ok((place, entry));
            }
        }
        Err(OutboxError::NoEntry(number))
    }

    /// Whether an entry is in a place that counts before this one.
    fn moved_on(&self, name: &str, place: Place) -> bool {
        let before = Place::ALL.into_iter().take_while(|one| *one != place);
        before.into_iter().any(|one| self.shelf(one).file(name).exists())
    }

    fn read(&self, place: Place, name: &str) -> Result<Option<Entry>, OutboxError> {
        let shelf = self.shelf(place);
        let path = shelf.file(name);
        let Some(text) = shelf.read(name).map_err(disk(&path))? else { return Ok(None) };
        let unreadable = |source| OutboxError::Unreadable { path: path.display().to_string(), source };
        serde_json::from_slice(&text).map(Some).map_err(unreadable)
    }

    /// Takes away what was answered long ago; the newest stays, so that no number comes twice.
    pub(super) fn clear_old(&self, clock: &dyn Clock) -> Result<(), OutboxError> {
        let long = SignedDuration::from_hours(24 * KEPT_DAYS);
        let sent = self.entries(Place::Sent)?;
        let newest = sent.iter().map(|entry| entry.number).max();
        for entry in sent.iter().filter(|entry| Some(entry.number) != newest) {
            let at = entry.answer.as_ref().map(|answer| answer.at);
            if at.is_some_and(|at| clock.now().duration_since(at) > long) {
                let shelf = self.shelf(Place::Sent);
                shelf.remove(&name(entry.number)).map_err(disk(shelf.place()))?;
            }
        }
        Ok(())
    }
}

/// The name of an entry's file: the number, so wide that the names are in the order of the numbers.
pub(super) fn name(number: u64) -> String {
    format!("{number:08}")
}

pub(super) fn written(entry: &Entry) -> std::io::Result<Vec<u8>> {
    Ok(serde_json::to_vec_pretty(entry)?)
}
