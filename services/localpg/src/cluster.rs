//! A private cluster and its running server.

use std::fmt;
use std::fs::{self, File, OpenOptions};
use std::io::{Read, Seek, SeekFrom};
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::account::Account;
use crate::create::{self, SERVICE};
use crate::guardian::{Duty, Ending, Guardian};
use crate::layout::{Layout, SocketDirectory};
use crate::lock::Locks;
use crate::name::{quoted, url};
use crate::password::Password;
use crate::programs::Programs;
use crate::settings::{Use, server_arguments};
use crate::{Error, install, session};

/// How long a server may be silent while it starts.
const SILENCE: Duration = Duration::from_secs(60);
/// A log of this size is put aside at the next start.
const LARGE_LOG: u64 = 8 * 1024 * 1024;
/// How much of the log's end an error carries.
const TAIL_LINES: usize = 15;

/// What [`Cluster::open`] needs to know.
///
/// ```
/// let options = localpg::ClusterOptions { data_dir: "/srv/skidway".into(), durable: true, progress: &|_| {} };
/// assert!(options.durable);
/// ```
#[derive(Clone)]
pub struct ClusterOptions<'a> {
    /// Where the data lies; made if it is not there. See [`default_data_dir`](crate::default_data_dir).
    pub data_dir: PathBuf,
    /// Whether data must survive a loss of power. `false` is several times faster, and meant for tests.
    pub durable: bool,
    /// Told, a line at a time, what takes long or changes the machine: fetching programs, making a cluster.
    pub progress: &'a dyn Fn(&str),
}

impl fmt::Debug for ClusterOptions<'_> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut shown = formatter.debug_struct("ClusterOptions");
        shown.field("data_dir", &self.data_dir).field("durable", &self.durable).finish_non_exhaustive()
    }
}

/// A private PostgreSQL cluster whose server runs for as long as this value, and at most as this process.
///
/// Dropping it stops the server, as [`Cluster::stop`] does, without telling of errors.
///
/// ```no_run
/// # fn main() -> Result<(), localpg::Error> {
/// # let options = localpg::ClusterOptions { data_dir: "/srv/skidway".into(), durable: true, progress: &|_| {} };
/// let cluster = localpg::Cluster::open(options)?;
/// cluster.create_database("reports", None)?;
/// let address = cluster.database_url("reports");
/// # drop(address);
/// # Ok(())
/// # }
/// ```
#[derive(Debug)]
pub struct Cluster {
    layout: Layout,
    socket: PathBuf,
    password: Password,
    guardian: Option<Guardian>,
    /// Held for as long as the cluster is open.
    _service_lock: File,
}

/// What becomes of a cluster in the end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fate {
    /// The data stays.
    Kept,
    /// The whole data directory is removed; it must belong to the server's account.
    Removed,
    /// The same, and until then it is one of a primary and its replica.
    RemovedPair,
}

impl Fate {
    fn is_removed(self) -> bool {
        matches!(self, Self::Removed | Self::RemovedPair)
    }

    fn usage(self, durable: bool) -> Use {
        match self {
            Self::RemovedPair => Use::Streaming,
            Self::Kept | Self::Removed if durable => Use::Durable,
            Self::Kept | Self::Removed => Use::Losable,
        }
    }
}

