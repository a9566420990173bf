//! The practices of a job: those in force on the day, scaling as the service scales, and nothing of pay in them.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::{Code, PracticeView};

use crate::world::{log_table, terms, text};

/// Adds a contract by a table of the outfit's own, and terms of the felling contract from 10 June on.
/// Answers with the crew that peels by it.
fn agree(outfit: &Furnished) -> String {
    let table = outfit.manager.post("/v1/log-tables", &log_table("Camp scale")).expect(201);
    let crew = outfit.manager.post("/v1/crews", &json!({"name": "Peelers"})).expect(201);
    let mut by_table = terms("3.07");
    by_table["practice"] =
        json!({"log": {"rule": "own-table", "table": {"table_id": text(&table, "table_id")}}});
    by_table["holdback"] = json!({"percent": "7"});
    let peeled =
        json!({"name": "peeled", "task": "peeling", "product": "log", "unit": "piece", "price": "0.071"});
    let extra = json!({"name": "clean", "kind": "premium", "task": "peeling", "product": "log", "unit": "piece",
                       "price": "0.013"});
    by_table["rates"] = json!([peeled, extra]);
    let contract = json!({"title": "Peeling", "job_id": outfit.job, "party": {"crew_id": text(&crew, "crew_id")},
                          "terms": by_table});
    let _filed = outfit.manager.post("/v1/contracts", &contract).expect(201);
    let mut later = terms("17.19");
    later["effective_from"] = "2026-06-10".into();
    later["practice"] = json!({"log": {"rule": "doyle"}});
    let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let _filed = outfit.manager.post(&path, &later).expect(201);
    text(&crew, "crew_id")
}

fn on(outfit: &Furnished, day: &str) -> Value {
    outfit.scaler.get(&format!("/v1/jobs/{}/practices?on={day}", outfit.job)).expect(200)
}

fn one<'a>(shown: &'a Value, title: &str) -> &'a Value {
    let mut all = shown.as_array().expect("practices").iter();
    all.find(|view| view["title"] == title).unwrap_or_else(|| panic!("no {title} in {shown:#}"))
}

#[test]
fn they_are_those_in_force_on_the_day() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _peelers = agree(&outfit);
    assert_eq!(on(&outfit, "2026-05-31"), json!([]), "no terms hold yet");
    let (before, after) = (on(&outfit, "2026-06-09"), on(&outfit, "2026-06-10"));
    assert_eq!(one(&before, "Felling")["practice"]["log"]["rule"], "scribner-decimal-c");
    assert_eq!(one(&after, "Felling")["practice"]["log"]["rule"], "doyle");
    assert_ne!(one(&before, "Felling")["terms_id"], one(&after, "Felling")["terms_id"]);
    assert_eq!(one(&after, "Logs delivered")["party"], json!({"mill_id": outfit.mill_id}));
    assert_eq!(one(&after, "Skidding")["counts"], json!([{"task": "skidding", "unit": "turn"}]));
    let peeled = json!([{"task": "peeling", "product": "log", "unit": "piece"}]);
    assert_eq!(one(&after, "Peeling")["counts"], peeled, "the premium counts nothing by itself");
}

/// Whoever reads JSON could find pay wherever it stands: no member is named like it, and no price is among the values.
#[test]
fn nothing_of_pay_is_in_them() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _peelers = agree(&outfit);
    let text = on(&outfit, "2026-06-10").to_string();
    for hidden in ["price", "rates", "holdback", "percent\":\"7", "17.19", "0.071", "0.013", "2.5", "premium"]
    {
        assert!(!text.contains(hidden), "{hidden} is in {text}");
    }
    let path = format!("/v1/jobs/{}/practices", outfit.job);
    let refused = outfit.mill.get(&path).refuses(Code::RoleNotAllowed);
    assert!(refused["detail"].as_str().is_some_and(|text| text.contains("mill")), "{refused:#}");
    let nowhere = format!("/v1/jobs/{}/practices", outfit.landing);
    let _refused = outfit.scaler.get(&nowhere).refuses(Code::NotFound);
}

/// With them alone, the crate `scaling` comes to what the ticket's reply says.
#[test]
fn they_scale_as_the_service_does() {
    let app = TestApp::start();
    app.clock.set(crate::world::TODAY.parse().expect("a time"));
    let outfit = Furnished::new(&app);
    let peelers = agree(&outfit);
    let sticks = [log("12", "16"), log("13.5", "14.2"), log("16", "16")];
    let mut ticket = ticket(&outfit, 1, "2026-06-10", &sticks);
    ticket["work"].as_array_mut().expect("work").push(json!({"task": "peeling", "crew_id": peelers}));
    let posted = outfit.scaler.post("/v1/tickets", &ticket).expect(201);
    let shown: Vec<PracticeView> = serde_json::from_value(on(&outfit, "2026-06-10")).expect("practices");
    let mut compared = 0;
    for scaled in posted["scaled"].as_array().expect("contracts") {
        let view = shown.iter().find(|view| scaled["terms_id"] == view.terms_id.to_string());
        let view = view.expect("its practice is among them");
        let mut turn = scaling::Alternation::default();
        for (stick, theirs) in sticks.iter().zip(scaled["pieces"].as_array().expect("pieces")) {
            let piece = serde_json::from_value(stick.clone()).expect("a stick");
            let ours = scaling::scale_in_turn(&view.practice, &piece, &mut turn).expect("a volume");
            let volume = ours.volume.expect("a volume");
            assert_eq!(theirs["gross"], volume.gross.to_string());
            assert_eq!(theirs["net"], volume.net.to_string());
            compared += 1;
        }
    }
    assert_eq!(compared, 12, "four contracts have three sticks each: {posted:#}");
}
