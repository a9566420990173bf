//! Two outfits with a history that leaves rows in every table.

use std::sync::OnceLock;

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};

use crate::session::Session;

/// The service with two outfits that have both posted two weeks.
pub struct History {
    /// The service, and its database.
    pub app: TestApp,
    /// One outfit.
    pub own: Furnished,
    /// The other.
    pub other: Furnished,
}

impl History {
    /// Lives through it.
    pub fn new() -> Self {
        let app = TestApp::start();
        let (own, other) = (Furnished::new(&app), Furnished::new(&app));
        let wrong = [&own, &other].map(first_week);
        app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
        for (outfit, wrong) in [&own, &other].into_iter().zip(&wrong) {
            second_week(outfit, wrong);
        }
        Self { app, own, other }
    }

    /// One that was lived through already: for tests that keep nothing, and lock no more than one table at a time.
    pub fn shared() -> &'static Self {
        static SHARED: OnceLock<History> = OnceLock::new();
        SHARED.get_or_init(Self::new)
    }

    /// Both outfits.
    pub fn outfits(&self) -> [&Furnished; 2] {
        [&self.own, &self.other]
    }

    /// A connection as the tables' owner.
    pub fn owner(&self) -> Session {
        Session::owner(&self.app.database)
    }

    /// A connection under the service's role.
    pub fn service(&self) -> Session {
        Session::service(&self.app.database)
    }
}

fn pole() -> Value {
    json!({"product": "pole", "species": "cedar", "length_ft": "30"})
}

fn text<'a>(body: &'a Value, member: &str) -> &'a str {
    body[member].as_str().unwrap_or_else(|| panic!("no {member} in {body:#}"))
}

/// A ticket with a pole that nothing pays for; it is set aside, and the week is posted.
fn first_week(outfit: &Furnished) -> String {
    let sent = ticket(outfit, 1, "2026-06-03", &[log("16", "16"), pole()]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let id = text(&accepted, "ticket_id").to_owned();
    for task in ["felling", "delivery"] {
        let aside = json!({"task": task, "piece": 2, "reason": "kept for the camp"});
        let _aside = outfit.bookkeeper.post(&format!("/v1/tickets/{id}/set-asides"), &aside).expect(201);
    }
    let _posted = outfit.settle("2026-06-06");
    id
}

/// That ticket is corrected, the week after is posted with the adjustment, and another pole waits for a price.
fn second_week(outfit: &Furnished, wrong: &str) {
    let right = ticket(outfit, 2, "2026-06-03", &[log("12", "16")]);
    let correction = json!({"reason": "read the wrong end", "ticket": right});
    let _right = outfit.bookkeeper.post(&format!("/v1/tickets/{wrong}/corrections"), &correction).expect(201);
    let next = ticket(outfit, 3, "2026-06-10", &[log("20", "16"), log("13", "12")]);
    let _next = outfit.scaler.post("/v1/tickets", &next).expect(201);
    let _posted = outfit.settle("2026-06-13");
    let crews = outfit.manager.get("/v1/crews").expect(200);
    let sawyer = crews.pointer("/items/0/share_sets/0/shares/0/worker_id").expect("a sawyer");
    let rest =
        json!({"worker_id": sawyer, "worked_on": "2026-06-10", "hours": "0.5", "what_for": {"kind": "rest"}});
    let _rest = outfit.bookkeeper.post("/v1/time-entries", &rest).expect(201);
    let open = ticket(outfit, 4, "2026-06-15", &[log("14", "16"), pole()]);
    let _open = outfit.scaler.post("/v1/tickets", &open).expect(201);
}
