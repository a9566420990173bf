//! Which tickets, statements and records of money a list holds.

use serde_json::{Value, json};
use tests::{Actor, Furnished, TestApp, log, ticket};

use crate::world::{pole, text};

/// The numbers of the tickets that a list holds, in their order.
fn numbers(actor: &Actor, query: &str) -> Vec<u64> {
    let listed = actor.get(&format!("/v1/tickets?{query}")).expect(200);
    let items = listed["items"].as_array().expect("items").iter();
    items.map(|one| one["ticket"]["number"].as_u64().expect("a number")).collect()
}

fn post(outfit: &Furnished, sent: &Value) -> Value {
    outfit.scaler.post("/v1/tickets", sent).expect(201)
}

/// Six tickets, each apart from the others in something.
fn yard(app: &TestApp) -> (Furnished, String) {
    app.clock.set("2026-06-09T03:30:00Z".parse().expect("a time"));
    let outfit = Furnished::new(app);
    let first = post(&outfit, &ticket(&outfit, 1, "2026-06-02", &[log("16", "16")]));
    let _second = post(&outfit, &ticket(&outfit, 2, "2026-06-03", &[log("16", "16"), pole()]));
    // 3:30 in the morning of the 9th is still the 8th where the outfit is.
    app.clock.set("2026-06-09T04:00:00Z".parse().expect("a time"));
    let mut third = ticket(&outfit, 3, "2026-06-08", &[log("12", "16")]);
    third["scaler"] = json!("Another scaler");
    third["work"] = json!([{"task": "skidding", "crew_id": outfit.teamster}]);
    let _third = post(&outfit, &third);
    let mut fourth = ticket(&outfit, 4, "2026-06-08", &[log("12", "16")]);
    fourth["book"] = json!("B & C");
    let landing =
        outfit.manager.post(&format!("/v1/jobs/{}/landings", outfit.job), &json!({"name": "South"}));
    fourth["landing_id"] = landing.expect(201)["landing_id"].clone();
    let fourth = post(&outfit, &fourth);
    let correct = |wrong: &Value, number: u32, pieces: &[Value]| {
        let path = format!("/v1/tickets/{}/corrections", text(wrong, "ticket_id"));
        let body = json!({"reason": "wrong end", "ticket": ticket(&outfit, number, "2026-06-08", pieces)});
        outfit.scaler.post(&path, &body).expect(201)
    };
    let _fifth = correct(&first, 5, &[log("14", "16")]);
    let _void = correct(&fourth, 6, &[]);
    let first = text(&first, "ticket_id");
    (outfit, first)
}

#[test]
fn tickets_are_found_by_what_stands_on_them() {
    let app = TestApp::start();
    let (outfit, first) = yard(&app);
    let south = outfit.manager.get("/v1/jobs").expect(200)["items"][0]["landings"][1]["landing_id"].clone();
    let south = south.as_str().expect("an id");
    for (query, expected) in [
        (String::new(), vec![1, 2, 3, 4, 5, 6]),
        (format!("job_id={}", outfit.job), vec![1, 2, 3, 4, 5, 6]),
        (format!("landing_id={south}"), vec![4]),
        (format!("landing_id={}", outfit.landing), vec![1, 2, 3, 5, 6]),
        (format!("crew_id={}", outfit.felling_crew), vec![1, 2, 4, 5]),
        (format!("crew_id={}", outfit.teamster), vec![1, 2, 3, 4, 5]),
        ("book=A".to_owned(), vec![1, 2, 3, 5, 6]),
        ("book=B+%26+C".to_owned(), vec![4]),
        ("scaler=Another%20scaler".to_owned(), vec![3]),
        ("from=2026-06-03&to=2026-06-03".to_owned(), vec![2]),
        ("accepted_to=2026-06-08".to_owned(), vec![1, 2]),
        ("accepted_from=2026-06-09".to_owned(), vec![3, 4, 5, 6]),
        ("accepted_from=2026-06-09&accepted_to=9999-12-31&book=A".to_owned(), vec![3, 5, 6]),
        ("state=standing".to_owned(), vec![2, 3, 5]),
        ("state=corrected".to_owned(), vec![1, 4]),
        ("state=void".to_owned(), vec![6]),
        ("standing=true".to_owned(), vec![2, 3, 5, 6]),
        ("unpriced=true".to_owned(), vec![2]),
        (format!("corrects={first}"), vec![5]),
        ("late=true".to_owned(), vec![]),
        ("late=false&state=standing&book=A".to_owned(), vec![2, 3, 5]),
    ] {
        assert_eq!(numbers(&outfit.manager, &query), expected, "{query}");
    }
    let states: Vec<_> = outfit.manager.get("/v1/tickets").expect(200)["items"]
        .as_array()
        .expect("items")
        .iter()
        .map(|one| one["state"].clone())
        .collect();
    assert_eq!(json!(states), json!(["corrected", "standing", "standing", "corrected", "standing", "void"]));
    assert_eq!(numbers(&outfit.mill, "unpriced=true"), [2], "the mill's own lack of a price");
}

