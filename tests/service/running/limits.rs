//! Limits: whoever asks too often, and whoever comes when all hands are full, is told when to come back, and nothing
//! was done for them.

use api::http::operation::Access;
use api::routes::OPERATIONS;
use api::running::limits::Limits;
use jiff::SignedDuration;
use tests::{Actor, Inspector, Reply, TestApp, migrated_database};
use wire::{Code, Role};

use crate::raw::exchange;
use crate::world::World;

/// The header's parameters, after the name of the policy.
fn parameters(reply: &Reply, header: &str) -> (String, Vec<(String, i64)>) {
    let text = reply.header(header).unwrap_or_else(|| panic!("{}: no {header}", reply.asked));
    let mut parts = text.split(';');
    let policy = parts.next().expect("a policy").to_owned();
    let parameters = parts.map(|part| {
        let (name, value) = part.split_once('=').expect("a parameter");
        (name.to_owned(), value.parse().expect("a whole number"))
    });
    (policy, parameters.collect())
}

/// Checks that it was refused for its rate, and answers with the seconds to wait.
fn one_too_many(reply: Reply) -> i64 {
    let wait = reply.header("retry-after").and_then(|seconds| seconds.parse().ok()).expect("a pause");
    let (_, standing) = parameters(&reply, "ratelimit");
    assert_eq!(standing[0], ("r".to_owned(), 0), "nothing is left");
    let _problem = reply.refuses(Code::RateLimited);
    wait
}

fn limited(rate: u32, open_rate: u32) -> TestApp {
    let limits = Limits { rate_per_minute: rate, open_rate_per_minute: open_rate, ..Limits::wide() };
    TestApp::start_with(migrated_database(), limits)
}

#[test]
fn a_caller_is_told_what_is_left_and_when_to_come_back() {
    let app = limited(6, 2);
    let guesser = app.bearer("no token at all");
    let (operator, stranger) = (app.operator(), app.stranger());
    for left in (0..6).rev() {
        let reply = operator.post("/v1/outfits", &serde_json::json!({}));
        let (policy, standing) = parameters(&reply, "ratelimit");
        let full_in = (6 - left) * 10;
        assert_eq!(
            (policy.as_str(), standing),
            ("\"caller\"", vec![("r".into(), left), ("t".into(), full_in)])
        );
        let (policy, quota) = parameters(&reply, "ratelimit-policy");
        assert_eq!((policy.as_str(), quota), ("\"caller\"", vec![("q".into(), 6), ("w".into(), 60)]));
        let _wrong = reply.refuses(Code::WrongForm);
    }
    assert_eq!(one_too_many(operator.post("/v1/outfits", &serde_json::json!({}))), 10);
    app.clock.advance(SignedDuration::from_secs(10)).expect("a time");
    let _again = operator.post("/v1/outfits", &serde_json::json!({})).refuses(Code::WrongForm);
    // Somebody else has a bucket of their own; without a good token it is the address's.
    let _shown = stranger.get("/problems/not-found").expect(200);
    let _shown = stranger.get("/problems/not-found").expect(200);
    assert_eq!(one_too_many(stranger.get("/problems/not-found")), 30);
    assert_eq!(one_too_many(guesser.get("/v1/tickets")), 30, "the same address");
}

