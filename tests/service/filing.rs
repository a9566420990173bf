//! Changes, driven from the service's own list: each is done once however often it is sent, leaves exactly one audit
//! entry, and can be rehearsed without a trace.

use api::http::operation::{Effect, Operation};
use api::routes::OPERATIONS;
use reqwest::Method;
use serde_json::{Value, json};
use tests::{Actor, Inspector, KEY_HEADER, Reply, TestApp, new_key};
use wire::{Code, Role};

use crate::concurrency::at_once;
use crate::world::{Sample, World};

/// Sends a sample with a key, and with something in the query.
fn send(operation: &Operation, sample: &Sample, actor: &Actor, query: &str, key: Option<&str>) -> Reply {
    let method: Method = operation.method.as_str().parse().expect("a method");
    let mut headers = vec![("Content-Type", operation.body_type().unwrap_or("application/json"))];
    headers.extend(key.map(|key| (KEY_HEADER, key)));
    actor.send_with(method, &format!("{}{query}", sample.path), sample.text(), &headers)
}

/// Who may send it.
fn somebody(app: &TestApp, world: &World, operation: &Operation) -> Actor {
    world.actor(app, if operation.id == "open_outfit" { Role::Operator } else { Role::Manager })
}

fn of_effect(effect: Effect) -> impl Iterator<Item = &'static Operation> {
    OPERATIONS.iter().copied().filter(move |operation| operation.effect == effect)
}

/// Operations that answer for each ticket by itself.
fn answers_for_each(operation: &Operation) -> bool {
    ["post_tickets", "post_ticket_sheet"].contains(&operation.id)
}

/// Operations whose reply holds a secret.
fn shows_a_secret(operation: &Operation) -> bool {
    [
        "grant_access",
        "register_account",
        "issue_enrolment",
        "make_machine_key",
        "file_event_subscription",
        "make_signing_secret",
    ]
    .contains(&operation.id)
}

#[test]
fn what_takes_a_body_and_keeps_it_says_what_makes_it_safe_to_repeat() {
    for operation in OPERATIONS {
        let keeps = operation.effect != Effect::None;
        let computes = ["check_log_table", "preview_terms", "scale", "scale_piece", "try_event_subscription"]
            .contains(&operation.id);
        assert_eq!(keeps, operation.method != "GET" && !computes, "{}", operation.id);
    }
    assert!(of_effect(Effect::Keyed).count() >= 20);
}

#[test]
fn a_repeat_with_its_key_changes_nothing_and_is_answered_as_the_first_was() {
    let app = TestApp::start();
    let world = World::new(&app);
    let database = Inspector::connect(&app.database.url());
    for operation in of_effect(Effect::Keyed) {
        let (sample, actor, key) = (world.sample(operation.id), somebody(&app, &world, operation), new_key());
        let first = send(operation, &sample, &actor, "", Some(&key)).documented();
        assert_eq!((first.status, first.header("replayed")), (201, None), "{}", first.asked);
        let after_first = database.counts();
        let again = send(operation, &sample, &actor, "", Some(&key)).documented();
        if shows_a_secret(operation) {
            let _told_so = again.refused(Code::SecretShownOnce);
        } else {
            assert_eq!((again.status, again.header("replayed")), (200, Some("true")), "{}", again.asked);
            assert_eq!(again.text, first.text, "{}", again.asked);
        }
        assert_eq!(database.counts(), after_first, "{}", again.asked);
    }
}

