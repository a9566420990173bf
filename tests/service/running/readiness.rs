//! Ready or not: what an instance says of itself, and how it stops without losing a request.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::Duration;

use serde_json::json;
use tests::{Inspector, TestApp, empty_database};
use wire::Code;

use crate::world::World;

#[test]
fn a_ready_instance_tells_what_it_rests_on() {
    let app = TestApp::start();
    let ready = app.stranger().get("/health/ready").expect(200);
    assert_eq!((&ready["status"], &ready["database"]), (&json!("ok"), &json!("ok")));
    let migrations = &ready["migrations"];
    assert_eq!(migrations["applied"], migrations["expected"]);
    assert!(migrations["expected"].as_u64().is_some_and(|expected| expected >= 15), "{ready:#}");
    assert_eq!(migrations["missing"], json!([]));
}

/// The pointers of what is missing.
fn missing(problem: &serde_json::Value) -> Vec<&str> {
    let errors = problem["errors"].as_array().expect("errors");
    errors.iter().map(|error| error["pointer"].as_str().expect("a pointer")).collect()
}

#[test]
fn a_database_of_another_shape_is_told_apart_from_one_that_is_gone() {
    let app = TestApp::start();
    let inspector = Inspector::connect(&app.database.url());
    let _gone = inspector
        .ask("DELETE FROM __diesel_schema_migrations WHERE version = (SELECT max(version) FROM __diesel_schema_migrations)");
    let problem = app.stranger().get("/health/ready").refuses(Code::NotReady);
    assert_eq!(missing(&problem), ["#/migrations/missing"]);
    let _newer = inspector.ask("INSERT INTO __diesel_schema_migrations (version) SELECT '99990101000000' || g FROM generate_series(1, 3) g");
    let problem = app.stranger().get("/health/ready").refuses(Code::NotReady);
    assert_eq!(missing(&problem), ["#/migrations/missing"], "later ones do not stand in for it");
    let bare = TestApp::start_on(empty_database());
    let problem = bare.stranger().get("/health/ready").refuses(Code::NotReady);
    assert_eq!(missing(&problem).len(), 1, "{problem:#}");
    let _alive = bare.stranger().get("/health/live").expect(200);
}

/// An older version goes on working on a database that a newer one has brought forward.
#[test]
fn a_newer_database_is_good_enough() {
    let app = TestApp::start();
    let inspector = Inspector::connect(&app.database.url());
    let _newer = inspector.ask("INSERT INTO __diesel_schema_migrations (version) VALUES ('99990101000000')");
    let ready = app.stranger().get("/health/ready").expect(200);
    let migrations = &ready["migrations"];
    assert_eq!(migrations["applied"].as_u64(), migrations["expected"].as_u64().map(|expected| expected + 1));
}

#[test]
fn an_instance_that_is_about_to_stop_is_not_ready_and_still_serves() {
    let app = TestApp::start();
    let world = World::new(&app);
    app.instance.begin_to_drain();
    let problem = app.stranger().get("/health/ready").refuses(Code::NotReady);
    assert_eq!(missing(&problem), ["#/status"]);
    let reply = world.outfit.manager.get("/v1/outfit");
    assert_eq!(reply.header("connection"), Some("close"), "the next connection is to be another's");
    let _shown = reply.expect(200);
    let _alive = app.stranger().get("/health/live").expect(200);
}

/// A request whose body is still on its way when the service is told to stop.
#[test]
fn what_is_under_way_is_finished() {
    let mut app = TestApp::start();
    let world = World::new(&app);
    let ticket = world.ticket().to_string();
    let manager = api::http::caller::Caller::Member(api::http::caller::Member {
        outfit: world.outfit.outfit,
        role: wire::Role::Manager,
        subject: "manager".to_owned(),
        mill: None,
        grant: None,
    });
    let token = app.token(&manager, jiff::SignedDuration::from_hours(1));
    let head = format!(
        "POST /v1/tickets HTTP/1.1\r\nHost: {}\r\nAuthorization: Bearer {token}\r\nContent-Type: application/json\r\n\
         Content-Length: {}\r\n\r\n",
        app.address,
        ticket.len()
    );
    let (first, rest) = ticket.as_bytes().split_at(ticket.len() / 2);
    let mut slow = TcpStream::connect(app.address).expect("it listens");
    slow.write_all(head.as_bytes()).and_then(|()| slow.write_all(first)).expect("it reads");
    let (address, rest) = (app.address, rest.to_vec());
    let finishing = std::thread::spawn(move || {
        // Until no new connection is taken: from then on only what is under way is left.
        while TcpStream::connect(address).is_ok() {
            std::thread::sleep(Duration::from_millis(5));
        }
        slow.write_all(&rest).expect("it still reads");
        let mut answer = String::new();
        slow.read_to_string(&mut answer).expect("it answers and closes");
        answer
    });
    while app.instance.admission.awaited() == 0 {
        std::thread::sleep(Duration::from_millis(5));
    }
    app.stop(Duration::ZERO);
    let answer = finishing.join().expect("it was answered");
    assert!(answer.starts_with("HTTP/1.1 201"), "{answer}");
    let inspector = Inspector::connect(&app.database.url());
    inspector.open_books_of(world.outfit.outfit);
    assert_eq!(inspector.number("SELECT count(*) FROM ticket"), 4, "three of the world, and this one");
}