/// Whole, measured or counted: the same ticket.
#[test]
fn as_much_of_the_pieces_is_shown_as_is_asked_for() {
    let app = TestApp::start();
    let (outfit, _) = yard(&app);
    let list = |query: &str| outfit.manager.get(&format!("/v1/tickets?{query}")).expect(200)["items"].clone();
    assert_eq!(list(""), list("pieces=measured"), "the default of lists");
    for (none, measured) in
        list("pieces=none").as_array().expect("items").iter().zip(list("").as_array().expect("items"))
    {
        assert_eq!(none["pieces_shown"], "none");
        assert_eq!(none["ticket"]["pieces"], json!([]));
        assert!(
            none["ticket"]["work"].as_array().expect("work").iter().all(|work| work.get("pieces").is_none())
        );
        assert_eq!(none["piece_count"], measured["piece_count"]);
        let pieces = measured["ticket"]["pieces"].as_array().map(Vec::len).expect("pieces");
        assert_eq!(measured["piece_count"], pieces);
        assert!(measured.get("scaled").is_none());
    }
    for whole in list("pieces=scaled").as_array().expect("items") {
        let path = format!("/v1/tickets/{}", text(whole, "ticket_id"));
        let mut shown = outfit.manager.get(&path).expect(200);
        let named = shown.as_object_mut().expect("a ticket").remove("named");
        assert!(named.is_some() && whole.get("named").is_none(), "names stand on one ticket, not in lists");
        assert_eq!(&shown, whole, "the default of one ticket");
        let few = outfit.manager.get(&format!("{path}?pieces=none")).expect(200);
        assert_eq!((&few["ticket"]["pieces"], few.get("scaled")), (&json!([]), None));
    }
}

#[test]
fn money_and_statements_are_found_by_payee_and_day() {
    let app = TestApp::start();
    let world = crate::world::World::new(&app);
    let manager = &world.outfit.manager;
    for (day, worker) in
        [("2026-06-01", &world.worker), ("2026-06-10", &world.sawyer), ("2026-06-11", &world.worker)]
    {
        let charge = json!({"worker_id": worker, "dated": day, "kind": "store", "says": day, "amount": "1"});
        let _filed = manager.post("/v1/charges", &charge).expect(201);
        let advance = json!({"worker_id": worker, "dated": day, "says": day, "amount": "1"});
        let _filed = manager.post("/v1/advances", &advance).expect(201);
        let payment = json!({"party": {"worker_id": worker}, "dated": day, "says": day, "amount": "1"});
        let _filed = manager.post("/v1/payments", &payment).expect(201);
    }
    for list in ["charges", "advances", "payments"] {
        let days = |query: &str| -> Vec<String> {
            let listed = manager.get(&format!("/v1/{list}?{query}")).expect(200);
            listed["items"].as_array().expect("items").iter().map(|one| text(one, "dated")).collect()
        };
        assert_eq!(days(""), ["2026-06-01", "2026-06-10", "2026-06-11"], "{list}");
        assert_eq!(days(&format!("worker_id={}", world.worker)), ["2026-06-01", "2026-06-11"], "{list}");
        assert_eq!(days("from=2026-06-10"), ["2026-06-10", "2026-06-11"], "{list}");
        assert_eq!(days("to=2026-06-10"), ["2026-06-01", "2026-06-10"], "{list}");
        let both = format!("from=2026-06-02&to=2026-06-30&worker_id={}", world.worker);
        assert_eq!(days(&both), ["2026-06-11"], "{list}");
    }
    let count = |query: &str| {
        manager.get(&format!("/v1/statements?{query}")).expect(200)["items"].as_array().map_or(0, Vec::len)
    };
    let of_the_week = count("week_ends_on=2026-06-06");
    assert!(of_the_week > 1 && count("week_ends_on=2026-06-13") == 0);
    assert_eq!(count(&format!("mill_id={}", world.outfit.mill_id)), 1);
    assert_eq!(count(&format!("worker_id={}&week_ends_on=2026-06-06", world.sawyer)), 1);
}
