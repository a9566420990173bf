//! How the server is set up: all on its command line, so that no file in the data directory needs to agree.

use std::ffi::OsString;
use std::path::Path;

/// What every server of ours has. `GMT` is the one name of Universal Time that needs no time zone files, which
/// minimal container images lack. Just-in-time compilation pays off for long analyses only, costs short
/// statements dearly, and needs a large library.
const ALWAYS: [&str; 9] = [
    "listen_addresses=",
    "port=5432",
    "unix_socket_permissions=0700",
    "logging_collector=off",
    "log_destination=stderr",
    "log_timezone=GMT",
    "timezone=GMT",
    "password_encryption=scram-sha-256",
    "jit=off",
];

/// What a server has whose data must survive a loss of power.
const DURABLE: [&str; 4] =
    ["fsync=on", "synchronous_commit=on", "full_page_writes=on", "max_connections=100"];

/// What a server has whose data may be lost: everything that costs waiting for the disk is off, and a suite of
/// many tests at once finds connections enough.
const LOSABLE: [&str; 9] = [
    "fsync=off",
    "synchronous_commit=off",
    "full_page_writes=off",
    "wal_level=minimal",
    "max_wal_senders=0",
    "max_connections=200",
    "autovacuum_max_workers=1",
    "checkpoint_timeout=1h",
    "max_wal_size=2GB",
];

/// What a server has whose data may be lost, and that sends its changes to a replica or takes them from a primary.
const STREAMING: [&str; 11] = [
    "fsync=off",
    "full_page_writes=off",
    "wal_level=replica",
    "max_wal_senders=4",
    "hot_standby=on",
    "hot_standby_feedback=on",
    "wal_receiver_status_interval=1s",
    "max_standby_streaming_delay=15s",
    "wal_retrieve_retry_interval=200ms",
    "max_connections=100",
    "checkpoint_timeout=1h",
];

/// What a server is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Use {
    /// Its data must survive a loss of power.
    Durable,
    /// Its data may be lost.
    Losable,
    /// The same, as one of a primary and its replica.
    Streaming,
}

/// The arguments of `postgres` for the cluster in `cluster` and a socket in `socket`.
pub(crate) fn server_arguments(cluster: &Path, socket: &Path, usage: Use) -> Vec<OsString> {
    let mut arguments = vec![OsString::from("-D"), cluster.as_os_str().to_owned()];
    let chosen: &[&str] = match usage {
        Use::Durable => &DURABLE,
        Use::Losable => &LOSABLE,
        Use::Streaming => &STREAMING,
    };
    for setting in ALWAYS.iter().chain(chosen) {
        arguments.extend([OsString::from("-c"), OsString::from(setting)]);
    }
    arguments.extend([OsString::from("-c"), socket_setting(socket)]);
    arguments
}

/// The setting is a list of directories, in which only quoted ones may contain a comma.
fn socket_setting(socket: &Path) -> OsString {
    let mut setting = OsString::from("unix_socket_directories=\"");
    setting.push(socket);
    setting.push("\"");
    setting
}
