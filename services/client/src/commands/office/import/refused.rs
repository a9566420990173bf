//! The tickets that were refused, written beside the file that they are from: one file with their rows as they were, to
//! mend and import again, and one with the reasons.

use std::fs::{File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use anyhow::Context;
use client::ClientError;
use serde::{Deserialize, Serialize};

use super::portion::{NotTaken, Portion};
use crate::commands::output;

/// Two files, and how long they were after the last portion.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct RefusedFiles {
    /// The rows.
    pub(super) rows: PathBuf,
    /// The reasons.
    pub(super) reasons: PathBuf,
    lengths: [u64; 2],
}

impl RefusedFiles {
    /// Files that are not there yet: somebody may be mending others.
    pub(super) fn beside(file: &Path) -> Self {
        let extension = file.extension().map(|extension| extension.to_string_lossy().into_owned());
        let extension = extension.unwrap_or_else(|| "jsonl".to_owned());
        let named = |number: u32| {
            let nth = if number == 1 { String::new() } else { format!("-{number}") };
            let rows = file.with_extension(format!("refused{nth}.{extension}"));
            let reasons = file.with_extension(format!("refused{nth}.txt"));
            Self { rows, reasons, lengths: [0, 0] }
        };
        let free = |files: &Self| !files.rows.exists() && !files.reasons.exists();
        (1..u32::MAX).map(named).find(free).unwrap_or_else(|| named(1))
    }

    fn paths(&self) -> [&PathBuf; 2] {
        [&self.rows, &self.reasons]
    }

    /// Cuts off what was written after the last portion that is known to be done.
    pub(super) fn cut_back(&self) -> anyhow::Result<()> {
        for (path, length) in self.paths().into_iter().zip(self.lengths) {
            if path.exists() {
                let file = OpenOptions::new().write(true).open(path);
                file.and_then(|file| file.set_len(length))
                    .with_context(|| format!("{} cannot be written", path.display()))?;
            }
        }
        Ok(())
    }

    /// Writes down what was refused of a portion.
    pub(super) fn add(&mut self, portion: &Portion, refused: &[NotTaken<'_>]) -> anyhow::Result<()> {
        if refused.is_empty() {
            return Ok(());
        }
        let (mut rows, mut reasons) = (Vec::new(), String::new());
        let [rows_before, _] = self.lengths;
        if rows_before == 0 {
            rows.extend(&portion.head);
        }
        for one in refused {
            rows.extend(&one.found.text);
            let refusal = ClientError::Refused(Box::new(one.problem.clone()));
            reasons.push_str(&format!("row {}: {}", one.found.row, output::told(&refusal)));
        }
        let contents = [rows, reasons.into_bytes()];
        for ((path, content), length) in
            [&self.rows, &self.reasons].into_iter().zip(&contents).zip(&mut self.lengths)
        {
            *length =
                appended(path, content).with_context(|| format!("{} cannot be written", path.display()))?;
        }
        Ok(())
    }
}

/// Writes at the end of a file, down to the disk; answers how long it is then.
fn appended(path: &Path, content: &[u8]) -> io::Result<u64> {
    let mut file: File = OpenOptions::new().create(true).append(true).open(path)?;
    file.write_all(content)?;
    file.sync_all()?;
    Ok(file.metadata()?.len())
}
