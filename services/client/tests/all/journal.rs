//! The commands that look into the books: what accounts stand at, what is handed over to other tools.

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
        (&["balance"][..], "/v1/balances", "balances"),
        (&["balance", "--on", "2031-06-14"], "/v1/balances?on=2031-06-14", "balances"),
        (
            &["journal", "balance", "--on", "2031-06-14"],
            "/v1/journal/trial-balance?on=2031-06-14",
            "trial_balance",
        ),
        (&["week", "crew", ID, ID], "/v1/settlements/ID/crews/ID", "crew_sheet"),
        (
            &["audit", "margin", "--from", "2031-06-01", "--to", "2031-06-30", "--job", ID],
            "/v1/audit/margin?from=2031-06-01&to=2031-06-30&job_id=ID",
            "margin",
        ),
    ] {
        let server = Server::new(vec![Reply::json(200, answer(name))]);
        let output = skid(&server.address, words, "");
        assert_eq!(out(&output), golden::read(&format!("papers/{name}.txt")));
        assert_eq!(output.status.code(), Some(0));
        assert_eq!(server.lines(), [format!("GET {}", path.replace("ID", ID))]);
        let words: Vec<_> = words.iter().copied().chain(["--json"]).collect();
        let passed: Value = serde_json::from_str(&out(&skid(&server.address, &words, ""))).unwrap();
        assert_eq!(passed, answer(name));
    }
}

#[test]
fn an_export_is_passed_on_as_it_comes() {
    for (format, body) in
        [("text", "; Journal\n\n2031-06-07 * (x) week\n"), ("csv", "entry,dated\r\nx,\"a\nb\"\r\n")]
    {
        let server = Server::new(vec![Reply::Answer(200, "content-type: text/plain\r\n", body.to_owned())]);
        let words = ["journal", "export", "--format", format, "--from", "2031-06-01", "--to", "2031-06-30"];
        let output = skid(&server.address, &words, "");
        assert_eq!((out(&output).as_str(), output.status.code()), (body, Some(0)));
        let asked = format!("GET /v1/journal/export?format={format}&from=2031-06-01&to=2031-06-30");
        assert_eq!(server.lines(), [asked]);
    }
}

#[test]
fn a_report_is_passed_on_or_written_to_its_file() {
    let page = "<!DOCTYPE html><html></html>";
    let days = ["report", "--from", "2031-06-01", "--to", "2031-06-30"];
    let answer = || Reply::Answer(200, "content-type: text/html\r\n", page.to_owned());
    let server = Server::new(vec![answer(), answer()]);
    let output = skid(&server.address, &days, "");
    assert_eq!((out(&output).as_str(), output.status.code()), (page, Some(0)));
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("june.csv");
    let words = [&days[..], &["--job", ID, "--format", "csv", "--out", file.to_str().unwrap()]].concat();
    let output = skid(&server.address, &words, "");
    assert_eq!((out(&output).as_str(), output.status.code()), ("", Some(0)));
    assert_eq!(std::fs::read_to_string(file).unwrap(), page);
    let asked = "GET /v1/reports/audit?from=2031-06-01&to=2031-06-30";
    assert_eq!(server.lines(), [format!("{asked}&format=html"), format!("{asked}&job_id={ID}&format=csv")]);
}

#[test]
fn for_programs_the_entries_come_from_all_pages_one_a_line() {
    let entry = json!({
        "journal_entry_id": ID, "dated": "2031-06-07", "says": "week", "made_by": "Ida Berg",
        "made_at": "2031-06-08T12:00:00Z",
        "postings": [{"account": {"account": "cash"}, "class": "asset", "title": "Assets:Cash",
                      "debit": {"amount": "9.60", "currency": "USD"}}]
    });
    let page = |next: Option<&str>| Reply::json(200, json!({"items": [entry.clone()], "next": next}));
    let server = Server::new(vec![page(Some("x")), page(None)]);
    let output = skid(&server.address, &["journal", "export", "--format", "csv", "--json"], "");
    let lines: Vec<Value> = out(&output).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines, [entry.clone(), entry.clone()]);
    assert_eq!(server.lines(), ["GET /v1/journal?limit=500", "GET /v1/journal?after=x&limit=500"]);
}

#[test]
fn a_span_that_is_refused_says_so_and_prints_nothing() {
    let server = Server::new(vec![Reply::problem(wire::Code::WrongAddress)]);
    let output = skid(&server.address, &["journal", "export", "--format", "text"], "");
    assert_eq!((out(&output).as_str(), output.status.code()), ("", Some(3)));
}
