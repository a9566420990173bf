//! `skid ticket post` as the yard runs it.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::{Value, json};
use wire::Code;

use crate::http::{accepted, ticket};
use crate::server::{Reply, Server, nobody};

/// A user of the program, whose outbox is empty at first.
pub struct Home(tempfile::TempDir);

impl Home {
    pub fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// Runs the program with a token in its environment and `input` on its standard input.
    pub fn skid(&self, service: &str, arguments: &[&str], input: &str) -> Output {
        self.run(env!("CARGO_BIN_EXE_skid"), service, arguments, input)
    }

    /// The same with a program that starts it.
    pub fn run(&self, program: &str, service: &str, arguments: &[&str], input: &str) -> Output {
        let mut child = Command::new(program)
            .args(arguments)
            .env("SKID_SERVICE", service)
            .env("SKID_TOKEN", "very-secret")
            .env("SKID_HOME", self.0.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // A program that reads no input may be gone before it is written.
        let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
        let output = child.wait_with_output().unwrap();
        for shown in [&output.stdout, &output.stderr] {
            assert!(!String::from_utf8_lossy(shown).contains("very-secret"));
        }
        output
    }

    /// How many entries wait in the outbox.
    pub fn waiting(&self) -> usize {
        let outbox = client::outbox::Outbox::at(&self.0.path().join("outbox")).unwrap();
        outbox.entries(client::outbox::Place::Waiting).unwrap().len()
    }
}

/// Runs the program as a user whose outbox is empty.
pub fn skid(service: &str, arguments: &[&str], input: &str) -> Output {
    Home::new().skid(service, arguments, input)
}

/// What was written to standard output.
pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn on_lines(tickets: &[Value]) -> String {
    tickets.iter().map(|ticket| format!("{ticket}\n")).collect()
}

#[test]
fn accepted_and_there_already_is_all_well() {
    let server = Server::new(vec![Reply::json(201, accepted(1)), Reply::json(200, accepted(2))]);
    let output = skid(&server.address, &["ticket", "post", "-"], &json!([ticket(1), ticket(2)]).to_string());
    assert_eq!(
        out(&output),
        "A 1: accepted, 0197a000-0000-7000-8000-00000000000a\n\
         A 2: was there already, 0197a000-0000-7000-8000-00000000000a\n"
    );
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(server.lines(), ["POST /v1/tickets"; 2]);
    assert_eq!(server.requests()[0].header("authorization"), Some("Bearer very-secret"));
}

#[test]
fn it_goes_on_after_a_refusal_and_says_where_and_what_to_do() {
    let part =
        wire::FieldProblem { pointer: "#/pieces/0/length_ft".to_owned(), detail: "35, not 36".to_owned() };
    let differs = wire::Problem::new(Code::TicketDiffers, "A 1 was accepted").at(vec![part]);
    let server = Server::new(vec![Reply::json(409, json!(differs)), Reply::json(201, accepted(3))]);
    let mut unreadable = ticket(2);
    unreadable["pieces"][0]["length_ft"] = json!(35);
    let tickets = on_lines(&[ticket(1), unreadable, ticket(3)]);
    let output = skid(&server.address, &["ticket", "post", "-"], &tickets);
    let shown = out(&output);
    assert_eq!(output.status.code(), Some(3), "{shown}");
    let lines: Vec<_> = shown.lines().collect();
    assert_eq!(lines[0], "A 1: refused, ticket-differs: A 1 was accepted");
    assert_eq!(lines[1].trim(), "#/pieces/0/length_ft: 35, not 36");
    assert_eq!(lines[2].trim(), Code::TicketDiffers.advice());
    assert_eq!(lines[3].trim(), "kept as entry 1: skid outbox");
    assert!(lines[4].starts_with("A 2: refused, wrong-form: "), "{shown}");
    assert!(lines[5].trim().starts_with("#/pieces/0: length_ft: "), "{shown}");
    assert!(shown.contains("\nA 3: accepted"));
    // What cannot be read is not sent.
    assert_eq!(server.requests().len(), 2);
}

#[test]
fn programs_get_one_object_a_ticket() {
    let server = Server::new(vec![Reply::json(201, accepted(1)), Reply::problem(Code::TicketInconsistent)]);
    let tickets = on_lines(&[ticket(1), ticket(2)]);
    let output = skid(&server.address, &["--json", "ticket", "post", "-"], &tickets);
    let lines: Vec<Value> = out(&output).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines[0]["outcome"], "accepted");
    assert_eq!((&lines[1]["outcome"], &lines[1]["number"]), (&json!("refused"), &json!(2)));
    assert_eq!(lines[1]["problem"]["code"], "ticket-inconsistent");
    assert_eq!(output.status.code(), Some(3));
}

#[test]
fn without_signal_it_keeps_them_and_says_so() {
    let tickets = on_lines(&[ticket(1), ticket(2), ticket(3)]);
    let home = Home::new();
    let output = home.skid(&nobody(), &["ticket", "post", "-"], &tickets);
    let shown = out(&output);
    assert_eq!(output.status.code(), Some(0), "{shown}");
    assert_eq!(
        shown,
        "A 1: kept, entry 1\nA 2: kept, entry 2\nA 3: kept, entry 3\nNo signal: kept; 3 wait.\n"
    );
    assert_eq!(home.waiting(), 3);
    let output = skid(&nobody(), &["--json", "ticket", "post", "--now", "-"], &tickets);
    assert_eq!(output.status.code(), Some(4));
    assert_eq!(out(&output).lines().filter(|line| line.contains(r#""outcome":"kept""#)).count(), 3);
}

#[test]
fn tickets_are_posted_even_when_nobody_reads_what_became_of_them() {
    let server = Server::new(vec![Reply::json(201, accepted(1)), Reply::problem(Code::TicketDiffers)]);
    let home = Home::new();
    let mut child = Command::new(env!("CARGO_BIN_EXE_skid"))
        .args(["ticket", "post", "-", "--service", &server.address])
        .env("SKID_HOME", home.0.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let tickets = on_lines(&[ticket(1), ticket(2), ticket(3)]);
    child.stdin.take().unwrap().write_all(tickets.as_bytes()).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(3));
    assert_eq!(server.requests().len(), 3);
}

#[test]
fn a_file_that_is_not_there_is_told_before_anything_is_sent() {
    let server = Server::new(vec![Reply::json(201, accepted(1))]);
    let output = skid(&server.address, &["ticket", "post", "-", "no/such/file.json"], &ticket(1).to_string());
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("no/such/file.json cannot be read"));
    assert!(server.requests().is_empty());
}

#[test]
fn refusals_of_other_commands_end_with_three_or_four() {
    let id = "0197a000-0000-7000-8000-000000000001";
    let server = Server::new(vec![Reply::problem(Code::NotFound)]);
    let output = skid(&server.address, &["ticket", "show", id], "");
    assert_eq!(output.status.code(), Some(3));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.starts_with("skid: not-found: ") && told.contains(Code::NotFound.advice()), "{told}");
    let output = skid(&server.address, &["week", "show", id, "--json"], "");
    assert!(out(&output).starts_with(r#"{"problem":{"#), "{}", out(&output));
    let server = Server::new(vec![Reply::Answer(200, "", "<html>".to_owned())]);
    assert_eq!(skid(&server.address, &["statement", "show", id], "").status.code(), Some(4));
    let output = skid("not an address", &["week", "show", id], "");
    assert_eq!(output.status.code(), Some(1));
}
