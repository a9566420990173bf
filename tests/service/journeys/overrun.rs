//! What a mill sawed, held against the scale of the logs it got, worked out by hand.

use kernel::MillId;
use serde_json::{Value, json};
use tests::{Actor, Furnished, TestApp, log, ticket};
use wire::{Code, Role};

use crate::world::{pole, text};

fn start() -> (TestApp, Furnished) {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    app.clock.set("2026-06-22T13:00:00Z".parse().expect("a time"));
    (app, outfit)
}

fn tally(outfit: &Furnished, lumber: &Value) -> Value {
    json!({"mill_id": outfit.mill_id, "job_id": outfit.job, "from": "2026-06-01", "to": "2026-06-10",
           "lumber": lumber, "lumber_state": "rough_dry", "tallied_by": "Tallyman of the mill"})
}

fn file(outfit: &Furnished, tally: &Value) -> String {
    text(&outfit.bookkeeper.post("/v1/mill-tallies", tally).expect(201), "mill_tally_id")
}

fn overrun(actor: &Actor) -> Vec<Value> {
    let shown = actor.get("/v1/audit/overrun?from=2026-06-01&to=2026-06-30").expect(200);
    assert!(shown["caution"].as_str().is_some_and(|says| says.contains("licensed scalers")), "{shown:#}");
    shown["rows"].as_array().expect("rows").clone()
}

/// Base, scale and percent of every figure.
fn figures(row: &Value) -> Vec<(String, String, String)> {
    let all = row["figures"].as_array().expect("figures").iter();
    all.map(|one| (text(one, "base"), text(one, "scale"), text(one, "percent"))).collect()
}

fn figure(base: &str, scale: &str, percent: &str) -> (String, String, String) {
    (base.to_owned(), scale.to_owned(), percent.to_owned())
}

/// A log of 280 board feet by Scribner Decimal C with a rotten heart.
fn rotten() -> Value {
    json!({"product": "log", "species": "Hemlock", "small_diameter_in": ["20"], "length_ft": "16",
           "defects": [{"kind": "heart_rot", "method": "squared", "width_in": "9", "height_in": "9", "length_ft": "8"}]})
}

#[test]
fn a_tally_beside_its_logs_and_after_a_correction() {
    let (app, outfit) = start();
    let post = |sent: &Value| outfit.scaler.post("/v1/tickets", sent).expect(201);
    // Scribner Decimal C: 16 in by 16 ft is 160, 12 in by 16 ft 80, 20 in by 16 ft 280. The rot takes 9 × 9 × 8 / 15 = 43.2,
    // in tens 40.
    let first = post(&ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("12", "16"), pole()]));
    let second = post(&ticket(&outfit, 2, "2026-06-10", &[rotten()]));
    let _next_days = post(&ticket(&outfit, 3, "2026-06-11", &[log("20", "16")]));
    let mut kept = ticket(&outfit, 4, "2026-06-09", &[log("20", "16")]);
    kept.as_object_mut().expect("a ticket").remove("delivered_to");
    let _kept = post(&kept);

    let id = file(&outfit, &tally(&outfit, &json!({"in_all": "600"})));
    let rows = overrun(&outfit.contractor);
    assert_eq!(rows.len(), 1);
    // 600 on 520 gross: 80 / 520; on 480 net: 120 / 480.
    assert_eq!(figures(&rows[0]), [figure("gross", "520", "15.38"), figure("net", "480", "25")]);
    for one in rows[0]["figures"].as_array().expect("figures") {
        let named = (text(one, "rule"), text(one, "unit"), text(one, "lumber"));
        assert_eq!(named, ("scribner-decimal-c".into(), "board_foot".into(), "rough_dry".into()));
    }
    assert_eq!((&rows[0]["tickets"], &rows[0]["scales"][0]["logs"]), (&json!(2), &json!(3)));
    assert_eq!(rows[0]["left_out"][0]["pieces"], 1);
    assert_eq!((&rows[0]["entered_since"], &rows[0]["corrected_since"]), (&json!(0), &json!(0)));

    // One log of the first ticket was not there after all, and another ticket comes late.
    app.clock.set("2026-06-23T13:00:00Z".parse().expect("a time"));
    let correction = json!({"reason": "counted twice",
                            "ticket": ticket(&outfit, 5, "2026-06-03", &[log("16", "16")])});
    let path = format!("/v1/tickets/{}/corrections", text(&first, "ticket_id"));
    let _corrected = outfit.scaler.post(&path, &correction).expect(201);
    let _late = post(&ticket(&outfit, 6, "2026-06-01", &[log("12", "16")]));
    let rows = overrun(&outfit.contractor);
    assert_eq!(figures(&rows[0]), [figure("gross", "520", "15.38"), figure("net", "480", "25")]);
    assert_eq!((&rows[0]["entered_since"], &rows[0]["corrected_since"]), (&json!(2), &json!(1)));
    assert_eq!(rows[0]["tickets"], 3);

    // A void ticket is none.
    let void = json!({"reason": "of another yard", "ticket": ticket(&outfit, 7, "2026-06-10", &[])});
    let path = format!("/v1/tickets/{}/corrections", text(&second, "ticket_id"));
    let _void = outfit.scaler.post(&path, &void).expect(201);
    let rows = overrun(&outfit.contractor);
    assert_eq!(figures(&rows[0]), [figure("gross", "240", "150"), figure("net", "240", "150")]);
    assert_eq!((&rows[0]["tickets"], &rows[0]["corrected_since"]), (&json!(2), &json!(2)));
    assert_eq!(outfit.contractor.get(&format!("/v1/mill-tallies/{id}")).expect(200)["board_feet"], "600");
}