/// Every operation, from the one list: with an empty bucket it refuses, and nothing changes.
#[test]
fn every_operation_is_limited() {
    let app = TestApp::start();
    let world = World::new(&app);
    let samples: Vec<_> = OPERATIONS.iter().map(|one| (*one, world.sample(one.id))).collect();
    let inspector = Inspector::connect(&app.database.url());
    // The same database behind an instance that lets nobody ask twice.
    let strict = tests::BareApp::start(&api::running::Parts {
        connections: 2,
        limits: Limits { rate_per_minute: 1, open_rate_per_minute: 1, ..Limits::wide() },
        ..app.parts.clone()
    });
    let (operator, mill) = (strict.operator(), world.outfit.mill_id.parse().ok());
    let stranger = strict.stranger();
    let everybody: Vec<(Role, Actor)> = [Role::Scaler, Role::Bookkeeper, Role::Contractor, Role::Manager]
        .into_iter()
        .map(|role| (role, strict.member(world.outfit.outfit, role, None)))
        .chain([
            (Role::Operator, operator),
            (Role::Mill, strict.member(world.outfit.outfit, Role::Mill, mill)),
        ])
        .collect();
    for (_, actor) in &everybody {
        let _first = actor.get("/v1/workers");
    }
    let _first = stranger.get("/problems/not-found").expect(200);
    let before = inspector.counts();
    for (operation, sample) in samples {
        let callers: Vec<&Actor> = match operation.access {
            Access::Open => vec![&stranger],
            Access::Roles(roles) => {
                everybody.iter().filter(|(role, _)| roles.contains(role)).map(|(_, actor)| actor).collect()
            }
        };
        for actor in callers {
            let reply = sample.send(operation, actor);
            if operation.is_limited() {
                assert!((1..=60).contains(&one_too_many(reply)), "{}", operation.id);
            } else {
                let _watched = reply.expect(200);
            }
        }
    }
    assert_eq!(inspector.counts(), before);
}

/// Bad tokens are counted against the address that sends them, at the rate of strangers.
#[test]
fn nobody_tries_token_after_token() {
    let app = limited(1_000, 3);
    let guesser = app.bearer("not.a.token");
    for _ in 0..3 {
        let _refused = guesser.get("/v1/tickets").refuses(Code::TokenRefused);
    }
    assert_eq!(one_too_many(guesser.get("/v1/tickets")), 20);
    // Whoever has a good one is let in from the same address.
    let _let_in = app.operator().get("/v1/tickets").refuses(Code::RoleNotAllowed);
    app.clock.advance(SignedDuration::from_secs(20)).expect("a time");
    let _refused = guesser.get("/v1/tickets").refuses(Code::TokenRefused);
}

/// The address in `X-Forwarded-For` is a trusted proxy's word or nobody's.
#[test]
fn a_forwarded_address_is_believed_only_from_a_trusted_proxy() {
    let asked = |app: &TestApp, from: &str| {
        exchange(app.address, "GET /problems/not-found", &[&format!("X-Forwarded-For: {from}")], b"").status
    };
    let open = limited(1_000, 1);
    assert_eq!([asked(&open, "192.0.2.1"), asked(&open, "192.0.2.2")], [200, 429]);
    let behind = Limits {
        open_rate_per_minute: 1,
        trusted_proxies: vec!["127.0.0.0/8".parse().expect("a range")],
        ..Limits::wide()
    };
    let behind = TestApp::start_with(migrated_database(), behind);
    let statuses = ["192.0.2.1", "192.0.2.2", "192.0.2.1"].map(|from| asked(&behind, from));
    assert_eq!(statuses, [200, 200, 429]);
}

/// Requests beyond what is worked on at once are turned away at once, while those that are in go on.
#[test]
fn a_full_service_turns_away_before_it_falls_over() {
    let limits = Limits { requests: 2, ..Limits::wide() };
    let app = TestApp::start_with(migrated_database(), limits);
    let world = World::new(&app);
    let outfit = &world.outfit;
    let inspector = Inspector::connect(&app.database.url());
    inspector.hold_shut(outfit.outfit);
    let waiting: Vec<_> = (0..2)
        .map(|_| {
            let (manager, ticket) = (app.member(outfit.outfit, Role::Manager, None), world.ticket());
            std::thread::spawn(move || manager.post("/v1/tickets", &ticket).status)
        })
        .collect();
    inspector.await_waiting(2);
    let before = inspector.counts();
    let reply = outfit.manager.post("/v1/tickets", &world.ticket());
    let wait: u32 = reply.header("retry-after").and_then(|text| text.parse().ok()).expect("a pause");
    assert!((1..=3).contains(&wait), "{wait}");
    let _problem = reply.refuses(Code::Overloaded);
    let _nor_reading = outfit.manager.get("/v1/outfit").refuses(Code::Overloaded);
    let _watched = app.stranger().get("/health/live").expect(200);
    let _watched = app.stranger().get("/health/ready").expect(200);
    let metrics = exchange(app.metrics_address, "GET /metrics", &[], b"").text;
    assert!(metrics.contains("skidway_requests_shed_total{reason=\"requests\"} 2\n"), "{metrics}");
    assert!(metrics.contains("http_server_active_requests 2\n"), "{metrics}");
    assert_eq!(inspector.counts(), before, "what is turned away has done nothing");
    inspector.let_go();
    let statuses: Vec<_> = waiting.into_iter().map(|one| one.join().expect("answered")).collect();
    assert_eq!(statuses, [201, 201]);
    let _room_again = outfit.manager.post("/v1/tickets", &world.ticket()).expect(201);
}

