//! `skid week settle` as the office runs it.

use serde_json::{Value, json};
use wire::Code;

use crate::golden;
use crate::posting::{out, skid};
use crate::server::{Reply, Server};

fn paper(name: &str) -> Value {
    serde_json::from_str(&golden::read(&format!("papers/{name}.json"))).unwrap()
}

#[test]
fn without_a_yes_it_stays_a_draft() {
    let server = Server::new(vec![Reply::json(201, paper("settlement_draft"))]);
    let output = skid(&server.address, &["week", "settle", "2031-06-14"], "yes\n");
    assert_eq!(output.status.code(), Some(0));
    // Standard input is no terminal here, so nobody has said yes, whatever is on it.
    assert!(out(&output).ends_with("Not posted: a draft pays nothing.\n"));
    assert_eq!(server.lines(), ["POST /v1/settlements"]);
}

#[test]
fn posting_prints_every_statement() {
    let (posted, statement) = (paper("settlement_posted"), paper("statement_worker"));
    let id = statement["statement_id"].as_str().unwrap();
    let settlement = posted["settlement_id"].as_str().unwrap();
    let server = Server::new(vec![
        Reply::json(201, posted.clone()),
        Reply::json(201, posted.clone()),
        Reply::json(200, json!({"items": [statement.clone()]})),
        Reply::json(200, statement.clone()),
    ]);
    let output = skid(&server.address, &["week", "settle", "2031-06-14", "--post"], "");
    let shown = out(&output);
    assert_eq!(output.status.code(), Some(0), "{shown}");
    assert!(shown.contains("\nPosted for good.\n"));
    assert!(shown.ends_with(&golden::read("papers/statement_worker.txt")), "{shown}");
    assert_eq!(
        server.lines(),
        [
            "POST /v1/settlements".to_owned(),
            format!("PUT /v1/settlements/{settlement}/posting"),
            format!("GET /v1/statements?settlement_id={settlement}"),
            format!("GET /v1/statements/{id}"),
        ]
    );
}

#[test]
fn a_week_that_is_held_up_is_refused_and_says_so() {
    let server =
        Server::new(vec![Reply::json(201, paper("settlement_draft")), Reply::problem(Code::UnpricedPieces)]);
    let output = skid(&server.address, &["week", "settle", "2031-06-14", "--post"], "");
    assert_eq!(output.status.code(), Some(3));
    assert!(out(&output).contains("NOT READY TO POST"));
    assert!(String::from_utf8_lossy(&output.stderr).starts_with("skid: unpriced-pieces: "));
}

#[test]
fn programs_get_one_object() {
    let server = Server::new(vec![Reply::json(201, paper("settlement_draft"))]);
    let output = skid(&server.address, &["week", "settle", "2031-06-14", "--json"], "");
    let value: Value = serde_json::from_str(&out(&output)).unwrap();
    assert_eq!(value["settlement"], paper("settlement_draft"));
}

#[test]
fn what_is_posted_is_said_to_be_even_when_the_statements_cannot_be_read() {
    let server = Server::new(vec![
        Reply::json(201, paper("settlement_posted")),
        Reply::json(201, paper("settlement_posted")),
        Reply::problem(Code::RoleNotAllowed),
    ]);
    let output = skid(&server.address, &["week", "settle", "2031-06-14", "--post"], "");
    assert_eq!(output.status.code(), Some(3));
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(told.contains("is posted, but its statements could not be read: role-not-allowed"), "{told}");
}
