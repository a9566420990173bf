//! Payees, and the cost of each task, worked out by hand or added up another way.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

use super::busy::{Busy, SPAN};
use crate::journeys::several_weeks::cents;
use crate::world::text;

#[test]
fn payees_add_up_to_their_contracts_and_to_their_accounts() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    // Up to the day on which the payment was taken back, so that the account shows it too.
    let shown = actor.get("/v1/audit/volume-against-pay?from=2026-05-31&to=2026-07-11").expect(200);
    let payees = shown["payees"].as_array().expect("payees");
    let contracts = shown["contracts"].as_array().expect("contracts");
    for (member, mill) in [("worker_id", false), ("mill_id", true)] {
        for figure in ["earned", "posted", "open"] {
            let of_payees = payees.iter().filter(|one| one["payee"].get(member).is_some());
            let of_contracts = contracts.iter().filter(|one| one["party"].get("mill_id").is_some() == mill);
            assert_eq!(
                of_payees.map(|one| cents(&one[figure])).sum::<i64>(),
                of_contracts.map(|one| cents(&one[figure])).sum::<i64>(),
                "{member} {figure}"
            );
        }
    }
    let paid: i64 = payees.iter().map(|one| cents(&one["paid"])).sum();
    assert_eq!(paid, 100, "what was taken back does not count");
    // Nothing was kept back or added: what is owed is what was posted less what was paid.
    for one in payees {
        assert_eq!(cents(&one["balance"]), cents(&one["posted"]) - cents(&one["paid"]), "{one:#}");
    }
    // For a crew there are its own hands; for a job, and for a mill's contract, there are none.
    let of_crew =
        actor.get(&format!("/v1/audit/volume-against-pay?{SPAN}&crew_id={}", busy.hewers)).expect(200);
    assert_eq!(of_crew["payees"].as_array().map(Vec::len), Some(3));
    for query in [
        format!("job_id={}", busy.outfit.job),
        format!("contract_id={}", contracts[0]["contract_id"].as_str().expect("an id")),
    ] {
        let shown = actor.get(&format!("/v1/audit/volume-against-pay?{SPAN}&{query}")).expect(200);
        let is_crew = query.starts_with("contract");
        assert_eq!(shown.get("payees").is_some(), is_crew, "{query}: {shown:#}");
    }
}

#[test]
fn each_task_costs_so_much_a_thousand_week_by_week() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    app.clock.set("2026-07-06T13:00:00Z".parse().expect("a time"));
    // Scribner Decimal C, from the outfit's other tests: 16 in by 16 ft is 160, 12 in by 16 ft 80, 20 in by 16 ft 280.
    let first = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("12", "16")]);
    let second = ticket(&outfit, 2, "2026-06-10", &[log("20", "16")]);
    for sent in [&first, &second] {
        let _accepted = outfit.scaler.post("/v1/tickets", sent).expect(201);
    }
    let report = outfit.contractor.get("/v1/reports/audit?from=2026-06-01&to=2026-06-13").expect(200);
    let rows = report["cost_by_week"].as_array().expect("rows");
    let expected = [
        // 240 ft at 10.01 a thousand is 2.4024, 2.40; a turn 2.50; on a thousand of 240: 10.00 and 10.42.
        ("2026-06-06", [("felling", 240, 1000), ("skidding", 250, 1042)], 4000),
        // 280 ft: 2.8028, 2.80 and on a thousand 10.00; 2.50 is 8.93 on a thousand.
        ("2026-06-13", [("felling", 280, 1000), ("skidding", 250, 893)], 4000),
    ];
    assert_eq!(rows.len(), expected.len());
    for (row, (week, tasks, owed)) in rows.iter().zip(expected) {
        assert_eq!(row["week_ends_on"], week);
        for (shown, (task, cost, on_thousand)) in row["tasks"].as_array().expect("tasks").iter().zip(tasks) {
            assert_eq!((&shown["task"], cents(&shown["cost"])), (&json!(task), cost));
            assert_eq!(cents(&shown["per_unit"]), on_thousand);
        }
        assert_eq!(cents(&row["per_unit"]["owed"]), owed);
    }
    // The whole span at once: 5.2052 is 5.21 on 520 ft, 10.02 a thousand.
    let whole = &report["margin"]["rows"][0];
    assert!(whole.get("week_ends_on").is_none());
    assert_eq!(cents(&whole["tasks"][0]["per_unit"]), 1002);
    assert_eq!(
        outfit.contractor.get("/v1/audit/margin?from=2026-06-01&to=2026-06-13").expect(200)["rows"][0]["tasks"],
        whole["tasks"]
    );
}

