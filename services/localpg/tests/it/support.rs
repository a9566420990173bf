//! What the tests of clusters share.

use std::env;
use std::fs::{self, Permissions};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use localpg::{Cluster, ClusterOptions, Error};

/// Set in a process that a test has started from its own program.
pub const ROLE: &str = "LOCALPG_TEST_DIRECTORY";

/// A directory other accounts can pass through, as a fresh `/var/lib/skidway` would be.
pub fn passable_directory() -> tempfile::TempDir {
    let directory = tempfile::Builder::new().prefix("localpg-test-").tempdir_in("/tmp").unwrap();
    fs::set_permissions(directory.path(), Permissions::from_mode(0o755)).unwrap();
    directory
}

pub fn open(data_dir: &Path) -> Result<Cluster, Error> {
    Cluster::open(ClusterOptions { data_dir: data_dir.to_owned(), durable: true, progress: &|_| {} })
}

/// Runs statements and gives the first column of the last one's rows, or the error.
pub fn ask(url: &str, statement: &str) -> Result<Vec<String>, tokio_postgres::Error> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let (client, connection) = tokio_postgres::connect(url, tokio_postgres::NoTls).await?;
        let driven = tokio::spawn(connection);
        let answers = client.simple_query(statement).await?;
        drop(client);
        driven.await.unwrap()?;
        let rows = answers.iter().filter_map(|answer| match answer {
            tokio_postgres::SimpleQueryMessage::Row(row) => Some(row.get(0)?.to_owned()),
            _ => None,
        });
        Ok(rows.collect())
    })
}

/// Waits for something that happens by itself.
pub fn eventually(what: &str, mut check: impl FnMut() -> bool) {
    let started = Instant::now();
    while !check() {
        assert!(started.elapsed() < Duration::from_secs(20), "still not so: {what}");
        std::thread::sleep(Duration::from_millis(10));
    }
}

/// Whether any process has `text` in its command line. Minimal systems have no `ps`, others no `/proc`.
pub fn is_running(text: &str) -> bool {
    let Ok(processes) = fs::read_dir("/proc") else {
        let listed = Command::new("ps").args(["-ww", "-eo", "args"]).output().unwrap();
        return String::from_utf8_lossy(&listed.stdout).contains(text);
    };
    processes.flatten().any(|process| {
        let line = fs::read(process.path().join("cmdline")).unwrap_or_default();
        String::from_utf8_lossy(&line).replace('\0', " ").contains(text)
    })
}

pub fn is_root() -> bool {
    let output = Command::new("id").arg("-u").output().unwrap();
    output.stdout == b"0\n"
}

/// This test program again, to run only the test `name`, which sees `directory` in [`ROLE`].
pub fn again(program: &Path, name: &str, directory: &Path) -> Command {
    let mut command = Command::new(program);
    command.args([name, "--exact", "--nocapture"]).env(ROLE, directory).current_dir("/");
    command
}

/// The directory given to this process if it is one started by [`again`].
pub fn given_directory() -> Option<PathBuf> {
    env::var_os(ROLE).map(PathBuf::from)
}

/// Starts `command` and waits until it has written the file `ready` in `directory`; gives what is in there.
pub fn start_until_ready(mut command: Command, directory: &Path) -> (Child, String) {
    let mut child = command.stdout(Stdio::null()).spawn().unwrap();
    let ready = directory.join("ready");
    eventually("the helper is ready", || {
        assert!(child.try_wait().unwrap().is_none(), "the helper ended early");
        ready.exists()
    });
    (child, fs::read_to_string(ready).unwrap())
}

/// Writes the file `ready`, at once complete.
pub fn say_ready(directory: &Path, text: &str) {
    fs::write(directory.join("ready.part"), text).unwrap();
    fs::rename(directory.join("ready.part"), directory.join("ready")).unwrap();
}

pub fn succeeded(output: &Output) -> bool {
    if !output.status.success() {
        eprintln!("{}", String::from_utf8_lossy(&output.stdout));
        eprintln!("{}", String::from_utf8_lossy(&output.stderr));
    }
    output.status.success()
}
