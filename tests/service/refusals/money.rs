//! Records of money: amounts, plans, kinds, and what names a record that is not there.

use serde_json::{Value, json};
use wire::Code;

use super::{Wrong, Yard, misformed, wrong};
use crate::world::{terms, text};

const NOBODY: &str = "01977000-0000-7000-8000-000000000099";

/// What no amount may be.
fn amounts(at: &'static str) -> Vec<Wrong> {
    let pointer = format!("#{at}");
    let of = |value: Value, says| misformed(at, value, pointer.clone(), says);
    vec![
        of(json!("0"), "more than 0"),
        of(json!("-1"), "more than 0"),
        of(json!("1000000000001"), "at most 1000000000000"),
        of(json!("1.005"), "1.005 is not an amount of USD: write it with at most 2 decimals"),
        of(json!("1.0000001"), "digits after the point"),
        of(json!("1/3"), "plain decimal"),
        of(json!("1e3"), "plain decimal"),
        of(json!("five"), "plain decimal"),
        of(json!(5), ""),
        of(json!(null), ""),
        of(json!({"amount": "5.00", "currency": "USD"}), ""),
    ]
}

/// What no day and no text about money may be.
fn day_and_words() -> Vec<Wrong> {
    vec![
        misformed("/dated", json!("2026-02-30"), "#/dated", ""),
        misformed("/dated", json!("20260601"), "#/dated", ""),
        misformed("/says", json!(""), "#/says", "empty"),
        misformed("/says", json!("two\nlines"), "#/says", "control character"),
        misformed("/says", json!("x".repeat(401)), "#/says", "400 characters"),
    ]
}

#[test]
fn wage_terms() {
    let yard = Yard::new();
    let table = vec![
        misformed("/effective_from", json!("2026-02-30"), "#/effective_from", ""),
        misformed("/terms/minimum_an_hour", json!("0"), "#/terms/minimum_an_hour", "more than 0"),
        misformed("/terms/guarantee_an_hour", json!(11), "#/terms/guarantee_an_hour", ""),
        misformed(
            "/terms/overtime",
            json!({"after_hours": "169"}),
            "#/terms/overtime/after_hours",
            "0 to 168",
        ),
        misformed("/terms/overtime", json!({}), "#/terms/overtime", "after_hours"),
        misformed("/terms/rest", json!("by_the_clock"), "#/terms/rest", ""),
        misformed("/terms/bonus", json!("1"), "#/terms/bonus", "bonus"),
        misformed("/terms", json!(null), "#/terms", ""),
    ];
    let good = || yard.world.sample("file_wage_terms").body.expect("a body");
    yard.refuses_each("/v1/wage-terms", good, table);
}

#[test]
fn charges() {
    let yard = Yard::new();
    let world = &yard.world;
    let mut table = amounts("/amount");
    // Left out is all of it; so nothing is, too.
    table.extend(amounts("/most_a_week").into_iter().filter(|one| !one.value.is_null()));
    table.extend(day_and_words());
    table.extend([
        misformed("/kind", json!("whisky"), "#/kind", "whisky"),
        misformed("/cuts_into_minimum", json!(true), "#/cuts_into_minimum", "only board and lodging can"),
        misformed("/cuts_into_minimum", json!("no"), "#/cuts_into_minimum", ""),
        misformed("/worker_id", json!("him"), "#/worker_id", ""),
        wrong("/worker_id", json!(NOBODY), Code::NamesMissingRecord, "", "worker"),
        wrong("/worker_id", json!(world.outfit.felling_crew), Code::NamesMissingRecord, "", "worker"),
    ]);
    yard.refuses_each("/v1/charges", || world.sample("file_charge").body.expect("a body"), table);
    let mut board = world.sample("file_charge").body.expect("a body");
    board["kind"] = json!("board");
    board["cuts_into_minimum"] = json!(true);
    let filed = yard.manager().post("/v1/charges", &board).expect(201);
    assert_eq!(filed["cuts_into_minimum"], true);
}

#[test]
fn advances() {
    let yard = Yard::new();
    let world = &yard.world;
    let plan = |value: Value, says| misformed("/recovery", value, "#/recovery", says);
    let mut table = amounts("/amount");
    table.extend(day_and_words());
    table.extend([
        plan(json!({"by": "whole", "amount": "1"}), "amount"),
        plan(json!({"by": "most_a_week"}), "amount"),
        plan(json!({"by": "most_a_week", "amount": "0"}), "more than 0"),
        plan(json!({"by": "most_a_week", "amount": "-2"}), "more than 0"),
        plan(json!({"by": "part_of_pay", "percent": "101"}), "at most 100"),
        misformed("/recovery", json!({"by": "and_by"}), "#/recovery/by", "and_by"),
        plan(json!("whole"), ""),
        misformed(
            "/recovery",
            json!({"by": "most_a_week", "amount": "1.234"}),
            "#/recovery/amount",
            "at most 2 decimals",
        ),
        wrong("/worker_id", json!(NOBODY), Code::NamesMissingRecord, "", "worker"),
    ]);
    yard.refuses_each("/v1/advances", || world.sample("file_advance").body.expect("a body"), table);
}

