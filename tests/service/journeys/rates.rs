//! Rates that add to a price, take off from it, count miles or a least quantity, and crews that work pieces together.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

/// Files rates for the felling crew.
fn file(outfit: &Furnished, rates: &Value) -> Value {
    let terms = json!({"effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
                       "rates": rates});
    outfit.bookkeeper.post(&format!("/v1/contracts/{}/terms", outfit.felling_contract), &terms).expect(201)
}

/// A settlement's lines with this name as (quantity, price, amount).
fn named<'a>(settlement: &'a Value, name: &str) -> Vec<(&'a str, &'a str, &'a str)> {
    let lines = settlement["lines"].as_array().expect("lines").iter();
    let text = |value: &'a Value| value.as_str().expect("a text");
    lines
        .filter(|line| line["rate_name"] == name)
        .map(|line| (text(&line["quantity"]), text(&line["price"]), text(&line["amount"]["amount"])))
        .collect()
}

/// What the explanation of a line says of the count of its first ticket.
fn counting(outfit: &Furnished, settlement: &Value, name: &str) -> Vec<String> {
    let lines = settlement["lines"].as_array().expect("lines");
    let line = lines.iter().find(|line| line["rate_name"] == name).expect("a line");
    let id = settlement["settlement_id"].as_str().expect("an id");
    let explained =
        outfit.contractor.get(&format!("/v1/settlements/{id}/lines/{}", line["number"])).expect(200);
    let says = explained["tickets"][0]["says"].as_array().cloned().unwrap_or_default();
    says.iter().map(|one| one.as_str().expect("a text").to_owned()).collect()
}

#[test]
fn premium_dockage_miles_and_least_quantities_are_paid_and_explained() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let thousand = |name: &str, task: &str, unit: &str, price: &str| json!({"name": name, "task": task, "product": "log", "unit": unit, "basis": "gross", "price": price});
    let mut loading = thousand("loading", "loading", "thousand_board_feet", "2");
    loading["least_quantity_a_turn"] = json!("1000");
    let _filed = file(
        &outfit,
        &json!([
            thousand("felling", "felling", "thousand_board_feet", "10"),
            {"name": "long logs", "kind": "premium", "task": "felling", "product": "log", "unit": "piece",
             "price": "0.25", "covers": {"length_ft": {"from": "16"}}},
            {"name": "short logs", "kind": "dockage", "task": "felling", "product": "log", "unit": "piece",
             "price": "0.10", "covers": {"length_ft": {"below": "16"}}},
            loading,
            thousand("hauling", "hauling", "thousand_board_feet_mile", "0.50"),
        ]),
    );
    let mut sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("12", "16"), log("16", "12")]);
    let crew = &outfit.felling_crew;
    sent["work"] = json!([{"task": "felling", "crew_id": crew}, {"task": "loading", "crew_id": crew},
                          {"task": "hauling", "crew_id": crew}]);
    sent["turn"] = json!({"moved_by": "sled", "haul_distance_mi": "4.5"});
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let posted = outfit.settle("2026-06-06");
    // Printed cells of Scribner Decimal C: 160, 80 and, 16 in × 12 ft, 120 board feet.
    assert_eq!(named(&posted, "felling"), [("360", "10", "3.60")]);
    assert_eq!(named(&posted, "long logs"), [("2", "0.25", "0.50")]);
    assert_eq!(named(&posted, "short logs"), [("1", "-0.1", "-0.10")]);
    assert_eq!(named(&posted, "loading"), [("1000", "2", "2.00")]);
    // 360 × 4.5 = 1620 board foot-miles.
    assert_eq!(named(&posted, "hauling"), [("1620", "0.5", "0.81")]);
    assert_eq!(posted["paid_to_crews"]["amount"], "6.81");
    assert_eq!(
        counting(&outfit, &posted, "loading"),
        ["the turn came to 360; it counts for 1000, the least that was agreed"]
    );
    assert_eq!(counting(&outfit, &posted, "hauling").len(), 3);
    assert!(counting(&outfit, &posted, "felling").is_empty());

    // Hauled a distance that nobody wrote down: unpriced, with the reason.
    sent["number"] = json!(2);
    sent["turn"] = json!({"moved_by": "sled"});
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let reasons: Vec<_> = accepted["unpriced"].as_array().expect("unpriced").iter().collect();
    assert_eq!(reasons.len(), 3);
    assert!(reasons.iter().all(|one| one["reason"]["code"] == "no_distance"), "{reasons:#?}");
}