#[test]
fn bodies_take_no_more_memory_than_they_may() {
    let app = TestApp::start_with(migrated_database(), Limits { body_bytes: 3_000, ..Limits::wide() });
    let world = World::new(&app);
    let manager = &world.outfit.manager;
    let mut ticket = world.ticket();
    ticket["remarks"] = serde_json::Value::from("x".repeat(3_000));
    let _problem = manager.post("/v1/tickets", &ticket).refuses(Code::Overloaded);
    let _small_enough = manager.post("/v1/tickets", &world.ticket()).expect(201);
    assert_eq!(app.instance.admission.requests(), 0);
}

/// Sends the beginning of a request and nothing more, and reads what comes until the connection ends or nothing has come for some
/// seconds.
fn begun_only(app: &TestApp, token: &str, head: &str, body: &str) -> String {
    use std::io::{Read, Write};
    let mut stream = std::net::TcpStream::connect(app.address).expect("the service listens");
    stream.set_read_timeout(Some(std::time::Duration::from_secs(5))).expect("a time limit");
    let head = format!("{head} HTTP/1.1\r\nHost: here\r\nAuthorization: Bearer {token}\r\n");
    stream.write_all(format!("{head}{body}").as_bytes()).expect("the service reads");
    let (mut answer, mut portion) = (Vec::new(), [0; 4_096]);
    while let Ok(length @ 1..) = stream.read(&mut portion) {
        answer.extend_from_slice(&portion[..length]);
    }
    String::from_utf8_lossy(&answer).into_owned()
}

#[test]
fn a_body_that_does_not_come_is_not_waited_for() {
    let wait = std::time::Duration::from_millis(300);
    let app = TestApp::start_with(migrated_database(), Limits { body_wait: wait, ..Limits::wide() });
    let world = World::new(&app);
    let caller = api::http::caller::Member {
        outfit: world.outfit.outfit,
        role: Role::Scaler,
        subject: "scaler".to_owned(),
        mill: None,
        grant: None,
    };
    let token = app.token(&api::http::caller::Caller::Member(caller), jiff::SignedDuration::from_hours(1));
    let document = begun_only(
        &app,
        &token,
        "POST /v1/tickets",
        "Content-Type: application/json\r\nContent-Length: 1000\r\n\r\n{\"book\": ",
    );
    assert!(document.starts_with("HTTP/1.1 503 "), "{document}");
    assert!(document.contains("\r\nretry-after: 1\r\n"), "{document}");
    assert!(document.contains("\"overloaded\""), "{document}");
    // What came whole is taken in and answered; that there is no last line says that it broke off.
    let ticket = format!("{}\n{{\"book\": ", world.ticket());
    let portion = format!("{:x}\r\n{ticket}\r\n", ticket.len());
    let lines = begun_only(
        &app,
        &token,
        "POST /v1/ticket-batches",
        &format!("Content-Type: application/x-ndjson\r\nTransfer-Encoding: chunked\r\n\r\n{portion}"),
    );
    assert!(lines.starts_with("HTTP/1.1 200 "), "{lines}");
    assert!(lines.contains("ticket_id") && !lines.contains("finished"), "{lines}");
    assert_eq!(app.instance.admission.requests(), 0, "their places are free again");
}
