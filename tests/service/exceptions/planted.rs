//! Faults of the yard and the office, one at a time.

use serde_json::json;
use tests::{TestApp, log};

use super::clean::{Clean, kinds, tickets};

#[test]
fn a_clean_outfit_has_none() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    assert_eq!(kinds(&clean.exceptions()), Vec::<&str>::new());
    let _posted = clean.outfit.settle("2026-06-06");
    assert_eq!(kinds(&clean.exceptions()), Vec::<&str>::new());
}

#[test]
fn a_number_that_is_missing_from_a_book() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let _after = clean.post(&clean.ticket(6, "2026-06-04", &[log("13", "16")]));
    let found = clean.only("scale_book_gap");
    assert_eq!(found["says"], "numbers 4 to 5 are missing from book A");
    assert_eq!((found["expected"].as_str(), found["found"].as_str()), (Some("0"), Some("2")));
    assert_eq!(tickets(&found), [(3, vec![]), (6, vec![])]);
    let reason = json!({"from": 4, "to": 5, "reason": "spoiled in the rain"});
    let _voided = clean.outfit.bookkeeper.post("/v1/scale-books/A/voided-numbers", &reason).expect(201);
    assert!(clean.exceptions().is_empty());
}

#[test]
fn a_load_that_is_written_twice() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let load = [log("12", "16"), log("15.5", "14"), log("9", "12")];
    let _once = clean.post(&clean.ticket(4, "2026-06-04", &load));
    let again = clean.post(&clean.ticket(5, "2026-06-04", &load));
    let found = clean.only("scale_book_repeat");
    assert_eq!(tickets(&found), [(4, vec![]), (5, vec![])]);
    // Its correction to nothing mends it.
    let void = json!({"reason": "copied from A 4", "ticket": clean.ticket(6, "2026-06-04", &[])});
    let _void = clean.outfit.scaler.post(&format!("/v1/tickets/{again}/corrections"), &void).expect(201);
    assert!(clean.exceptions().is_empty());
}

/// One load may stand on a ticket of the fallers and on one of the teamster; two sticks or ties of one size are no load.
#[test]
fn what_looks_written_twice_and_is_not() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let load = [log("12", "16"), log("15.5", "14"), log("9", "12")];
    let (fallers, team) = (clean.outfit.felling_crew.as_str(), clean.outfit.teamster.as_str());
    let _felled = clean.post(&clean.work(4, "2026-06-04", &[("felling", fallers)], &load));
    let mut skidded = clean.work(5, "2026-06-04", &[("skidding", team)], &load);
    skidded["turn"] = json!({"moved_by": "team"});
    let _skidded = clean.post(&skidded);
    for number in [6, 7] {
        let _alike = clean.post(&clean.ticket(number, "2026-06-05", &[log("10", "16"), log("11", "16")]));
    }
    let tie =
        json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5"});
    for number in [8, 9] {
        let ties = vec![tie.clone(); 20];
        let _ties = clean.post(&clean.work(number, "2026-06-05", &[("hewing", &clean.hewers)], &ties));
    }
    let found = clean.exceptions();
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn what_no_rate_covers_and_what_was_set_aside() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "30"});
    let crew = clean.outfit.felling_crew.as_str();
    let ticket = clean.post(&clean.work(4, "2026-06-04", &[("felling", crew)], &[log("12", "16"), pole]));
    let found = clean.only("unpriced_piece");
    assert_eq!(tickets(&found), [(4, vec![2])]);
    assert_eq!((&found["task"], &found["party"]["crew_id"]), (&json!("felling"), &json!(crew)));
    let decision = json!({"task": "felling", "piece": 2, "reason": "kept for the camp"});
    let _decided =
        clean.outfit.bookkeeper.post(&format!("/v1/tickets/{ticket}/set-asides"), &decision).expect(201);
    let found = clean.only("set_aside_piece");
    assert_eq!(tickets(&found), [(4, vec![2])]);
    assert_eq!(found["reason"], "kept for the camp");
    assert!(found["made_by"].as_str().is_some_and(|by| !by.is_empty()));
}

#[test]
fn a_ticket_that_comes_late() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let posted = clean.outfit.settle("2026-06-06");
    let _late = clean.post(&clean.ticket(4, "2026-06-04", &[log("13", "16")]));
    let found = clean.only("late_ticket");
    assert_eq!(tickets(&found), [(4, vec![])]);
    assert_eq!(found["settlement_id"], posted["settlement_id"]);
    assert!(found["says"].as_str().is_some_and(|says| says.contains("2026-06-06")), "{found:#}");
    assert!(found["made_by"].is_string() && found["made_at"].is_string());
    // Paying it does not make it come in time.
    let _next = clean.outfit.settle("2026-06-13");
    let _still = clean.only("late_ticket");
}

#[test]
fn a_correction_after_posting_with_what_it_changes() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let wrong = clean.post(&clean.ticket(4, "2026-06-04", &[log("16", "16")]));
    let early = clean.post(&clean.ticket(5, "2026-06-04", &[log("18", "16")]));
    let correct = |ticket: &str, number: u32, reason: &str| {
        let right =
            json!({"reason": reason, "ticket": clean.ticket(number, "2026-06-04", &[log("12", "16")])});
        let _right =
            clean.outfit.bookkeeper.post(&format!("/v1/tickets/{ticket}/corrections"), &right).expect(201);
    };
    // Before the week is posted a correction is nothing to stop at.
    correct(&early, 6, "misread");
    assert!(clean.exceptions().is_empty());
    let posted = clean.outfit.settle("2026-06-06");
    correct(&wrong, 7, "read the wrong end");
    let found = clean.only("corrected_after_posting");
    assert_eq!(tickets(&found), [(4, vec![]), (7, vec![])]);
    assert_eq!(found["reason"], "read the wrong end");
    assert_eq!(found["settlement_id"], posted["settlement_id"]);
    // Scribner Decimal C: 16 in × 16 ft is 160 board feet, 12 in × 16 ft is 80. 80 × 10.01 ÷ 1000 = 0.8008, × 40 = 3.20.
    assert_eq!(found["crews_change"]["amount"], "-0.80");
    assert_eq!(found["mills_change"]["amount"], "-3.20");
}
