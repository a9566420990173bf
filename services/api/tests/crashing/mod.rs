//! What is crashed: the program `skidway` with its private Postgres, and ways to kill either.

use std::io::Read;
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Numbers that look random and come again with the same seed: SplitMix64 (Steele, Lea and Flood, 2014; from memory).
pub struct Chance(pub u64);

impl Chance {
    /// The next number.
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// Whether something happens that happens once in so many times.
    pub fn one_in(&mut self, times: u64) -> bool {
        self.next().is_multiple_of(times)
    }
}

/// The service, its directory and its port.
pub struct Ground {
    place: PathBuf,
    port: u16,
    service: Option<Child>,
}

fn skidway(place: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_skidway"));
    command.stdin(Stdio::null()).env_remove("DATABASE_URL").env("SKIDWAY_DATA_DIR", place);
    command
}

fn signal(signal: &str, process: u32) -> bool {
    let sent = Command::new("kill").args([signal, &process.to_string()]).stderr(Stdio::null()).status();
    sent.unwrap().success()
}

impl Ground {
    /// A service in a directory of its own, ready to serve.
    pub fn new() -> Self {
        // Where the account of the database can reach, which a usual temporary directory is not when root runs this.
        let place = std::env::temp_dir().join(format!("skidway-crashes-{}", std::process::id()));
        std::fs::create_dir(&place).unwrap();
        // Writers come back to the same address, so it is chosen once.
        let port = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
        let mut ground = Self { place, port, service: None };
        ground.start_if_down();
        ground
    }

    /// Where it serves.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// A token from the program.
    pub fn token(&self, arguments: &[&str]) -> String {
        let output = skidway(&self.place).arg("token").args(arguments).output().unwrap();
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap().trim().to_owned()
    }

    /// Starts the service where it does not run, and waits until it listens.
    pub fn start_if_down(&mut self) {
        if self.service.is_some() {
            return;
        }
        let log = std::fs::File::create(self.place.join("service.log")).unwrap();
        let mut command = skidway(&self.place);
        command.arg("serve").env("SKIDWAY_LISTEN", format!("127.0.0.1:{}", self.port)).stderr(log);
        command.env("SKIDWAY_RATE_PER_MINUTE", "1000000").env("SKIDWAY_LOG", "warn");
        command.env("SKIDWAY_DRAIN_SECONDS", "0");
        let mut child = command.spawn().unwrap();
        let began = Instant::now();
        while TcpStream::connect(("127.0.0.1", self.port)).is_err() {
            let ended = child.try_wait().unwrap();
            assert!(ended.is_none() && began.elapsed().as_secs() < 60, "it does not start: {}", self.log());
            std::thread::sleep(Duration::from_millis(20));
        }
        self.service = Some(child);
    }

    fn log(&self) -> String {
        let mut text = String::new();
        let _read = std::fs::File::open(self.place.join("service.log")).unwrap().read_to_string(&mut text);
        text
    }

    /// Crashes something of this kind and brings all of it up again; answers whether it came to a crash.
    pub fn crash(&mut self, kind: usize) -> bool {
        match kind {
            0 => {
                self.kill_service();
                self.start_if_down();
                true
            }
            1 => {
                // At once, with nothing written back; then the service, which has lost its database.
                let postgres = self.postgres().is_some_and(|postgres| signal("-QUIT", postgres));
                std::thread::sleep(Duration::from_millis(150));
                self.kill_service();
                self.start_if_down();
                postgres
            }
            // Postgres ends every connection then, and comes up again by itself, from its log; the service goes on.
            _ => self.backend().is_some_and(|backend| signal("-KILL", backend)),
        }
    }

    fn kill_service(&mut self) {
        if let Some(mut service) = self.service.take() {
            service.kill().unwrap();
            service.wait().unwrap();
        }
    }

    /// The process of the private Postgres.
    fn postgres(&self) -> Option<u32> {
        let noted = std::fs::read_to_string(self.place.join("postgres/postmaster.pid")).ok()?;
        noted.lines().next()?.trim().parse().ok()
    }

    /// A process of Postgres that serves a connection of ours.
    fn backend(&self) -> Option<u32> {
        let postgres = self.postgres()?;
        let children = std::fs::read_to_string(format!("/proc/{postgres}/task/{postgres}/children")).ok()?;
        let serves = |process: &u32| {
            let title = std::fs::read(format!("/proc/{process}/cmdline")).unwrap_or_default();
            String::from_utf8_lossy(&title).contains("[local]")
        };
        children.split_whitespace().filter_map(|process| process.parse().ok()).find(serves)
    }

    /// Ends it in order.
    pub fn stop(&mut self) {
        if let Some(mut service) = self.service.take() {
            assert!(signal("-TERM", service.id()));
            assert!(service.wait().unwrap().success(), "it did not end in order: {}", self.log());
        }
    }
}

impl Drop for Ground {
    fn drop(&mut self) {
        if std::thread::panicking() {
            for name in ["service.log", "postgres.log"] {
                let log = std::fs::read_to_string(self.place.join(name)).unwrap_or_default();
                let lines: Vec<_> = log.lines().rev().take(30).collect();
                println!("the end of {name}:\n{}", lines.into_iter().rev().collect::<Vec<_>>().join("\n"));
            }
        }
        self.kill_service();
        // What is left behind lies among the temporary files.
        let _removed = std::fs::remove_dir_all(&self.place);
    }
}
