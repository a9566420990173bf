//! The service in a process of its own.

use std::net::{SocketAddr, TcpListener};
use std::process::{Child, Command, ExitCode, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Result, ensure};
use api::commands::{self, Program};
use clap::Parser as _;
use client::Client;
use tempfile::TempDir;

use super::database::Database;

/// Tells this program, started by itself, what it is to be.
const ASKED_FOR: &str = "BENCH_IS_THE_SERVICE";
/// What tokens grow from; worth nothing, as the books are gone afterwards.
const TOKEN_SEED: &str = "1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f1f";
/// How long the service may take to start.
const LONGEST_START: Duration = Duration::from_secs(60);

/// Whether this process is to be the service.
pub fn is_asked_for() -> bool {
    std::env::var_os(ASKED_FOR).is_some()
}

/// Is the program `skidway`, with the arguments it was given.
pub fn serve() -> ExitCode {
    match commands::run(Program::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("skidway: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// The running service, ended when this is dropped.
pub struct Service {
    process: Child,
    address: SocketAddr,
    url: String,
    place: TempDir,
}

impl Service {
    /// Starts it on a free port, and waits until it is ready.
    pub async fn start(database: &Database) -> Result<Self> {
        let address = TcpListener::bind("127.0.0.1:0")?.local_addr()?;
        let place = TempDir::new()?;
        let url = database.url();
        let process =
            program(&place, &url).arg("serve").env("SKIDWAY_LISTEN", address.to_string()).spawn()?;
        let mut service = Self { process, address, url, place };
        service.wait().await?;
        Ok(service)
    }

    async fn wait(&mut self) -> Result<()> {
        let client = self.client(None)?;
        let start = Instant::now();
        while client.ready().await.is_err() {
            ensure!(start.elapsed() < LONGEST_START, "the service does not become ready");
            ensure!(self.process.try_wait()?.is_none(), "the service has ended");
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
        Ok(())
    }

    /// Where it listens.
    pub const fn address(&self) -> SocketAddr {
        self.address
    }

    /// Its process.
    pub fn process(&self) -> u32 {
        self.process.id()
    }

    /// A client of it, calling with a token. It does not try again: what is measured is one request.
    pub fn client(&self, token: Option<String>) -> Result<Client> {
        let client = Client::new(&format!("http://{}", self.address), token)?;
        Ok(client.with_patience(client::Patience::NONE))
    }

    /// A token as the machine's own people make one: of `role`, with more arguments.
    pub fn token(&self, role: &str, more: &[&str]) -> Result<String> {
        let made = program(&self.place, &self.url).args(["token", role]).args(more).output()?;
        ensure!(made.status.success(), "no token was made");
        Ok(String::from_utf8(made.stdout)?.trim().to_owned())
    }
}

impl Drop for Service {
    fn drop(&mut self) {
        // It may be gone already.
        let _gone = self.process.kill();
        let _waited = self.process.wait();
    }
}

/// This program as `skidway`, with limits so wide that they limit nothing that is measured.
fn program(place: &TempDir, url: &str) -> Command {
    let this = std::env::current_exe().unwrap_or_default();
    let mut command = Command::new(this);
    command
        .env(ASKED_FOR, "1")
        .env("DATABASE_URL", url)
        .env("SKIDWAY_DATA_DIR", place.path())
        .env("SKIDWAY_TOKEN_SEED", TOKEN_SEED)
        .env("SKIDWAY_LOG", "warn")
        .env("SKIDWAY_RATE_PER_MINUTE", "1000000")
        .env("SKIDWAY_OPEN_RATE_PER_MINUTE", "1000000")
        .stdin(Stdio::null())
        .stderr(Stdio::null());
    command
}