#[test]
fn what_is_asked_must_be_there() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    let audit = |query: &str| actor.get(&format!("/v1/audit/volume-against-pay?{query}"));
    let nobody = "01977000-0000-7000-8000-000000000099";
    let _problem = audit(&format!("{SPAN}&contract_id={nobody}")).refuses(Code::NotFound);
    let felling = &busy.outfit.felling_contract;
    let _problem =
        audit(&format!("{SPAN}&contract_id={felling}&job_id={}", busy.other_job)).refuses(Code::NotFound);
    let _problem =
        audit(&format!("{SPAN}&contract_id={felling}&crew_id={}", busy.hewers)).refuses(Code::NotFound);
    let _problem = audit("from=2026-06-07&to=2026-06-01").refuses(Code::WrongAddress);
    let none = audit(&format!("{SPAN}&crew_id={nobody}")).expect(200);
    assert_eq!((&none["contracts"], none.get("stages"), none.get("payees")), (&json!([]), None, None));
    let report = |query: &str| actor.get(&format!("/v1/reports/audit?{query}"));
    let _problem = report(&format!("{SPAN}&job_id={nobody}")).refuses(Code::NotFound);
    let _problem = report("from=2026-06-07&to=2026-06-01").refuses(Code::WrongAddress);
    for wrong in [
        "format=docx",
        "paper=a4",
        "format=html&paper=letter",
        "section=margin",
        "format=html&section=margin",
        "format=csv&section=pay",
        "crew_id=1",
    ] {
        let _problem = report(&format!("{SPAN}&{wrong}")).refuses(Code::WrongAddress);
    }
}

/// Whether a ticket is wanted.
type Wanted<'a> = dyn Fn(&Value) -> bool + 'a;

#[test]
fn tickets_are_found_by_task_timber_and_mill() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    let all = super::naive::all(actor, "/v1/tickets?state=standing");
    let has = |ticket: &Value, member: &str, wanted: &dyn Fn(&Value) -> bool| {
        ticket["ticket"][member].as_array().expect("a list").iter().any(wanted)
    };
    let crew = &busy.other_fellers;
    let cases: [(String, &Wanted<'_>); 8] = [
        ("delivered=true".to_owned(), &|one| one["ticket"].get("delivered_to").is_some()),
        ("delivered=false".to_owned(), &|one| one["ticket"].get("delivered_to").is_none()),
        ("task=hewing".to_owned(), &|one| has(one, "work", &|entry| entry["task"] == "hewing")),
        (format!("task=felling&crew_id={crew}"), &|one| {
            has(one, "work", &|entry| entry["task"] == "felling" && entry["crew_id"] == **crew)
        }),
        ("product=pole".to_owned(), &|one| has(one, "pieces", &|piece| piece["product"] == "pole")),
        ("species=WHITE%20pine".to_owned(), &|one| {
            has(one, "pieces", &|piece| text(piece, "species").to_lowercase() == "white pine")
        }),
        ("product=log&species=white%20pine".to_owned(), &|one| {
            has(one, "pieces", &|piece| {
                piece["product"] == "log" && text(piece, "species").to_lowercase() == "white pine"
            })
        }),
        (format!("delivered_to={}", busy.upper_mill), &|one| {
            one["ticket"]["delivered_to"] == *busy.upper_mill
        }),
    ];
    for (query, wanted) in cases {
        let found = super::naive::all(actor, &format!("/v1/tickets?state=standing&{query}"));
        let expected: Vec<_> = all.iter().filter(|one| wanted(one)).cloned().collect();
        assert_eq!(found, expected, "{query}");
        assert!(!found.is_empty() && found.len() < all.len(), "{query} says nothing");
    }
    // A mill that names another one is shown its own all the same.
    let asked = format!("/v1/tickets?delivered_to={}", busy.outfit.mill_id);
    assert_eq!(super::naive::all(&busy.upper, &asked).len(), 1);
}
