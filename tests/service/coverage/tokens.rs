//! Tokens: none, not ours, of another key, expired, tampered with.

use std::sync::Arc;

use api::http::caller::{Caller, Member};
use api::http::operation::Access;
use api::http::token::Tokens;
use api::routes::OPERATIONS;
use jiff::SignedDuration;
use kernel::{IdSource, SystemEntropy};
use serde_json::Value;
use tests::{Inspector, TestApp};
use wire::{Code, Role};

use crate::raw;
use crate::world::{Sample, World};

/// Tokens that were signed apart from the service, with the seed of the tests' service: header and claims in clear,
/// and the signature over exactly these bytes. The first is good; every other differs from it in what it says.
const CRAFTED: &str = include_str!("crafted_tokens.json");

/// Base64 for addresses, without padding (RFC 4648, section 5).
fn base64url(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let mut text = String::new();
    for chunk in bytes.chunks(3) {
        let number = chunk.iter().fold(0_u32, |number, byte| number << 8 | u32::from(*byte))
            << (8 * (3 - chunk.len()));
        for place in 0..=chunk.len() {
            let digit = usize::try_from(number >> (18 - 6 * place) & 63).expect("six bits");
            text.push(char::from(DIGITS[digit]));
        }
    }
    text
}

fn crafted() -> Vec<(String, String)> {
    let list: Vec<Value> = serde_json::from_str(CRAFTED).expect("a list");
    let part = |one: &Value, name: &str| one[name].as_str().expect("a text").to_owned();
    list.iter()
        .map(|one| {
            let (header, claims) = (part(one, "header"), part(one, "claims"));
            let token = format!(
                "{}.{}.{}",
                base64url(header.as_bytes()),
                base64url(claims.as_bytes()),
                part(one, "signature")
            );
            (part(one, "says"), token)
        })
        .collect()
}

fn manager(world: &World) -> Caller {
    Caller::Member(Member {
        outfit: world.outfit.outfit,
        role: Role::Manager,
        subject: "manager".to_owned(),
        mill: None,
        grant: None,
    })
}

/// Everything that is no good token of this service, each with what it is.
fn bad_tokens(app: &TestApp, world: &World) -> Vec<(String, String)> {
    let hour = SignedDuration::from_hours(1);
    let ids = IdSource::new(app.clock.clone(), Arc::new(SystemEntropy));
    let other = Tokens::new(&[8; 32], app.clock.clone(), ids).expect("a seed");
    let (of_another_key, _) = other.grant(&manager(world), hour).expect("a token");
    let good = app.token(&manager(world), hour);
    let operator = app.token(&Caller::Operator { subject: "operator".to_owned() }, hour);
    let parts: Vec<&str> = good.split('.').collect();
    let others: Vec<&str> = operator.split('.').collect();
    let mut bad = vec![
        ("nothing".to_owned(), String::new()),
        ("garbage".to_owned(), "garbage".to_owned()),
        ("garbage in three parts".to_owned(), "a.b.c".to_owned()),
        ("signed with another key".to_owned(), of_another_key),
        (
            "the claims of one with the signature of another".to_owned(),
            [others[0], others[1], parts[2]].join("."),
        ),
        ("with its end cut off".to_owned(), good[..good.len() - 4].to_owned()),
        ("without its signature".to_owned(), format!("{}.{}.", parts[0], parts[1])),
        ("twice in one".to_owned(), format!("{good}.{good}")),
    ];
    bad.extend(crafted().into_iter().skip(1));
    bad
}

#[test]
fn no_operation_with_roles_is_reached_without_a_good_token() {
    let app = TestApp::start();
    let world = World::new(&app);
    let database = Inspector::connect(&app.database.url());
    let guarded = OPERATIONS.iter().filter(|operation| operation.access != Access::Open);
    let samples: Vec<_> = guarded.map(|operation| (operation, world.sample(operation.id))).collect();
    // Neither is it told whether the rest of the request is good.
    let senseless: Vec<_> = samples
        .iter()
        .map(|(operation, sample)| {
            let path = operation.path.replace(['{', '}'], "!") + "?what=ever";
            (operation, Sample { path, body: sample.body.as_ref().map(|_| Value::Null) })
        })
        .collect();
    let mut strangers = vec![("no token".to_owned(), app.stranger(), Code::NoToken, "Bearer")];
    strangers.extend(bad_tokens(&app, &world).into_iter().map(|(says, token)| {
        (says, app.bearer(&token), Code::TokenRefused, "Bearer error=\"invalid_token\"")
    }));
    let before = database.counts();
    for (says, actor, code, challenge) in strangers {
        for (operation, sample) in samples
            .iter()
            .map(|(one, sample)| (one, sample))
            .chain(senseless.iter().map(|(one, sample)| (*one, sample)))
        {
            let reply = sample.send(operation, &actor);
            assert_eq!(reply.code(), Some(code), "{} {says}: {:#}", reply.asked, reply.body);
            assert_eq!(reply.header("www-authenticate"), Some(challenge), "{} {says}", reply.asked);
            let _problem = reply.refuses(code);
        }
        assert_eq!(database.counts(), before, "{says}");
    }
}

