//! Everything that can go wrong, each with what to do about it.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Why a private PostgreSQL could not be found, made, started, used or stopped.
///
/// Every message says what was wrong and what to do. No message contains the database password.
///
/// ```
/// let error = localpg::Error::NotInstalled { line: "sudo dnf install postgresql-server".to_owned() };
/// assert!(error.to_string().ends_with("sudo dnf install postgresql-server"));
/// ```
#[derive(Debug, Clone, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// `SKIDWAY_PG_BIN` is set but does not name a usable directory of server programs.
    #[error(
        "SKIDWAY_PG_BIN names {directory}, but {problem}; point it at the directory that holds `initdb` and \
         `postgres` of version 15 or later, or unset it"
    )]
    Override {
        /// What the variable says.
        directory: PathBuf,
        /// What is wrong with it.
        problem: String,
    },

    /// No server programs were found and they cannot be fetched from here.
    #[error("PostgreSQL 15 or later is not on this machine; install it with: {line}")]
    NotInstalled {
        /// The one line to run.
        line: String,
    },

    /// Fetching the server programs was tried and failed.
    #[error("{step} failed:\n{output}\ninstall PostgreSQL by hand and start again: {line}")]
    Install {
        /// The step that failed.
        step: String,
        /// The last lines the package tool said.
        output: String,
        /// The one line to run.
        line: String,
    },

    /// Root needs an unprivileged account for the server, and there is none.
    #[error(
        "PostgreSQL does not run as root and this machine has neither an account `postgres` nor `nobody`; \
         create one (`useradd --system postgres`) or start the service as an ordinary user"
    )]
    NoAccount,

    /// The data belongs to an account that cannot serve it from here.
    #[error(
        "{directory} belongs to account {owner}, which cannot serve it when the service runs as {service}; run \
         the service as the owner, or hand the data over (`chown -R ACCOUNT {directory}`)"
    )]
    Owner {
        /// The directory of the cluster.
        directory: PathBuf,
        /// Who owns it.
        owner: String,
        /// Who the service runs as.
        service: String,
    },

    /// The server's account cannot pass through the directories above its data.
    #[error(
        "account {account} cannot enter {directory}; let others pass (`chmod o+x`) through every directory on \
         that path, or choose another with SKIDWAY_DATA_DIR"
    )]
    Unreachable {
        /// The directory that cannot be entered.
        directory: PathBuf,
        /// The account the server runs as.
        account: String,
    },

    /// No place for data: neither `SKIDWAY_DATA_DIR`, `XDG_DATA_HOME` nor `HOME` is set to an absolute path.
    #[error("there is no place for the data; set SKIDWAY_DATA_DIR to an absolute path")]
    NoDataDir,

    /// Another running process serves this directory.
    #[error("{directory} is in use by {holder}; stop that first, or choose another with SKIDWAY_DATA_DIR")]
    InUse {
        /// The data directory.
        directory: PathBuf,
        /// Who holds it, as far as known.
        holder: String,
    },

    /// The data was made by another major version than any found here.
    #[error(
        "the data in {directory} was made by PostgreSQL {made_by}, but this machine has version {found}; \
         install PostgreSQL {made_by} again (or point SKIDWAY_PG_BIN at it), or move the data across with \
         `pg_upgrade`"
    )]
    WrongVersion {
        /// The data directory.
        directory: PathBuf,
        /// The major version that made the data.
        made_by: String,
        /// The major versions found.
        found: String,
    },

    /// The cluster could not be made.
    #[error("making the database cluster in {directory} failed; correct this and start again:\n{output}")]
    Create {
        /// Where it was being made.
        directory: PathBuf,
        /// What the server programs said.
        output: String,
    },

    /// The server did not start.
    #[error("PostgreSQL did not start: {reason}; the end of its log {log} says:\n{tail}")]
    Start {
        /// What was seen from outside.
        reason: String,
        /// The server's log.
        log: PathBuf,
        /// The last lines of this start.
        tail: String,
    },

    /// The server did not stop in time.
    #[error(
        "PostgreSQL in {directory} did not stop; see its log, and end it by hand with the process id in the first \
         line of `postmaster.pid` there (`kill -QUIT`)"
    )]
    Stop {
        /// The directory of the cluster.
        directory: PathBuf,
    },

    /// A database name that PostgreSQL would refuse or cut short.
    #[error("{name:?} cannot name a database; use 1 to 63 bytes without a zero byte")]
    Name {
        /// The name as given.
        name: String,
    },

    /// The server refused a statement of ours.
    #[error("could not {doing}: {message}; correct that and try again")]
    Database {
        /// What was being done.
        doing: String,
        /// What the server or the connection said.
        message: String,
    },

    /// The operating system refused something.
    #[error("could not {doing}: {source}; check that it exists, its permissions and the free space")]
    Io {
        /// What was being done, naming the path.
        doing: String,
        /// The system's answer.
        source: Arc<io::Error>,
    },
}

impl Error {
    /// For `map_err` at an operating-system call: `verb` and the path it was about.
    pub(crate) fn io(verb: &str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        let doing = format!("{verb} {}", path.display());
        move |source| Self::Io { doing, source: Arc::new(source) }
    }
}
