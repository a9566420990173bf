//! Where everything lies inside a data directory.

use std::env;
use std::fs::{self, DirBuilder, Permissions};
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{DirBuilderExt, PermissionsExt};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::account::{Account, is_root};
use crate::{Error, create};

/// The longest socket directory every system takes. A socket's path may have 103 bytes where the limit is
/// lowest, and `/.s.PGSQL.5432` needs 14 of them.
const LONGEST_SOCKET_DIRECTORY: usize = 89;

/// How our directories among the temporary files begin.
pub(crate) const TEMPORARY_PREFIX: &str = "skidway-";

/// What only a service that has the directory open holds locked.
pub(crate) const SERVICE_LOCK: &str = "postgres.lock";

/// What every process of a server holds locked.
pub(crate) const SERVER_LOCK: &str = "postgres.running";

/// Where the service keeps its data unless told otherwise.
///
/// `SKIDWAY_DATA_DIR` if set; otherwise `/var/lib/skidway` for root, and `$XDG_DATA_HOME/skidway` or
/// `~/.local/share/skidway` for everybody else.
///
/// # Errors
///
/// [`Error::NoDataDir`] when none of these is an absolute path, [`Error::Io`] when the user cannot be found out.
///
/// ```
/// # fn main() -> Result<(), localpg::Error> {
/// assert!(localpg::default_data_dir()?.is_absolute());
/// # Ok(())
/// # }
/// ```
pub fn default_data_dir() -> Result<PathBuf, Error> {
    data_dir_from(|variable| env::var_os(variable).map(PathBuf::from), is_root()?)
}

fn data_dir_from(variable: impl Fn(&str) -> Option<PathBuf>, root: bool) -> Result<PathBuf, Error> {
    if let Some(chosen) = variable("SKIDWAY_DATA_DIR") {
        return if chosen.is_absolute() { Ok(chosen) } else { Err(Error::NoDataDir) };
    }
    if root {
        return Ok(PathBuf::from("/var/lib/skidway"));
    }
    let absolute = |name: &str| variable(name).filter(|path| path.is_absolute());
    absolute("XDG_DATA_HOME")
        .or_else(|| Some(absolute("HOME")?.join(".local/share")))
        .map(|base| base.join("skidway"))
        .ok_or(Error::NoDataDir)
}

/// The paths inside one data directory.
///
/// Only the cluster and the socket directory belong to the server's account; all else is the service's own, so
/// that a service running as root never writes where a lesser account could plant a link.
#[derive(Debug, Clone)]
pub(crate) struct Layout {
    data_dir: PathBuf,
}

impl Layout {
    /// Opens or makes `data_dir`.
    pub(crate) fn prepare(data_dir: &Path, account: &Account) -> Result<Self, Error> {
        if !data_dir.is_dir() {
            fs::create_dir_all(data_dir).map_err(Error::io("create the directory", data_dir))?;
            // Another account must pass through on the way to its cluster, but need not list what is here.
            let mode = if account.is_another() { 0o711 } else { 0o700 };
            fs::set_permissions(data_dir, Permissions::from_mode(mode))
                .map_err(Error::io("set the permissions of", data_dir))?;
        }
        let data_dir = data_dir.canonicalize().map_err(Error::io("resolve", data_dir))?;
        if account.can_enter(&data_dir) {
            Ok(Self { data_dir })
        } else {
            Err(Error::Unreachable { directory: data_dir, account: account.name().to_owned() })
        }
    }

    /// The directory all else is in.
    pub(crate) fn data_dir(&self) -> &Path {
        &self.data_dir
    }

    /// PostgreSQL's own directory.
    pub(crate) fn cluster(&self) -> PathBuf {
        Self::cluster_in(&self.data_dir)
    }

    /// PostgreSQL's own directory in a data directory that may not exist yet.
    pub(crate) fn cluster_in(data_dir: &Path) -> PathBuf {
        data_dir.join("postgres")
    }

    /// A cluster being made; renamed once complete, so that an interruption leaves no half cluster behind.
    pub(crate) fn unfinished_cluster(&self) -> PathBuf {
        self.data_dir.join("postgres.unfinished")
    }

    /// The password of the service's role.
    pub(crate) fn password(&self) -> PathBuf {
        self.data_dir.join("postgres.password")
    }

    /// What the server says.
    pub(crate) fn log(&self) -> PathBuf {
        self.data_dir.join("postgres.log")
    }

    /// The log before the present one.
    pub(crate) fn previous_log(&self) -> PathBuf {
        self.data_dir.join("postgres.log.previous")
    }

    /// Locked while a service has the directory open.
    pub(crate) fn service_lock(&self) -> PathBuf {
        self.data_dir.join(SERVICE_LOCK)
    }

    /// Locked while any process of a server lives.
    pub(crate) fn server_lock(&self) -> PathBuf {
        self.data_dir.join(SERVER_LOCK)
    }

    /// The major version that made the cluster in `data_dir`, if there is one.
    pub(crate) fn made_by(data_dir: &Path) -> Option<String> {
        let version = fs::read_to_string(Self::cluster_in(data_dir).join("PG_VERSION")).ok()?;
        Some(version.trim().to_owned())
    }
}