#[test]
fn the_crafted_tokens_fail_for_what_they_say_only() {
    let app = TestApp::start();
    let (says, good) = crafted().swap_remove(0);
    assert_eq!(says, "as the service makes them");
    // It is a good token, of an outfit that is not there: so the others are refused for their difference alone.
    let problem = app.bearer(&good).get("/v1/outfit").refuses(Code::TokenRefused);
    assert!(
        problem["detail"].as_str().is_some_and(|text| text.contains("outfit that is not there")),
        "{problem:#}"
    );
    for (says, token) in crafted().into_iter().skip(1) {
        let problem = app.bearer(&token).get("/v1/outfit").refuses(Code::TokenRefused);
        assert!(
            !problem["detail"].as_str().is_some_and(|text| text.contains("outfit that")),
            "{says}: {problem:#}"
        );
    }
    assert_eq!(base64url(b"any carnal pleas"), "YW55IGNhcm5hbCBwbGVhcw");
}

#[test]
fn a_token_expires_to_the_second() {
    let app = TestApp::start();
    let world = World::new(&app);
    let token = app.token(&manager(&world), SignedDuration::from_hours(1));
    let actor = app.bearer(&token);
    // Clocks of two instances of the service may differ by five seconds.
    app.clock.advance(SignedDuration::from_secs(60 * 60 + 4)).expect("a time");
    let _shown = actor.get("/v1/outfit").expect(200);
    app.clock.advance(SignedDuration::from_secs(1)).expect("a time");
    for operation in OPERATIONS.iter().filter(|operation| operation.access != Access::Open) {
        let reply = world.sample(operation.id).send(operation, &actor);
        assert_eq!(
            reply.header("www-authenticate"),
            Some("Bearer error=\"invalid_token\""),
            "{}",
            reply.asked
        );
        let _problem = reply.refuses(Code::TokenExpired);
    }
}

#[test]
fn open_operations_ask_for_no_token_and_mind_no_bad_one() {
    let app = TestApp::start();
    let world = World::new(&app);
    let mut open = 0;
    for operation in OPERATIONS.iter().filter(|operation| operation.access == Access::Open) {
        for actor in [app.stranger(), app.bearer("garbage")] {
            let _answer = world.sample(operation.id).send(operation, &actor).expect(200);
        }
        open += 1;
    }
    assert_eq!(open, 11);
    let _document = app.stranger().get("/openapi.json").expect(200);
}

#[test]
fn the_header_is_read_as_the_standard_says() {
    let app = TestApp::start();
    let world = World::new(&app);
    let good = app.token(&manager(&world), SignedDuration::from_hours(1));
    let ask = |headers: &[&str]| raw::exchange(app.address, "GET /v1/outfit", headers, b"");
    for scheme in ["Bearer", "bearer", "BEARER"] {
        assert_eq!(ask(&[&format!("Authorization: {scheme} {good}")]).status, 200, "{scheme}");
    }
    for refused in [format!("Basic {good}"), good.clone(), format!("Bearer{good}"), "Bearer".to_owned()] {
        let reply = ask(&[&format!("Authorization: {refused}")]);
        assert_eq!((reply.status, reply.code()), (401, "token-refused"), "{refused}");
    }
    let reply = ask(&["Authorization: Bearer \u{ff}"]);
    assert_eq!((reply.status, reply.code()), (401, "token-refused"));
    // A token belongs in the header and nowhere else: addresses get written into logs.
    let reply = raw::exchange(app.address, &format!("GET /v1/outfit?access_token={good}"), &[], b"");
    assert_eq!((reply.status, reply.code()), (401, "no-token"));
}
