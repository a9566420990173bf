//! Bodies that no operation takes, tried on every operation that takes one.

use api::http::body::BODY_LIMIT;
use api::http::operation::Operation;
use api::routes::OPERATIONS;
use jiff::SignedDuration;
use reqwest::Method;
use serde_json::Value;
use tests::Actor;
use wire::{Code, Role};

use super::Yard;
use crate::raw;
use crate::world::Sample;

/// An operation whose body has no members: there is nothing in it to make wrong. Its own tests try what it refuses.
const NO_MEMBERS: &str = "make_seal";

/// Every operation that takes a body with members, with a good request and somebody who may send it.
fn senders(yard: &Yard) -> Vec<(&'static Operation, Sample, Actor)> {
    let operator = yard.app.operator();
    OPERATIONS
        .iter()
        .filter(|operation| operation.takes_body() && operation.id != NO_MEMBERS)
        .map(|operation| {
            let actor = if operation.id == "open_outfit" { &operator } else { yard.manager() };
            (*operation, yard.world.sample(operation.id), actor.clone())
        })
        .collect()
}

/// Operations whose body may be an object without members.
const NO_MEMBER_NEEDED: [&str; 3] = ["make_signing_secret", "try_event_subscription", "replay_dead_letters"];

fn send(path: &str, actor: &Actor, body: impl Into<String>) -> tests::Reply {
    actor.send(Method::POST, path, Some(body.into()))
}

#[test]
fn what_is_no_json_is_refused_with_the_place_where_reading_stopped() {
    let yard = Yard::new();
    for (operation, sample, actor) in senders(&yard) {
        let good = sample.body.as_ref().expect("a body").to_string();
        let half: String = good.chars().take(good.chars().count() / 2).collect();
        let texts = [
            String::new(),
            "board feet".to_owned(),
            half,
            format!("{good} and more"),
            format!("{good}{good}"),
            format!("\u{feff}{good}"),
            good.replace('"', "'"),
            good.replacen('{', "{,", 1),
            format!("// a remark\n{good}"),
        ];
        for text in texts {
            let problem = yard.refused(Code::NotJson, || send(&sample.path, &actor, text.clone()));
            let detail = problem["detail"].as_str().expect("a detail");
            let placed = detail.contains("line 1") || detail.contains("follows");
            assert!(placed || text.starts_with("//"), "{}: {text:.40}: {detail}", operation.id);
        }
    }
}

#[test]
fn json_of_another_form_is_refused() {
    let yard = Yard::new();
    for (operation, sample, actor) in senders(&yard) {
        let good = sample.body.as_ref().expect("a body");
        let none_needed = NO_MEMBER_NEEDED.contains(&operation.id);
        for text in ["null", "true", "17", "\"text\"", "[]", "[1, 2]", "{}"] {
            if text == "{}" && none_needed {
                continue;
            }
            let problem = yard.refused(Code::WrongForm, || send(&sample.path, &actor, text));
            let pointer = problem["errors"][0]["pointer"].as_str().unwrap_or_default();
            assert!(matches!(pointer, "#" | "#/0"), "{} {text}: {problem:#}", operation.id);
        }
        // A list of the members' values in their order is not the object.
        let values: Vec<&Value> = good.as_object().expect("an object").values().collect();
        let list = serde_json::to_string(&values).expect("JSON");
        let _problem = yard.refused(Code::WrongForm, || send(&sample.path, &actor, list));
        let mut more = good.clone();
        more["wingspan_in"] = Value::from("70");
        let problem = yard.refused(Code::WrongForm, || actor.post(&sample.path, &more));
        assert!(problem["detail"].as_str().is_some_and(|text| text.contains("wingspan_in")), "{problem:#}");
        let member = good.as_object().and_then(|members| members.keys().next()).expect("a member");
        let twice = good.to_string().replacen('{', &format!("{{\"{member}\":{},", good[member]), 1);
        let problem = yard.refused(Code::WrongForm, || send(&sample.path, &actor, twice));
        assert!(problem["detail"].as_str().is_some_and(|text| text.contains(member.as_str())), "{problem:#}");
    }
}

#[test]
fn a_body_must_be_declared_as_json() {
    let yard = Yard::new();
    for (_, sample, actor) in senders(&yard) {
        let good = sample.body.as_ref().expect("a body").to_string();
        for kind in
            ["text/plain", "application/x-www-form-urlencoded", "application/jsonp", "text/json", "*/*"]
        {
            let _problem = yard.refused(Code::NotJsonMediaType, || {
                actor.send_as(Method::POST, &sample.path, Some(good.clone()), kind)
            });
        }
        let _problem = yard.refused(Code::NotJsonMediaType, || actor.send(Method::POST, &sample.path, None));
    }
}

#[test]
fn json_may_be_declared_with_its_character_set() {
    let yard = Yard::new();
    let body = Some("{\"name\": \"Jõgi crew\"}".to_owned());
    let kind = "Application/JSON; charset=utf-8";
    let filed = yard.manager().send_as(Method::POST, "/v1/crews", body, kind).expect(201);
    assert_eq!(filed["name"], "Jõgi crew");
}

