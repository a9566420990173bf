//! Events: tools hear what happens in the books, in order, at least once, signed, and nobody else does.

mod dead_letters;
mod delivering;
mod secrets;
mod targets;

use serde_json::{Value, json};
use tests::{Furnished, Receiver, TestApp, log, ticket};

/// Every kind of event.
const ALL: [&str; 4] = ["ticket.accepted", "ticket.corrected", "week.posted", "statement.ready"];

/// A tool that is told of events, with what it knows.
struct Tool {
    receiver: Receiver,
    /// Where its subscription is shown.
    path: String,
    secret: String,
}

impl Tool {
    /// A tool of this outfit that is told of these kinds.
    fn new(outfit: &Furnished, kinds: &[&str]) -> Self {
        let receiver = Receiver::start();
        let body = json!({"url": receiver.url(), "kinds": kinds, "says": "Payroll"});
        let filed = outfit.manager.post("/v1/event-subscriptions", &body).expect(201);
        let id = filed["subscription"]["subscription_id"].as_str().expect("an id");
        let secret = filed["secret"].as_str().expect("a secret").to_owned();
        Self { receiver, path: format!("/v1/event-subscriptions/{id}"), secret }
    }
}

/// Posts a ticket of one log; answers with its id.
fn post(outfit: &Furnished, number: u32) -> String {
    let sent = ticket(outfit, number, "2026-06-03", &[log("16", "16")]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    accepted["ticket_id"].as_str().expect("an id").to_owned()
}

/// The numbers of the tickets that a tool heard of, in order.
fn numbers(tool: &Tool) -> Vec<u64> {
    tool.receiver.heard().iter().filter_map(|heard| heard.event()["data"]["number"].as_u64()).collect()
}

/// What was sent to a tool, newest first.
fn deliveries(outfit: &Furnished, tool: &Tool) -> Vec<Value> {
    let listed = outfit.manager.get(&format!("{}/deliveries", tool.path)).expect(200);
    listed["items"].as_array().expect("items").clone()
}

fn furnished() -> (TestApp, Furnished) {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    (app, outfit)
}
