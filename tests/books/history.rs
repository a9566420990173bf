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
        let history = Self { app, own, other };
        for outfit in history.outfits() {
            supplement(&history.service(), outfit);
            tell(&history.service(), outfit);
            let_in(&history.app, outfit);
            hold_against_the_scale(outfit);
        }
        history
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

/// What hours would add to a worker's pay, put in by hand: nobody's hours are recorded here.
fn supplement(service: &Session, outfit: &Furnished) {
    let insert = "INSERT INTO settlement_supplement
                  SELECT outfit_id, settlement_id, worker_id, week_ends_on, 'rest_pay', 1
                  FROM settlement_posting JOIN worker USING (outfit_id) LIMIT 1";
    service.keep(outfit.outfit, insert).expect("the service may add");
}

/// A tool that was told of something once, in vain, and then told again; put in by hand: nobody listens here.
fn tell(service: &Session, outfit: &Furnished) {
    let place = "subscription.outfit_id, subscription_id, 1, audit_entry_id, 0";
    let listener = "FROM event_subscription AS subscription JOIN audit_entry USING (outfit_id)
                    WHERE url = 'https://payroll.example/' ORDER BY audit_entry_id LIMIT 1";
    for insert in [
        "event_subscription SELECT outfit_id, gen_random_uuid(), 'https://payroll.example/', ARRAY['week.posted'], 'Payroll',
                 '1:1:', now(), 'somebody' FROM outfit".to_owned(),
        "event_subscription SELECT outfit_id, gen_random_uuid(), 'https://old.example/', ARRAY['week.posted'], 'Old',
                 '1:1:', now(), 'somebody' FROM outfit".to_owned(),
        "event_subscription_end SELECT outfit_id, subscription_id, 'no more', now(), 'somebody'
         FROM event_subscription WHERE url = 'https://old.example/'"
            .to_owned(),
        "signing_secret SELECT outfit_id, gen_random_uuid(), subscription_id, decode(repeat('00', 64), 'hex'), 24,
                now(), 'somebody' FROM event_subscription"
            .to_owned(),
        format!("delivery_attempt SELECT {place}, 0, 1, gen_random_uuid(), 'week.posted', now(), now(), 'refused', 500,
                 7, NULL {listener}"),
        format!("delivery SELECT {place}, 0, gen_random_uuid(), 'week.posted', now(), true, false, now() {listener}"),
        format!("delivery_replay SELECT {place}, 1, 0, now(), 'somebody' {listener}"),
    ] {
        service.keep(outfit.outfit, &format!("INSERT INTO {insert}")).expect("the service may add");
    }
}

/// Somebody gets an account, sets the password and signs in; the account is closed. A token is handed out and revoked.
fn let_in(app: &TestApp, outfit: &Furnished) {
    let file = |path: &str, body: &Value| outfit.manager.post(path, body).expect(201);
    let registered = file("/v1/accounts", &json!({"name": "ida", "role": "scaler"}));
    let account = text(&registered["account"], "account_id");
    let mut own = json!({"outfit_id": outfit.outfit, "password": "a cold morning in june"});
    own["enrolment_code"] = registered["enrolment"]["enrolment_code"].clone();
    let set = app.stranger().post(&format!("/v1/accounts/{account}/password"), &own).expect(200);
    let sign_in = json!({"outfit_id": outfit.outfit, "name": set["name"], "password": own["password"]});
    let _in = app.stranger().post("/v1/sign-in", &sign_in).expect(200);
    let _closed = file(&format!("/v1/accounts/{account}/closure"), &json!({"reason": "left"}));
    let granted = file("/v1/access-tokens", &json!({"subject": "clerk", "role": "bookkeeper"}));
    let revocation = format!("/v1/access-grants/{}/revocation", text(&granted, "grant_id"));
    let _revoked = file(&revocation, &json!({"reason": "for a test"}));
}

/// The id of what stands first in a list.
/// A mill's tally and a cruise, one of each taken back.
fn hold_against_the_scale(outfit: &Furnished) {
    let tally = json!({"mill_id": outfit.mill_id, "job_id": outfit.job, "from": "2026-06-01", "to": "2026-06-06",
                       "lumber": {"in_all": "300"}, "lumber_state": "rough_green", "tallied_by": "Tallyman"});
    let cruise = json!({"job_id": outfit.job, "cruised_on": "2026-05-20", "cruiser": "Cruiser", "measured": {
        "method": {"kind": "complete"}, "formula": {"by": "form_factor", "form": "cone"},
        "plots": [{"trees": [{"species": "ash", "diameter_in": "12", "height_ft": "40"}]}]}});
    for (list, sent, member) in [("mill-tallies", tally, "mill_tally_id"), ("cruises", cruise, "cruise_id")] {
        let filed = outfit.bookkeeper.post(&format!("/v1/{list}"), &sent).expect(201);
        let path = format!("/v1/{list}/{}/withdrawal", text(&filed, member));
        let _taken_back = outfit.bookkeeper.post(&path, &json!({"reason": "of another tract"})).expect(201);
    }
}

fn first(listed: &Value, member: &str) -> String {
    let first = listed.pointer("/items/0").unwrap_or_else(|| panic!("nothing is listed in {listed:#}"));
    text(first, member).to_owned()
}

/// The id of the first sawyer.
fn sawyer(outfit: &Furnished) -> String {
    let workers = outfit.bookkeeper.get("/v1/workers").expect(200);
    first(&workers, "worker_id")
}

/// Before the first week: holdback is agreed on, wage terms are filed; a worker is charged and has an advance.
fn beside_the_scale(outfit: &Furnished) {
    let file = |path: &str, body: &Value| outfit.bookkeeper.post(path, body).expect(201);
    let terms = json!({
        "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
        "holdback": {"percent": "10"},
        "rates": [{"name": "felling logs", "task": "felling", "product": "log", "unit": "thousand_board_feet",
                   "basis": "gross", "price": "10.01"}]
    });
    let _terms = file(&format!("/v1/contracts/{}/terms", outfit.felling_contract), &terms);
    let wages = json!({"effective_from": "2026-05-31", "terms": {"minimum_an_hour": "7.25"}});
    let _wages = file("/v1/wage-terms", &wages);
    let worker = sawyer(outfit);
    let charge = json!({"worker_id": worker, "dated": "2026-06-02", "kind": "tools", "says": "a file",
                        "amount": "0.25"});
    let _charge = file("/v1/charges", &charge);
    let advance = json!({"worker_id": worker, "dated": "2026-06-02", "says": "for boots", "amount": "0.30",
                         "recovery": {"by": "most_a_week", "amount": "0.10"}});
    let _advance = file("/v1/advances", &advance);
}

/// After the first week: he is paid, some of his holdback is let go, and the charge is taken back.
fn pay_out(outfit: &Furnished) {
    let file = |path: &str, body: &Value| outfit.bookkeeper.post(path, body).expect(201);
    let worker = sawyer(outfit);
    let payment = json!({"party": {"worker_id": worker}, "dated": "2026-06-08", "says": "in cash",
                         "amount": "0.20"});
    let _payment = file("/v1/payments", &payment);
    let release = json!({"worker_id": worker, "contract_id": outfit.felling_contract, "dated": "2026-06-08",
                         "says": "as agreed", "amount": "0.03"});
    let _release = file("/v1/holdback-releases", &release);
    let charges = outfit.bookkeeper.get("/v1/charges").expect(200);
    let reversal =
        json!({"record": {"charge_id": first(&charges, "charge_id")}, "reason": "he brought it back"});
    let _reversal = file("/v1/reversals", &reversal);
}

/// A log rule of the outfit's own is filed. A ticket has a pole that nothing pays for; it is set aside, and the week is
/// posted.
fn first_week(outfit: &Furnished) -> String {
    beside_the_scale(outfit);
    let heading =
        json!({"title": "Camp scale", "unit": "board_foot", "rounding": "none", "source": "invented"});
    let table = json!({"heading": heading, "cells": {"csv": "inches,8,10\n6,5,10\n7,10,15\n"}});
    let _table = outfit.bookkeeper.post("/v1/log-tables", &table).expect(201);
    let certificate = json!({"scaler": "A scaler", "certificate": "log scaler, 1417", "issued_by": "a board",
                             "valid_from": "2026-01-01", "valid_to": "2026-12-31"});
    let _certificate = outfit.bookkeeper.post("/v1/scaler-certificates", &certificate).expect(201);
    let spoiled = json!({"from": 90, "to": 91, "reason": "the sheets got wet"});
    let _voided = outfit.scaler.post("/v1/scale-books/A/voided-numbers", &spoiled).expect(201);
    count_turns(outfit);
    let sent = ticket(outfit, 1, "2026-06-03", &[log("16", "16"), pole()]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let id = text(&accepted, "ticket_id").to_owned();
    for task in ["felling", "delivery"] {
        let aside = json!({"task": task, "piece": 2, "reason": "kept for the camp"});
        let _aside = outfit.bookkeeper.post(&format!("/v1/tickets/{id}/set-asides"), &aside).expect(201);
    }
    let _posted = outfit.settle("2026-06-06");
    pay_out(outfit);
    id
}

/// The mill's clerk counted the turns of the first day, and those of the teamster.
fn count_turns(outfit: &Furnished) {
    for party in [json!({"mill_id": outfit.mill_id}), json!({"crew_id": outfit.teamster})] {
        let count = json!({"job_id": outfit.job, "counted_on": "2026-06-03", "party": party, "turns": 1,
                           "counted_by": "Clerk of the mill"});
        let _count = outfit.bookkeeper.post("/v1/turn-counts", &count).expect(201);
    }
}

/// A stick of the delivery is scaled again; the mill's scale is adjusted after it, that is taken back and done anew.
fn check(outfit: &Furnished, scaled: &str) {
    let file = |path: &str, body: &Value| outfit.bookkeeper.post(path, body).expect(201);
    let contracts = outfit.mill.get("/v1/contracts").expect(200);
    let sent = json!({
        "contract_id": first(&contracts, "contract_id"), "from": "2026-06-10", "to": "2026-06-10",
        "checked_on": "2026-06-12", "checker": "Another scaler", "notice": "announced",
        "pieces": [{"ticket_id": scaled, "found": {"scaled_again": {"piece": 1, "facts": log("19", "16")}}}]
    });
    let filed = file("/v1/check-scales", &sent);
    let path = format!("/v1/check-scales/{}/adjustments", text(&filed, "check_scale_id"));
    let adjustment = json!({"reason": "an inch", "although": "the contract is silent"});
    let adjusted = file(&path, &adjustment);
    let back = format!("/v1/volume-adjustments/{}/reversal", text(&adjusted, "volume_adjustment_id"));
    let _reversed = file(&back, &json!({"reason": "for a test"}));
    let _anew = file(&path, &adjustment);
}

/// That ticket is corrected, the week after is posted with the adjustment, and another pole waits for a price.
fn second_week(outfit: &Furnished, wrong: &str) {
    let right = ticket(outfit, 2, "2026-06-03", &[log("12", "16")]);
    let correction = json!({"reason": "read the wrong end", "ticket": right});
    let _right = outfit.bookkeeper.post(&format!("/v1/tickets/{wrong}/corrections"), &correction).expect(201);
    let next = ticket(outfit, 3, "2026-06-10", &[log("20", "16"), log("13", "12")]);
    let next = outfit.scaler.post("/v1/tickets", &next).expect(201);
    check(outfit, text(&next, "ticket_id"));
    let _posted = outfit.settle("2026-06-13");
    let crews = outfit.manager.get("/v1/crews").expect(200);
    let sawyer = &crews["items"][0]["share_sets"][0]["shares"][0]["worker_id"];
    let rest =
        json!({"worker_id": sawyer, "worked_on": "2026-06-10", "hours": "0.5", "what_for": {"kind": "rest"}});
    let _rest = outfit.bookkeeper.post("/v1/time-entries", &rest).expect(201);
    let open = ticket(outfit, 4, "2026-06-15", &[log("14", "16"), pole()]);
    let _open = outfit.scaler.post("/v1/tickets", &open).expect(201);
}