#[test]
fn by_species_each_stands_by_itself() {
    let (_app, outfit) = start();
    let pieces = [log("16", "16"), rotten(), log("12", "16")];
    let _ticket = outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-03", &pieces)).expect(201);
    let lumber = json!({"by_species": [{"species": "hemlock", "board_feet": "210"},
                                       {"species": "Elm", "board_feet": "12.5"}]});
    let _filed = file(&outfit, &tally(&outfit, &lumber));
    let rows = overrun(&outfit.contractor);
    // In all 222.5 on 520 gross and 480 net.
    assert_eq!(figures(&rows[0]), [figure("gross", "520", "-57.21"), figure("net", "480", "-53.65")]);
    let species = rows[0]["species"].as_array().expect("species");
    let names: Vec<_> = species.iter().map(|one| text(one, "species")).collect();
    assert_eq!(names, ["elm", "hemlock", "white pine"]);
    assert_eq!(species[0]["not_comparable"], json!(["no logs of it were scaled on these days"]));
    assert_eq!(figures(&species[1]), [figure("gross", "280", "-25"), figure("net", "240", "-12.5")]);
    assert_eq!(species[2]["not_comparable"], json!(["no lumber of it was tallied"]));
    assert!(species[2].get("tally").is_none() && figures(&species[2]).is_empty());
    // As rows, each species has one.
    let rows = outfit.contractor.get("/v1/mill-tallies?format=csv");
    assert_eq!(rows.text.lines().count(), 3, "{}", rows.text);
}

