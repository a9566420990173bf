//! Figures that stand out: scalers, sticks, hewn pieces.

use std::collections::BTreeSet;

use serde_json::{Value, json};
use tests::{TestApp, log};

use super::clean::{Clean, SPAN, hewn, numbered, tickets};
use super::tampered::past_the_guards;

/// A log of which so much is cut away.
fn rotten(feet: &str) -> Value {
    let mut stick = log("16", "16");
    stick["defects"] = json!([{"kind": "butt_rot", "method": "length_cut", "length_ft": feet}]);
    stick
}

/// Posts tickets of a scaler, each a sound log and one that is cut by so many feet.
fn scaled_by(clean: &Clean, scaler: &str, first: u32, cuts: &[&str]) {
    for (number, feet) in (first..).zip(cuts) {
        let mut sent = clean.ticket(number, "2026-06-05", &[log("16", "16"), rotten(feet)]);
        sent["scaler"] = scaler.into();
        let _accepted = clean.post(&sent);
    }
}

#[test]
fn a_scaler_who_takes_off_more_than_the_others() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    scaled_by(&clean, "First scaler", 4, &["2", "2", "4", "2", "4", "2", "4", "2", "4", "2", "2", "4"]);
    scaled_by(&clean, "Second scaler", 16, &["2", "4", "2", "4", "2"]);
    let found = clean.exceptions();
    assert!(found.is_empty(), "{found:#?}");
    scaled_by(&clean, "Third scaler", 21, &["14", "14", "14", "14", "14"]);
    let found = clean.only("volume_stands_out");
    assert_eq!((&found["made_by"], &found["species"]), (&json!("Third scaler"), &json!("white pine")));
    let statistics = &found["statistics"];
    assert!(
        statistics["method"].as_str().is_some_and(|method| method.contains("Iglewicz and Hoaglin")),
        "{found:#}"
    );
    assert_eq!((&statistics["limit"], &statistics["figures"]), (&json!("3.5"), &json!(20)));
    assert_eq!(tickets(&found).len(), 5);
}

#[test]
fn a_log_of_the_wrong_size_for_its_species() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    for (number, diameter) in (4..).zip(["11", "12", "13", "14", "15", "12"]) {
        let _accepted = clean.post(&clean.ticket(number, "2026-06-04", &[log(diameter, "16")]));
    }
    assert!(clean.exceptions().is_empty());
    // Somebody wrote 46 for 16.
    let _wrong = clean.post(&clean.ticket(10, "2026-06-05", &[log("12", "16"), log("46", "16")]));
    let found = clean.only("volume_stands_out");
    assert_eq!(tickets(&found), [(10, vec![2])]);
    assert_eq!((&found["found"], &found["figure"]), (&json!("46"), &json!("inches of diameter")));
    assert_eq!(found["expected"], "14");
}

/// A volume that does not fit its readings cannot be posted; somebody must have changed it where it lies.
#[test]
fn a_volume_that_does_not_fit_its_size() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    for number in 4..14 {
        let length = if number % 2 == 0 { "16" } else { "14" };
        let _accepted =
            clean.post(&clean.ticket(number, "2026-06-04", &[log("15", "16"), log("15.4", length)]));
    }
    assert!(clean.exceptions().is_empty());
    past_the_guards(
        &app,
        &clean,
        "derivation",
        "UPDATE derivation SET gross[2] = gross[2] * 10, net[2] = net[2] * 10
         WHERE ticket_id = (SELECT ticket_id FROM ticket WHERE number = 8)",
    );
    let found = clean.only("volume_stands_out");
    assert_eq!(tickets(&found), [(8, vec![2])]);
    assert!(found["figure"].as_str().is_some_and(|figure| figure.starts_with("gross scale")), "{found:#}");
}

/// Logs of 18 inches, felled under numbers from the first on, and what is hewn from them.
fn hewing(clean: &Clean, timbers: &[Value]) {
    let logs: Vec<_> = (0..timbers.len()).map(|at| numbered(&format!("L{at}"), "18")).collect();
    let crew = clean.outfit.felling_crew.as_str();
    let _felled = clean.post(&clean.work(4, "2026-06-04", &[("felling", crew)], &logs));
    let _hewn = clean.post(&clean.work(5, "2026-06-05", &[("hewing", &clean.hewers)], timbers));
}

fn timbers(sides: &[&str]) -> Vec<Value> {
    sides.iter().enumerate().map(|(at, side)| hewn(&format!("T{at}"), &format!("L{at}"), side)).collect()
}

#[test]
fn a_timber_that_its_log_cannot_have_given() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    // The square inscribed in 18 inches has sides of 12.73; one of 14 has a diagonal of 19.8.
    hewing(&clean, &timbers(&["12", "12.5", "12.7", "14"]));
    let found = clean.only("hewn_yield_stands_out");
    assert_eq!(tickets(&found), [(5, vec![4])]);
    // 196 ÷ 162.
    assert_eq!((&found["expected"], &found["found"]), (&json!("1"), &json!("1.209877")));
}

#[test]
fn a_timber_longer_than_its_log_and_a_tie_too_thick() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let mut long = hewn("T0", "L0", "12");
    long["length_ft"] = "18".into();
    let tie = |diameter: &str| {
        json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5",
               "log_diameter_in": diameter})
    };
    // 7 by 9 has a diagonal of 11.40: a log read as 11 may be it, one of 10 is not.
    hewing(&clean, &[long, tie("12"), tie("11"), tie("10")]);
    let found = clean.exceptions();
    assert_eq!(
        found.iter().map(|one| tickets(one)[0].1[0]).collect::<BTreeSet<_>>(),
        BTreeSet::from([1, 4]),
        "{found:#?}"
    );
    assert!(found.iter().all(|one| one["kind"] == "hewn_yield_stands_out"));
}

#[test]
fn a_timber_that_is_far_less_than_its_log() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let usual = ["12", "12.25", "12.5", "12", "12.25", "12.5", "12", "12.25", "12.5", "12"];
    let mut sides = usual.to_vec();
    sides.push("8");
    hewing(&clean, &timbers(&sides));
    let found = clean.only("hewn_yield_stands_out");
    assert_eq!(tickets(&found), [(5, vec![11])]);
    assert!(found["statistics"]["score"].as_str().is_some_and(|score| score.starts_with('-')), "{found:#}");
}

/// What is too little to judge by is said, not guessed.
#[test]
fn small_groups_are_named() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let summary = clean.outfit.contractor.get(&format!("/v1/audit/exceptions-by-kind?{SPAN}")).expect(200);
    let told = summary["cannot_be_told"].as_array().expect("a list");
    assert!(
        told.iter().any(|one| one.as_str().is_some_and(|one| one.contains("9 figures, and 10 are needed"))),
        "{told:?}"
    );
}
