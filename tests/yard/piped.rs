//! The same dialogue from a script: standard input is a pipe.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::{Value, json};
use tests::{log, ticket};

use crate::dialogue::Yard;

fn skid(yard: &Yard, service: &str, words: &[&str], lines: &str) -> Output {
    let mut child = Command::new(tests::skid())
        .args(words)
        .env("SKID_SERVICE", service)
        .env("SKID_TOKEN", yard.token("Ada Quill"))
        .env("SKID_HOME", yard.home())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("skid can be started");
    let _written = child.stdin.take().expect("a pipe").write_all(lines.as_bytes());
    child.wait_with_output().expect("it ends")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("text")
}

#[test]
fn a_file_is_looked_at_mended_and_posted() {
    let yard = Yard::new();
    let file = yard.home().join("ticket.json");
    let written = ticket(&yard.outfit, 7, "2026-06-10", &[log("16", "16"), log("12", "16")]);
    std::fs::write(&file, written.to_string()).expect("a file");
    let from = file.to_str().expect("a path");
    let url = yard.app.url();
    let output = skid(&yard, &url, &["ticket", "new", "--json", "--from", from], "c 2 13 16\nl\np\ny\n");
    let told: Value = serde_json::from_slice(&output.stdout).expect("one line of JSON");
    assert_eq!((&told["place"], output.status.code()), (&json!("sent"), Some(0)), "{}", text(&output.stderr));
    let told = text(&output.stderr);
    assert!(told.contains("2. log white pine 13 16") && !told.contains('\u{1b}'), "{told}");
    assert!(told.lines().all(|line| line.chars().count() <= 40), "{told}");
    let accepted = &yard.tickets()[0]["ticket"]["pieces"];
    assert_eq!(accepted, &json!([log("16", "16"), log("13", "16")]));
}

#[test]
fn a_refused_ticket_is_amended_and_posted_in_its_place() {
    let yard = Yard::new();
    let url = yard.app.url();
    let mut wrong = ticket(&yard.outfit, 8, "2026-06-10", &[log("16", "16")]);
    wrong["delivered_to"] = "0197a000-0000-7000-8000-00000000000f".into();
    let refused = skid(&yard, &url, &["ticket", "post", "-"], &wrong.to_string());
    assert_eq!(refused.status.code(), Some(3), "{}", text(&refused.stdout));
    // The head: line 8, where it was delivered to, is chosen anew.
    let output = skid(&yard, &url, &["outbox", "amend", "1"], "t\n8\n1\n\np\ny\n");
    assert_eq!(output.status.code(), Some(0), "{}{}", text(&output.stdout), text(&output.stderr));
    let tickets = yard.tickets();
    assert_eq!(tickets.len(), 1);
    assert_eq!(tickets[0]["ticket"]["delivered_to"], json!(yard.outfit.mill_id));
    let shown = skid(&yard, &url, &["outbox", "show", "1", "--json"], "");
    let shown: Value = serde_json::from_slice(&shown.stdout).expect("an entry");
    assert_eq!(
        (&shown["place"], &shown["dropped"]["because"]),
        (&json!("dropped"), &json!("amended and posted anew"))
    );
}

#[test]
fn the_end_of_the_script_leaves_a_draft() {
    let yard = Yard::new();
    let url = yard.app.url();
    let head = "A\n5\n\n\n2026-06-10\nAda Quill\n1\n\n\n\n\n2\n\n\n-\n1\n\n";
    let output = skid(&yard, &url, &["ticket", "new"], &format!("{head}white pine 14 16\npine fourteen\n"));
    let told = text(&output.stdout);
    assert!(told.contains("is kept as a draft") && output.status.code() == Some(0), "{told}");
    assert!(yard.tickets().is_empty());
    let output = skid(&yard, &url, &["ticket", "new"], "\n\nd 1\nu\np\ny\n");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
    assert_eq!(yard.tickets()[0]["piece_count"], 2);
    // The next one proposes the next number, and all the rest; one Enter takes it.
    let output = skid(&yard, &url, &["ticket", "new"], "4\n2026-06-10\n\nhemlock 12 12\np\ny\n");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
    let numbers: Vec<_> = yard.tickets().iter().map(|one| one["ticket"]["number"].clone()).collect();
    assert!(numbers.contains(&json!(6)) && numbers.len() == 2, "{numbers:?}");
}
