//! The table that a phone looks volumes up in, held against what the service answers for random sticks.

use desk::pages::yard::table::Table;
use proptest::prelude::Rng;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use serde_json::{Value, json};
use tests::{Furnished, TestApp, Visitor};

/// What a phone finds in a table, told once more in another language than the phone's.
fn looked_up(table: &Value, readings: &[u64], inches: u64) -> Option<String> {
    let count = table["one"].as_array()?.len();
    let mut places: Vec<_> = readings
        .iter()
        .map(|one| one.checked_sub(table["first_reading"].as_u64()?))
        .collect::<Option<_>>()?;
    places.sort_unstable();
    let places: Vec<_> = places.iter().map(|one| usize::try_from(*one).ok()).collect::<Option<_>>()?;
    if *places.last()? >= count {
        return None;
    }
    let row = match places.as_slice() {
        [one] => &table["one"][one],
        [first, second] => {
            let before: usize = (0..*first).map(|one| count - one).sum();
            &table["two"][before + second - first]
        }
        _ => return None,
    };
    if inches >= table["end"].as_u64()? {
        return None;
    }
    let columns = table["columns"].as_array()?;
    let column = columns.iter().rfind(|column| column[0].as_u64().is_some_and(|begin| begin <= inches))?;
    let cell =
        &table["rows"][usize::try_from(row.as_u64()?).ok()?][usize::try_from(column[1].as_u64()?).ok()?];
    cell.as_str().map(str::to_owned)
}

/// Contracts by rules that round, cut and divide in different ways.
fn practices() -> Vec<Value> {
    vec![
        json!({"log": {"rule": "doyle", "length_multiple_ft": "1", "one_reading": "down", "two_readings": "down",
            "each_reading": "down"}}),
        json!({"log": {"rule": "international-quarter-inch", "least_trim_in": "3", "most_trim_in": "8",
            "taper_in_per_feet": {"inches": "1", "feet": "8"}, "longest_scaling_length_ft": "16"}}),
        json!({"log": {"rule": "scribner-decimal-c", "least_diameter_in": "8", "two_readings": "half_up"}}),
        json!({"log": {"rule": "doyle", "one_reading": "alternating"}}),
        json!({"log": {"rule": "smalian", "volume_rounding": {"step": "0.01", "mode": "half_up"},
            "deduction_rounding": {"step": "0.01", "mode": "half_up"}}}),
    ]
}

#[test]
fn every_cell_is_what_the_service_answers() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut taken = 0;
    for (place, practice) in practices().into_iter().enumerate() {
        let crew = outfit.manager.post("/v1/crews", &json!({"name": format!("Crew {place}")})).expect(201);
        let contract = json!({"title": format!("Contract {place}"), "job_id": outfit.job,
            "party": {"crew_id": crew["crew_id"]}, "terms": {"effective_from": "2026-06-01", "practice": practice,
            "rates": [{"name": "felled", "task": "felling", "product": "log", "unit": "piece", "price": "1"}]}});
        let reply = outfit.manager.post("/v1/contracts", &contract);
        assert_eq!(reply.status, 201, "{practice:#}: {}", reply.text);
        taken += 1;
    }
    assert_eq!(taken, 5);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let shown = outfit.scaler.get(&format!("/v1/jobs/{}/practices", outfit.job)).expect(200);
    let mut random =
        TestRunner::new_with_rng(Config::default(), TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let (mut agreed, mut later) = (0, 0);
    for view in shown.as_array().expect("practices") {
        let terms = view["terms_id"].as_str().expect("an id");
        let answer = ida.get(&format!("/desk/yard/jobs/{}/tables/{terms}", outfit.job));
        assert_eq!(answer.reply.status, 200, "{}", answer.reply.text);
        assert!(answer.reply.text.len() < 40_000, "a phone keeps it: {} bytes", answer.reply.text.len());
        let table: Value = serde_json::from_str(&answer.reply.text).expect("JSON");
        for _ in 0..60 {
            let mut between = |first: u64, last: u64| first + random.rng().next_u64() % (last - first + 1);
            let readings: Vec<u64> = (0..between(1, 2)).map(|_| between(6, 84)).collect();
            let inches = between(40, 520);
            let written: Vec<_> =
                readings.iter().map(|halves| format!("{}.{}", halves / 2, halves % 2 * 5)).collect();
            let piece = json!({"product": "log", "species": "pine", "small_diameter_in": written,
                "length_ft": (inches / 12).to_string(), "length_in": (inches % 12).to_string()});
            let asked = json!({"terms_id": terms, "piece": piece});
            let found = looked_up(&table, &readings, inches);
            let reply = outfit.scaler.post("/v1/scale/piece", &asked);
            match found {
                Some(volume) => {
                    let scaled = reply.expect(200);
                    assert_eq!(scaled["volume"]["gross"], volume, "{piece:#} by {view:#}");
                    assert_eq!(scaled["volume"]["net"], volume);
                    assert_eq!(scaled["cull"], Value::Null);
                    agreed += 1;
                }
                None => later += 1,
            }
        }
    }
    assert!(agreed > 150 && later > 50, "{agreed} found, {later} left to the service");
}

#[test]
fn a_table_is_of_the_terms_that_hold_and_of_the_own_outfit() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let other = Furnished::new(&app);
    let shown = outfit.scaler.get(&format!("/v1/jobs/{}/practices", outfit.job)).expect(200);
    let path =
        format!("/desk/yard/jobs/{}/tables/{}", outfit.job, shown[0]["terms_id"].as_str().expect("an id"));
    let mut elsewhere = Visitor::signed_in(&app, &other, "otto", "scaler");
    let _none = elsewhere.get(&path).page(404);
    let mut mill = Visitor::signed_in(&app, &outfit, "mia", "mill");
    let _refused = mill.get(&path).page(403);
    assert!(Visitor::new(&app).get(&path).leads_to().is_some());
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let _none = ida.get(&format!("/desk/yard/jobs/{}/tables/{}", outfit.job, outfit.job)).page(404);
}

#[test]
fn what_cannot_be_looked_up_has_no_rows() {
    let terms = "0197a000-0000-7000-8000-000000000001".parse().expect("an id");
    for practice in
        [json!({"tie": {}}), json!({"log": {"rule": "smalian"}}), json!({"log": {"rule": "huber"}})]
    {
        let practice = serde_json::from_value(practice).expect("a practice");
        assert!(Table::of(terms, &practice).rows.is_empty());
    }
}