#[test]
fn across_units_and_rules_nothing_is_computed() {
    let (_app, outfit) = start();
    let manager = &outfit.manager;
    let other = text(&manager.post("/v1/mills", &json!({"name": "Cubic mill"})).expect(201), "mill_id");
    let to_hundredth = json!({"step": "0.01", "mode": "half_up"});
    let contract = json!({
        "title": "By the cubic foot", "job_id": outfit.job, "party": {"mill_id": other},
        "terms": {"effective_from": "2026-06-01",
                  "practice": {"log": {"rule": "smalian", "volume_rounding": to_hundredth,
                                       "deduction_rounding": to_hundredth}},
                  "rates": [{"name": "logs", "task": "delivery", "product": "log", "unit": "hundred_cubic_feet",
                             "basis": "net", "price": "30"}]}
    });
    let _filed = manager.post("/v1/contracts", &contract).expect(201);
    let mut both_ends = log("16", "16");
    both_ends["large_diameter_in"] = json!(["18"]);
    let mut to_other = ticket(&outfit, 1, "2026-06-03", &[both_ends]);
    to_other["delivered_to"] = json!(other);
    let _ticket = outfit.scaler.post("/v1/tickets", &to_other).expect(201);
    let mut of_other = tally(&outfit, &json!({"in_all": "200"}));
    of_other["mill_id"] = json!(other);
    let _filed = file(&outfit, &of_other);
    let rows = overrun(&outfit.contractor);
    assert!(figures(&rows[0]).is_empty());
    let reason =
        "the logs are scaled in cubic feet, the lumber in board feet: nothing converts one into the other";
    assert_eq!(rows[0]["not_comparable"], json!([reason]));
    assert_eq!(
        (&rows[0]["scales"][0]["unit"], &rows[0]["scales"][0]["rule"]),
        (&json!("cubic_foot"), &json!("smalian"))
    );

    // The first mill's contract changes its rule in the middle of the tally's days.
    let contracts = outfit.mill.get("/v1/contracts").expect(200);
    let mut terms = json!({"effective_from": "2026-06-08", "practice": {"log": {"rule": "doyle"}}});
    terms["rates"] = contracts["items"][0]["terms"][0]["rates"].clone();
    let path = format!("/v1/contracts/{}/terms", text(&contracts["items"][0], "contract_id"));
    let _filed = manager.post(&path, &terms).expect(201);
    for (number, day) in [(2, "2026-06-05"), (3, "2026-06-09")] {
        let sent = ticket(&outfit, number, day, &[log("16", "16")]);
        let _ticket = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let _filed = file(&outfit, &tally(&outfit, &json!({"in_all": "300"})));
    let rows = overrun(&outfit.mill);
    assert_eq!(rows.len(), 1);
    assert!(figures(&rows[0]).is_empty());
    let ways = "the logs were scaled in 2 ways: doyle (edition half-up); scribner-decimal-c";
    assert_eq!(rows[0]["not_comparable"], json!([ways]));
    let scales: Vec<_> =
        rows[0]["scales"].as_array().expect("scales").iter().map(|one| text(one, "gross")).collect();
    assert_eq!(scales, ["144", "160"]);
}

#[test]
fn logs_kept_from_delivery_and_logs_that_no_contract_scales_are_left_out() {
    let (_app, outfit) = start();
    let other = text(
        &outfit.manager.post("/v1/mills", &json!({"name": "Mill without paper"})).expect(201),
        "mill_id",
    );
    let mut to_other = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    to_other["delivered_to"] = json!(other);
    let _ticket = outfit.scaler.post("/v1/tickets", &to_other).expect(201);
    let mut of_other = tally(&outfit, &json!({"in_all": "200"}));
    of_other["mill_id"] = json!(other);
    let _filed = file(&outfit, &of_other);
    let sent = ticket(&outfit, 2, "2026-06-03", &[log("16", "16"), log("12", "16")]);
    let posted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let _filed = file(&outfit, &tally(&outfit, &json!({"in_all": "200"})));
    let aside = json!({"task": "delivery", "piece": 2, "reason": "kept for the camp"});
    let path = format!("/v1/tickets/{}/set-asides", text(&posted, "ticket_id"));
    let _aside = outfit.bookkeeper.post(&path, &aside).expect(201);
    let rows = overrun(&outfit.contractor);
    assert_eq!(rows[0]["not_comparable"], json!(["no logs of it were scaled on these days"]));
    assert_eq!(
        rows[0]["left_out"],
        json!([{"says": "logs that the mill's contract does not scale", "pieces": 1}])
    );
    assert_eq!(figures(&rows[1]), [figure("gross", "160", "25"), figure("net", "160", "25")]);
    let says = "logs that were set aside and not paid for as delivered";
    assert_eq!(rows[1]["left_out"], json!([{"says": says, "pieces": 1}]));
}

#[test]
fn a_wrong_tally_is_taken_back_once_and_counts_no_more() {
    let (_app, outfit) = start();
    let _ticket =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-03", &[log("16", "16")])).expect(201);
    let wrong = file(&outfit, &tally(&outfit, &json!({"in_all": "2000"})));
    let right = file(&outfit, &tally(&outfit, &json!({"in_all": "200"})));
    let rows = overrun(&outfit.contractor);
    let overlaps: Vec<_> = rows.iter().map(|row| row["overlaps"].clone()).collect();
    assert_eq!(overlaps, [json!([right]), json!([wrong])]);
    let path = format!("/v1/mill-tallies/{wrong}/withdrawal");
    let reason = json!({"reason": "a nought too many"});
    let taken_back = outfit.bookkeeper.post(&path, &reason).expect(201);
    assert_eq!(taken_back["withdrawn"]["reason"], "a nought too many");
    let _again = outfit.bookkeeper.post(&path, &reason).refuses(Code::ReversedAlready);
    let rows = overrun(&outfit.contractor);
    assert_eq!((rows.len(), rows[0].get("overlaps")), (1, None));
    assert_eq!(figures(&rows[0])[0], figure("gross", "160", "25"));
    let listed = |query: &str| {
        let listed = outfit.contractor.get(&format!("/v1/mill-tallies{query}")).expect(200);
        listed["items"].as_array().expect("tallies").len()
    };
    assert_eq!((listed(""), listed("?standing=true"), listed("?from=2026-06-11")), (2, 1, 0));
}

#[test]
fn a_mill_sees_its_own_tallies_and_no_others() {
    let (app, outfit) = start();
    let other =
        text(&outfit.manager.post("/v1/mills", &json!({"name": "Upper mill"})).expect(201), "mill_id");
    let other: MillId = other.parse().expect("an id");
    let upper = app.member(outfit.outfit, Role::Mill, Some(other));
    let id = file(&outfit, &tally(&outfit, &json!({"in_all": "200"})));
    assert_eq!(overrun(&outfit.mill).len(), 1);
    assert_eq!(overrun(&upper), Vec::<Value>::new());
    let _own = outfit.mill.get(&format!("/v1/mill-tallies/{id}")).expect(200);
    let _hidden = upper.get(&format!("/v1/mill-tallies/{id}")).refuses(Code::NotFound);
    for query in [String::new(), format!("?mill_id={}", outfit.mill_id)] {
        let listed = upper.get(&format!("/v1/mill-tallies{query}")).expect(200);
        assert_eq!(listed["items"], json!([]), "{query}");
    }
    let asked = format!("/v1/audit/overrun?from=2026-06-01&to=2026-06-30&mill_id={}", outfit.mill_id);
    assert_eq!(upper.get(&asked).expect(200)["rows"], json!([]));
}

#[test]
fn tallies_that_make_no_sense_are_refused() {
    let (_app, outfit) = start();
    let refused = |change: &dyn Fn(&mut Value), code: Code| {
        let mut sent = tally(&outfit, &json!({"in_all": "200"}));
        change(&mut sent);
        outfit.bookkeeper.post("/v1/mill-tallies", &sent).refuses(code)
    };
    let problem = refused(&|sent| sent["to"] = json!("2026-05-31"), Code::WrongForm);
    assert_eq!(problem["errors"][0]["pointer"], "#/to");
    for lumber in [
        json!({"in_all": "0"}),
        json!({"in_all": "-5"}),
        json!({"by_species": []}),
        json!({"by_species": [{"species": "elm", "board_feet": "1"}, {"species": "Elm", "board_feet": "1"}]}),
        json!({}),
    ] {
        let _problem = refused(&|sent| sent["lumber"] = lumber.clone(), Code::WrongForm);
    }
    let _problem = refused(&|sent| sent["lumber_state"] = json!("wet"), Code::WrongForm);
    let _problem = refused(&|sent| sent["mill_id"] = sent["job_id"].clone(), Code::NamesMissingRecord);
    let listed = outfit.contractor.get("/v1/mill-tallies").expect(200);
    assert_eq!(listed["items"], json!([]));
}
