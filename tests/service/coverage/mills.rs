//! Mills: each sees what was delivered to it and what it owes, and nothing of another mill or of the crews.

use serde_json::Value;
use tests::{Actor, TestApp};
use wire::{Code, Role};

use crate::world::{World, text};

fn items(actor: &Actor, path: &str) -> Vec<Value> {
    actor.get(path).expect(200)["items"].as_array().expect("items").clone()
}

const AUDIT: &str = "/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-20";

#[test]
fn a_mill_sees_its_own_part_and_no_crews_pay() {
    let app = TestApp::start();
    let world = World::new(&app);
    let mill = &world.outfit.mill;
    let ours = [world.outfit.mill_id.clone()];
    let contracts = items(mill, "/v1/contracts");
    assert_eq!(contracts.iter().map(|one| text(&one["party"], "mill_id")).collect::<Vec<_>>(), ours);
    let tickets = items(mill, "/v1/tickets");
    assert_eq!(tickets.len(), 3);
    let shown = mill.get(&format!("/v1/tickets/{}", world.unpriced_ticket)).expect(200);
    let scaled = shown["scaled"].as_array().expect("scaled");
    assert_eq!(scaled.iter().map(|one| &one["contract_title"]).collect::<Vec<_>>(), ["Logs delivered"]);
    assert!(shown.get("unpriced").is_none(), "{shown:#}");
    let working = mill.get(&format!("/v1/tickets/{}/working", world.settled_ticket)).expect(200);
    let own_contract = text(&contracts[0], "contract_id");
    let pieces = working["pieces"].as_array().expect("pieces");
    assert!(!pieces.is_empty() && pieces.iter().all(|one| text(one, "contract_id") == own_contract));
    let statements = items(mill, "/v1/statements");
    assert_eq!(statements.iter().map(|one| text(&one["payee"], "mill_id")).collect::<Vec<_>>(), ours);
    let statement = mill.get(&format!("/v1/statements/{}", world.statement)).expect(200);
    for line in statement["lines"].as_array().expect("lines") {
        assert_eq!(line["party_name"], "Invented mill", "{line:#}");
    }
    let audit = mill.get(AUDIT).expect(200);
    let audited = audit["contracts"].as_array().expect("contracts");
    assert_eq!(audited.iter().map(|one| text(&one["party"], "mill_id")).collect::<Vec<_>>(), ours);
    assert!(audit.get("earned_by_crews").is_none() && audit.get("unpriced").is_none(), "{audit:#}");
}

#[test]
fn another_mill_of_the_same_outfit_sees_none_of_it() {
    let app = TestApp::start();
    let world = World::new(&app);
    let other = app.member(world.outfit.outfit, Role::Mill, Some(world.other_mill));
    let contracts = items(&other, "/v1/contracts");
    assert_eq!(contracts.iter().map(|one| text(one, "title")).collect::<Vec<_>>(), ["Logs delivered above"]);
    for list in ["/v1/tickets", "/v1/statements"] {
        assert_eq!(items(&other, list), Vec::<Value>::new(), "{list}");
    }
    for query in [format!("/v1/tickets?job_id={}", world.outfit.job), "/v1/tickets?book=A".to_owned()] {
        assert_eq!(items(&other, &query), Vec::<Value>::new(), "{query}");
    }
    let query = format!("/v1/statements?settlement_id={}", world.posted);
    assert_eq!(items(&other, &query), Vec::<Value>::new());
    let hidden = [
        format!("/v1/contracts/{}", world.mill_contract()),
        format!("/v1/contracts/{}", world.outfit.felling_contract),
        format!("/v1/tickets/{}", world.settled_ticket),
        format!("/v1/tickets/{}/working", world.settled_ticket),
        format!("/v1/tickets/{}/explanation", world.settled_ticket),
        format!("/v1/tickets/{}/pieces/1/explanation", world.settled_ticket),
        format!("/v1/statements/{}", world.statement),
        format!("/v1/statements/{}/lines/3", world.statement),
    ];
    for path in hidden {
        let problem = other.get(&path).refuses(Code::NotFound);
        // The same words as for what is not there at all.
        let id = path.split('/').nth(3).expect("an id");
        let nothing = id.replace(|letter: char| letter != '-', "9");
        let missing = other.get(&path.replace(id, &nothing)).refuses(Code::NotFound);
        assert_eq!(
            problem["detail"].as_str().map(|text| text.replace(id, &nothing)).as_deref(),
            missing["detail"].as_str()
        );
    }
    let seal = text(&items(&other, "/v1/seals")[0]["statement"], "seal_id");
    let proof = format!("/v1/seals/{seal}/inclusion?ticket_id={}", world.settled_ticket);
    let _hidden = other.get(&proof).refuses(Code::NotFound);
    let audit = other.get(AUDIT).expect(200);
    assert_eq!(audit["contracts"], serde_json::json!([]));
    assert_eq!(audit["owed_by_mills"]["amount"], "0.00");
}

/// A worker's name in the query does not turn a mill's list into a worker's.
#[test]
fn a_mill_cannot_ask_for_a_workers_statements() {
    let app = TestApp::start();
    let world = World::new(&app);
    let all = items(&world.outfit.bookkeeper, "/v1/statements");
    let worker = all.iter().find_map(|one| one["payee"]["worker_id"].as_str()).expect("a worker was paid");
    for one in items(&world.outfit.mill, &format!("/v1/statements?worker_id={worker}")) {
        assert_eq!(text(&one["payee"], "mill_id"), world.outfit.mill_id);
    }
    let theirs = all.iter().find(|one| one["payee"]["worker_id"] == worker).expect("a statement");
    let path = format!("/v1/statements/{}", text(theirs, "statement_id"));
    let _problem = world.outfit.mill.get(&path).refuses(Code::NotFound);
}
