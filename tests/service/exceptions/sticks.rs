//! Sticks that are known by their numbers.

use serde_json::{Value, json};
use tests::{TestApp, log};
use wire::Code;

use super::clean::{Clean, hewn, kinds, numbered, tickets};

#[test]
fn a_stick_that_is_felled_for_pay_twice() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let crew = clean.outfit.felling_crew.as_str();
    let _once = clean.post(&clean.work(4, "2026-06-04", &[("felling", crew)], &[numbered("17a", "12")]));
    let again = clean.work(5, "2026-06-05", &[("felling", crew)], &[log("9", "12"), numbered("17A", "12.5")]);
    let _again = clean.post(&again);
    let found = clean.only("piece_paid_twice");
    assert_eq!(tickets(&found), [(4, vec![1]), (5, vec![2])]);
    assert_eq!((&found["task"], &found["stick_number"]), (&json!("felling"), &json!("17A")));
    assert_eq!(found["found"], "2");
}

/// One task each on several tickets is how a stick comes out of the woods; from another landing it is moved a second leg.
#[test]
fn a_stick_that_is_scaled_again_for_other_work() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let (fallers, team) = (clean.outfit.felling_crew.as_str(), clean.outfit.teamster.as_str());
    let sticks = [numbered("21", "12"), numbered("22", "14")];
    let _felled = clean.post(&clean.work(4, "2026-06-04", &[("felling", fallers)], &sticks));
    let mut skidded = clean.work(5, "2026-06-05", &[("skidding", team)], &sticks);
    skidded["turn"] = json!({"moved_by": "team"});
    let _skidded = clean.post(&skidded);
    let landings = format!("/v1/jobs/{}/landings", clean.outfit.job);
    let railhead = clean.outfit.manager.post(&landings, &json!({"name": "Railhead"})).expect(201);
    let mut leg = clean.work(6, "2026-06-05", &[("skidding", team)], &sticks);
    leg["landing_id"] = railhead["landing_id"].clone();
    leg["turn"] = json!({"moved_by": "team"});
    let _leg = clean.post(&leg);
    let mut delivered = clean.work(7, "2026-06-05", &[], &sticks);
    delivered["delivered_to"] = clean.outfit.mill_id.clone().into();
    let _delivered = clean.post(&delivered);
    let found = clean.exceptions();
    assert_eq!(kinds(&found), Vec::<&str>::new(), "{found:#?}");
}

#[test]
fn a_stick_that_nobody_felled() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let (fallers, team) = (clean.outfit.felling_crew.as_str(), clean.outfit.teamster.as_str());
    let _felled = clean.post(&clean.work(4, "2026-06-04", &[("felling", fallers)], &[numbered("21", "12")]));
    let mut skidded =
        clean.work(5, "2026-06-05", &[("skidding", team)], &[numbered("21", "12"), numbered("22", "14")]);
    skidded["turn"] = json!({"moved_by": "team"});
    let _skidded = clean.post(&skidded);
    let found = clean.only("piece_never_paid");
    assert_eq!(tickets(&found), [(5, vec![2])]);
    assert_eq!((&found["task"], &found["stick_number"]), (&json!("felling"), &json!("22")));
}

#[test]
fn more_skidded_than_felled() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let team = clean.outfit.teamster.as_str();
    let mut skidded = clean.work(4, "2026-06-04", &[("skidding", team)], &[log("12", "16"), log("13", "16")]);
    skidded["turn"] = json!({"moved_by": "team"});
    let _skidded = clean.post(&skidded);
    let found = clean.only("skidded_more_than_felled");
    // Nine sticks of the clean tickets were felled and skidded, and two more skidded.
    assert_eq!((found["expected"].as_str(), found["found"].as_str()), (Some("9"), Some("11")));
    assert_eq!((&found["product"], &found["species"]), (&json!("log"), &json!("white pine")));
    assert_eq!(tickets(&found), [(4, vec![1, 2])]);
}

