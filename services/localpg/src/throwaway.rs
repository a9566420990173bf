//! Clusters and databases that vanish, for tests.

use std::fs;
use std::path::Path;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::account::Account;
use crate::cluster::{Cluster, ClusterOptions, Fate};
use crate::layout::{TEMPORARY_PREFIX, vanishing_directory};
use crate::lock::is_abandoned;
use crate::programs::Programs;
use crate::{Error, install};

/// Where there is neither data nor an owner of data.
const NOWHERE: &str = "/nonexistent";

/// The cluster all tests of this process share: made on first use, fast rather than durable, and removed with
/// its directory when the process ends, in whatever way.
///
/// # Errors
///
/// As for [`Cluster::open`]. The first outcome is kept, so that a suite on a machine without PostgreSQL fails
/// once and not once per test.
///
/// ```no_run
/// # fn main() -> Result<(), localpg::Error> {
/// let cluster = localpg::throwaway()?;
/// cluster.create_database("migrated", None)?; // run the migrations here, then copy it per test
/// # Ok(())
/// # }
/// ```
pub fn throwaway() -> Result<&'static Cluster, Error> {
    static SHARED: OnceLock<Result<Cluster, Error>> = OnceLock::new();
    SHARED.get_or_init(throwaway_cluster).as_ref().map_err(Clone::clone)
}

/// A database of the shared cluster, dropped together with this value.
///
/// ```no_run
/// # fn main() -> Result<(), localpg::Error> {
/// let database = localpg::throwaway_database(None)?;
/// println!("{} is gone after this block", database.name());
/// # Ok(())
/// # }
/// ```
#[derive(Debug)]
pub struct ThrowawayDatabase {
    cluster: &'static Cluster,
    name: String,
}

impl ThrowawayDatabase {
    /// The name, unique in this process.
    ///
    /// ```no_run
    /// # fn main() -> Result<(), localpg::Error> {
    /// assert!(localpg::throwaway_database(None)?.name().starts_with("throwaway_"));
    /// # Ok(())
    /// # }
    /// ```
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The address to connect to. It contains the password.
    ///
    /// ```no_run
    /// # fn main() -> Result<(), Box<dyn std::error::Error>> {
    /// let database = localpg::throwaway_database(None)?;
    /// let config: tokio_postgres::Config = database.url().parse()?;
    /// assert_eq!(config.get_dbname(), Some(database.name()));
    /// # Ok(())
    /// # }
    /// ```
    #[must_use]
    pub fn url(&self) -> String {
        self.cluster.database_url(&self.name)
    }
}

impl Drop for ThrowawayDatabase {
    fn drop(&mut self) {
        // Dropping it saves room during a long run; at the end all of it goes anyhow.
        let _gone_later = self.cluster.drop_database(&self.name);
    }
}

/// A new database of the shared cluster, empty or as a copy of `template`.
///
/// Works inside and outside of an asynchronous runtime.
///
/// # Errors
///
/// As for [`throwaway`] and [`Cluster::create_database`].
///
/// ```no_run
/// # fn main() -> Result<(), localpg::Error> {
/// let database = localpg::throwaway_database(None)?;
/// # drop(database);
/// # Ok(())
/// # }
/// ```
pub fn throwaway_database(template: Option<&str>) -> Result<ThrowawayDatabase, Error> {
    throwaway_database_in(throwaway()?, template)
}

/// The same in any cluster that lasts as long as the process.
///
/// # Errors
///
/// As for [`Cluster::create_database`].
///
/// ```no_run
/// # fn main() -> Result<(), localpg::Error> {
/// let cluster = Box::leak(Box::new(localpg::throwaway_cluster()?));
/// let database = localpg::throwaway_database_in(cluster, None)?;
/// # drop(database);
/// # Ok(())
/// # }
/// ```
pub fn throwaway_database_in(
    cluster: &'static Cluster,
    template: Option<&str>,
) -> Result<ThrowawayDatabase, Error> {
    static COUNT: AtomicU64 = AtomicU64::new(0);
    let name = format!("throwaway_{}", COUNT.fetch_add(1, Ordering::Relaxed));
    cluster.create_database(&name, template)?;
    Ok(ThrowawayDatabase { cluster, name })
}

/// A cluster of one's own, for tests that need several: fast rather than durable, and removed with its directory when
/// the value is dropped or the process ends, in whatever way.
///
/// # Errors
///
/// As for [`Cluster::open`].
///
/// ```no_run
/// # fn main() -> Result<(), localpg::Error> {
/// let shards = [localpg::throwaway_cluster()?, localpg::throwaway_cluster()?];
/// assert_ne!(shards[0].url(), shards[1].url());
/// # Ok(())
/// # }
/// ```
pub fn throwaway_cluster() -> Result<Cluster, Error> {
    let (programs, account) = chosen()?;
    // Removed right here if the start fails; from then on by the guardian.
    let directory = vanishing_directory(&account)?;
    remove_abandoned(directory.path());
    let data_dir = directory.path().to_owned();
    let options = ClusterOptions { data_dir, durable: false, progress: &|_| {} };
    let cluster = Cluster::open_as(options, &programs, &account, Fate::Removed)?;
    let _kept = directory.keep();
    Ok(cluster)
}

/// The programs and the account of clusters that vanish. A suite that fetches programs should say so; that it makes a
/// cluster is no news.
pub(crate) fn chosen() -> Result<(Programs, Account), Error> {
    let programs = install::programs(Path::new(NOWHERE), &|line| eprintln!("{line}"))?;
    Ok((programs, Account::choose(Path::new(NOWHERE))?))
}

/// Removes what earlier runs left beside `ours`: a loss of power, or the end of a process before its cluster
/// had a guardian, leaves a directory behind.
fn remove_abandoned(ours: &Path) {
    let siblings = ours.parent().map(fs::read_dir).into_iter().flatten().flatten().flatten();
    for sibling in siblings {
        let ours = sibling.file_name().to_str().is_some_and(|name| name.starts_with(TEMPORARY_PREFIX));
        if ours && is_abandoned(&sibling.path()) {
            // Somebody else's remains are theirs to remove.
            let _not_ours = fs::remove_dir_all(sibling.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{SERVER_LOCK, SERVICE_LOCK};
    use std::fs::File;
    use std::time::{Duration, SystemTime};

    #[test]
    fn only_what_nobody_holds_any_more_is_removed() {
        let place = tempfile::tempdir().unwrap();
        let make = |name: &str, age: u64| {
            let directory = place.path().join(name);
            fs::create_dir(&directory).unwrap();
            let lock = File::create(directory.join(SERVICE_LOCK)).unwrap();
            lock.set_modified(SystemTime::UNIX_EPOCH + Duration::from_secs(age)).unwrap();
            (directory, lock)
        };
        let (abandoned, _) = make("skidway-abandoned", 0);
        let (foreign, _) = make("other-program", 0);
        let (served, lock) = make("skidway-served", 0);
        lock.lock().unwrap();
        let (stopping, _) = make("skidway-stopping", 0);
        let server = File::create(stopping.join(SERVER_LOCK)).unwrap();
        server.lock().unwrap();
        let (new, _) = make("skidway-new", u32::MAX.into());
        remove_abandoned(&place.path().join("skidway-ours"));
        assert!(!abandoned.exists());
        assert!(foreign.exists() && served.exists() && stopping.exists() && new.exists());
    }
}
