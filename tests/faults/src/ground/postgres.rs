//! A durable private Postgres, and ways to break it.

use std::path::{Path, PathBuf};

use anyhow::Context;
use localpg::{Cluster, ClusterOptions};

use super::signal;

/// A Postgres of a part.
#[derive(Debug)]
pub struct Postgres {
    data_dir: PathBuf,
    url: String,
    cluster: Option<Cluster>,
}

async fn open(data_dir: PathBuf) -> anyhow::Result<Cluster> {
    let opening = move || Cluster::open(ClusterOptions { data_dir, durable: true, progress: &|_| {} });
    Ok(tokio::task::spawn_blocking(opening).await??)
}

impl Postgres {
    /// Makes one in a directory, with everything brought to the disk at each commit.
    pub async fn start(data_dir: &Path) -> anyhow::Result<Self> {
        let cluster = open(data_dir.to_owned()).await.context("a private Postgres cannot be started")?;
        Ok(Self { data_dir: data_dir.to_owned(), url: cluster.url(), cluster: Some(cluster) })
    }

    /// Where it is reached; the same after every restart.
    pub fn url(&self) -> &str {
        &self.url
    }

    /// The socket that it listens on.
    pub fn socket(&self) -> PathBuf {
        self.data_dir.join("postgres.socket/.s.PGSQL.5432")
    }

    /// The directory that holds the database's own files.
    pub fn cluster_dir(&self) -> PathBuf {
        self.data_dir.join("postgres")
    }

    /// Whether its first process is there.
    pub fn is_up(&self) -> bool {
        self.process().is_some_and(|process| Path::new(&format!("/proc/{process}")).exists())
    }

    /// Its first process, the parent of all its others.
    fn process(&self) -> Option<u32> {
        let noted = std::fs::read_to_string(self.cluster_dir().join("postmaster.pid")).ok()?;
        noted.lines().next()?.trim().parse().ok()
    }

    /// A process of it that serves a connection.
    fn backend(&self) -> Option<u32> {
        let parent = self.process()?;
        let children = std::fs::read_to_string(format!("/proc/{parent}/task/{parent}/children")).ok()?;
        let serves = |process: &u32| {
            let title = std::fs::read(format!("/proc/{process}/cmdline")).unwrap_or_default();
            String::from_utf8_lossy(&title).contains("[local]")
        };
        children.split_whitespace().filter_map(|process| process.parse().ok()).find(serves)
    }

    /// Kills its first process with nothing said: the others find out and end.
    pub fn kill(&self) -> bool {
        self.process().is_some_and(|process| signal("-KILL", process))
    }

    /// Ends it at once, with nothing written back.
    pub fn stop_immediately(&self) -> bool {
        self.process().is_some_and(|process| signal("-QUIT", process))
    }

    /// Kills one process that serves a connection: all connections end, and it comes up again by itself.
    pub fn kill_backend(&self) -> bool {
        self.backend().is_some_and(|process| signal("-KILL", process))
    }

    /// Starts it again after it ended, by itself or killed.
    pub async fn start_again(&mut self) -> anyhow::Result<()> {
        if let Some(cluster) = self.cluster.take() {
            // It is gone already, or going; what it says of that tells nothing.
            let _gone = tokio::task::spawn_blocking(move || cluster.stop()).await?;
        }
        self.cluster = Some(open(self.data_dir.clone()).await.context("Postgres does not come up again")?);
        Ok(())
    }

    /// Stops it in order: transactions are broken off, everything is written out.
    pub async fn stop(&mut self) -> anyhow::Result<()> {
        match self.cluster.take() {
            Some(cluster) => Ok(tokio::task::spawn_blocking(move || cluster.stop()).await??),
            None => Ok(()),
        }
    }

    /// The end of what it said, for a fault's account.
    pub fn last_words(&self) -> String {
        let log = std::fs::read(self.data_dir.join("postgres.log")).unwrap_or_default();
        let log = String::from_utf8_lossy(&log);
        let lines: Vec<&str> = log.lines().collect();
        lines.get(lines.len().saturating_sub(12)..).unwrap_or_default().join("\n      ")
    }

    /// How often its log holds a text.
    pub fn said(&self, text: &str) -> usize {
        let log = std::fs::read(self.data_dir.join("postgres.log")).unwrap_or_default();
        String::from_utf8_lossy(&log).matches(text).count()
    }
}