#[test]
fn a_log_that_was_hewn_and_delivered_as_a_log() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    // Felled, skidded and delivered as a log, and yet somebody hewed it.
    let _log = clean.post(&clean.ticket(4, "2026-06-04", &[log("9", "12"), numbered("31", "18")]));
    let _hewn =
        clean.post(&clean.work(5, "2026-06-05", &[("hewing", &clean.hewers)], &[hewn("32", "31", "12")]));
    let found = clean.only("log_also_paid_as_log");
    assert_eq!(tickets(&found), [(4, vec![2]), (5, vec![1])]);
    assert_eq!(found["stick_number"], "31");
    assert!(
        found["says"].as_str().is_some_and(|says| says.contains("skidding") && says.contains("delivery"))
    );
}

/// The log is felled, the timber hewn: two tasks on one tree. A timber may go on under the number of its log.
#[test]
fn felling_the_log_and_hewing_the_timber_are_two_tasks() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let crew = clean.outfit.felling_crew.as_str();
    let logs = [numbered("31", "18"), numbered("33", "18")];
    let _felled = clean.post(&clean.work(4, "2026-06-04", &[("felling", crew)], &logs));
    let timbers = [hewn("32", "31", "12"), hewn("33", "33", "12")];
    let mut hewed = clean.work(
        5,
        "2026-06-05",
        &[("hewing", &clean.hewers), ("skidding", &clean.outfit.teamster)],
        &timbers,
    );
    hewed["turn"] = json!({"moved_by": "team"});
    let _hewed = clean.post(&hewed);
    let found = clean.exceptions();
    assert_eq!(kinds(&found), Vec::<&str>::new(), "{found:#?}");
    // Felling paid on both is the tree felled twice.
    let felled = clean.work(6, "2026-06-05", &[("felling", &clean.hewers)], &[hewn("35", "31", "12")]);
    let _felled = clean.post(&felled);
    let found = clean.only("log_also_paid_as_log");
    assert_eq!(tickets(&found), [(4, vec![1]), (6, vec![1])]);
    assert_eq!(found["task"], "felling");
}

/// One ticket is one act of scaling.
#[test]
fn a_number_stands_on_a_ticket_once() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let sent = clean.ticket(4, "2026-06-04", &[numbered("41", "12"), log("9", "16"), numbered("41", "13")]);
    let problem = clean.outfit.scaler.post("/v1/tickets", &sent).refused(Code::TicketInconsistent).clone();
    assert_eq!(problem["errors"][0]["pointer"], "#/pieces/2/stick_number", "{problem:#}");
    let both = [numbered("41", "18"), hewn("41", "41", "12")];
    let crew = clean.outfit.felling_crew.as_str();
    let mut sent = clean.work(4, "2026-06-04", &[], &both);
    sent["work"] = json!([{"task": "felling", "crew_id": crew, "pieces": [1]},
                          {"task": "hewing", "crew_id": clean.hewers, "pieces": [2]}]);
    let id = clean.post(&sent);
    let shown: Value = clean.outfit.scaler.get(&format!("/v1/tickets/{id}")).expect(200);
    assert_eq!(shown["ticket"]["pieces"][1]["hewn_from"], "41");
    let found = clean.exceptions();
    assert_eq!(kinds(&found), Vec::<&str>::new(), "{found:#?}");
}

/// A sheet has columns for both.
#[test]
fn a_sheet_carries_stick_numbers() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let sheet = format!(
        "book,number,job,landing,scaled_on,scaler,crew.hewing,product,stick_number,hewn_from,species,\
         small_end.width_in,small_end.thickness_in,length_ft\r\n\
         B,1,{},{},2026-06-04,Yard scaler,{},hewn_timber,52,51,white pine,10,10,16\r\n",
        clean.outfit.job, clean.outfit.landing, clean.hewers
    );
    let headers = [("Content-Type", "text/csv")];
    let reply = clean
        .outfit
        .scaler
        .send_with(reqwest::Method::POST, "/v1/ticket-sheets", Some(sheet), &headers)
        .expect(200);
    assert_eq!(reply["accepted"], 1, "{reply:#}");
    let listed = clean.outfit.scaler.get("/v1/tickets?book=B").expect(200);
    assert_eq!(listed["items"][0]["ticket"]["pieces"][0]["stick_number"], "52", "{listed:#}");
}
