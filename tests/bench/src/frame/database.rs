//! The private PostgreSQL: full durability, and settings that a small machine in earnest would have.

use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::Duration;

use anyhow::{Context as _, Result, ensure};
use localpg::{Cluster, ClusterOptions};
use tempfile::TempDir;
use tokio_postgres::NoTls;

/// A cluster with one database, gone when this is dropped.
pub struct Database {
    cluster: Cluster,
    /// Goes after the cluster was stopped.
    _place: TempDir,
}

impl Database {
    /// Makes and starts it.
    pub fn start() -> Result<Self> {
        // Beside the build rather than in a directory that may be memory: what is measured waits for a disk.
        let program = std::env::current_exe()?;
        let beside = program.parent().context("the program lies in no directory")?;
        let place = TempDir::with_prefix_in("bench-", beside)?;
        let options = ClusterOptions {
            data_dir: place.path().join("data"),
            durable: true,
            progress: &|line| eprintln!("{line}"),
        };
        let made = Cluster::open(options.clone())?;
        settings(made.data_dir(), "")?;
        // Its memory is set aside when it starts.
        made.stop()?;
        Ok(Self { cluster: Cluster::open(options)?, _place: place })
    }

    /// How to reach it.
    pub fn url(&self) -> String {
        self.cluster.url()
    }

    /// Everything the server has logged.
    pub fn log(&self) -> Result<String> {
        Ok(fs::read_to_string(self.cluster.data_dir().join("postgres.log"))?)
    }

    /// Has the server log every statement with its parameters from now on, or no more.
    pub fn log_statements(&self, every: bool) -> Result<()> {
        let place = self.cluster.data_dir().join("postgres");
        settings(self.cluster.data_dir(), if every { "log_min_duration_statement = 0\n" } else { "" })?;
        let server = fs::read_to_string(place.join("postmaster.pid"))?;
        let server = server.lines().next().context("the server is not running")?;
        ensure!(Command::new("kill").args(["-HUP", server]).status()?.success(), "the server was not told");
        // It takes a moment to tell its connections.
        std::thread::sleep(Duration::from_millis(300));
        Ok(())
    }

    /// A connection as the owner of the tables, for what is not the service's to do.
    pub async fn connect(&self) -> Result<tokio_postgres::Client> {
        let (client, connection) = tokio_postgres::connect(&self.url(), NoTls).await?;
        tokio::spawn(async move {
            if let Err(error) = connection.await {
                eprintln!("the connection to the database was lost: {error}");
            }
        });
        Ok(client)
    }
}

/// Writes down how the server is set: a quarter of the machine's memory is its own, as PostgreSQL's documentation recommends
/// (chapter "Resource Consumption", `shared_buffers`).
fn settings(data_dir: &Path, more: &str) -> Result<()> {
    let memory = fs::read_to_string("/proc/meminfo")?;
    let total = memory.lines().find_map(|line| line.strip_prefix("MemTotal:")?.trim().strip_suffix(" kB"));
    let kilobytes: u64 = total.context("the machine does not say how much memory it has")?.trim().parse()?;
    let text = format!("shared_buffers = '{} kB'\n{more}", kilobytes / 4);
    Ok(fs::write(data_dir.join("postgres/postgresql.auto.conf"), text)?)
}
