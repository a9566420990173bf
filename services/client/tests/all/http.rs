//! How the client behaves towards a service: what it repeats, what it hides, what it understands.

use std::collections::BTreeSet;
use std::time::Duration;

use client::{Client, ClientError, PageQuery, Patience, all_pages};
use serde_json::{Value, json};
use wire::Code;

use crate::server::{Reply, Server, nobody};

const TOKEN: &str = "eyJ.very-secret.sig";

fn client(service: &str) -> Client {
    let patience =
        Patience { tries: 3, first_pause: Duration::from_millis(1), longest_pause: Duration::from_millis(2) };
    Client::new(service, Some(TOKEN.to_owned())).unwrap().with_patience(patience)
}

fn alive() -> Reply {
    Reply::json(200, json!({"status": "ok"}))
}

fn no_workers() -> Value {
    json!({ "items": [] })
}

/// A ticket as a scaler sends it.
pub fn ticket(number: u32) -> Value {
    json!({
        "book": "A", "number": number, "job_id": "0197a000-0000-7000-8000-000000000001",
        "landing_id": "0197a000-0000-7000-8000-000000000002", "scaled_on": "2031-06-03", "scaler": "Ida Berg",
        "pieces": [{"product": "pole", "species": "cedar", "length_ft": "35"}]
    })
}

/// A ticket as the service answers it.
pub fn accepted(number: u32) -> Value {
    json!({
        "ticket_id": "0197a000-0000-7000-8000-00000000000a", "state": "standing", "ticket": ticket(number),
        "accepted_by": "yard tablet", "accepted_at": "2031-06-03T17:00:00Z"
    })
}

fn worker() -> wire::WorkerCreate {
    wire::WorkerCreate { name: "Otto Lind".to_owned().try_into().unwrap() }
}

/// What asks to come back later, as it is.
const LATER: [Code; 5] =
    [Code::Unavailable, Code::Overloaded, Code::NotReady, Code::RateLimited, Code::ReadOnly];

#[tokio::test]
async fn reading_is_tried_again_until_it_is_answered() {
    let mut answers = vec![Reply::HangUp, Reply::Answer(502, "", String::new())];
    answers.extend(LATER.map(Reply::problem));
    for away in answers {
        let server = Server::new(vec![away.clone(), away, alive()]);
        assert_eq!(client(&server.address).live().await.unwrap().status, "ok");
        assert_eq!(server.lines(), ["GET /health/live"; 3]);
    }
}

#[tokio::test]
async fn tries_are_bounded() {
    let server = Server::new(vec![Reply::problem(Code::Unavailable)]);
    let error = client(&server.address).live().await.unwrap_err();
    assert_eq!(error.code(), "unavailable");
    assert!(error.is_unreachable());
    assert_eq!(server.requests().len(), 3);

    let Err(ClientError::Unreachable(unreachable)) = client(&nobody()).live().await else { panic!() };
    assert_eq!(unreachable.tries(), 3);
    assert!(!unreachable.perhaps_done());
}

#[tokio::test]
async fn a_ticket_may_be_sent_again_and_is_sent_the_same() {
    let server = Server::new(vec![Reply::HangUp, Reply::json(200, accepted(7))]);
    let sent = serde_json::from_value(ticket(7)).unwrap();
    let posted = client(&server.address).post_ticket(&sent).await.unwrap();
    assert!(posted.replayed);
    let requests = server.requests();
    assert_eq!(requests.len(), 2);
    assert_eq!(requests[0], requests[1]);
    assert_eq!(serde_json::from_str::<wire::TicketCreate>(&requests[0].body).unwrap(), sent);
}

#[tokio::test]
async fn a_new_ticket_is_told_from_one_that_was_there() {
    let sent = serde_json::from_value(ticket(7)).unwrap();
    let server = Server::new(vec![
        Reply::json(201, accepted(7)),
        Reply::Answer(200, "Replayed: true\r\n", accepted(7).to_string()),
    ]);
    let client = client(&server.address);
    assert!(!client.post_ticket(&sent).await.unwrap().replayed);
    assert!(client.post_ticket(&sent).await.unwrap().replayed);
}

#[tokio::test]
async fn what_could_be_done_twice_carries_a_key_that_a_repeat_is_known_by() {
    let server = Server::new(vec![Reply::HangUp]);
    let filing = client(&server.address);
    let mut keys = BTreeSet::new();
    for _ in 0..2 {
        let Err(ClientError::Unreachable(lost)) = filing.file_worker(&worker()).await else { panic!() };
        assert!(lost.perhaps_done());
        assert!(lost.to_string().contains("look before sending it again"), "{lost}");
    }
    let requests = server.requests();
    assert_eq!(requests.len(), 6);
    for same in requests.chunks(3) {
        assert!(same.iter().all(|request| *request == same[0]), "{same:#?}");
        let key = same[0].header("idempotency-key").unwrap().to_owned();
        assert!(key.len() == 34 && key.starts_with('"') && key.ends_with('"'), "{key}");
        keys.insert(key);
    }
    assert_eq!(keys.len(), 2, "another request has another key");

    let server = Server::new(vec![Reply::problem(Code::Unavailable)]);
    let week = wire::SettlementCreate { week_ends_on: jiff::civil::date(2031, 6, 7), whole_history: false };
    let refused = client(&server.address).draft_settlement(&week).await.unwrap_err();
    assert!(refused.is_unreachable());
    assert_eq!(server.requests().len(), 3);
}

