//! How tickets come: by devices with clocks of their own, late, and by scalers with or without a certificate.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

fn at(app: &TestApp, time: &str) {
    app.clock.set(time.parse().expect("a time"));
}

#[test]
fn a_device_clock_is_written_down_and_not_trusted() {
    let app = TestApp::start();
    at(&app, "2026-06-04T13:00:00Z");
    let outfit = Furnished::new(&app);
    let plain = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    let accepted = outfit.scaler.post("/v1/tickets", &plain).expect(201);
    for member in ["measured_at", "sent_at"] {
        assert!(accepted["ticket"].get(member).is_none());
    }
    assert!(accepted.get("device_clock_ahead_seconds").is_none());
    for (number, sent_at, ahead) in [
        (2, "2026-06-04T13:00:00Z", 0_i64),
        (3, "2026-06-04T09:00:30.9-04:00", 30),
        (4, "2026-06-04T12:59:29.1Z", -30),
        (5, "1970-01-01T00:00:00Z", -1_780_578_000),
        (6, "2099-01-01T00:00:00Z", 2_290_330_800),
    ] {
        let mut sent = ticket(&outfit, number, "2026-06-03", &[log("16", "16")]);
        sent["measured_at"] = json!("2026-06-03T18:30:00.123456-04:00");
        sent["sent_at"] = json!(sent_at);
        let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
        assert_eq!(accepted["device_clock_ahead_seconds"], ahead, "{accepted:#}");
        assert_eq!(accepted["accepted_at"], "2026-06-04T13:00:00Z");
        assert_eq!(accepted["ticket"]["measured_at"], "2026-06-03T22:30:00.123456Z");
        let path = format!("/v1/tickets/{}", accepted["ticket_id"].as_str().expect("an id"));
        let mut shown = outfit.manager.get(&path).expect(200);
        // Shown alone it says who and where by name, too.
        let named = shown.as_object_mut().expect("a ticket").remove("named").expect("names");
        assert_eq!(named["job_name"], "Invented tract", "{named:#}");
        assert_eq!(shown, accepted);
    }
}

/// A device that sends again does so at another moment: it is the same ticket. When it was scaled is content.
#[test]
fn a_ticket_sent_again_later_is_a_replay() {
    let app = TestApp::start();
    at(&app, "2026-06-04T13:00:00Z");
    let outfit = Furnished::new(&app);
    let mut sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    sent["measured_at"] = json!("2026-06-03T18:30:00.123456789-04:00");
    sent["sent_at"] = json!("2026-06-04T13:00:05Z");
    let first = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    at(&app, "2026-06-04T14:00:00Z");
    sent["sent_at"] = json!("2026-06-04T14:00:09Z");
    let again = outfit.scaler.post("/v1/tickets", &sent);
    assert_eq!(again.header("replayed"), Some("true"));
    assert_eq!(again.expect(200), first, "what it was accepted with is kept");
    sent.as_object_mut().expect("an object").remove("sent_at");
    assert_eq!(outfit.scaler.post("/v1/tickets", &sent).expect(200), first);
    sent["measured_at"] = json!("2026-06-03T18:31:00-04:00");
    let problem = outfit.scaler.post("/v1/tickets", &sent).refuses(Code::TicketDiffers);
    assert_eq!(problem["errors"][0]["pointer"], "#/measured_at", "{problem:#}");
    sent["measured_at"] = json!("yesterday");
    let problem = outfit.scaler.post("/v1/tickets", &sent).refuses(Code::WrongForm);
    assert_eq!(problem["errors"][0]["pointer"], "#/measured_at", "{problem:#}");
}

#[test]
fn a_ticket_after_its_week_was_posted_is_late() {
    let app = TestApp::start();
    at(&app, "2026-06-08T13:00:00Z");
    let outfit = Furnished::new(&app);
    let post = |number: u32, day: &str| {
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, number, day, &[log("16", "16")])).expect(201)
    };
    assert_eq!(post(1, "2026-06-03")["late"], false);
    let _posted = outfit.settle("2026-06-06");
    // The clock stands still: it is the order in the books that tells, not the time.
    let late = post(2, "2026-06-06");
    assert_eq!((&late["late"], &late["accepted_at"]), (&json!(true), &json!("2026-06-08T13:00:00Z")));
    assert_eq!(post(3, "2026-06-07")["late"], false, "the first day of the open week");
    let numbers = |query: &str| -> Vec<Value> {
        let listed = outfit.manager.get(&format!("/v1/tickets?{query}")).expect(200);
        listed["items"].as_array().expect("items").iter().map(|one| one["ticket"]["number"].clone()).collect()
    };
    assert_eq!(numbers("late=true"), [json!(2)]);
    assert_eq!(numbers("late=false"), [json!(1), json!(3)]);
    let correction =
        json!({"reason": "wrong end", "ticket": ticket(&outfit, 4, "2026-06-03", &[log("12", "16")])});
    let first = outfit.manager.get("/v1/tickets?limit=1").expect(200)["items"][0]["ticket_id"].clone();
    let path = format!("/v1/tickets/{}/corrections", first.as_str().expect("an id"));
    assert_eq!(outfit.scaler.post(&path, &correction).expect(201)["late"], true);
}

#[test]
fn a_ticket_tells_what_its_scaler_had_to_show() {
    let app = TestApp::start();
    at(&app, "2026-06-08T13:00:00Z");
    let outfit = Furnished::new(&app);
    let post = |number: u32, day: &str| {
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, number, day, &[log("16", "16")])).expect(201)
    };
    let before = post(1, "2026-06-03");
    assert!(before.get("scaler_certificate_id").is_none(), "nothing is refused for the lack of one");
    let file = |scaler: &str, from: &str, to: &str| {
        let body = json!({"scaler": scaler, "certificate": "log scaler, 1417", "issued_by": "an invented board",
                          "valid_from": from, "valid_to": to});
        outfit.bookkeeper.post("/v1/scaler-certificates", &body)
    };
    let held = file("Yard scaler", "2026-06-03", "2026-06-04").expect(201);
    let _others = file("Somebody else", "2026-01-01", "2026-12-31").expect(201);
    let problem = file("Yard scaler", "2026-06-04", "2026-06-03").refuses(Code::WrongForm);
    assert_eq!(problem["errors"][0]["pointer"], "#/valid_to");
    let path = format!("/v1/tickets/{}", before["ticket_id"].as_str().expect("an id"));
    let shown = outfit.manager.get(&path).expect(200);
    assert_eq!(shown["scaler_certificate_id"], held["scaler_certificate_id"], "it was good for the day");
    assert_eq!(post(2, "2026-06-04")["scaler_certificate_id"], held["scaler_certificate_id"]);
    assert!(post(3, "2026-06-05").get("scaler_certificate_id").is_none());
    let renewed = file("Yard scaler", "2026-06-04", "2027-06-03").expect(201);
    let listed = outfit.manager.get("/v1/tickets").expect(200);
    let certificates: Vec<_> =
        listed["items"].as_array().expect("items").iter().map(|one| &one["scaler_certificate_id"]).collect();
    let (old, new) = (&held["scaler_certificate_id"], &renewed["scaler_certificate_id"]);
    assert_eq!(certificates, [old, new, new], "the latest filed that is good for the day");
    let of = |query: &str| {
        let listed = outfit.scaler.get(&format!("/v1/scaler-certificates?{query}")).expect(200);
        listed["items"].as_array().map_or(0, Vec::len)
    };
    assert_eq!((of(""), of("scaler=Yard%20scaler"), of("on=2026-06-03"), of("on=2028-01-01")), (3, 2, 2, 0));
}
