//! Finding PostgreSQL's server programs.

use std::env;
use std::ffi::{OsStr, OsString};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::Error;
use crate::account::Account;
use crate::layout::default_data_dir;

/// The oldest major version served: the first whose views can run with the rights of whoever asks.
const OLDEST: u32 = 15;

/// The programs needed, all of one directory.
const NEEDED: [&str; 2] = ["initdb", "postgres"];

/// Where systems put one directory per version: parent, start of the directory's name, rest of the path.
const VERSIONED: [(&str, &str, &str); 4] = [
    ("usr/lib/postgresql", "", "bin"),
    ("usr", "pgsql-", "bin"),
    ("opt/homebrew/opt", "postgresql@", "bin"),
    ("usr/local/opt", "postgresql", "bin"),
];

/// The server programs of one version.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Programs {
    directory: PathBuf,
    /// The major version.
    pub(crate) major: u32,
    /// Where to look for shared libraries first; empty for programs the system installed.
    libraries: Vec<PathBuf>,
}

impl Programs {
    /// Programs that are nowhere, for tests of the choice among them.
    #[cfg(test)]
    pub(crate) fn of_version(major: u32) -> Self {
        Self { directory: PathBuf::new(), major, libraries: Vec::new() }
    }

    /// The programs in `directory`, or what is wrong with it.
    fn examine(directory: &Path, libraries: Vec<PathBuf>) -> Result<Self, String> {
        // One real directory for all of them: links in a PATH directory may lead to different versions.
        let linked = directory.join("postgres");
        let real = linked.canonicalize().map_err(|error| format!("`postgres` there: {error}"))?;
        let directory = real.parent().unwrap_or(directory).to_owned();
        if let Some(missing) = NEEDED.iter().find(|name| !directory.join(name).is_file()) {
            return Err(format!("there is no `{missing}` in {}", directory.display()));
        }
        let mut programs = Self { directory, major: 0, libraries };
        let output = programs.command("postgres", None).arg("--version").output();
        let output = output.map_err(|error| format!("`postgres --version` does not run: {error}"))?;
        let answer = String::from_utf8_lossy(&output.stdout).trim().to_owned();
        programs.major = major_version(&answer).ok_or_else(|| {
            let complaint = String::from_utf8_lossy(&output.stderr);
            format!("`postgres --version` says {answer:?} {}", complaint.trim())
        })?;
        if programs.major < OLDEST {
            return Err(format!("that is version {}", programs.major));
        }
        Ok(programs)
    }

    /// A command for one of the programs, run as `account` with nothing of our own environment, so that neither
    /// `PG…` variables change its meaning nor secrets of the service end up in the server's.
    pub(crate) fn command(&self, program: &str, account: Option<&Account>) -> Command {
        let mut command = Command::new(self.path_of(program));
        self.settle(&mut command, account);
        command
    }

    /// The full path of one of the programs.
    pub(crate) fn path_of(&self, program: &str) -> PathBuf {
        self.directory.join(program)
    }

    /// Gives `command` the account, the environment and the working directory the programs run with.
    pub(crate) fn settle(&self, command: &mut Command, account: Option<&Account>) {
        command.env_clear().env("LC_ALL", "C").stdin(Stdio::null());
        // The service's own working directory may be closed to the account.
        command.current_dir("/");
        if let Some(path) = env::var_os("PATH") {
            command.env("PATH", path);
        }
        if let Some(places) = self.library_path(env::var_os("LD_LIBRARY_PATH")) {
            command.env("LD_LIBRARY_PATH", places);
        }
        if let Some(account) = account {
            account.run_as(command);
        }
    }

    fn library_path(&self, inherited: Option<OsString>) -> Option<OsString> {
        let inherited: Vec<PathBuf> = inherited.iter().flat_map(env::split_paths).collect();
        let all = self.libraries.iter().chain(&inherited);
        let joined = env::join_paths(all).ok()?;
        (!joined.is_empty()).then_some(joined)
    }
}

