//! A service in a process of its own.

use std::io::Write;
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, bail};

use super::child::{CHILD, Kind};
use super::signal;

/// The seed of the token key that all services of a run share; good for nothing else.
const TOKEN_SEED: &str = "5eed5eed5eed5eed5eed5eed5eed5eed5eed5eed5eed5eed5eed5eed5eed5eed";
/// How long one may take to start on a busy machine.
const STARTING: Duration = Duration::from_secs(90);
/// How long one may take to stop in order.
const STOPPING: Duration = Duration::from_secs(90);

/// A service, running or not.
#[derive(Debug)]
pub struct Instance {
    kind: Kind,
    port: u16,
    directory: PathBuf,
    settings: Vec<(&'static str, String)>,
    process: Option<Child>,
}

/// A port of this machine that nobody listens on.
pub fn free_port() -> anyhow::Result<u16> {
    Ok(TcpListener::bind("127.0.0.1:0")?.local_addr()?.port())
}

impl Instance {
    /// One that uses the database at `url`, not started yet. Its address stays the same over restarts.
    pub fn new(kind: Kind, directory: &Path, name: &str, url: &str) -> anyhow::Result<Self> {
        let directory = directory.join(name);
        std::fs::create_dir_all(&directory)?;
        let settings = vec![
            ("DATABASE_URL", url.to_owned()),
            ("SKIDWAY_TOKEN_SEED", TOKEN_SEED.to_owned()),
            ("SKIDWAY_RATE_PER_MINUTE", "1000000".to_owned()),
            ("SKIDWAY_OPEN_RATE_PER_MINUTE", "1000000".to_owned()),
            ("SKIDWAY_DRAIN_SECONDS", "1".to_owned()),
            ("SKIDWAY_LOG", "warn".to_owned()),
        ];
        Ok(Self { kind, port: free_port()?, directory, settings, process: None })
    }

    /// Tells it something else from its next start on.
    pub fn set(&mut self, name: &'static str, value: impl ToString) {
        self.settings.retain(|(known, _)| *known != name);
        self.settings.push((name, value.to_string()));
    }

    /// What it is from its next start on.
    pub const fn become_kind(&mut self, kind: Kind) {
        self.kind = kind;
    }

    /// Where it serves.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// Its port.
    pub const fn port(&self) -> u16 {
        self.port
    }

    fn command(&self, kind: Kind) -> anyhow::Result<Command> {
        let mut command = Command::new(std::env::current_exe()?);
        command.env(CHILD, kind.text()).env("SKIDWAY_LISTEN", format!("127.0.0.1:{}", self.port));
        command.env("SKIDWAY_DATA_DIR", &self.directory).envs(self.settings.iter().cloned());
        command.stdin(Stdio::piped());
        Ok(command)
    }

    /// Starts it, and does not wait for it.
    pub fn spawn(&mut self) -> anyhow::Result<()> {
        let log = std::fs::OpenOptions::new().append(true).create(true).open(self.log())?;
        let mut command = self.command(self.kind)?;
        command.arg("serve").stdout(Stdio::null()).stderr(log);
        self.process = Some(command.spawn().context("a service cannot be started")?);
        Ok(())
    }

    /// Starts it, and waits until it says that it is ready.
    pub async fn start(&mut self) -> anyhow::Result<()> {
        self.spawn()?;
        self.until_ready().await
    }

    /// Waits until it says that it is ready.
    pub async fn until_ready(&mut self) -> anyhow::Result<()> {
        let began = Instant::now();
        let http = reqwest::Client::builder().no_proxy().tls_certs_only([]).build()?;
        loop {
            let asked = http.get(format!("{}/health/ready", self.address())).timeout(Duration::from_secs(5));
            if asked.send().await.is_ok_and(|answer| answer.status().is_success()) {
                return Ok(());
            }
            if began.elapsed() > STARTING || self.has_ended() {
                bail!("a service does not start; the end of its log:\n      {}", self.last_words());
            }
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    /// Whether it ended without having been told to.
    pub fn has_ended(&mut self) -> bool {
        self.process.as_mut().is_some_and(|process| !matches!(process.try_wait(), Ok(None)))
    }

    /// Kills it with nothing said.
    pub fn kill(&mut self) {
        if let Some(mut process) = self.process.take() {
            // It may be gone already.
            let _gone = process.kill();
            let _waited = process.wait();
        }
    }

    /// Tells it to stop, and waits until it has: what is under way is finished.
    pub async fn stop(&mut self) -> anyhow::Result<()> {
        let Some(mut process) = self.process.take() else { return Ok(()) };
        signal("-TERM", process.id());
        let began = Instant::now();
        let status = loop {
            if let Some(status) = process.try_wait()? {
                break status;
            }
            if began.elapsed() > STOPPING {
                process.kill()?;
                process.wait()?;
                bail!("a service that was told to stop was still there after {} s", STOPPING.as_secs());
            }
            tokio::time::sleep(Duration::from_millis(10)).await;
        };
        if !status.success() {
            bail!(
                "a service did not stop in order ({status}); the end of its log:\n      {}",
                self.last_words()
            );
        }
        Ok(())
    }

    /// Sets its clock so many seconds ahead of the machine's. Only for one whose clock can be moved.
    pub fn set_clock_ahead(&mut self, seconds: i64) -> anyhow::Result<()> {
        let orders = self.process.as_mut().and_then(|process| process.stdin.as_mut());
        let orders = orders.context("the service does not run")?;
        writeln!(orders, "{seconds}")?;
        Ok(orders.flush()?)
    }

    /// An access token from the program.
    pub fn token(&self, arguments: &[&str]) -> anyhow::Result<String> {
        let mut command = self.command(Kind::Plain)?;
        let output = command.arg("token").args(arguments).output()?;
        if !output.status.success() {
            bail!("no token is given: {}", String::from_utf8_lossy(&output.stderr));
        }
        Ok(String::from_utf8(output.stdout)?.trim().to_owned())
    }

    /// How much memory it holds, in kilobytes; none where the system does not tell.
    pub fn memory_kb(&self) -> Option<u64> {
        let process = self.process.as_ref()?.id();
        let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
        let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
        line.split_whitespace().nth(1)?.parse().ok()
    }

    fn log(&self) -> PathBuf {
        self.directory.join("service.log")
    }

    /// The end of what it said.
    pub fn last_words(&self) -> String {
        let log = std::fs::read_to_string(self.log()).unwrap_or_default();
        let lines: Vec<&str> = log.lines().collect();
        lines.get(lines.len().saturating_sub(12)..).unwrap_or_default().join("\n      ")
    }
}

impl Drop for Instance {
    fn drop(&mut self) {
        self.kill();
    }
}
