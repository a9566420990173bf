//! Who has a data directory.
//!
//! Locks of the kernel (`flock`) rather than process ids in files: they end with their holders, whatever ended
//! those, and cannot be mistaken for an unrelated process that was given the same number later.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{ErrorKind, Read, Seek, Write};
use std::os::unix::fs::OpenOptionsExt;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use crate::Error;
use crate::layout::{Layout, SERVER_LOCK, SERVICE_LOCK};

/// How long a service may take to be gone after it has been killed.
const DYING_SERVICE: Duration = Duration::from_secs(1);
/// How long its server may take to stop after that.
const EARLIER_SERVER: Duration = Duration::from_secs(60);
const ABANDONED: Duration = Duration::from_secs(60);
const PAUSE: Duration = Duration::from_millis(20);

/// The two locks of a data directory, both held.
#[derive(Debug)]
pub(crate) struct Locks {
    /// Held by this process alone: tells a second service at once that it is not wanted.
    pub(crate) service: File,
    /// Inherited by every process of the server: free only when the last of them is gone.
    pub(crate) server: File,
}

impl Locks {
    /// Takes both, waiting for a server whose service died to finish stopping.
    pub(crate) fn take(layout: &Layout, progress: &dyn Fn(&str)) -> Result<Self, Error> {
        let service = take_service(layout)?;
        let server = take_server(layout, progress)?;
        clear_process_file(layout)?;
        Ok(Self { service, server })
    }
}

fn open(path: &Path) -> Result<File, Error> {
    let mut options = OpenOptions::new();
    options.read(true).write(true).create(true).truncate(false).mode(0o600);
    options.open(path).map_err(Error::io("open", path))
}

fn take_service(layout: &Layout) -> Result<File, Error> {
    let path = layout.service_lock();
    let mut file = open(&path)?;
    if !try_for(&file, &path, DYING_SERVICE)? {
        let mut holder = String::new();
        // The number is for the message only; without it the message still says enough.
        let _unread = file.read_to_string(&mut holder);
        let holder = format!("another running service (process {})", holder.trim());
        return Err(Error::InUse { directory: layout.data_dir().to_owned(), holder });
    }
    let noted =
        file.set_len(0).and_then(|()| file.rewind()).and_then(|()| writeln!(file, "{}", std::process::id()));
    noted.map_err(Error::io("write", &path))?;
    Ok(file)
}

fn take_server(layout: &Layout, progress: &dyn Fn(&str)) -> Result<File, Error> {
    let path = layout.server_lock();
    let file = open(&path)?;
    if try_for(&file, &path, Duration::ZERO)? {
        return Ok(file);
    }
    progress("Waiting for the server of an earlier run to finish stopping.");
    if try_for(&file, &path, EARLIER_SERVER)? {
        return Ok(file);
    }
    let holder = match server_process(layout) {
        Some(process) => format!("a server left behind (end it with `kill -INT {process}`)"),
        None => "processes of a server left behind".to_owned(),
    };
    Err(Error::InUse { directory: layout.data_dir().to_owned(), holder })
}

/// Tries to lock `file` until `limit` has passed. Says whether that succeeded.
fn try_for(file: &File, path: &Path, limit: Duration) -> Result<bool, Error> {
    let started = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => return Ok(true),
            Err(TryLockError::Error(error)) => return Err(Error::io("lock", path)(error)),
            Err(TryLockError::WouldBlock) if started.elapsed() >= limit => return Ok(false),
            Err(TryLockError::WouldBlock) => thread::sleep(PAUSE),
        }
    }
}

/// Whether `data_dir` was left by a service that is gone, together with its server.
///
/// Only one that was taken into use a while ago counts: a newer one may be just about to take its lock.
pub(crate) fn is_abandoned(data_dir: &Path) -> bool {
    let path = data_dir.join(SERVICE_LOCK);
    let old = fs::metadata(&path)
        .and_then(|found| found.modified())
        .is_ok_and(|taken| taken.elapsed().is_ok_and(|since| since > ABANDONED));
    let free = |path: &Path| match File::open(path) {
        Ok(file) => file.try_lock().is_ok(),
        Err(error) => error.kind() == ErrorKind::NotFound,
    };
    old && free(&path) && free(&data_dir.join(SERVER_LOCK))
}

/// The process id a server wrote when it started.
fn server_process(layout: &Layout) -> Option<u32> {
    let text = fs::read_to_string(layout.cluster().join("postmaster.pid")).ok()?;
    text.lines().next()?.trim().parse().ok()
}

/// Removes the process file of a server that was cut off, when its number now belongs to another program.
///
/// PostgreSQL copes with a number nobody has, but takes any live process of its own account for a running
/// server, such as the system's own PostgreSQL after a restart of the machine.
fn clear_process_file(layout: &Layout) -> Result<(), Error> {
    let Some(process) = server_process(layout) else { return Ok(()) };
    let Ok(works_in) = fs::read_link(format!("/proc/{process}/cwd")) else { return Ok(()) };
    let cluster = layout.cluster();
    if works_in == cluster {
        // A server holds no lock of ours only if somebody started it by hand.
        let holder = format!("a PostgreSQL started by hand (process {process})");
        return Err(Error::InUse { directory: cluster, holder });
    }
    let path = cluster.join("postmaster.pid");
    fs::remove_file(&path).map_err(Error::io("remove", &path))
}