#[tokio::test]
async fn posting_a_settlement_may_be_repeated_and_has_no_body() {
    let server = Server::new(vec![Reply::HangUp, Reply::problem(Code::WeekNotOver)]);
    let id = "0197a000-0000-7000-8000-000000000001".parse().unwrap();
    let refused = client(&server.address).post_settlement(id).await.unwrap_err();
    assert_eq!(refused.code(), "week-not-over");
    let requests = server.requests();
    assert_eq!(requests.len(), 2);
    assert_eq!(requests[1].line, format!("PUT /v1/settlements/{id}/posting"));
    assert_eq!(requests[1].body, "");
}

#[tokio::test]
async fn a_refusal_is_not_repeated_and_keeps_every_part() {
    // Only signing in is told to wait, and that is never sent twice.
    let now = |code: &&Code| !LATER.contains(code) && **code != Code::SignInLocked;
    for code in Code::ALL.iter().filter(now) {
        let server = Server::new(vec![Reply::problem(*code)]);
        let error = client(&server.address).list_workers(&PageQuery::default()).await.unwrap_err();
        assert_eq!(error.code(), code.text());
        assert!(!error.is_unreachable());
        assert_eq!(server.requests().len(), 1, "{}", code.text());
    }
    let mut problem = wire::Problem::new(Code::TicketInconsistent, "parts do not fit");
    problem.request_id = Some("17".to_owned());
    let part = wire::FieldProblem { pointer: "#/pieces/3".to_owned(), detail: "too long".to_owned() };
    let problem = problem.at(vec![part]);
    let server = Server::new(vec![Reply::json(422, json!(problem))]);
    let Err(ClientError::Refused(told)) = client(&server.address).show_outfit().await else { panic!() };
    assert_eq!(*told, problem);
}

#[tokio::test]
async fn the_token_is_sent_and_never_shown() {
    let server = Server::new(vec![
        Reply::json(200, no_workers()),
        Reply::Answer(200, "", format!("<p>Bearer {TOKEN}</p>")),
        Reply::Answer(418, "", format!("{TOKEN} {}", "x".repeat(5000))),
        Reply::json(200, json!({ "items": TOKEN })),
    ]);
    let client = client(&server.address);
    client.list_workers(&PageQuery::default()).await.unwrap();
    assert_eq!(server.requests()[0].header("authorization"), Some(format!("Bearer {TOKEN}").as_str()));
    for _ in 0..3 {
        let error = client.list_workers(&PageQuery::default()).await.unwrap_err();
        let shown = format!("{error} {error:?} {client:?}");
        assert!(!shown.contains(TOKEN) && shown.len() < 1000, "{shown}");
        assert_eq!(error.code(), "answer-not-understood");
    }
    let without = Client::new(&server.address, None).unwrap();
    let _ = without.live().await;
    assert_eq!(server.requests()[4].header("authorization"), None);
}

#[tokio::test]
async fn a_trace_is_carried_on() {
    let server = Server::new(vec![alive()]);
    let parent = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01";
    let state = client::TraceState::from_headers(["rojo=00f067aa0ba902b7"]);
    let plain = client(&server.address);
    plain.live().await.unwrap();
    plain.clone().with_trace(parent.parse().unwrap(), client::TraceState::default()).live().await.unwrap();
    plain.with_trace(parent.parse().unwrap(), state).live().await.unwrap();
    let sent: Vec<_> = server
        .requests()
        .iter()
        .map(|request| ["traceparent", "tracestate"].map(|name| request.header(name).map(str::to_owned)))
        .collect();
    let (parent, state) = (Some(parent.to_owned()), Some("rojo=00f067aa0ba902b7".to_owned()));
    assert_eq!(sent, [[None, None], [parent.clone(), None], [parent, state]]);
}

#[tokio::test]
async fn the_token_is_not_carried_elsewhere() {
    let elsewhere = Server::new(vec![alive()]);
    let location: &'static str = format!("Location: {}\r\n", elsewhere.address).leak();
    let server = Server::new(vec![Reply::Answer(302, location, String::new())]);
    let error = client(&server.address).live().await.unwrap_err();
    assert_eq!(error.code(), "answer-not-understood");
    assert!(elsewhere.requests().is_empty());
}

#[tokio::test]
async fn pages_are_turned_to_the_end_and_not_for_ever() {
    let page = |number: u32, next: Option<&str>| {
        let id = format!("0197a000-0000-7000-8000-00000000000{number}");
        let item = json!({"worker_id": id, "name": "W", "made_at": "2031-06-01T00:00:00Z"});
        Reply::json(200, json!({"items": [item], "next": next}))
    };
    let list = async |client: &Client| {
        all_pages(async |after| client.list_workers(&PageQuery { after, limit: Some(1) }).await).await
    };
    let server = Server::new(vec![page(1, Some("a")), page(2, Some("b")), page(3, None)]);
    assert_eq!(list(&client(&server.address)).await.unwrap().len(), 3);
    let lines = ["", "after=a&", "after=b&"].map(|after| format!("GET /v1/workers?{after}limit=1"));
    assert_eq!(server.lines(), lines);

    let server = Server::new(vec![page(1, Some("a"))]);
    let error = list(&client(&server.address)).await.unwrap_err();
    assert_eq!(error.code(), "answer-not-understood");
    assert_eq!(server.requests().len(), 2);
}
