//! How far an import has come, kept from one run to the next.

use anyhow::Context;
use client::shelf::{self, Shelf};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::portion::Place;
use super::refused::RefusedFiles;

/// How far an import has come.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Progress {
    /// Where the portion before began: those tickets are sent once more, to see that the books hold them.
    pub(super) before: Place,
    /// Where the next portion begins.
    pub(super) done: Place,
    /// How many tickets the portion before had at the most.
    pub(super) together: usize,
    /// How many are in the books by it.
    pub(super) accepted: u64,
    /// How many were there before.
    pub(super) replayed: u64,
    /// How many were refused.
    pub(super) refused: u64,
    /// Where the refused ones are written.
    pub(super) refused_files: RefusedFiles,
}

impl Progress {
    /// Of an import that begins.
    pub(super) const fn begin(refused_files: RefusedFiles) -> Self {
        let beginning = Place { row: 0, byte: 0 };
        let (before, done) = (beginning, beginning);
        Self { before, done, together: 0, accepted: 0, replayed: 0, refused: 0, refused_files }
    }
}

/// The file that it is kept in: one for each service and each content that is imported.
#[derive(Debug)]
pub(super) struct KeptProgress {
    shelf: Shelf,
    name: String,
}

impl KeptProgress {
    /// That of an import into a service.
    pub(super) fn of(service: &str, fingerprint: &str) -> anyhow::Result<Self> {
        let place = shelf::of_user().context("there is no directory to keep the progress in: set HOME")?;
        let place = place.join("imports");
        let shelf = Shelf::at(&place).with_context(|| format!("{} cannot be written", place.display()))?;
        let mut hash = Sha256::new();
        hash.update(service);
        hash.update(fingerprint);
        Ok(Self { shelf, name: kernel::hexadecimal(&hash.finalize()) })
    }

    /// What was kept; none when nothing was, or what was cannot be read: then it begins anew, which does no harm.
    pub(super) fn read(&self) -> anyhow::Result<Option<Progress>> {
        let kept = self.shelf.read(&self.name).with_context(|| self.cannot("read"))?;
        Ok(kept.and_then(|bytes| serde_json::from_slice(&bytes).ok()))
    }

    /// Keeps it.
    pub(super) fn keep(&self, progress: &Progress) -> anyhow::Result<()> {
        self.shelf.put(&self.name, &serde_json::to_vec(progress)?).with_context(|| self.cannot("written"))
    }

    /// Forgets it: the import is over.
    pub(super) fn forget(&self) -> anyhow::Result<()> {
        let there = self.shelf.read(&self.name).with_context(|| self.cannot("read"))?.is_some();
        if there { self.shelf.remove(&self.name).with_context(|| self.cannot("written")) } else { Ok(()) }
    }

    fn cannot(&self, what: &str) -> String {
        format!("{} cannot be {what}", self.shelf.file(&self.name).display())
    }
}
