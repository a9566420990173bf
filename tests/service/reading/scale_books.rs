//! Scale books: every number is a ticket, or void with a reason, or missing and listed.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

fn post(outfit: &Furnished, number: u32) -> tests::Reply {
    outfit.scaler.post("/v1/tickets", &ticket(outfit, number, "2026-06-03", &[log("16", "16")]))
}

fn void(outfit: &Furnished, body: &Value) -> tests::Reply {
    outfit.scaler.post("/v1/scale-books/A/voided-numbers", body)
}

fn gaps(outfit: &Furnished) -> Vec<(Value, Value)> {
    let listed = outfit.bookkeeper.get("/v1/scale-books/A/gaps").expect(200);
    let items = listed["items"].as_array().expect("items").iter();
    items.map(|gap| (gap["from"].clone(), gap["to"].clone())).collect()
}

#[test]
fn missing_numbers_are_listed_until_they_come_or_are_void() {
    let app = TestApp::start();
    app.clock.set("2026-06-04T13:00:00Z".parse().expect("a time"));
    let outfit = Furnished::new(&app);
    assert_eq!(outfit.bookkeeper.get("/v1/scale-books").expect(200), json!({"items": []}));
    let _nothing = outfit.bookkeeper.get("/v1/scale-books/A/gaps").refuses(Code::NotFound);
    let _nothing = outfit.bookkeeper.get("/v1/scale-books/A/voided-numbers").refuses(Code::NotFound);
    let ids: Vec<_> =
        [11, 12, 15, 20].map(|number| post(&outfit, number).expect(201)["ticket_id"].clone()).into();
    assert_eq!(gaps(&outfit), [(json!(13), json!(14)), (json!(16), json!(19))]);
    let listed = outfit.bookkeeper.get("/v1/scale-books/A/gaps").expect(200);
    let beside =
        |number: u32, id: &Value| json!({"number": number, "ticket_id": id, "scaled_on": "2026-06-03"});
    assert_eq!(listed["items"][0]["before"], beside(12, &ids[1]));
    assert_eq!(listed["items"][0]["after"], beside(15, &ids[2]));
    let book = |tickets: u32, voided: u32, missing: u32, last: u32| {
        json!({"items": [{"book": "A", "first_number": 11, "last_number": last, "tickets": tickets,
                          "voided": voided, "missing": missing}]})
    };
    assert_eq!(outfit.bookkeeper.get("/v1/scale-books").expect(200), book(4, 0, 6, 20));
    // One comes late, some are spoiled.
    let _late = post(&outfit, 13).expect(201);
    let voided = void(&outfit, &json!({"from": 17, "to": 18, "reason": "the sheets got wet"})).expect(201);
    assert_eq!((&voided["from"], &voided["to"], &voided["book"]), (&json!(17), &json!(18), &json!("A")));
    let one = void(&outfit, &json!({"from": 22, "reason": "torn"})).expect(201);
    assert_eq!((&one["from"], &one["to"]), (&json!(22), &json!(22)));
    let expected = [(14, 14), (16, 16), (19, 19), (21, 21)].map(|(from, to)| (json!(from), json!(to)));
    assert_eq!(gaps(&outfit), expected);
    assert_eq!(outfit.bookkeeper.get("/v1/scale-books").expect(200), book(5, 3, 4, 22));
    let listed = outfit.bookkeeper.get("/v1/scale-books/A/gaps").expect(200);
    assert_eq!(listed["items"][1]["after"], json!({"number": 17}), "a voided number has no ticket");
    let explained = outfit.contractor.get("/v1/scale-books/A/voided-numbers").expect(200);
    let reasons: Vec<_> =
        explained["items"].as_array().expect("items").iter().map(|one| &one["reason"]).collect();
    assert_eq!(json!(reasons), json!(["the sheets got wet", "torn"]));
}

#[test]
fn a_number_is_used_or_void_and_never_both() {
    let app = TestApp::start();
    app.clock.set("2026-06-04T13:00:00Z".parse().expect("a time"));
    let outfit = Furnished::new(&app);
    let accepted = post(&outfit, 5).expect(201);
    let _void = void(&outfit, &json!({"from": 7, "to": 9, "reason": "lost in the river"})).expect(201);
    let problem = post(&outfit, 8).refuses(Code::NumberVoided);
    assert!(problem["detail"].as_str().is_some_and(|says| says.contains("lost in the river")), "{problem:#}");
    let correction =
        json!({"reason": "wrong", "ticket": ticket(&outfit, 9, "2026-06-03", &[log("12", "16")])});
    let path = format!("/v1/tickets/{}/corrections", accepted["ticket_id"].as_str().expect("an id"));
    let _problem = outfit.scaler.post(&path, &correction).refuses(Code::NumberVoided);
    for (body, code) in [
        (json!({"from": 5, "reason": "spoiled"}), Code::NumberUsed),
        (json!({"from": 1, "to": 6, "reason": "spoiled"}), Code::NumberUsed),
        (json!({"from": 9, "to": 12, "reason": "spoiled"}), Code::NumberVoided),
        (json!({"from": 7, "reason": "spoiled"}), Code::NumberVoided),
        (json!({"from": 0, "reason": "spoiled"}), Code::WrongForm),
        (json!({"from": 12, "to": 11, "reason": "spoiled"}), Code::WrongForm),
        (json!({"from": 12}), Code::WrongForm),
        (json!({"from": 12, "reason": " "}), Code::WrongForm),
    ] {
        let _problem = void(&outfit, &body).refuses(code);
    }
    // The same ticket again is a replay as ever, and another book has numbers of its own.
    assert_eq!(post(&outfit, 5).status, 200);
    let mut other = ticket(&outfit, 8, "2026-06-03", &[log("16", "16")]);
    other["book"] = json!("B/2 é");
    let _other = outfit.scaler.post("/v1/tickets", &other).expect(201);
    let books = outfit.manager.get("/v1/scale-books?limit=1").expect(200);
    assert_eq!(books["items"][0]["book"], "A");
    let far = outfit.manager.get("/v1/scale-books/B%2F2%20%C3%A9/gaps").expect(200);
    assert_eq!(far, json!({"items": []}));
}
