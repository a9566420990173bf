//! Two instances over one database, whose clocks are minutes apart: whatever is told by the order of ids is told rightly, whoever
//! of them made the records.

use std::sync::Arc;

use jiff::SignedDuration;
use kernel::SettableClock;
use serde_json::{Value, json};
use tests::{BareApp, Furnished, NOW, TestApp, log, ticket};
use wire::Role;

use crate::people::{PASSWORD, Person};
use crate::world::text;

/// How far the second clock is behind the first.
const BEHIND: SignedDuration = SignedDuration::from_mins(20);

/// An instance whose clock is right, another whose clock is behind, and an outfit whose people can go to either.
struct Apart {
    app: TestApp,
    slow_clock: Arc<SettableClock>,
    slow: BareApp,
    outfit: Furnished,
    /// Whether the outfit's people go to the slow one at the moment.
    at_slow: bool,
}

impl Apart {
    fn new() -> Self {
        let app = TestApp::start();
        let slow_clock = Arc::new(SettableClock::at(NOW.parse().expect("a time")));
        slow_clock.advance(-BEHIND).expect("a time");
        let parts = api::running::Parts { connections: 4, clock: slow_clock.clone(), ..app.parts.clone() };
        let slow = BareApp::start(&parts);
        let outfit = Furnished::new(&app);
        Self { app, slow_clock, slow, outfit, at_slow: false }
    }

    /// Sends the people who change the books to the other instance.
    fn change_over(&mut self) {
        self.at_slow = !self.at_slow;
        let outfit = self.outfit.outfit;
        let member = |role| match self.at_slow {
            true => self.slow.member(outfit, role, None),
            false => self.app.member(outfit, role, None),
        };
        let (bookkeeper, scaler, manager) =
            (member(Role::Bookkeeper), member(Role::Scaler), member(Role::Manager));
        self.outfit.bookkeeper = bookkeeper;
        self.outfit.scaler = scaler;
        self.outfit.manager = manager;
    }

    fn a_week_later(&self) {
        for clock in [&self.app.clock, &self.slow_clock] {
            clock.advance(SignedDuration::from_hours(7 * 24)).expect("a time");
        }
    }

    fn post(&self, number: u32, day: &str) -> Value {
        let ticket = ticket(&self.outfit, number, day, &[log("16", "16"), log("12", "14")]);
        self.outfit.scaler.post("/v1/tickets", &ticket).expect(201)
    }

    fn sawyer(&self) -> String {
        let listed = self.outfit.bookkeeper.get("/v1/workers").expect(200);
        text(&listed["items"][0], "worker_id")
    }

    fn pay(&self, worker: &str, day: &str, amount: &str) {
        let payment = json!({"party": {"worker_id": worker}, "dated": day, "says": "cash", "amount": amount});
        let _paid = self.outfit.bookkeeper.post("/v1/payments", &payment).expect(201);
    }
}

/// A posting by the clock that is right; behind it, by the other one, every kind of record that the shared lock and the lock
/// alone let in. None of it was there at the posting.
#[test]
fn what_comes_after_a_posting_was_not_there_at_it() {
    let mut apart = Apart::new();
    let _first = apart.post(1, "2026-06-03");
    let _posted = apart.outfit.settle("2026-06-06");
    apart.change_over();
    let _late = apart.post(2, "2026-06-03");
    let worker = apart.sawyer();
    let charge =
        json!({"worker_id": worker, "dated": "2026-06-03", "kind": "store", "says": "files", "amount": "1"});
    let _charged = apart.outfit.bookkeeper.post("/v1/charges", &charge).expect(201);
    let shares = json!({"effective_from": "2026-06-02", "shares": [{"worker_id": worker, "parts": "1"}]});
    let path = format!("/v1/crews/{}/share-sets", apart.outfit.felling_crew);
    let _filed = apart.outfit.bookkeeper.post(&path, &shares).expect(201);
    apart.outfit.computed_again();
}

/// The other way round: what the fast clock made was there when the slow one posted.
#[test]
fn what_came_before_a_posting_was_there_at_it() {
    let mut apart = Apart::new();
    let _first = apart.post(1, "2026-06-03");
    apart.change_over();
    let posted = apart.outfit.settle("2026-06-06");
    assert_eq!(posted["lines"][0]["quantity"], "230", "160 and 70 board feet: {posted:#}");
}

/// Weeks posted in turn: each statement opens with what the one before closed with, and has what was paid between them.
#[test]
fn statements_follow_each_other_whoever_posts() {
    let mut apart = Apart::new();
    let worker = apart.sawyer();
    let weeks = [
        ("2026-06-03", "2026-06-06", "1"),
        ("2026-06-10", "2026-06-13", "2"),
        ("2026-06-17", "2026-06-20", "3"),
    ];
    for ((day, ends_on, paid), number) in weeks.into_iter().zip(1_u32..) {
        let _ticket = apart.post(number, day);
        let _posted = apart.outfit.settle(ends_on);
        apart.change_over();
        apart.pay(&worker, ends_on, paid);
        apart.a_week_later();
    }
    let listed = apart.outfit.contractor.get(&format!("/v1/statements?worker_id={worker}")).expect(200);
    let statements = listed["items"].as_array().expect("statements");
    let shown = |member: &str| statements.iter().map(|one| text(&one[member], "amount")).collect::<Vec<_>>();
    assert_eq!(shown("moved"), ["0.00", "-1.00", "-2.00"], "{listed:#}");
    assert_eq!(shown("opening")[1..], shown("closing")[..2], "{listed:#}");
}

/// Of two enrolment codes the later is good, of two certificates the later is shown.
#[test]
fn what_was_filed_later_takes_the_place_of_what_was_filed_before() {
    let mut apart = Apart::new();
    let nobody = apart.app.stranger();
    let registered =
        apart.outfit.manager.post("/v1/accounts", &json!({"name": "ida", "role": "scaler"})).expect(201);
    let person = Person {
        account: text(&registered["account"], "account_id"),
        name: "ida".to_owned(),
        outfit: apart.outfit.outfit.to_string(),
    };
    let first = text(&registered["enrolment"], "enrolment_code");
    let certificate = json!({"scaler": "Yard scaler", "certificate": "log scaler, 1417",
                             "issued_by": "an invented board", "valid_from": "2026-06-01",
                             "valid_to": "2026-06-30"});
    let _before = apart.outfit.bookkeeper.post("/v1/scaler-certificates", &certificate).expect(201);
    apart.change_over();
    let later = apart.outfit.bookkeeper.post("/v1/scaler-certificates", &certificate).expect(201);
    let code =
        apart.outfit.manager.post(&person.path("enrolments"), &json!({"reason": "lost it"})).expect(201);
    let ticket = apart.post(1, "2026-06-03");
    assert_eq!(ticket["scaler_certificate_id"], later["scaler_certificate_id"]);
    let set = |code: &str| nobody.post(&person.path("password"), &person.set(code, PASSWORD));
    let _superseded = set(&first).refused(wire::Code::EnrolmentRefused);
    let _set = set(&text(&code, "enrolment_code")).expect(200);
}
