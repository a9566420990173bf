//! A directory of one part, among the temporary files, where the account of the database can reach it.

use std::path::{Path, PathBuf};

const PREFIX: &str = "skidway-faults-";

/// A directory that goes when the value goes.
#[derive(Debug)]
pub struct Place(PathBuf);

impl Place {
    /// A new one. What programs like this one left behind that were killed is removed.
    pub fn new(part: &str) -> anyhow::Result<Self> {
        remove_abandoned();
        let path = std::env::temp_dir().join(format!("{PREFIX}{}-{part}", std::process::id()));
        std::fs::create_dir_all(&path)?;
        Ok(Self(path))
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        // What cannot be removed lies among the temporary files, and the next run removes it.
        let _left = std::fs::remove_dir_all(&self.0);
    }
}

fn remove_abandoned() {
    let Ok(entries) = std::fs::read_dir(std::env::temp_dir()) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let maker = name.strip_prefix(PREFIX).and_then(|rest| rest.split('-').next()?.parse::<u32>().ok());
        let gone = maker.is_some_and(|process| !Path::new(&format!("/proc/{process}")).exists());
        if gone && Path::new("/proc/self").exists() {
            let _left = std::fs::remove_dir_all(entry.path());
        }
    }
}