#[test]
fn payments() {
    let yard = Yard::new();
    let world = &yard.world;
    let mut table = amounts("/amount");
    table.extend(day_and_words());
    let both = json!({"worker_id": world.sawyer, "mill_id": world.outfit.mill_id});
    table.extend([
        misformed("/party", json!({}), "#/party", ""),
        misformed("/party", both, "#/party", ""),
        misformed("/party", json!({"crew_id": world.outfit.felling_crew}), "#/party", "crew_id"),
        misformed("/party", json!({"worker_id": "him"}), "#/party", ""),
        wrong("/party", json!({"worker_id": NOBODY}), Code::NamesMissingRecord, "", "worker"),
        wrong("/party", json!({"mill_id": NOBODY}), Code::NamesMissingRecord, "", "mill"),
    ]);
    yard.refuses_each("/v1/payments", || world.sample("file_payment").body.expect("a body"), table);
}

#[test]
fn releases_of_holdback() {
    let yard = Yard::new();
    let world = &yard.world;
    // 240 board feet at 10.01 a thousand: 1.20 to each of two, and a tenth of it is held.
    let too_much =
        |value: &str| wrong("/amount", json!(value), Code::MoreThanHeld, "#/amount", "0.12 USD is held");
    let mut table = amounts("/amount");
    table.extend(day_and_words());
    table.extend([
        too_much("0.13"),
        too_much("1000000000000"),
        wrong("/worker_id", json!(world.worker), Code::MoreThanHeld, "#/amount", "0.00 USD is held"),
        wrong(
            "/contract_id",
            json!(world.mill_contract()),
            Code::MoreThanHeld,
            "#/amount",
            "0.00 USD is held",
        ),
        wrong("/worker_id", json!(NOBODY), Code::NamesMissingRecord, "", "worker"),
        wrong("/contract_id", json!(NOBODY), Code::NamesMissingRecord, "", "contract"),
    ]);
    let good = || world.sample("release_holdback").body.expect("a body");
    yard.refuses_each("/v1/holdback-releases", good, table);
    let mut whole = good();
    whole["amount"] = json!("0.12");
    let _released = yard.manager().post("/v1/holdback-releases", &whole).expect(201);
    let problem = yard.refused(Code::MoreThanHeld, || yard.manager().post("/v1/holdback-releases", &good()));
    assert_eq!(problem["errors"][0]["pointer"], "#/amount");
}

#[test]
fn reversals() {
    let yard = Yard::new();
    let world = &yard.world;
    let good = || world.sample("file_reversal").body.expect("a body");
    let nobodys =
        |member: &str, says| wrong("/record", json!({member: NOBODY}), Code::NamesMissingRecord, "", says);
    let sent = good();
    let charge = text(&sent["record"], "charge_id");
    let table = vec![
        nobodys("charge_id", "charge"),
        nobodys("advance_id", "advance"),
        nobodys("payment_id", "payment"),
        nobodys("release_id", "release"),
        // A charge is no payment.
        wrong("/record", json!({"payment_id": charge}), Code::NamesMissingRecord, "", "payment"),
        misformed("/record", json!({}), "#/record", ""),
        misformed("/record", json!({"charge_id": charge, "payment_id": charge}), "#/record", ""),
        misformed("/record", json!({"ticket_id": charge}), "#/record", "ticket_id"),
        misformed("/reason", json!(""), "#/reason", "empty"),
        misformed("/reason", json!(null), "#/reason", ""),
    ];
    yard.refuses_each("/v1/reversals", || sent.clone(), table);
    let _reversed = yard.manager().post("/v1/reversals", &sent).expect(201);
    let problem = yard.refused(Code::ReversedAlready, || yard.manager().post("/v1/reversals", &sent));
    assert!(problem["detail"].as_str().is_some_and(|says| says.contains("charged twice")), "{problem:#}");
}

/// Holdback is kept of crews' pay, and its cap is an amount.
#[test]
fn holdback_in_terms() {
    let yard = Yard::new();
    let world = &yard.world;
    let held_back = |holdback: Value| {
        let mut terms = terms("10.01");
        terms["holdback"] = holdback;
        terms
    };
    let file = |contract: &str, holdback: Value| {
        yard.manager().post(&format!("/v1/contracts/{contract}/terms"), &held_back(holdback))
    };
    let ten = || json!({"percent": "10"});
    let problem = yard.refused(Code::TermsClash, || file(&world.mill_contract(), ten()));
    assert_eq!(problem["errors"][0]["pointer"], "#/holdback", "{problem:#}");
    let cap = json!({"percent": "10", "cap": "1.005"});
    let problem = yard.refused(Code::TermsClash, || file(&world.outfit.felling_contract, cap));
    assert_eq!(problem["errors"][0]["pointer"], "#/holdback/cap", "{problem:#}");
    for (wrong, pointer) in [
        (json!({"percent": "0"}), "#/holdback/percent"),
        (json!({"percent": "100.1"}), "#/holdback/percent"),
        (json!({"percent": "10", "cap": "0"}), "#/holdback/cap"),
        (json!({"cap": "10"}), "#/holdback"),
        (json!({"percent": "10", "until": "2027-01-01"}), "#/holdback/until"),
    ] {
        let problem = yard.refused(Code::WrongForm, || file(&world.outfit.felling_contract, wrong));
        assert_eq!(problem["errors"][0]["pointer"], pointer, "{problem:#}");
    }
    let mill = yard.manager().post("/v1/mills", &json!({"name": "Third mill"})).expect(201);
    let contract = json!({"title": "Logs", "job_id": world.outfit.job, "party": {"mill_id": mill["mill_id"]},
                          "terms": held_back(ten())});
    let problem = yard.refused(Code::TermsClash, || yard.manager().post("/v1/contracts", &contract));
    assert_eq!(problem["errors"][0]["pointer"], "#/terms/holdback", "{problem:#}");
}
