//! The part of the story in which pay is followed down to the sticks, sticks up to the pay, and a week computed again.

use serde_json::Value;
use tests::Actor;

use super::recorder::Recorder;

fn text<'a>(body: &'a Value, member: &str) -> &'a str {
    body[member].as_str().unwrap_or_else(|| panic!("no {member} in {body:#}"))
}

/// Shows an operation in both of its forms.
fn both(recorder: &mut Recorder, operation: &str, actor: &Actor, path: &str) {
    let _shown = recorder.shown(operation, actor, path, None);
    recorder.shown_as_text(operation, actor, &format!("{path}?format=text"), "txt");
}

/// The contractor follows a statement's line down, a ticket and one of its pieces up, and computes the week again.
pub fn explain(recorder: &mut Recorder, contractor: &Actor, settlement: &Value, worker: &Value, job: &Value) {
    let settlement = settlement.as_str().expect("an id");
    let shown = contractor.get(&format!("/v1/settlements/{settlement}")).expect(200);
    let lines = shown["lines"].as_array().expect("lines");
    let large = lines.iter().find(|line| line["rate_name"] == "large logs").expect("a line for large logs");
    let line = format!("/v1/settlements/{settlement}/lines/{}?format=text", large["number"]);
    recorder.shown_as_text("explain_line", contractor, &line, "txt");
    let query = format!("/v1/statements?settlement_id={settlement}");
    let listed = contractor.get(&query).expect(200);
    let mut listed = listed["items"].as_array().expect("statements").iter();
    let his = listed.find(|one| one["payee"]["worker_id"] == *worker).expect("his statement");
    let line = format!("/v1/statements/{}/lines/{}", text(his, "statement_id"), large["number"]);
    both(recorder, "explain_statement_line", contractor, &line);
    let query = format!("/v1/tickets?job_id={}&book=N", job.as_str().expect("an id"));
    let listed = contractor.get(&query).expect(200);
    let tickets = listed["items"].as_array().expect("tickets");
    let numbered = |number: i64| {
        let found = tickets.iter().find(|one| one["ticket"]["number"] == number);
        text(found.unwrap_or_else(|| panic!("no ticket {number} in {listed:#}")), "ticket_id")
    };
    both(recorder, "explain_ticket", contractor, &format!("/v1/tickets/{}/explanation", numbered(103)));
    let piece = format!("/v1/tickets/{}/pieces/4/explanation", numbered(101));
    both(recorder, "explain_piece", contractor, &piece);
    let again = format!("/v1/settlements/{settlement}/rederivation");
    both(recorder, "rederive_settlement", contractor, &again);
}
