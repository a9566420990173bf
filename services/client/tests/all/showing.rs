//! The commands that show something: as a paper for people, as the service's own JSON for programs.

use serde_json::{Value, json};

use crate::golden;
use crate::posting::{out, skid};
use crate::server::{Reply, Server};

const ID: &str = "0197a000-0000-7000-8000-000000000051";

fn answer(name: &str) -> Value {
    serde_json::from_str(&golden::read(&format!("papers/{name}.json"))).unwrap()
}

#[test]
fn each_prints_its_paper_or_passes_the_answer_on() {
    for (words, path, name) in [
        (&["week", "show", ID][..], "/v1/settlements/ID", "settlement_posted"),
        (&["statement", "show", ID], "/v1/statements/ID", "statement_worker"),
        (&["statement", "show", ID], "/v1/statements/ID", "statement_mill"),
        (&["line", "explain", ID, "2"], "/v1/settlements/ID/lines/2", "explanation"),
        (&["ticket", "show", ID], "/v1/tickets/ID", "ticket"),
        (
            &["audit", "--from", "2031-06-03", "--to", "2031-06-14", "--job", ID],
            "/v1/audit/volume-against-pay?from=2031-06-03&to=2031-06-14&job_id=ID",
            "audit",
        ),
    ] {
        let server = Server::new(vec![Reply::json(200, answer(name))]);
        let output = skid(&server.address, words, "");
        assert_eq!(out(&output), golden::read(&format!("papers/{name}.txt")));
        assert_eq!(output.status.code(), Some(0));
        assert_eq!(server.lines(), [format!("GET {}", path.replace("ID", ID))]);
        let words: Vec<_> = words.iter().copied().chain(["--json"]).collect();
        let output = skid(&server.address, &words, "");
        assert_eq!(out(&output).matches('\n').count(), 1);
        assert_eq!(without_empty(serde_json::from_str(&out(&output)).unwrap()), without_empty(answer(name)));
    }
}

/// Lists that may be left out may also be there and empty.
fn without_empty(value: Value) -> Value {
    match value {
        Value::Object(members) => members
            .into_iter()
            .filter(|(_, member)| *member != json!([]))
            .map(|(name, member)| (name, without_empty(member)))
            .collect(),
        Value::Array(items) => items.into_iter().map(without_empty).collect(),
        other => other,
    }
}

#[test]
fn a_ticket_is_shown_with_its_working_when_asked() {
    let server = Server::new(vec![Reply::json(200, answer("ticket")), Reply::json(200, answer("working"))]);
    let output = skid(&server.address, &["ticket", "show", ID, "--working"], "");
    let (ticket, working) = (golden::read("papers/ticket.txt"), golden::read("papers/working.txt"));
    assert_eq!(out(&output), format!("{ticket}\n{working}"));
    assert_eq!(server.lines(), [format!("GET /v1/tickets/{ID}"), format!("GET /v1/tickets/{ID}/working")]);
}

#[test]
fn tickets_are_listed_from_all_pages() {
    let page =
        |name: &str, next: Option<&str>| Reply::json(200, json!({"items": [answer(name)], "next": next}));
    let server = Server::new(vec![page("ticket", Some("x")), page("ticket_corrected", None)]);
    let output = skid(&server.address, &["ticket", "list", "--book", "A", "--standing"], "");
    assert_eq!(out(&output), golden::read("papers/tickets.txt"));
    assert_eq!(
        server.lines(),
        [
            "GET /v1/tickets?book=A&standing=true&limit=500",
            "GET /v1/tickets?book=A&standing=true&after=x&limit=500"
        ]
    );
    let server = Server::new(vec![page("ticket", None)]);
    let output = skid(&server.address, &["ticket", "list", "--json"], "");
    let line: Value = serde_json::from_str(out(&output).trim_end()).unwrap();
    assert_eq!(line["ticket_id"], answer("ticket")["ticket_id"]);
}

#[test]
fn a_token_file_wins_over_the_environment() {
    let file = golden::path("token.txt");
    let file = file.to_str().unwrap();
    let server = Server::new(vec![Reply::json(200, answer("ticket"))]);
    let output = skid(&server.address, &["--token-file", file, "ticket", "show", ID], "");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(server.requests()[0].header("authorization"), Some("Bearer token-from-a-file"));
    let output = skid(&server.address, &["--token-file", "no/such/file", "ticket", "show", ID], "");
    assert_eq!(output.status.code(), Some(1));
}
