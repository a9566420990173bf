//! Where the program keeps what it needs from one run to the next.

use std::fs;
use std::io::{self, Write};
use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt};
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow};

/// The directory for it, by the XDG Base Directory Specification: `XDG_STATE_HOME`, or `.local/state` in `HOME`.
pub(crate) fn directory() -> anyhow::Result<PathBuf> {
    let absolute = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let base = absolute("XDG_STATE_HOME").or_else(|| Some(absolute("HOME")?.join(".local").join("state")));
    let base =
        base.ok_or_else(|| anyhow!("there is no directory to keep it in: set HOME or XDG_STATE_HOME"))?;
    Ok(base.join("skidway"))
}

/// Writes a whole file in the place of the one before, for nobody else to read, so that there is never half of one.
pub(crate) fn write(path: &Path, content: &[u8]) -> anyhow::Result<()> {
    replaced(path, content).with_context(|| format!("{} cannot be written", path.display()))
}

fn replaced(path: &Path, content: &[u8]) -> io::Result<()> {
    let directory = path.parent().unwrap_or(Path::new("."));
    fs::DirBuilder::new().recursive(true).mode(0o700).create(directory)?;
    let beside = path.with_extension(format!("new-{}", std::process::id()));
    let written = fs::OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .mode(0o600)
        .open(&beside)
        .and_then(|mut file| file.write_all(content).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        // What is left of it would be in the way of the next.
        let _gone = fs::remove_file(&beside);
    }
    written
}