impl Cluster {
    /// Makes the cluster if its directory is empty, starts its server and waits until that accepts connections.
    ///
    /// A server that a killed service left behind, and that is just being ended by its guardian, is waited for.
    ///
    /// # Errors
    ///
    /// [`Error::NotInstalled`], [`Error::Install`] or [`Error::Override`] when there are no server programs;
    /// [`Error::NoAccount`], [`Error::Owner`] or [`Error::Unreachable`] when no account can serve the directory;
    /// [`Error::InUse`] when another process serves it; [`Error::WrongVersion`] when another version made it;
    /// [`Error::Create`] or [`Error::Start`] with what PostgreSQL said; [`Error::Io`].
    ///
    /// ```no_run
    /// # fn main() -> Result<(), localpg::Error> {
    /// use localpg::{Cluster, ClusterOptions, default_data_dir};
    /// let progress = |line: &str| eprintln!("{line}");
    /// let cluster = Cluster::open(ClusterOptions {
    ///     data_dir: default_data_dir()?,
    ///     durable: true,
    ///     progress: &progress,
    /// })?;
    /// # cluster.stop()
    /// # }
    /// ```
    pub fn open(options: ClusterOptions<'_>) -> Result<Self, Error> {
        // First the programs: Debian's package brings the account `postgres` with it.
        let programs = install::programs(&options.data_dir, options.progress)?;
        let account = Account::choose(&Layout::cluster_in(&options.data_dir))?;
        Self::open_as(options, &programs, &account, Fate::Kept)
    }

    /// Opens a cluster with programs and an account that have been chosen.
    pub(crate) fn open_as(
        options: ClusterOptions<'_>,
        programs: &Programs,
        account: &Account,
        fate: Fate,
    ) -> Result<Self, Error> {
        let ClusterOptions { data_dir, durable, progress } = options;
        let layout = Layout::prepare(&data_dir, account)?;
        let locks = Locks::take(&layout, progress)?;
        let password = create::ensure(programs, account, &layout, durable, progress)?;
        let (log, log_start) = open_log(&layout)?;
        let socket = SocketDirectory::make(&layout, account)?;
        let mut guardian = Guardian::start(Duty {
            arguments: server_arguments(&layout.cluster(), &socket.path, fate.usage(durable)),
            programs,
            account,
            ending: if fate.is_removed() { Ending::Immediate } else { Ending::Fast },
            scratch: fate.is_removed().then_some(layout.data_dir()),
            socket: socket.elsewhere.then_some(&socket.path),
            lock: locks.server,
            log,
        })?;
        let address = url(SERVICE, password.reveal(), &socket.path, SERVICE);
        if let Err(reason) = session::wait_until_ready(&address, SILENCE, || guardian.is_alive()) {
            let tail = log_tail(&layout.log(), log_start);
            guardian.stop();
            return Err(Error::Start { reason, log: layout.log(), tail });
        }
        Ok(Self {
            layout,
            socket: socket.path,
            password,
            guardian: Some(guardian),
            _service_lock: locks.service,
        })
    }

    /// The address of the cluster's own database, `skidway`, for any client that knows PostgreSQL's addresses.
    ///
    /// It contains the password: do not log it.
    ///
    /// ```no_run
    /// # fn show(cluster: &localpg::Cluster) -> Result<(), tokio_postgres::Error> {
    /// let config: tokio_postgres::Config = cluster.url().parse()?;
    /// assert_eq!(config.get_dbname(), Some("skidway"));
    /// # Ok(())
    /// # }
    /// ```
    #[must_use]
    pub fn url(&self) -> String {
        self.database_url(SERVICE)
    }

    /// The address of the database `name`, which need not exist yet. It contains the password.
    ///
    /// ```no_run
    /// # fn show(cluster: &localpg::Cluster) {
    /// assert!(cluster.database_url("reports").ends_with("/reports"));
    /// # }
    /// ```
    #[must_use]
    pub fn database_url(&self, name: &str) -> String {
        url(SERVICE, self.password.reveal(), &self.socket, name)
    }

    /// Where the data lies.
    ///
    /// ```no_run
    /// # fn show(cluster: &localpg::Cluster) {
    /// println!("the data is in {}", cluster.data_dir().display());
    /// # }
    /// ```
    #[must_use]
    pub fn data_dir(&self) -> &Path {
        self.layout.data_dir()
    }

    /// The directory of its socket.
    pub(crate) fn socket(&self) -> &Path {
        &self.socket
    }

