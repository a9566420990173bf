//! Exceptions: where they are asked for, the paper, and the status that scripts go by.

use client::{Client, ExceptionQuery, SpanQuery, TurnCountQuery, text};
use jiff::civil::date;
use serde_json::{Value, json};
use wire::ExceptionView;

use crate::golden;
use crate::posting::{out, skid};
use crate::server::{Reply, Server};

/// Asks for one operation; answers whether it is one of these, and was refused.
pub async fn ask(operation: &str, client: &Client, id: &str) -> Option<bool> {
    let days = SpanQuery { from: date(2031, 6, 1), to: date(2031, 6, 7), job_id: id.parse().ok() };
    Some(match operation {
        "list_exceptions" => client.list_exceptions(&ExceptionQuery::of(days)).await.is_err(),
        "summarize_exceptions" => client.summarize_exceptions(&days).await.is_err(),
        "file_turn_count" => {
            let count = json!({"job_id": id, "counted_on": "2031-06-03", "party": {"mill_id": id}, "turns": 7,
                               "counted_by": "Clerk"});
            client.file_turn_count(&serde_json::from_value(count).unwrap()).await.is_err()
        }
        "list_turn_counts" => client.list_turn_counts(&TurnCountQuery::default()).await.is_err(),
        _ => return None,
    })
}

fn found() -> Vec<Value> {
    serde_json::from_str(&golden::read("papers/exceptions.json")).unwrap()
}

#[test]
fn they_are_grouped_by_kind_on_paper() {
    let found: Vec<ExceptionView> = serde_json::from_value(found().into()).unwrap();
    let paper = text::exceptions((date(2031, 6, 1), date(2031, 6, 7)), &found);
    golden::check("papers/exceptions.txt", &paper);
    assert!(paper.lines().all(|line| line.chars().count() <= 80 && line.trim_end() == line));
}

#[test]
fn the_status_tells_whether_there_are_any() {
    let words = ["audit", "exceptions", "--from", "2031-06-01", "--to", "2031-06-07"];
    let page = |items: &[Value], next: Option<&str>| Reply::json(200, json!({"items": items, "next": next}));
    let (first, rest) = (&found()[..1], &found()[1..]);
    let server = Server::new(vec![page(first, Some("x")), page(rest, None)]);
    let output = skid(&server.address, &words, "");
    assert_eq!(out(&output), golden::read("papers/exceptions.txt"));
    assert_eq!(output.status.code(), Some(5));
    let asked = "GET /v1/audit/exceptions?from=2031-06-01&to=2031-06-07";
    assert_eq!(server.lines(), [format!("{asked}&limit=500"), format!("{asked}&after=x&limit=500")]);

    let server = Server::new(vec![page(&[], None)]);
    let late: Vec<_> = words.iter().copied().chain(["--kind", "late_ticket"]).collect();
    let output = skid(&server.address, &late, "");
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).contains("None."));
    assert_eq!(server.lines(), [format!("{asked}&kind=late_ticket&limit=500")]);

    let server = Server::new(vec![page(&found(), None)]);
    let lines: Vec<_> = words.iter().copied().chain(["--json"]).collect();
    let output = skid(&server.address, &lines, "");
    let lines: Vec<Value> = out(&output).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!((lines, output.status.code()), (found(), Some(5)));

    let wrong: Vec<_> = words.iter().copied().chain(["--kind", "bad_luck"]).collect();
    assert_eq!(skid(&server.address, &wrong, "").status.code(), Some(1));
}