/// The directories to look in.
#[derive(Debug, Clone, Default)]
pub(crate) struct Places {
    /// `SKIDWAY_PG_BIN`: when set, the only place.
    chosen: Option<PathBuf>,
    path: Vec<PathBuf>,
    root: PathBuf,
    /// Where packages were unpacked by an ordinary user.
    unpacked: Option<PathBuf>,
}

impl Places {
    /// The places of this machine, as the environment says now.
    pub(crate) fn of_this_machine() -> Self {
        Self {
            chosen: env::var_os("SKIDWAY_PG_BIN").filter(|chosen| !chosen.is_empty()).map(PathBuf::from),
            path: env::var_os("PATH").iter().flat_map(env::split_paths).collect(),
            root: PathBuf::from("/"),
            unpacked: unpacked_directory().ok(),
        }
    }

    /// Every usable version, the preferred one first.
    pub(crate) fn find(&self) -> Result<Vec<Programs>, Error> {
        if let Some(chosen) = &self.chosen {
            let refuse = |problem| Error::Override { directory: chosen.clone(), problem };
            return Ok(vec![Programs::examine(chosen, Vec::new()).map_err(refuse)?]);
        }
        let mut found: Vec<Programs> = Vec::new();
        let mut consider = |directory: &Path, libraries: Vec<PathBuf>| {
            // What is unusable here (too old, half removed) must not keep us from a better one elsewhere.
            if let Ok(programs) = Programs::examine(directory, libraries)
                && !found.iter().any(|known| known.directory == programs.directory)
            {
                found.push(programs);
            }
        };
        for directory in self.path.iter().filter(|directory| directory.is_absolute()) {
            consider(directory, Vec::new());
        }
        for directory in system_directories(&self.root) {
            consider(&directory, Vec::new());
        }
        if let Some(unpacked) = &self.unpacked {
            for directory in system_directories(unpacked) {
                consider(&directory, library_directories(unpacked));
            }
        }
        Ok(found)
    }
}

/// Where packages are unpacked when the system's package tool may not install them.
pub(crate) fn unpacked_directory() -> Result<PathBuf, Error> {
    Ok(default_data_dir()?.join("programs"))
}

/// The usual places under `root`, the highest version first within each.
fn system_directories(root: &Path) -> Vec<PathBuf> {
    let mut directories = Vec::new();
    for (parent, start, rest) in VERSIONED {
        let mut versions: Vec<(u32, PathBuf)> = children(&root.join(parent))
            .into_iter()
            .filter_map(|child| {
                let number = child.file_name()?.to_str()?.strip_prefix(start)?.trim_start_matches('@');
                // A formula without a number is the newest of them.
                let number = if number.is_empty() { u32::MAX } else { leading_number(number)? };
                Some((number, child.join(rest)))
            })
            .collect();
        versions.sort_by(|left, right| right.cmp(left));
        directories.extend(versions.into_iter().map(|(_, directory)| directory));
    }
    directories.push(root.join("usr/local/pgsql/bin"));
    directories
}

/// The directories of shared libraries in an unpacked tree: `lib` and the ones named after the machine.
fn library_directories(unpacked: &Path) -> Vec<PathBuf> {
    let of_machine = |parent: PathBuf| {
        children(&parent).into_iter().filter(|child| {
            child.file_name().and_then(OsStr::to_str).is_some_and(|name| name.contains("-linux-"))
        })
    };
    ["usr/lib", "lib"].iter().flat_map(|parent| of_machine(unpacked.join(parent))).collect()
}

fn children(parent: &Path) -> Vec<PathBuf> {
    fs::read_dir(parent).into_iter().flatten().flatten().map(|entry| entry.path()).collect()
}

/// The major version in an answer such as `postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)`.
fn major_version(answer: &str) -> Option<u32> {
    leading_number(answer.strip_prefix("postgres (PostgreSQL) ")?)
}

