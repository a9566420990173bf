//! Mounts of this program's own: a file system that nobody else sees, and that is gone with the program, however it ends.

use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};

use anyhow::bail;

use crate::arguments::Arguments;
use crate::parts::Part;

/// The variable that says that this process has mounts of its own.
const OWN: &str = "SKIDWAY_FAULTS_OWN_MOUNTS";

/// Goes on as the same program with mounts of its own where a part needs them and the system lets it; otherwise answers
/// nothing, and the part is left out.
pub fn run_with_them(arguments: &Arguments) -> Option<ExitCode> {
    if have_them() || !arguments.parts().contains(&Part::DiskFull) {
        return None;
    }
    let unshare = || {
        let mut command = Command::new("unshare");
        command.args(["--mount", "--propagation", "private", "--"]);
        command
    };
    let tried = unshare().args(["mount", "-t", "tmpfs", "none", "/mnt"]).stderr(Stdio::null()).status();
    if !tried.is_ok_and(|status| status.success()) {
        return None;
    }
    let this = std::env::current_exe().ok()?;
    let failed = unshare().arg(this).args(std::env::args_os().skip(1)).env(OWN, "yes").exec();
    eprintln!("faults: it cannot be started with mounts of its own: {failed}");
    Some(ExitCode::FAILURE)
}

/// Whether this process has mounts of its own.
pub fn have_them() -> bool {
    std::env::var_os(OWN).is_some()
}

/// A small file system in memory, taken away with the value.
#[derive(Debug)]
pub struct SmallDisk(PathBuf);

impl SmallDisk {
    /// One of so many megabytes at `at`.
    pub fn mount(at: &Path, megabytes: u32) -> anyhow::Result<Self> {
        std::fs::create_dir_all(at)?;
        let size = format!("size={megabytes}m,mode=0711");
        let mounted = Command::new("mount").args(["-t", "tmpfs", "-o", &size, "none"]).arg(at).output()?;
        if !mounted.status.success() {
            bail!("no file system can be mounted: {}", String::from_utf8_lossy(&mounted.stderr));
        }
        Ok(Self(at.to_owned()))
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        // Lazily: it goes when the last who uses it is gone, and at the latest with this program.
        let _told = Command::new("umount").arg("--lazy").arg(&self.0).status();
    }
}
