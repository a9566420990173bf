//! HAProxy with the configuration beside this file, on free ports of this machine.

use std::fs;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::os::unix::net::UnixStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Ends the proxy when whoever started it is gone, however that went: the kernel closes the pipe even then.
const GUARDED: &str = r#"haproxy -db -q -f "$1" & proxy=$!; read -r line; kill -s TERM $proxy; wait"#;

/// A running proxy; it ends with the value.
#[derive(Debug)]
pub struct Proxy {
    process: Child,
    /// Where callers come.
    pub address: SocketAddr,
    directory: tempfile::TempDir,
}

/// Whether there is a proxy on this machine; says so where there is none.
pub fn is_there() -> bool {
    let there = Command::new("haproxy").arg("-v").stdout(Stdio::null()).status().is_ok_and(|it| it.success());
    if !there {
        println!("skipped: there is no HAProxy here");
    }
    there
}

fn beside(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("spread").join(name)
}

impl Proxy {
    /// Starts it before three services, and waits until it takes connections.
    pub fn start(services: [SocketAddr; 3]) -> Self {
        let directory = tempfile::tempdir().expect("a directory can be made");
        fs::copy(beside("slots.map"), directory.path().join("slots.map")).expect("the slots can be copied");
        fs::write(directory.path().join("moved.map"), "").expect("a file can be written");
        // Free a moment ago; nobody else on this machine asks for a port by its number.
        let free = TcpListener::bind("127.0.0.1:0").and_then(|it| it.local_addr()).expect("a port is free");
        let [a, b, c] = services.map(|service| service.to_string());
        let process = Command::new("sh")
            .args(["-c", GUARDED, "sh"])
            .arg(beside("haproxy.cfg"))
            .env("PROXY_LISTEN", free.to_string())
            .env("PROXY_SOCKET", directory.path().join("socket"))
            .env("PROXY_MAPS", directory.path())
            .envs([("SHARD_A", a), ("SHARD_B", b), ("SHARD_C", c)])
            .stdin(Stdio::piped())
            .spawn()
            .expect("a shell can be started");
        let since = Instant::now();
        while TcpStream::connect(free).is_err() {
            assert!(since.elapsed() < Duration::from_secs(20), "the proxy does not take connections");
            std::thread::sleep(Duration::from_millis(20));
        }
        Self { process, address: free, directory }
    }

    /// The proxy's address as the beginning of a URL.
    pub fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// Says where the books of an outfit are from now on.
    pub fn places(&self, outfit: kernel::OutfitId, shard: &str) {
        let map = self.directory.path().join("moved.map").display().to_string();
        let outfit = outfit.to_string().replace('-', "");
        let known = self.told(&format!("get map {map} {outfit}"));
        let verb = if known.contains("found=yes") { "set" } else { "add" };
        let answer = self.told(&format!("{verb} map {map} {outfit} {shard}"));
        assert!(answer.trim().is_empty(), "{answer}");
    }

    fn told(&self, command: &str) -> String {
        let mut socket = UnixStream::connect(self.directory.path().join("socket")).expect("it listens");
        writeln!(socket, "{command}").expect("it reads");
        let mut answer = String::new();
        socket.read_to_string(&mut answer).expect("it answers");
        answer
    }
}

impl Drop for Proxy {
    fn drop(&mut self) {
        drop(self.process.stdin.take());
        let _ended = self.process.wait();
    }
}

/// Every server and map of the configuration is there, and it is one that HAProxy takes without a warning.
#[test]
fn the_configuration_is_good() {
    if !is_there() {
        return;
    }
    let maps = tempfile::tempdir().expect("a directory can be made");
    for map in ["slots.map", "moved.map"] {
        fs::write(maps.path().join(map), "").expect("a file can be written");
    }
    let checked = Command::new("haproxy")
        .args(["-c", "-dW", "-f"])
        .arg(beside("haproxy.cfg"))
        .envs([("PROXY_LISTEN", "127.0.0.1:1"), ("PROXY_SOCKET", "/tmp/none")])
        .envs([("SHARD_A", "127.0.0.1:2"), ("SHARD_B", "127.0.0.1:3"), ("SHARD_C", "127.0.0.1:4")])
        .env("PROXY_MAPS", maps.path())
        .output()
        .expect("it runs");
    assert!(checked.status.success(), "{}", String::from_utf8_lossy(&checked.stderr));
}