    /// Creates the database `name`, empty or as a copy of `template`, to which nobody may be connected.
    ///
    /// Works inside and outside of an asynchronous runtime, and blocks for some tens of milliseconds.
    ///
    /// # Errors
    ///
    /// [`Error::Name`] for a name PostgreSQL would not take as it is; [`Error::Database`] when the server
    /// refuses, for instance because there is such a database or somebody is connected to the template.
    ///
    /// ```no_run
    /// # fn show(cluster: &localpg::Cluster) -> Result<(), localpg::Error> {
    /// cluster.create_database("migrated", None)?;
    /// cluster.create_database("first test", Some("migrated"))?;
    /// # Ok(())
    /// # }
    /// ```
    pub fn create_database(&self, name: &str, template: Option<&str>) -> Result<(), Error> {
        let mut statement = format!("CREATE DATABASE {}", quoted(name)?);
        if let Some(template) = template {
            statement.push_str(" TEMPLATE ");
            statement.push_str(&quoted(template)?);
        }
        session::execute(&self.url(), &statement, &format!("create the database {name:?}"))
    }

    /// Drops the database `name` if it exists, cutting off whoever is connected to it.
    ///
    /// # Errors
    ///
    /// [`Error::Name`] or [`Error::Database`], as for [`Cluster::create_database`].
    ///
    /// ```no_run
    /// # fn show(cluster: &localpg::Cluster) -> Result<(), localpg::Error> {
    /// cluster.drop_database("first test")?;
    /// # Ok(())
    /// # }
    /// ```
    pub fn drop_database(&self, name: &str) -> Result<(), Error> {
        let statement = format!("DROP DATABASE IF EXISTS {} WITH (FORCE)", quoted(name)?);
        session::execute(&self.url(), &statement, &format!("drop the database {name:?}"))
    }

    /// Stops the server: connections are cut, everything committed is on disk. Waits until it is gone.
    ///
    /// # Errors
    ///
    /// [`Error::Stop`] when it is still there after more than a minute.
    ///
    /// ```no_run
    /// # fn show(cluster: localpg::Cluster) -> Result<(), localpg::Error> {
    /// cluster.stop()?;
    /// # Ok(())
    /// # }
    /// ```
    pub fn stop(mut self) -> Result<(), Error> {
        self.shut_down()
    }

    fn shut_down(&mut self) -> Result<(), Error> {
        match self.guardian.take().map(Guardian::stop) {
            Some(false) => Err(Error::Stop { directory: self.layout.cluster() }),
            _ => Ok(()),
        }
    }
}

impl Drop for Cluster {
    fn drop(&mut self) {
        // Nobody can be told here; the guardian keeps trying in any case.
        let _untold = self.shut_down();
    }
}

/// The server's log, opened for appending, and where this start begins in it.
fn open_log(layout: &Layout) -> Result<(File, u64), Error> {
    let path = layout.log();
    if fs::metadata(&path).is_ok_and(|log| log.len() > LARGE_LOG) {
        fs::rename(&path, layout.previous_log()).map_err(Error::io("rename", &path))?;
    }
    let log = OpenOptions::new().append(true).create(true).mode(0o600).open(&path);
    let log = log.map_err(Error::io("open", &path))?;
    let length = log.metadata().map_err(Error::io("read", &path))?.len();
    Ok((log, length))
}

/// The last lines of the log after `start`.
fn log_tail(path: &Path, start: u64) -> String {
    let mut text = Vec::new();
    let read = File::open(path).and_then(|mut log| {
        log.seek(SeekFrom::Start(start))?;
        log.read_to_end(&mut text)
    });
    if let Err(error) = read {
        return format!("(unreadable: {error})");
    }
    let text = String::from_utf8_lossy(&text);
    let lines: Vec<&str> = text.lines().collect();
    lines.get(lines.len().saturating_sub(TAIL_LINES)..).unwrap_or_default().join("\n")
}
