//! A primary and its streaming replica, for tests of what reads from a replica.

use std::fs::{DirBuilder, OpenOptions};
use std::io::Write;
use std::os::unix::fs::DirBuilderExt;
use std::path::Path;

use crate::account::Account;
use crate::cluster::{Cluster, ClusterOptions, Fate};
use crate::layout::{Layout, vanishing_directory};
use crate::password::Password;
use crate::programs::Programs;
use crate::throwaway::chosen;
use crate::{Error, create};

/// The role that a replica follows its primary by.
const FOLLOWER: &str = "follower";

/// Lets the replica in, through the socket, with its password.
const ADMISSION: &str = "local replication follower scram-sha-256\n";

/// A primary, and a replica that streams from it. Both vanish with the value.
#[derive(Debug)]
pub struct Replicated {
    /// Follows the primary, and is read only. Dropped first, since it hangs on the other.
    pub replica: Cluster,
    /// Takes changes.
    pub primary: Cluster,
}

/// Makes a primary, copies it with `pg_basebackup`, and starts the copy as its streaming replica.
///
/// # Errors
///
/// As for [`Cluster::open`]; [`Error::Create`] with what `pg_basebackup` said when the copy fails.
///
/// ```no_run
/// # fn main() -> Result<(), localpg::Error> {
/// let pair = localpg::throwaway_replicated()?;
/// pair.primary.create_database("first", None)?; // a moment later it is there in the replica too
/// # Ok(())
/// # }
/// ```
pub fn throwaway_replicated() -> Result<Replicated, Error> {
    let (programs, account) = chosen()?;
    let follower = Password::random()?;
    let primary = vanishing_directory(&account)?;
    let layout = Layout::prepare(primary.path(), &account)?;
    let password = create::ensure(&programs, &account, &layout, false, &|_| {})?;
    // Only a superuser makes a role that may replicate, and no superuser can log in to the running server.
    let role = format!("CREATE ROLE {FOLLOWER} LOGIN REPLICATION PASSWORD '{}'\n", follower.reveal());
    create::run_without_server(&programs, &account, &layout.cluster(), &role)?;
    let admission = layout.cluster().join("pg_hba.conf");
    let admitted = OpenOptions::new().append(true).open(&admission);
    admitted
        .and_then(|mut file| file.write_all(ADMISSION.as_bytes()))
        .map_err(Error::io("write", &admission))?;
    let open = |data_dir: &Path| {
        let options = ClusterOptions { data_dir: data_dir.to_owned(), durable: false, progress: &|_| {} };
        Cluster::open_as(options, &programs, &account, Fate::RemovedPair)
    };
    let opened = open(primary.path())?;
    let _kept = primary.keep();
    let replica = vanishing_directory(&account)?;
    let layout = Layout::prepare(replica.path(), &account)?;
    password.write(&layout.password())?;
    copy(&programs, &account, &opened, &follower, &layout.cluster())?;
    let replica_opened = open(replica.path())?;
    let _kept = replica.keep();
    Ok(Replicated { replica: replica_opened, primary: opened })
}

/// Copies the running primary, with what the copy needs to follow it (`-R`), over a slot that keeps for it what it has
/// not read yet.
fn copy(
    programs: &Programs,
    account: &Account,
    primary: &Cluster,
    follower: &Password,
    to: &Path,
) -> Result<(), Error> {
    DirBuilder::new().mode(0o700).create(to).map_err(Error::io("create the directory", to))?;
    account.give(to)?;
    let mut command = programs.command("pg_basebackup", Some(account));
    command.env("PGPASSWORD", follower.reveal()).arg("-D").arg(to).arg("-h").arg(primary.socket());
    command.args(["-U", FOLLOWER, "-R", "-X", "stream", "-C", "-S", FOLLOWER, "-c", "fast", "--no-sync"]);
    let output = command.output().map_err(Error::io("run", &programs.path_of("pg_basebackup")))?;
    if output.status.success() { Ok(()) } else { Err(create::refusal(to, &output)) }
}
