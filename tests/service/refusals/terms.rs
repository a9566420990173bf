//! Terms that contradict themselves: rates that clash, practices that cannot be, rates without a practice.

use serde_json::{Value, json};
use wire::Code;

use super::{Wrong, Yard, misformed, put, wrong};
use crate::world::terms;

fn path(yard: &Yard) -> String {
    format!("/v1/contracts/{}/terms", yard.world.outfit.felling_contract)
}

fn clash(at: &'static str, value: Value, pointer: &'static str, says: &'static str) -> Wrong {
    wrong(at, value, Code::TermsClash, pointer, says)
}

#[test]
fn practices() {
    let yard = Yard::new();
    let log = |at, value: Value, says| misformed(at, value, "#/practice/log", says);
    let member = |at, value: Value, says| misformed(at, value, format!("#{at}"), says);
    let table = vec![
        misformed("/practice", json!([]), "#/practice", ""),
        misformed("/practice", json!("doyle"), "#/practice", ""),
        misformed("/practice/logs", json!({"rule": "doyle"}), "#/practice/logs", "logs"),
        // What contradicts itself is told of the whole practice, what is misformed of the member.
        log("/practice/log", json!({}), "rule"),
        log("/practice/log/rule", json!("quarter-girth"), "cannot scale"),
        log("/practice/log/rule", json!("board-measure"), "squared timber"),
        log("/practice/log/whole_inches", json!(false), "whole inches"),
        log("/practice/log/length_multiple_ft", json!("1"), "even lengths"),
        log("/practice/log/cull_share", json!("2"), "cull_share"),
        log("/practice/log/cull_share", json!("-1/3"), "cull_share"),
        log("/practice/log/unit", json!("cubic_foot"), "unit"),
        member("/practice/log/rule", json!("scribble"), "scribble"),
        member("/practice/log/rule", json!(1), ""),
        member("/practice/log/whole_inches", json!("no"), "boolean"),
        member("/practice/log/length_multiple_ft", json!(2), ""),
        member("/practice/log/least_trim_in", json!("-1"), "at least 0"),
        member("/practice/log/least_trim_in", json!(3), "written as text"),
        member("/practice/log/least_trim_in", json!("25"), "at most 24"),
        member("/practice/log/longest_scaling_length_ft", json!("0"), "more than 0"),
        member("/practice/log/cull_share", json!("1/0"), "cull_share"),
        member("/practice/log/one_reading", json!("upwards"), "upwards"),
        member("/practice/log/colour", json!("red"), "colour"),
    ];
    yard.refuses_each(&path(&yard), || terms("10"), table);
}

#[test]
fn rates() {
    let yard = Yard::new();
    let rate = |at, value: Value, says| misformed(at, value, "#/rates/0", says);
    let covers = |value: Value, pointer, says| misformed("/rates/0/covers", value, pointer, says);
    let table = vec![
        misformed("/rates", json!({}), "#/rates", "list"),
        misformed("/rates/0/price", json!(10), "#/rates/0/price", "written as text"),
        misformed("/rates/0/price", json!("10.0000001"), "#/rates/0/price", "digits after the point"),
        misformed("/rates/0/price", json!("9223372036854.775808"), "#/rates/0/price", "too large"),
        misformed("/rates/0/price", json!(""), "#/rates/0/price", "plain decimal"),
        misformed("/rates/0/unit", json!("bushel"), "#/rates/0/unit", "bushel"),
        misformed("/rates/0/unit", json!(1_000), "#/rates/0/unit", ""),
        misformed("/rates/0/basis", json!("tare"), "#/rates/0/basis", "tare"),
        misformed("/rates/0/task", json!("sleeping"), "#/rates/0/task", "sleeping"),
        misformed("/rates/0/product", json!("plank"), "#/rates/0/product", "plank"),
        misformed("/rates/0/name", json!(""), "#/rates/0/name", "empty"),
        misformed("/rates/0/name", json!("nul \u{0}"), "#/rates/0/name", "does not print"),
        misformed("/rates/0/bonus", json!("1"), "#/rates/0/bonus", "bonus"),
        rate("/rates/0/price", json!("-1"), "below zero"),
        rate("/rates/0/basis", json!(null), "who bears defect"),
        rate("/rates/0/product", json!(null), "product"),
        rate("/rates/0/unit", json!("turn"), ""),
        rate("/rates/0/unit", json!("piece"), "neither gross nor net"),
        covers(json!({"wind": "north"}), "#/rates/0/covers/wind", "wind"),
        covers(json!({"diameter_in": {}}), "#/rates/0/covers/diameter_in", "from"),
        covers(json!({"diameter_in": {"from": "12", "below": "8"}}), "#/rates/0/covers/diameter_in", "below"),
        covers(json!({"diameter_in": {"from": "-1"}}), "#/rates/0/covers/diameter_in", "begin at 0"),
        covers(json!({"diameter_in": {"from": 8}}), "#/rates/0/covers/diameter_in/from", "written as text"),
        covers(json!({"diameter_in": {"upto": "8"}}), "#/rates/0/covers/diameter_in/upto", "upto"),
        covers(json!({"species": [""]}), "#/rates/0/covers/species/0", "empty"),
        covers(json!({"species": "pine"}), "#/rates/0/covers/species", "list"),
        rate("/rates/0/covers", json!({"species": vec!["pine"; 101]}), "at most 100"),
    ];
    yard.refuses_each(&path(&yard), || terms("10"), table);
}

