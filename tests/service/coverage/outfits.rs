//! Outfits: with ids of another outfit's records nobody reaches them, whatever their role.

use std::collections::BTreeSet;

use api::http::operation::{Access, Operation};
use api::routes::OPERATIONS;
use serde_json::Value;
use tests::{Actor, Inspector, Reply, TestApp};
use wire::{Code, Role};

use crate::world::{Sample, World};

/// Whether a text is an id.
fn is_id(text: &str) -> bool {
    text.len() == 36
        && text.chars().enumerate().all(|(place, letter)| match place {
            8 | 13 | 18 | 23 => letter == '-',
            _ => letter.is_ascii_hexdigit(),
        })
}

/// Every id that stands in a JSON text.
fn ids_in(body: &Value, found: &mut BTreeSet<String>) {
    match body {
        Value::String(text) if is_id(text) => {
            found.insert(text.clone());
        }
        Value::Array(items) => items.iter().for_each(|item| ids_in(item, found)),
        Value::Object(members) => members.values().for_each(|member| ids_in(member, found)),
        _ => {}
    }
}

/// Every id that stands in a text of any kind.
fn ids_in_text(text: &str, found: &mut BTreeSet<String>) {
    let words = text.split(|letter: char| !letter.is_ascii_hexdigit() && letter != '-');
    found.extend(words.filter(|word| is_id(word)).map(str::to_owned));
}

/// The ids of everything that an outfit's manager can see.
fn all_ids(world: &World) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for operation in OPERATIONS.iter().filter(|one| one.method == actix_web::http::Method::GET) {
        let reply = world.sample(operation.id).send(operation, &world.outfit.manager);
        let reply = reply.documented();
        ids_in(&reply.body, &mut found);
        ids_in_text(&reply.text, &mut found);
    }
    assert!(found.len() > 20, "{found:?}");
    found
}

/// The pointers to every id in a body.
fn places(body: &Value, at: &str, found: &mut Vec<String>) {
    match body {
        Value::String(text) if is_id(text) => found.push(at.to_owned()),
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(place, item)| places(item, &format!("{at}/{place}"), found));
        }
        Value::Object(members) => {
            members.iter().for_each(|(name, member)| places(member, &format!("{at}/{name}"), found));
        }
        _ => {}
    }
}

/// The requests of `own` with, in each, one id taken from the same place of `foreign`.
fn with_one_foreign_id(own: &Sample, foreign: &Sample) -> Vec<(String, Sample)> {
    let mut mixed = Vec::new();
    let parts =
        |path: &str| path.split_inclusive(['/', '=', '&', '?']).map(str::to_owned).collect::<Vec<_>>();
    let (ours, theirs) = (parts(&own.path), parts(&foreign.path));
    assert_eq!(ours.len(), theirs.len());
    for (place, (our, their)) in ours.iter().zip(&theirs).enumerate() {
        if our != their {
            let mut path = ours.clone();
            path[place].clone_from(their);
            mixed
                .push((format!("path part {place}"), Sample { path: path.concat(), body: own.body.clone() }));
        }
    }
    let mut pointers = Vec::new();
    own.body.iter().for_each(|body| places(body, "", &mut pointers));
    for pointer in pointers {
        let (mut body, other) = (own.body.clone().expect("a body"), foreign.body.as_ref().expect("a body"));
        let id = other.pointer(&pointer).unwrap_or_else(|| panic!("no {pointer} in {other:#}"));
        *body.pointer_mut(&pointer).expect("it was found there") = id.clone();
        mixed.push((pointer, Sample { path: own.path.clone(), body: Some(body) }));
    }
    mixed
}

/// The code of a refusal, be it of the whole request or of its first ticket.
fn code(reply: &Reply) -> Option<Code> {
    let line: Value =
        reply.text.lines().next().map_or(Value::Null, |line| serde_json::from_str(line).unwrap_or_default());
    let first = line.get("tickets").map_or(&line, |tickets| &tickets[0]);
    let of_ticket = Code::ALL.iter().find(|code| first["problem"]["code"] == code.text()).copied();
    reply.code().or(of_ticket)
}

