//! The program `skidway` as its users run it: what it prints, how it stops, and that it finds its data again.
#![expect(clippy::unwrap_used, reason = "a step of a test that cannot be taken has failed the test")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

/// A directory that the account of the database can reach, which a usual temporary one is not when root runs this.
struct Place(PathBuf);

impl Place {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("skidway-program-{name}-{}", std::process::id()));
        std::fs::create_dir(&path).unwrap();
        Self(path)
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        // What is left behind lies among the temporary files.
        let _removed = std::fs::remove_dir_all(&self.0);
    }
}

fn skidway(data_dir: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_skidway"));
    command.args(arguments).stdin(Stdio::null()).env_remove("DATABASE_URL");
    command.env("SKIDWAY_DATA_DIR", data_dir).env("SKIDWAY_LISTEN", "127.0.0.1:0");
    command.env("SKIDWAY_DRAIN_SECONDS", "0");
    command
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn done(output: &Output) -> String {
    assert!(output.status.success(), "{}\n{}", text(&output.stdout), text(&output.stderr));
    text(&output.stdout)
}

/// A running `skidway serve` and its address, which stands in its log.
fn serve(data_dir: &Path) -> (Child, String) {
    started(skidway(data_dir, &["serve"]))
}

fn started(mut command: Command) -> (Child, String) {
    let mut child = command.stderr(Stdio::piped()).spawn().unwrap();
    let mut log = BufReader::new(child.stderr.take().unwrap());
    let mut seen = String::new();
    let address = loop {
        let mut line = String::new();
        assert_ne!(log.read_line(&mut line).unwrap(), 0, "it ended:\n{seen}");
        seen.push_str(&line);
        if let Some((_, rest)) = line.split_once("server.address=") {
            break rest.trim().to_owned();
        }
    };
    // The rest of the log is read away, so that the program never waits for somebody to read it.
    std::thread::spawn(move || std::io::copy(&mut log, &mut std::io::sink()));
    (child, address)
}

fn ask(address: &str, request: &str) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    stream.write_all(request.as_bytes()).unwrap();
    let mut reply = String::new();
    stream.read_to_string(&mut reply).unwrap();
    reply
}

fn terminate(mut child: Child) {
    let told = Command::new("kill").args(["-TERM", &child.id().to_string()]).status().unwrap();
    assert!(told.success());
    assert!(child.wait().unwrap().success(), "it did not end in order");
}

#[test]
fn it_stops_when_told_and_finds_its_data_again() {
    let place = Place::new("serve");
    let (child, address) = serve(&place.0);
    let operator = done(&skidway(&place.0, &["token", "operator"]).output().unwrap());
    let body = r#"{"name":"Invented","currency":"USD","time_zone":"UTC","week_ends_on":"friday"}"#;
    let opened = ask(
        &address,
        &format!(
            "POST /v1/outfits HTTP/1.1\r\nHost: skidway\r\nConnection: close\r\nAuthorization: Bearer {}\r\n\
             Idempotency-Key: \"outfit\"\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            operator.trim(),
            body.len()
        ),
    );
    assert!(opened.starts_with("HTTP/1.1 201"), "{opened}");
    let outfit = opened.split("\"outfit_id\":\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    terminate(child);

    let (child, address) = serve(&place.0);
    let arguments = ["token", "manager", "--outfit", &outfit, "--subject", "manager"];
    let manager = done(&skidway(&place.0, &arguments).output().unwrap());
    let shown = ask(
        &address,
        &format!(
            "GET /v1/outfit HTTP/1.1\r\nHost: skidway\r\nConnection: close\r\nAuthorization: Bearer {}\r\n\r\n",
            manager.trim()
        ),
    );
    assert!(shown.contains("\"Invented\"") && shown.contains(&outfit), "{shown}");
    terminate(child);
}

/// Told to stop, it goes on serving for the time it was given, and says to whoever divides the requests that it is not
/// ready; then it ends, also when somebody holds a connection open without asking for anything.
#[test]
fn it_says_that_it_is_about_to_stop_before_it_does() {
    let place = Place::new("drain");
    let mut command = skidway(&place.0, &["serve"]);
    command.env("SKIDWAY_DRAIN_SECONDS", "2");
    let (mut child, address) = started(command);
    let ready = "GET /health/ready HTTP/1.1\r\nHost: skidway\r\nConnection: close\r\n\r\n";
    assert!(ask(&address, ready).starts_with("HTTP/1.1 200"));
    let mut idle = TcpStream::connect(&address).unwrap();
    idle.write_all(b"GET /health/live HTTP/1.1\r\nHost: skidway\r\n\r\n").unwrap();
    let told = Command::new("kill").args(["-TERM", &child.id().to_string()]).status().unwrap();
    assert!(told.success());
    let began = Instant::now();
    while ask(&address, ready).starts_with("HTTP/1.1 200") {
        assert!(began.elapsed() < Duration::from_secs(1), "it is still ready");
    }
    let last = ask(&address, ready);
    assert!(last.starts_with("HTTP/1.1 503") && last.contains("\"not-ready\""), "{last}");
    assert!(ask(&address, "GET /health/live HTTP/1.0\r\n\r\n").contains(" 200 OK"), "it still serves");
    assert!(child.wait().unwrap().success(), "it did not end in order");
    let took = began.elapsed();
    assert!((2..9).contains(&took.as_secs()), "{took:?}");
    drop(idle);
}

#[test]
fn the_demonstration_pays_everybody_and_leads_down_to_a_stick() {
    let place = Place::new("demo");
    let told = done(&skidway(&place.0, &["demo", "--exit"]).output().unwrap());
    assert!(told.contains("Everything here is invented"), "{told}");
    let people =
        ["ASA THORNBY", "ELI MARROW", "NILS ASKERUD", "TOM WEXCOMBE", "JOSEF LINDQVAR", "KARL OSTROW"];
    for name in people.iter().chain(&["NED FARROWBY", "SAM QUILLET", "STILLWATER BEND MILL"]) {
        assert!(told.contains(&format!("STATEMENT FOR {name}")), "no statement for {name} in:\n{told}");
    }
    assert!(told.contains("are unpriced"), "{told}");
    assert!(told.contains("taken back") && told.contains("in the printed table"), "{told}");
    assert!(told.contains("/docs/") && told.contains("/openapi.json"), "{told}");
}

#[test]
fn a_bad_environment_is_told_whole_and_without_secrets() {
    let mut command = skidway(Path::new("/nonexistent"), &["check-config"]);
    command.env("SKIDWAY_WORKERS", "none").env("SKIDWAY_TOKEN_SEED", "hunter2");
    let output = command.output().unwrap();
    let said = text(&output.stderr);
    assert!(!output.status.success());
    assert!(said.contains("SKIDWAY_WORKERS") && said.contains("SKIDWAY_TOKEN_SEED"), "{said}");
    assert!(!said.contains("hunter2"), "{said}");
    let good = done(&skidway(Path::new("/nonexistent"), &["check-config"]).output().unwrap());
    assert!(good.contains("127.0.0.1:0"), "{good}");
}