#[test]
fn days() {
    let yard = Yard::new();
    let days = ["", "2026-02-30", "20260601", "2026-06-01T00:00", "tomorrow", "-009999-01-01"];
    let table = days
        .map(|day| misformed("/effective_from", json!(day), "#/effective_from", ""))
        .into_iter()
        .collect();
    yard.refuses_each(&path(&yard), || terms("10"), table);
}

#[test]
fn rates_that_clash_are_refused_with_every_clash() {
    let yard = Yard::new();
    let rate = |name: &str, covers: Value| {
        let mut rate = terms("10")["rates"][0].clone();
        put(&mut rate, "/name", json!(name));
        put(&mut rate, "/covers", covers);
        rate
    };
    let overlapping = json!([
        rate("small", json!({"diameter_in": {"below": "12"}})),
        rate("middling", json!({"diameter_in": {"from": "10", "below": "16"}})),
        rate("large", json!({"diameter_in": {"from": "14"}}))
    ]);
    let same_name = json!([
        rate("logs", json!({"diameter_in": {"below": "12"}})),
        rate("Logs", json!({"diameter_in": {"from": "12"}}))
    ]);
    let everything_twice = json!([rate("one", json!({})), rate("two", json!({}))]);
    for (rates, clashes) in [(overlapping, 2), (same_name, 1), (everything_twice, 1)] {
        let mut body = terms("10");
        put(&mut body, "/rates", rates);
        let problem = yard.refused(Code::TermsClash, || yard.manager().post(&path(&yard), &body));
        assert_eq!(problem["errors"].as_array().map(Vec::len), Some(clashes), "{problem:#}");
        let contract = json!({"title": "Felling again", "job_id": yard.world.outfit.job,
                              "party": {"crew_id": yard.world.outfit.teamster}, "terms": body});
        let problem = yard.refused(Code::TermsClash, || yard.manager().post("/v1/contracts", &contract));
        let pointer = problem["errors"][0]["pointer"].as_str().unwrap_or_default();
        assert!(pointer.starts_with("#/terms/rates"), "{problem:#}");
    }
}

#[test]
fn rates_without_a_practice() {
    let yard = Yard::new();
    let hewn = json!({"name": "hewing", "task": "hewing", "product": "hewn_timber", "unit": "linear_foot",
                      "price": "0.03"});
    let poles = json!({"name": "poles", "task": "felling", "product": "pole", "unit": "cubic_foot", "basis": "net",
                       "price": "0.03"});
    let piles = json!({"name": "piles", "task": "felling", "product": "ranked_pile", "unit": "cord", "basis": "net",
                       "price": "6"});
    let cubic = json!({"rule": "smalian"});
    let half_named = json!({"rule": "smalian", "volume_rounding": {"step": "0.01", "mode": "half_up"}});
    let table = vec![
        clash("/practice", json!({}), "#/rates/0", "does not say how a log is scaled"),
        clash("/practice", json!({"hewn_timber": {}}), "#/rates/0", "does not say how a log is scaled"),
        clash("/rates/0", hewn, "#/rates/0", "hewn_timber"),
        clash("/rates/0", poles, "#/rates/0", "pole"),
        clash("/rates/0", piles, "#/rates/0", "ranked_pile"),
        clash("/practice/log", cubic, "#/practice/log", "volume_rounding and deduction_rounding"),
        clash("/practice/log", half_named, "#/practice/log", "volume_rounding and deduction_rounding"),
    ];
    yard.refuses_each(&path(&yard), || terms("10"), table);
}

#[test]
fn contracts() {
    let yard = Yard::new();
    let world = &yard.world;
    let good = || world.sample("file_contract").body.expect("a body");
    let nobody = "01977000-0000-7000-8000-000000000099";
    let missing = |at, value, says| wrong(at, value, Code::NamesMissingRecord, "", says);
    let both = json!({"crew_id": world.outfit.teamster, "mill_id": world.outfit.mill_id});
    let taken = json!({"crew_id": world.outfit.felling_crew});
    let table = vec![
        misformed("/title", json!(""), "#/title", "empty"),
        misformed("/party", both, "#/party", ""),
        misformed("/party", json!({}), "#/party", ""),
        misformed("/party", json!({"worker_id": world.worker}), "#/party", "worker_id"),
        misformed("/party", json!("crew"), "#/party", ""),
        misformed("/terms", json!([]), "#/terms", ""),
        misformed("/terms/holdback", json!("0.1"), "#/terms/holdback", "holdback"),
        missing("/job_id", json!(nobody), "job"),
        missing("/party", json!({"crew_id": nobody}), "crew"),
        missing("/party", json!({"mill_id": nobody}), "mill"),
        missing("/party", json!({"crew_id": world.outfit.mill_id}), "crew"),
        wrong("/party", taken, Code::PartyHasContract, "", "has a contract"),
        clash("/terms/practice", json!({}), "#/terms/rates/0", "log"),
    ];
    // A good body files a crew of its own, so the counts are taken around one body.
    let body = good();
    yard.refuses_each("/v1/contracts", || body.clone(), table);
    let nowhere = format!("/v1/contracts/{nobody}/terms");
    let _problem = yard.refused(Code::NotFound, || yard.manager().post(&nowhere, &terms("10")));
}
