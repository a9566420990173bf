//! Lists come in pages, and each page says where the next one is.

use std::collections::BTreeSet;

use api::routes::OPERATIONS;
use serde_json::{Value, json};
use tests::{Actor, Reply, TestApp, log, ticket};
use wire::Code;

use crate::world::{World, pole};

/// Where a link of this relation leads (RFC 8288, section 3).
fn link(reply: &Reply, relation: &str) -> Option<String> {
    let links = reply.header("link")?;
    let wanted = format!("; rel=\"{relation}\"");
    links.split(", ").find_map(|link| {
        let target = link.strip_suffix(&wanted)?;
        Some(target.trim_start_matches('<').trim_end_matches('>').to_owned())
    })
}

/// Everything on all the pages of a list, turned by their links alone.
fn all(actor: &Actor, first: &str) -> Vec<Value> {
    let (mut path, mut items) = (first.to_owned(), Vec::new());
    loop {
        let reply = actor.get(&path);
        assert_eq!(reply.status, 200, "{}: {:#}", reply.asked, reply.body);
        items.extend(reply.body["items"].as_array().expect("items").iter().cloned());
        let next = link(&reply, "next");
        assert_eq!(next.is_some(), reply.body.get("next").is_some(), "{}", reply.asked);
        match next {
            None => return items,
            Some(next) => path = next,
        }
    }
}

/// Every list that has pages, one item a page, is what it is as one page; its links keep what was asked.
#[test]
fn every_list_is_the_same_in_pages() {
    let app = TestApp::start();
    let world = World::new(&app);
    for number in 0..3_u32 {
        let _voided = void(&world, 10 + 2 * number);
    }
    let mut paged = 0;
    for operation in OPERATIONS.iter().filter(|one| one.is_list()) {
        let path = world.sample(operation.id).path;
        let mark = if path.contains('?') { '&' } else { '?' };
        let actor = &world.outfit.manager;
        let whole = actor.get(&format!("{path}{mark}limit=500"));
        if whole.status == 400 {
            assert!(
                [
                    "list_holdback",
                    "list_wage_terms",
                    "list_balances",
                    "list_rules",
                    "list_seal_keys",
                    "list_practices"
                ]
                .contains(&operation.id)
            );
            continue;
        }
        let whole = whole.expect(200);
        let turned = all(actor, &format!("{path}{mark}limit=1"));
        assert_eq!(json!(turned), whole["items"], "{}", operation.id);
        let reply = actor.get(&format!("{path}{mark}limit=1"));
        let first = link(&reply, "first").expect("a link to the first page");
        assert!(first.contains("limit=1") && !first.contains("after"), "{first}");
        for part in path.split(['?', '&']).skip(1) {
            assert!(first.contains(part), "{first} has lost {part}");
        }
        paged += 1;
    }
    assert!(paged > 15, "{paged}");
}

fn void(world: &World, number: u32) -> Value {
    let body = json!({"from": number, "reason": "spoiled"});
    world.outfit.scaler.post("/v1/scale-books/A/voided-numbers", &body).expect(201)
}

/// A cursor belongs to one list with its filters; with others it would skip or repeat something.
#[test]
fn a_cursor_is_good_for_its_own_list_only() {
    let app = TestApp::start();
    let world = World::new(&app);
    let manager = &world.outfit.manager;
    let next = |path: &str| {
        let page = manager.get(path).expect(200);
        page["next"].as_str().unwrap_or_else(|| panic!("{path} has one page: {page:#}")).to_owned()
    };
    let cursor = next("/v1/tickets?book=A&limit=1");
    for good in ["book=A&limit=2", "limit=500&book=A", "book=A", "book=%41&format=csv"] {
        let reply = manager.get(&format!("/v1/tickets?{good}&after={cursor}"));
        assert_eq!(reply.status, 200, "{}: {:#}", reply.asked, reply.body);
    }
    for other in [
        format!("/v1/tickets?after={cursor}"),
        format!("/v1/tickets?book=B&after={cursor}"),
        format!("/v1/tickets?book=A&standing=true&after={cursor}"),
        format!("/v1/workers?after={cursor}"),
        format!("/v1/tickets?book=A&after={cursor}00"),
        format!("/v1/tickets?book=A&after={}", cursor.to_uppercase()),
        format!("/v1/tickets?book=A&after={}", &cursor[..16]),
    ] {
        let _problem = manager.get(&other).refuses(Code::WrongAddress);
    }
}

/// What is unpriced comes in the order of days, however it was posted, and a page goes on behind what was set aside since.
#[test]
fn unpriced_is_paged_in_the_order_of_days() {
    let app = TestApp::start();
    let world = World::new(&app);
    for (number, day) in [(51, "2026-06-12"), (52, "2026-06-08"), (53, "2026-06-14")] {
        let sent = ticket(&world.outfit, number, day, &[log("16", "16"), pole()]);
        let _posted = world.outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let manager = &world.outfit.manager;
    let days: Vec<_> =
        all(manager, "/v1/unpriced?limit=3").iter().map(|one| one["scaled_on"].to_string()).collect();
    assert!(days.is_sorted() && days.len() == 8, "{days:?}");
    let first = manager.get("/v1/unpriced?limit=1");
    let seen = &first.body["items"][0];
    let aside = json!({"task": seen["task"], "piece": seen["piece"], "reason": "kept"});
    let path = format!("/v1/tickets/{}/set-asides", seen["ticket_id"].as_str().expect("an id"));
    let _aside = manager.post(&path, &aside).expect(201);
    let rest = all(manager, &link(&first, "next").expect("a next page"));
    assert_eq!(rest.len(), 7);
    let distinct: BTreeSet<_> = rest.iter().map(Value::to_string).collect();
    assert_eq!(distinct.len(), 7);
}
