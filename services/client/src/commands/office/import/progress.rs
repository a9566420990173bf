//! How far an import has come, kept from one run to the next.

use std::fs;
use std::io::ErrorKind;
use std::path::PathBuf;

use anyhow::Context;
use client::filing::Key;
use serde::{Deserialize, Serialize};

use super::portion::Place;
use super::refused::RefusedFiles;
use crate::commands::state;

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
pub(super) struct KeptProgress(PathBuf);

impl KeptProgress {
    /// That of an import into a service.
    pub(super) fn of(service: &str, fingerprint: &str) -> anyhow::Result<Self> {
        let name = Key::of(&["import", service, fingerprint]);
        Ok(Self(state::directory()?.join("imports").join(format!("{}.json", name.as_str()))))
    }

    /// What was kept; none when nothing was, or what was cannot be read: then it begins anew, which does no harm.
    pub(super) fn read(&self) -> anyhow::Result<Option<Progress>> {
        match fs::read(&self.0) {
            Ok(bytes) => Ok(serde_json::from_slice(&bytes).ok()),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error).with_context(|| format!("{} cannot be read", self.0.display())),
        }
    }

    /// Keeps it.
    pub(super) fn keep(&self, progress: &Progress) -> anyhow::Result<()> {
        state::write(&self.0, &serde_json::to_vec(progress)?)
    }

    /// Forgets it: the import is over.
    pub(super) fn forget(&self) -> anyhow::Result<()> {
        match fs::remove_file(&self.0) {
            Err(error) if error.kind() != ErrorKind::NotFound => {
                Err(error).with_context(|| format!("{} cannot be taken away", self.0.display()))
            }
            _ => Ok(()),
        }
    }
}
