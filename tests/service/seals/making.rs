//! Making seals: at every posted week, on demand, once.

use serde_json::json;
use tests::Furnished;
use wire::Code;

use super::{Sealed, inclusion, latest, make, post, read, records, rows};

#[test]
fn a_posted_week_is_sealed_with_everything_before_it() {
    let sealed = Sealed::new();
    let stated = &sealed.kept.statement;
    assert_eq!(stated.tree_size, 6, "five tickets and the settlement");
    assert_eq!(stated.settlement_id.map(|id| id.to_string()), Some(sealed.settlement.clone()));
    assert_eq!(stated.outfit_id, sealed.outfit.outfit);
    assert!(sealed.kept.is_signed());
    // The same posting again seals nothing again.
    let posting = format!("/v1/settlements/{}/posting", sealed.settlement);
    let again = sealed.outfit.bookkeeper.put(&posting);
    assert_eq!((again.status, again.header("replayed")), (200, Some("true")));
    assert_eq!(latest(&sealed.outfit.contractor), sealed.kept);
    let second = sealed.another_week();
    assert_eq!(second.statement.tree_size, 10);
    assert_eq!(second.statement.public_key, stated.public_key, "one key as long as it can be opened");
    assert_eq!(sealed.faults(&second), Vec::<&str>::new());
    let check = sealed.check(&second);
    assert_eq!((check.records_checked, check.seals_checked), (10, 2));
}

#[test]
fn a_week_that_is_not_posted_is_not_sealed() {
    let sealed = Sealed::new();
    let _new = post(&sealed.outfit, 11, "2026-06-10");
    let draft = sealed.outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-13"}));
    let draft = crate::world::text(&draft.expect(201), "settlement_id");
    let _late = post(&sealed.outfit, 12, "2026-06-10");
    let posting = format!("/v1/settlements/{draft}/posting");
    let _refused = sealed.outfit.bookkeeper.put(&posting).refuses(Code::DraftOutOfDate);
    assert_eq!(latest(&sealed.outfit.contractor), sealed.kept);
    assert_eq!(rows(&sealed.app, "seal_leaf", sealed.outfit.outfit), 6);
}

#[test]
fn on_demand_what_is_new_is_added_and_what_is_not_is_answered_again() {
    let sealed = Sealed::new();
    let bookkeeper = &sealed.outfit.bookkeeper;
    let nothing_new = bookkeeper.post("/v1/seals", &json!({}));
    assert_eq!((nothing_new.status, nothing_new.header("replayed")), (200, Some("true")));
    assert_eq!(read::<seal::Seal>(nothing_new.body), sealed.kept);
    let _new = post(&sealed.outfit, 11, "2026-06-10");
    let rehearsed = bookkeeper.post("/v1/seals?dry_run=true", &json!({})).expect(200);
    assert_eq!(rehearsed["statement"]["tree_size"], 7);
    assert_eq!(latest(bookkeeper), sealed.kept, "a rehearsal keeps nothing");
    let key = "\"seal of the office\"";
    let made = bookkeeper.post_with_key("/v1/seals", &json!({}), key);
    assert_eq!(made.status, 201);
    let _later = post(&sealed.outfit, 12, "2026-06-10");
    let again = bookkeeper.post_with_key("/v1/seals", &json!({}), key);
    assert_eq!((again.status, again.header("replayed")), (200, Some("true")));
    assert_eq!(again.body, made.body, "the same request is answered as the first time");
    let seal: seal::Seal = read(made.body);
    assert_eq!((seal.statement.tree_size, seal.statement.settlement_id), (7, None));
    assert_eq!(make(bookkeeper).statement.tree_size, 8);
    for wrong in [json!({"says": "now"}), json!(null), json!([]), json!("seal")] {
        let _refused = bookkeeper.post("/v1/seals", &wrong).refuses(Code::WrongForm);
    }
    for wrong in ["", "{", "{} {}", "{,}"] {
        let sent = bookkeeper.send(reqwest::Method::POST, "/v1/seals", Some(wrong.to_owned()));
        let _refused = sent.refuses(Code::NotJson);
    }
    assert_eq!(latest(bookkeeper).statement.tree_size, 8);
}

#[test]
fn books_with_nothing_in_them_can_be_sealed() {
    let app = tests::TestApp::start();
    let outfit = Furnished::new(&app);
    let seal = make(&outfit.bookkeeper);
    assert_eq!((seal.statement.tree_size, seal.statement.root_hash), (0, seal::Hash::of_nothing()));
    let check = outfit.contractor.get(&format!("/v1/seals/{}/check", seal.statement.seal_id)).expect(200);
    assert_eq!(check["sound"], true);
    assert_eq!(records(&outfit.contractor, &seal), "");
    let _ticket = post(&outfit, 1, "2026-06-03");
    let path = super::consistency(&outfit.contractor, &seal, &make(&outfit.bookkeeper)).path;
    assert_eq!(path, []);
}

fn document(proof: &wire::SealInclusion) -> serde_json::Value {
    serde_json::from_str(&proof.document).expect("JSON")
}

/// Every ticket that was accepted is sealed, also one that another took the place of.
#[test]
fn corrected_tickets_stay_sealed() {
    let sealed = Sealed::new();
    let correction = json!({"reason": "read the wrong end", "ticket":
        tests::ticket(&sealed.outfit, 11, "2026-06-03", &[tests::log("12", "16")])});
    let path = format!("/v1/tickets/{}/corrections", sealed.tickets[0]);
    let corrected = sealed.outfit.scaler.post(&path, &correction).expect(201);
    let later = make(&sealed.outfit.bookkeeper);
    let old = inclusion(&sealed.outfit.contractor, &later, &format!("ticket_id={}", sealed.tickets[0]));
    assert_eq!(document(&old)["number"], 1);
    let new = crate::world::text(&corrected, "ticket_id");
    let new = document(&inclusion(&sealed.outfit.contractor, &later, &format!("ticket_id={new}")));
    assert_eq!(new["corrects"], sealed.tickets[0].as_str());
    assert_eq!(new["correction_reason"], "read the wrong end");
    assert_eq!(new["late_for"], sealed.settlement.as_str(), "{:#}", new);
    assert_eq!(sealed.faults(&later), Vec::<&str>::new());
}