#[test]
fn too_large_a_body_is_answered_readably_and_not_kept() {
    let yard = Yard::new();
    for (operation, sample, actor) in senders(&yard) {
        let just_too_large = format!("\"{}\"", "x".repeat(BODY_LIMIT - 1));
        let problem = yard.refused(Code::BodyTooLarge, || send(&sample.path, &actor, just_too_large));
        assert!(problem["detail"].as_str().is_some_and(|text| text.contains("1048576")), "{}", operation.id);
        let just_not = format!("\"{}\"", "x".repeat(BODY_LIMIT - 2));
        let _problem = yard.refused(Code::WrongForm, || send(&sample.path, &actor, just_not));
    }
    let ten_megabytes = format!("[{}]", " ".repeat(10 * 1024 * 1024));
    let _problem = yard.refused(Code::BodyTooLarge, || send("/v1/tickets", yard.manager(), ten_megabytes));
}

#[test]
fn deep_nesting_is_refused_before_it_can_hurt() {
    let yard = Yard::new();
    for (_, sample, actor) in senders(&yard) {
        let member =
            sample.body.as_ref().and_then(Value::as_object).and_then(|members| members.keys().next());
        let member = member.expect("a member");
        for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
            for depth in [100, 10_000, 100_000] {
                let deep = format!("{}1{}", open.repeat(depth), close.repeat(depth));
                for body in [deep.clone(), format!("{{\"{member}\": {deep}}}")] {
                    let reply = send(&sample.path, &actor, body).documented();
                    assert!(
                        matches!(reply.code(), Some(Code::NotJson | Code::WrongForm)),
                        "{:#}",
                        reply.body
                    );
                }
            }
        }
    }
}

#[test]
fn bytes_that_are_no_text_are_refused() {
    let yard = Yard::new();
    let manager = api::http::caller::Caller::Member(api::http::caller::Member {
        outfit: yard.world.outfit.outfit,
        role: Role::Manager,
        subject: "manager".to_owned(),
        mill: None,
        grant: None,
    });
    let token = yard.app.token(&manager, SignedDuration::from_hours(1));
    let headers = [
        format!("Authorization: Bearer {token}"),
        "Content-Type: application/json".to_owned(),
        "Idempotency-Key: \"raw\"".to_owned(),
    ];
    let headers: Vec<&str> = headers.iter().map(String::as_str).collect();
    let bodies: [&[u8]; 4] = [
        b"{\"name\": \"\xff\xfe\"}",
        b"{\"name\": \"\xed\xa0\x80\"}",
        b"\x1f\x8b\x08\x00\x00",
        b"{\"name\": \"a\nb\"}",
    ];
    let before = yard.database.counts();
    for body in bodies {
        let reply = raw::exchange(yard.app.address, "POST /v1/crews", &headers, body);
        assert_eq!((reply.status, reply.code()), (400, "not-json"), "{body:?}: {:#}", reply.body);
    }
    // Half of a pair of surrogates can be written in JSON and is no text all the same.
    let reply = raw::exchange(yard.app.address, "POST /v1/crews", &headers, b"{\"name\": \"\\ud800\"}");
    assert!([400, 422].contains(&reply.status), "{:#}", reply.body);
    // A body that ends before its declared length is one that broke off.
    let mut cut_short = headers.clone();
    cut_short.push("Content-Length: 500");
    let reply = raw::exchange(yard.app.address, "POST /v1/crews", &cut_short, b"");
    assert!(reply.status == 0 || (reply.status, reply.code()) == (400, "not-json"), "{}", reply.head);
    assert_eq!(yard.database.counts(), before);
}

/// Where an object belongs, a list of its members' values in their order is not one: nobody can mean that, and
/// nothing documents it.
#[test]
fn a_list_is_no_object_at_any_depth() {
    let yard = Yard::new();
    for (operation, sample, actor) in senders(&yard) {
        let good = sample.body.clone().expect("a body");
        let mut objects = Vec::new();
        nested_objects(&good, "", &mut objects);
        for pointer in objects {
            let members = good.pointer(&pointer).and_then(Value::as_object).expect("it was found there");
            for values in orders(members.values().cloned().collect()) {
                let mut body = good.clone();
                *body.pointer_mut(&pointer).expect("it was found there") = Value::Array(values);
                let reply = actor.post(&sample.path, &body).documented();
                assert!(reply.status >= 400, "{} takes a list at {pointer}: {body}", operation.id);
            }
        }
    }
}

/// A few values in every order; many in one.
fn orders(values: Vec<Value>) -> Vec<Vec<Value>> {
    if values.len() > 4 || values.len() < 2 {
        return vec![values];
    }
    (0..values.len())
        .flat_map(|first| {
            let mut rest = values.clone();
            let first = rest.remove(first);
            orders(rest).into_iter().map(move |rest| [vec![first.clone()], rest].concat())
        })
        .collect()
}

fn nested_objects(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            if !at.is_empty() {
                found.push(at.to_owned());
            }
            members.iter().for_each(|(name, member)| nested_objects(member, &format!("{at}/{name}"), found));
        }
        Value::Array(items) => {
            items
                .iter()
                .enumerate()
                .for_each(|(place, item)| nested_objects(item, &format!("{at}/{place}"), found));
        }
        _ => {}
    }
}