#[test]
fn crews_that_skid_one_turn_together_are_paid_one_turn() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let felling = json!({"name": "felling", "task": "felling", "product": "log", "unit": "thousand_board_feet",
                         "basis": "gross", "price": "10"});
    let skidding = json!({"name": "skidding with sawyers", "task": "skidding", "unit": "turn", "price": "3"});
    let _filed = file(&outfit, &json!([felling, skidding]));
    let mut sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("12", "16")]);
    // Of the first stick two thirds and one third, the second by the teamster alone: 5/6 of the turn and 1/6.
    sent["work"] = json!([
        {"task": "felling", "crew_id": outfit.felling_crew},
        {"task": "skidding", "crew_id": outfit.teamster, "pieces": [1, 2], "parts": "2"},
        {"task": "skidding", "crew_id": outfit.felling_crew, "pieces": [1], "parts": "1"},
    ]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    assert_eq!(accepted["ticket"]["work"][1]["parts"], "2");
    let again = outfit.scaler.post("/v1/tickets", &sent);
    assert_eq!((again.status, again.header("replayed")), (200, Some("true")));
    let posted = outfit.settle("2026-06-06");
    assert_eq!(named(&posted, "skidding"), [("0.833333", "2.5", "2.08")]);
    assert_eq!(named(&posted, "skidding with sawyers"), [("0.166667", "3", "0.50")]);
    assert_eq!(
        counting(&outfit, &posted, "skidding"),
        [
            "the turn was worked by more than one crew: 5/6 of it counts, 0.833333 rounded half up to a millionth"
        ]
    );

    // A crew more without parts, parts on one side only, and parts below zero are refused.
    let others = [
        (
            json!([{"task": "skidding", "crew_id": outfit.teamster},
                {"task": "skidding", "crew_id": outfit.felling_crew, "parts": "1"}]),
            "#/work/1",
        ),
        (
            json!([{"task": "skidding", "crew_id": outfit.teamster, "pieces": [1], "parts": "1"},
                {"task": "skidding", "crew_id": outfit.felling_crew, "pieces": [1]}]),
            "#/work/1/pieces/0",
        ),
        (
            json!([{"task": "skidding", "crew_id": outfit.teamster, "parts": "1"},
                {"task": "skidding", "crew_id": outfit.teamster, "parts": "1"}]),
            "#/work/1",
        ),
        (json!([{"task": "skidding", "crew_id": outfit.teamster, "parts": "0"}]), "#/work/0/parts"),
    ];
    sent["number"] = json!(2);
    for (work, pointer) in others {
        sent["work"] = work;
        let refused = outfit.scaler.post("/v1/tickets", &sent);
        let problem = refused.refused(Code::TicketInconsistent);
        assert_eq!(problem["errors"][0]["pointer"], pointer, "{problem:#}");
    }
    // Both had a hand in all of it: half a turn each.
    sent["work"] = json!([{"task": "skidding", "crew_id": outfit.teamster, "parts": "1"},
                          {"task": "skidding", "crew_id": outfit.felling_crew, "parts": "1"}]);
    let halves = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let scaled = halves["scaled"].as_array().expect("contracts").iter();
    let turns: Vec<_> = scaled
        .filter_map(|one| one["accruals"].as_array()?.iter().find(|one| one["task"] == "skidding"))
        .map(|one| one["quantity"].as_str().expect("a quantity"))
        .collect();
    assert_eq!(turns, ["0.5", "0.5"]);
}
