//! A private PostgreSQL, made from the server programs already on the machine.
//!
//! The service and its tests need a database on a machine where nobody has set one up. [`Cluster::open`] makes
//! one in a directory of ours, starts it, and stops it again; [`throwaway_database`] gives a test an empty
//! database that vanishes with the test.
//!
//! # What is promised
//!
//! - **Nothing to prepare.** Programs of version 15 or later are looked for in `SKIDWAY_PG_BIN`, `PATH` and the
//!   places where systems put them. When there are none, Debian's and Ubuntu's package is fetched; elsewhere
//!   the error carries the one line to run.
//! - **Root or not.** The server refuses to run as root, so root hands it to the account `postgres`, or
//!   `nobody` where there is no such account.
//! - **Private.** No network port: a Unix socket in a directory only the server's account (and root) can enter,
//!   and behind it a SCRAM password from the system's random source, kept in a file only the service can read.
//!   Authentication by account (`peer`) cannot serve, because the server's account differs from the service's
//!   when that is root; trusting the directory alone would let every other process of a shared account such as
//!   `nobody` in. The role that logs in owns its databases and may create more databases and roles, but is no superuser, and no
//!   superuser can log in at all.
//! - **No orphans.** A small guardian process starts the server and ends it when this process is gone, however
//!   it went, `kill -9` included. It stands in a process group of its own, so Ctrl-C in a terminal reaches the
//!   service and leaves the database up until the service has finished.
//! - **One owner.** A directory is served by one process at a time. A second one is refused with
//!   [`Error::InUse`]; it does not share, because the first would take the server down under it.
//!
//! # Example
//!
//! ```no_run
//! use localpg::{Cluster, ClusterOptions, default_data_dir};
//!
//! # fn main() -> Result<(), localpg::Error> {
//! let cluster = Cluster::open(ClusterOptions {
//!     data_dir: default_data_dir()?,
//!     durable: true,
//!     progress: &|line| eprintln!("{line}"),
//! })?;
//! let url = cluster.url(); // hand this to the connection pool
//! # drop(url);
//! cluster.stop()?;
//! # Ok(())
//! # }
//! ```

mod account;
mod cluster;
mod create;
mod error;
mod guardian;
mod install;
mod layout;
mod lock;
mod name;
mod password;
mod programs;
mod replicated;
mod session;
mod settings;
mod throwaway;

pub use cluster::{Cluster, ClusterOptions};
pub use error::Error;
pub use layout::default_data_dir;
pub use replicated::{Replicated, throwaway_replicated};
pub use throwaway::{
    ThrowawayDatabase, throwaway, throwaway_cluster, throwaway_database, throwaway_database_in,
};
