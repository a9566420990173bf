//! Getting the server programs onto a machine that has none.

mod apt;
mod system;
mod unpack;

use std::path::Path;
use std::process::{Command, Stdio};

use crate::Error;
use crate::account::is_root;
use crate::layout::Layout;
use crate::programs::{Places, Programs};

/// Package tools and the line that installs PostgreSQL with each.
const LINES: [(&str, &str); 6] = [
    ("apt-get", "sudo apt-get install -y postgresql"),
    ("dnf", "sudo dnf install -y postgresql-server"),
    ("zypper", "sudo zypper install -y postgresql-server"),
    ("pacman", "sudo pacman -S --noconfirm postgresql"),
    ("apk", "sudo apk add postgresql"),
    ("brew", "brew install postgresql@17"),
];

/// The programs to use for `data_dir`: of the version that made the data if there is data, otherwise the first
/// found, fetched if there are none at all.
pub(crate) fn programs(data_dir: &Path, progress: &dyn Fn(&str)) -> Result<Programs, Error> {
    let places = Places::of_this_machine();
    let mut found = places.find()?;
    if found.is_empty() {
        fetch(progress)?;
        found = places.find()?;
    }
    choose(&found, data_dir)
}

fn choose(found: &[Programs], data_dir: &Path) -> Result<Programs, Error> {
    let Some(preferred) = found.first() else {
        return Err(Error::NotInstalled { line: line_for(&is_present) });
    };
    let Some(made_by) = Layout::made_by(data_dir) else { return Ok(preferred.clone()) };
    let fitting = found.iter().find(|programs| programs.major.to_string() == made_by);
    fitting.cloned().ok_or_else(|| Error::WrongVersion {
        directory: data_dir.to_owned(),
        made_by,
        found: found.iter().map(|programs| programs.major.to_string()).collect::<Vec<_>>().join(", "),
    })
}

/// Fetches the programs in the way this machine and account allow.
fn fetch(progress: &dyn Fn(&str)) -> Result<(), Error> {
    if !is_present("apt-get") {
        return Err(Error::NotInstalled { line: line_for(&is_present) });
    }
    if is_root()? { system::install(progress) } else { unpack::fetch(progress) }
}

/// The one line that installs PostgreSQL here.
fn line_for(present: &dyn Fn(&str) -> bool) -> String {
    let known = LINES.iter().find(|(tool, _)| present(tool)).map(|(_, line)| (*line).to_owned());
    known.unwrap_or_else(|| {
        "export SKIDWAY_PG_BIN=DIRECTORY  # of `initdb` and `postgres`, once they are there by your system's means"
            .to_owned()
    })
}

/// Whether PATH has `tool`.
fn is_present(tool: &str) -> bool {
    let mut command = Command::new("/bin/sh");
    command.args(["-c", r#"command -v "$1""#, "sh", tool]);
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command.status().is_ok_and(|status| status.success())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn the_line_to_run_suits_the_machine() {
        assert_eq!(line_for(&|tool| tool == "dnf"), "sudo dnf install -y postgresql-server");
        assert_eq!(line_for(&|tool| tool == "brew"), "brew install postgresql@17");
        assert!(line_for(&|_| false).contains("SKIDWAY_PG_BIN"));
        assert!(is_present("sh") && !is_present("no-such-tool-anywhere"));
    }

    #[test]
    fn data_is_served_by_the_version_that_made_it() {
        let directory = tempfile::tempdir().unwrap();
        let cluster = Layout::cluster_in(directory.path());
        fs::create_dir(&cluster).unwrap();
        let found = [17, 15].map(Programs::of_version);
        let chosen = |made_by: &str| {
            fs::write(cluster.join("PG_VERSION"), made_by).unwrap();
            choose(&found, directory.path()).map(|programs| programs.major)
        };
        assert_eq!(chosen("15\n").unwrap(), 15);
        assert_eq!(chosen("17\n").unwrap(), 17);
        let error = chosen("9.6\n").unwrap_err().to_string();
        assert!(
            error.contains("was made by PostgreSQL 9.6, but this machine has version 17, 15;"),
            "{error}"
        );
        assert_eq!(choose(&found, Path::new("/nowhere")).unwrap().major, 17);
        assert!(matches!(choose(&[], Path::new("/nowhere")), Err(Error::NotInstalled { .. })));
    }
}