fn check(operation: &Operation, place: &str, reply: Reply, ids: &BTreeSet<String>) {
    let asked = format!("{} with another outfit's {place}", reply.asked);
    let reply = reply.documented();
    match code(&reply) {
        Some(Code::NotFound | Code::NamesMissingRecord) => {}
        // A list of what is not there is empty.
        None if reply.asked.contains('?') && operation.method == actix_web::http::Method::GET => {
            let mut seen = BTreeSet::new();
            ids_in_text(&reply.text, &mut seen);
            assert!(seen.is_disjoint(ids), "{asked}: {:#}", reply.body);
        }
        other => panic!("{asked}: {other:?} {:#}", reply.body),
    }
}

#[test]
fn with_ids_of_another_outfit_nothing_is_seen_and_nothing_changes() {
    let app = TestApp::start();
    let (first, second) = (World::new(&app), World::new(&app));
    let ids = all_ids(&first);
    let database = Inspector::connect(&app.database.url());
    let mut tried = 0;
    for operation in OPERATIONS {
        let Access::Roles(allowed) = operation.access else { continue };
        for role in allowed.iter().filter(|role| **role != Role::Operator) {
            let actor: Actor = second.actor(&app, *role);
            let (own, foreign) = (second.sample(operation.id), first.sample(operation.id));
            for (place, mixed) in with_one_foreign_id(&own, &foreign) {
                let before = database.counts();
                let reply = mixed.send(operation, &actor);
                check(operation, &place, reply, &ids);
                assert_eq!(database.counts(), before, "{} with {place}", operation.id);
                tried += 1;
            }
            // And what names no record of anybody shows none of the other outfit's either.
            let names_nothing = !own.path.split(['/', '=', '&', '?']).any(is_id);
            if operation.method == actix_web::http::Method::GET && names_nothing {
                let mut seen = BTreeSet::new();
                ids_in_text(&own.send(operation, &actor).documented().text, &mut seen);
                assert!(seen.is_disjoint(&ids), "{}", operation.id);
            }
        }
    }
    assert!(tried > 60, "only {tried} mixed requests");
}

/// The same records at once, all of them another outfit's: the way a leaked bookmark would be used.
#[test]
fn whole_requests_of_another_outfit_are_refused() {
    let app = TestApp::start();
    let (first, second) = (World::new(&app), World::new(&app));
    let database = Inspector::connect(&app.database.url());
    for operation in OPERATIONS.iter().filter(|one| one.access != Access::Open && one.id != "open_outfit") {
        let foreign = first.sample(operation.id);
        let mut named = BTreeSet::new();
        ids_in_text(&foreign.text().unwrap_or_default(), &mut named);
        if named.is_empty() && !foreign.path.split('/').any(is_id) {
            continue;
        }
        let before = database.counts();
        let reply = foreign.send(operation, &second.outfit.manager).documented();
        let refused = matches!(code(&reply), Some(Code::NotFound | Code::NamesMissingRecord));
        assert!(refused, "{}: {:#}", reply.asked, reply.body);
        assert_eq!(database.counts(), before, "{}", operation.id);
    }
}

/// A token may outlive its outfit's database, or be granted for an outfit that never was.
#[test]
fn an_outfit_that_is_not_there_has_nothing() {
    let app = TestApp::start();
    let world = World::new(&app);
    let nobodys = "01977000-0000-7000-8000-000000000099".parse().expect("an id");
    let manager = app.member(nobodys, Role::Manager, None);
    let database = Inspector::connect(&app.database.url());
    let ids = all_ids(&world);
    for operation in OPERATIONS.iter().filter(|one| one.access != Access::Open && one.id != "open_outfit") {
        let sample = world.sample(operation.id);
        let before = database.counts();
        let reply = sample.send(operation, &manager).documented();
        let mut seen = BTreeSet::new();
        ids_in_text(&reply.text, &mut seen);
        assert!(reply.status >= 400 || seen.is_disjoint(&ids), "{}: {:#}", reply.asked, reply.body);
        assert_eq!(database.counts(), before, "{}: {:#}", operation.id, reply.body);
    }
}