fn leading_number(text: &str) -> Option<u32> {
    let digits: String = text.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};

    /// A tree of programs that only know their version.
    struct Tree(tempfile::TempDir);

    impl Tree {
        fn new() -> Self {
            Self(tempfile::tempdir().unwrap())
        }

        fn path(&self, below: &str) -> PathBuf {
            self.0.path().canonicalize().unwrap().join(below)
        }

        fn add(&self, below: &str, version: &str) -> PathBuf {
            let directory = self.path(below);
            fs::create_dir_all(&directory).unwrap();
            for name in NEEDED {
                let text = format!("#!/bin/sh\necho 'postgres (PostgreSQL) {version}'\n");
                fs::write(directory.join(name), text).unwrap();
                fs::set_permissions(directory.join(name), fs::Permissions::from_mode(0o755)).unwrap();
            }
            directory
        }

        fn places(&self) -> Places {
            Places { root: self.path(""), ..Places::default() }
        }
    }

    fn majors(places: &Places) -> Vec<u32> {
        places.find().unwrap().iter().map(|programs| programs.major).collect()
    }

    #[test]
    fn the_usual_places_are_searched_highest_version_first() {
        let tree = Tree::new();
        tree.add("usr/lib/postgresql/9.6/bin", "9.6.24");
        tree.add("usr/lib/postgresql/15/bin", "15.11 (Debian 15.11-1)");
        tree.add("usr/lib/postgresql/100/bin", "100devel");
        tree.add("usr/pgsql-17/bin", "17beta1");
        tree.add("opt/homebrew/opt/postgresql@16/bin", "16.2");
        tree.add("usr/local/opt/postgresql/bin", "18.1");
        tree.add("usr/local/opt/postgresql@15/bin", "15.2");
        tree.add("usr/local/pgsql/bin", "19.0");
        fs::create_dir_all(tree.path("usr/lib/postgresql/18/bin")).unwrap();
        assert_eq!(majors(&tree.places()), [100, 15, 17, 16, 18, 15, 19]);
        assert_eq!(majors(&Places { root: tree.path("nowhere"), ..Places::default() }), []);
    }

    #[test]
    fn links_in_path_lead_to_one_directory() {
        let tree = Tree::new();
        let real = tree.add("usr/lib/postgresql/16/bin", "16.1");
        let links = tree.path("bin");
        fs::create_dir_all(&links).unwrap();
        symlink(real.join("postgres"), links.join("postgres")).unwrap();
        let places = Places { path: vec![links, PathBuf::from(".")], ..tree.places() };
        let found = places.find().unwrap();
        assert_eq!(found.len(), 1, "the same programs twice: {found:?}");
        assert_eq!(found[0].path_of("initdb"), real.join("initdb"));
    }

    #[test]
    fn a_chosen_directory_is_the_only_one_and_must_be_right() {
        let tree = Tree::new();
        tree.add("usr/lib/postgresql/16/bin", "16.1");
        let old = tree.add("old", "14.4");
        let chosen = tree.add("chosen", "15.1");
        let with = |directory: PathBuf| Places { chosen: Some(directory), ..tree.places() };
        assert_eq!(majors(&with(chosen.clone())), [15]);
        let complaint = |directory: PathBuf| with(directory).find().unwrap_err().to_string();
        assert!(complaint(old).contains("that is version 14"));
        assert!(complaint(tree.path("missing")).contains("SKIDWAY_PG_BIN"));
        fs::remove_file(chosen.join("initdb")).unwrap();
        assert!(complaint(chosen).contains("no `initdb`"));
    }

    #[test]
    fn unpacked_packages_bring_their_libraries() {
        let tree = Tree::new();
        tree.add("mine/usr/lib/postgresql/15/bin", "15.1");
        fs::create_dir_all(tree.path("mine/usr/lib/x86_64-linux-gnu")).unwrap();
        let places =
            Places { unpacked: Some(tree.path("mine")), root: tree.path("empty"), ..Places::default() };
        let found = places.find().unwrap();
        let expected = env::join_paths([tree.path("mine/usr/lib/x86_64-linux-gnu"), "/own".into()]).unwrap();
        assert_eq!(found[0].library_path(Some("/own".into())), Some(expected));
    }
}