#[test]
fn a_key_is_for_one_request_of_one_caller_by_one_operation() {
    let app = TestApp::start();
    let world = World::new(&app);
    let (manager, bookkeeper) = (world.actor(&app, Role::Manager), world.actor(&app, Role::Bookkeeper));
    let worker = |actor: &Actor, name: &str, key: &str| {
        actor.post_with_key("/v1/workers", &json!({"name": name}), key)
    };
    let _first = worker(&manager, "Ned", "\"same\"").expect(201);
    let _otherwise = worker(&manager, "Ted", "\"same\"").refused(Code::KeyUsedOtherwise);
    let _other_caller = worker(&bookkeeper, "Ted", "\"same\"").expect(201);
    let crew = manager.post_with_key("/v1/crews", &json!({"name": "Ned"}), "\"same\"");
    let _other_operation = crew.expect(201);
    // The same content at another path is another request.
    let landing = |job: &Value, name: &str| {
        let path = format!("/v1/jobs/{}/landings", job["job_id"].as_str().expect("an id"));
        manager.post_with_key(&path, &json!({"name": name}), "\"landing\"")
    };
    let job = |name: &str| manager.post("/v1/jobs", &json!({"name": name})).expect(201);
    let _filed = landing(&job("North"), "Upper").expect(201);
    let _elsewhere = landing(&job("South"), "Upper").refused(Code::KeyUsedOtherwise);
    // Blanks and the order of members are no difference.
    let advance = |body: &str| {
        let headers = [("Content-Type", "application/json"), (KEY_HEADER, "\"spaced\"")];
        manager.send_with(Method::POST, "/v1/workers", Some(body.to_owned()), &headers)
    };
    let _first = advance(r#"{"name":"Spaced"}"#).expect(201);
    let _same = advance("{ \"name\" :\n\"Spaced\" }").expect(200);
}

#[test]
fn a_change_without_a_key_is_refused_before_anything_else_is_looked_at() {
    let app = TestApp::start();
    let world = World::new(&app);
    let database = Inspector::connect(&app.database.url());
    for operation in of_effect(Effect::Keyed) {
        let (sample, actor) = (world.sample(operation.id), somebody(&app, &world, operation));
        let before = database.counts();
        for key in [None, Some("bare"), Some("\"\""), Some("\"open"), Some("\"a\", \"b\"")] {
            let _problem = send(operation, &sample, &actor, "", key).documented().refused(Code::KeyMissing);
        }
        let long = format!("\"{}\"", "k".repeat(256));
        let _problem = send(operation, &sample, &actor, "", Some(&long)).refused(Code::KeyMissing);
        assert_eq!(database.counts(), before, "{}", operation.id);
    }
}

#[test]
fn what_was_refused_may_be_sent_again_with_its_key() {
    let app = TestApp::start();
    let world = World::new(&app);
    let manager = world.actor(&app, Role::Manager);
    let charge = |worker: &str| json!({"worker_id": worker, "dated": "2026-06-15", "kind": "store", "says": "mittens", "amount": "1.75"});
    let nobody = charge("0197a000-0000-7000-8000-000000000009");
    let send = |body: &Value| manager.post_with_key("/v1/charges", body, "\"mended\"");
    let _refused = send(&nobody).refused(Code::NamesMissingRecord);
    let _mended = send(&charge(&world.worker)).expect(201);
}

#[test]
fn one_change_from_many_hands_with_one_key_is_done_once() {
    let app = TestApp::start();
    let world = World::new(&app);
    let hands: Vec<_> = (0..8).map(|_| world.actor(&app, Role::Bookkeeper)).collect();
    let charge = json!({"worker_id": world.worker, "dated": "2026-06-15", "kind": "store", "says": "a cant hook",
                        "amount": "2.50"});
    let replies = at_once(8, |hand| hands[hand].post_with_key("/v1/charges", &charge, "\"cant hook\""));
    let done: Vec<_> = replies.iter().filter(|reply| reply.status == 201).collect();
    assert_eq!(done.len(), 1, "{replies:#?}");
    for reply in replies.iter().filter(|reply| reply.status != 201) {
        match reply.status {
            200 => assert_eq!(reply.text, done[0].text),
            _ => {
                let _busy = reply.refused(Code::RequestInProgress);
                assert_eq!(reply.header("retry-after"), Some("1"));
            }
        }
    }
    let charges = hands[0].get(&format!("/v1/charges?worker_id={}", world.worker)).expect(200);
    assert_eq!(charges["items"].as_array().map(Vec::len), Some(1));
}

#[test]
fn every_accepted_change_leaves_exactly_one_audit_entry() {
    let app = TestApp::start();
    let world = World::new(&app);
    let manager = world.actor(&app, Role::Manager);
    let entries = |about: &str| {
        let path = format!("/v1/audit/changes?limit=500&operation={about}");
        manager.get(&path).expect(200)["items"].as_array().expect("items").clone()
    };
    for operation in OPERATIONS.iter().filter(|operation| operation.id != "open_outfit") {
        let sample = world.sample(operation.id);
        let before = entries(operation.id).len();
        let reply = send(operation, &sample, &manager, "", Some(&new_key())).documented();
        assert!(reply.status < 300, "{}: {:#}", reply.asked, reply.body);
        let after = entries(operation.id);
        // Whoever stays signed in changes nothing.
        let one = usize::from(operation.effect != Effect::None && operation.id != "refresh_sign_in");
        assert_eq!(after.len() - before, one, "{}", operation.id);
        let Some(entry) = after.last().filter(|_| one == 1) else { continue };
        let author = if operation.effect == Effect::LetIn { "scaler" } else { "manager" };
        assert_eq!(entry["role"], author, "{entry:#}");
        assert_eq!(entry["request_id"].as_str(), reply.header("request-id"), "{entry:#}");
        if !shows_a_secret(operation) {
            let about = entry["about"].as_str().expect("an id");
            assert!(reply.text.contains(about), "{}: {about} is not in {:#}", operation.id, reply.body);
        }
    }
    // A ticket sent again changes nothing.
    let ticket = world.ticket();
    let _accepted = manager.post("/v1/tickets", &ticket).expect(201);
    let before = entries("post_ticket").len();
    let _replayed = manager.post("/v1/tickets", &ticket).expect(200);
    assert_eq!(entries("post_ticket").len(), before);
}

#[test]
fn a_rehearsal_goes_through_everything_and_keeps_nothing() {
    let app = TestApp::start();
    let world = World::new(&app);
    let database = Inspector::connect(&app.database.url());
    for operation in OPERATIONS.iter().filter(|operation| operation.effect.is_filed()) {
        let (sample, actor) = (world.sample(operation.id), somebody(&app, &world, operation));
        let before = database.counts();
        let rehearsed = send(operation, &sample, &actor, "?dry_run=true", None).documented();
        assert_eq!(rehearsed.status, 200, "{}: {:#}", rehearsed.asked, rehearsed.body);
        match answers_for_each(operation) {
            true => assert!(rehearsed.text.contains(r#""dry_run":true"#), "{}", rehearsed.text),
            false => assert_eq!(rehearsed.header("dry-run"), Some("true"), "{}", rehearsed.asked),
        }
        assert_eq!(database.counts(), before, "{}", operation.id);
        // It is still there to be done.
        let done = send(operation, &sample, &actor, "?dry_run=false", Some(&new_key())).documented();
        let well = if answers_for_each(operation) { 200 } else { 201 };
        assert_eq!(done.status, well, "{}: {:#}", done.asked, done.body);
        assert_ne!(database.counts(), before, "{}", operation.id);
        let _unknown = send(operation, &sample, &actor, "?dryrun=true", None).refused(Code::WrongAddress);
    }
    let manager = world.actor(&app, Role::Manager);
    let taken = manager.post("/v1/workers?dry_run=true", &json!({"name": "New hand"}));
    let _refused_as_it_would_be = taken.refused(Code::NameTaken);
}