/// A fresh directory for the server's socket.
#[derive(Debug)]
pub(crate) struct SocketDirectory {
    pub(crate) path: PathBuf,
    /// Whether it lies outside the data directory and must be removed in the end.
    pub(crate) elsewhere: bool,
}

impl SocketDirectory {
    /// In the data directory, or under the temporary directory when the data directory's path is too long.
    pub(crate) fn make(layout: &Layout, account: &Account) -> Result<Self, Error> {
        let near = layout.data_dir.join("postgres.socket");
        if near.as_os_str().as_bytes().len() <= LONGEST_SOCKET_DIRECTORY {
            // Made anew, so that the lock file of a server that lost its power cannot stand in the way.
            create::remove_directory(&near)?;
            DirBuilder::new().mode(0o700).create(&near).map_err(Error::io("create the directory", &near))?;
            account.give(&near)?;
            return Ok(Self { path: near, elsewhere: false });
        }
        Ok(Self { path: temporary_directory(account)?.keep(), elsewhere: true })
    }
}

/// Where systems keep files in memory.
const IN_MEMORY: &str = "/dev/shm";
/// How much room there must be in memory for a cluster that nobody wants to keep, in KiB.
const ROOM_IN_MEMORY: u64 = 4 * 1024 * 1024;

/// A new directory for a cluster that vanishes: in memory where there is plenty, since a database is hundreds of small
/// files, and making them on a disk is most of the work of making a database.
pub(crate) fn vanishing_directory(account: &Account) -> Result<tempfile::TempDir, Error> {
    let in_memory = Some(PathBuf::from(IN_MEMORY)).filter(|place| room(place) >= ROOM_IN_MEMORY);
    directory_in(account, in_memory.into_iter().chain(temporary_places()))
}

/// A new directory of `account` alone, with a short path, in the first place for temporary files it can enter.
pub(crate) fn temporary_directory(account: &Account) -> Result<tempfile::TempDir, Error> {
    directory_in(account, temporary_places())
}

fn temporary_places() -> impl Iterator<Item = PathBuf> {
    [env::temp_dir(), PathBuf::from("/tmp"), PathBuf::from("/var/tmp")].into_iter()
}

/// How many KiB are free, as the system's own `df` tells it (POSIX); none where it cannot tell.
fn room(place: &Path) -> u64 {
    let told = Command::new("df").args(["-P", "-k"]).arg(place).stdin(Stdio::null()).output();
    let told = told.map(|output| String::from_utf8_lossy(&output.stdout).into_owned()).unwrap_or_default();
    let available = told.lines().nth(1).and_then(|line| line.split_whitespace().nth(3));
    available.and_then(|text| text.parse().ok()).unwrap_or(0)
}

fn directory_in(
    account: &Account,
    places: impl Iterator<Item = PathBuf>,
) -> Result<tempfile::TempDir, Error> {
    let short = |place: &PathBuf| place.as_os_str().len() < LONGEST_SOCKET_DIRECTORY / 2;
    let places: Vec<_> = places.collect();
    let place = places.iter().filter(|place| short(place)).find(|place| account.can_enter(place));
    let place = place.ok_or_else(|| Error::Unreachable {
        directory: env::temp_dir(),
        account: account.name().to_owned(),
    })?;
    let made = tempfile::Builder::new()
        .prefix(TEMPORARY_PREFIX)
        .permissions(Permissions::from_mode(0o700))
        .tempdir_in(place)
        .map_err(Error::io("create a directory in", place))?;
    account.give(made.path())?;
    Ok(made)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn from(variables: &[(&str, &str)], root: bool) -> Option<String> {
        let look = |name: &str| {
            variables.iter().find(|(known, _)| *known == name).map(|(_, value)| PathBuf::from(value))
        };
        data_dir_from(look, root).ok().map(|path| path.display().to_string())
    }

    #[test]
    fn a_place_tells_how_much_room_it_has() {
        assert!(room(Path::new("/")) > 0);
        assert_eq!(room(Path::new("/nowhere/at/all")), 0);
    }

    #[test]
    fn the_data_directory_follows_the_environment() {
        let everything = [("SKIDWAY_DATA_DIR", "/srv/yard"), ("XDG_DATA_HOME", "/x"), ("HOME", "/home/ann")];
        let home = [("XDG_DATA_HOME", "relative"), ("HOME", "/home/ann")];
        assert_eq!(from(&everything, true).as_deref(), Some("/srv/yard"));
        assert_eq!(from(&everything[1..], true).as_deref(), Some("/var/lib/skidway"));
        assert_eq!(from(&everything[1..], false).as_deref(), Some("/x/skidway"));
        assert_eq!(from(&home, false).as_deref(), Some("/home/ann/.local/share/skidway"));
        assert_eq!(from(&[], false), None);
        assert_eq!(from(&[("SKIDWAY_DATA_DIR", "relative")], true), None);
    }
}
