//! The lists: tickets of a day, one ticket, correcting and voiding it, the books and their missing numbers.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, Visitor, log, ticket};

fn posted(outfit: &Furnished, number: u32, scaler: &str, pieces: &[Value]) -> Value {
    let mut paper = ticket(outfit, number, "2026-06-08", pieces);
    paper["scaler"] = json!(scaler);
    outfit.scaler.post("/v1/tickets", &paper).expect(201)
}

fn page_of(view: &Value) -> String {
    format!("/desk/yard/tickets/{}", view["ticket_id"].as_str().expect("an id"))
}

#[test]
fn a_scaler_finds_the_tickets_of_the_day_and_what_became_of_each() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "35"});
    let first = posted(&outfit, 1, "ida", &[log("12", "16"), pole]);
    let _other = posted(&outfit, 2, "somebody", &[log("13", "16")]);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    assert_eq!(ida.get("/desk/yard/tickets").texts("#tickets tbody th"), ["A 1"]);
    assert_eq!(ida.get("/desk/yard/tickets?scaler=").texts("#tickets tbody th"), ["A 1", "A 2"]);
    let yesterday = ida.get("/desk/yard/tickets?day=2026-06-07");
    assert_eq!(yesterday.texts("#no-tickets"), ["No ticket was scaled on Sunday 2026-06-07."]);
    let _unreadable = ida.get("/desk/yard/tickets?day=soon").page(400);
    let mut office = Visitor::signed_in(&app, &outfit, "otto", "bookkeeper");
    assert_eq!(office.get("/desk/yard/tickets").texts("#tickets tbody th").len(), 2);
    let shown = ida.get(&page_of(&first));
    assert_eq!(shown.texts("#measured li"), ["white pine log, small end 12 in, 16 ft", "cedar pole, 35 ft"]);
    for by in first["scaled"].as_array().expect("contracts") {
        let title = by["contract_title"].as_str().expect("a title");
        assert!(shown.texts("table.scaled caption").iter().any(|one| one == title), "{title}");
    }
    let figures: Vec<_> = first["scaled"]
        .as_array()
        .expect("contracts")
        .iter()
        .flat_map(|by| by["pieces"].as_array().expect("pieces").iter())
        .flat_map(|one| ["gross", "net"].map(|member| one[member].as_str().unwrap_or_default().to_owned()))
        .collect();
    assert_eq!(shown.texts("table.scaled td.figure"), figures);
    let open = first["unpriced"].as_array().expect("a list");
    assert!(!open.is_empty());
    let told = shown.texts("#not-covered li");
    assert_eq!(told.len(), open.len());
    assert!(open.iter().all(|one| shown.text().contains(one["says"].as_str().expect("words"))));
}

#[test]
fn a_ticket_is_corrected_through_the_entry_and_then_voided() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let wrong = posted(&outfit, 1, "ida", &[log("12", "16"), log("14", "16")]);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let form = ida.get(&format!("{}/correct", page_of(&wrong))).form("/desk/yard");
    let of = |name: &str| form.fields.iter().find(|(known, _)| known == name).expect("a field").1.clone();
    assert_eq!((of("number"), of("crew_felling")), ("2".to_owned(), outfit.felling_crew.clone()));
    let shown = ida.submit(&form.clone().with("do", "post"));
    let _page = shown.page(422);
    assert!(shown.text().contains("what was wrong"), "a reason is asked for: {}", shown.text());
    let form = ida.submit(&form.with("reason", "one too many").with("do", "drop-2")).form("/desk/yard");
    let sent = form.with("do", "post");
    let to = ida.submit(&sent).leads_to().expect("it is kept");
    let again = ida.submit(&sent).leads_to().expect("once");
    assert_eq!(to.split('?').next(), again.split('?').next());
    let shown = ida.get(&to);
    assert!(shown.text().contains("one too many"));
    let id = to.split('?').next().expect("a path").rsplit('/').next().expect("an id").to_owned();
    let right = outfit.manager.get(&format!("/v1/tickets/{id}")).expect(200);
    assert_eq!(right["corrects"], wrong["ticket_id"]);
    let mut expected = wrong["ticket"].clone();
    expected["number"] = json!(2);
    expected["pieces"].as_array_mut().expect("pieces").truncate(1);
    for (member, value) in expected.as_object().expect("members").iter().filter(|(name, _)| *name != "work") {
        assert_eq!(&right["ticket"][member], value, "{member}");
    }
    assert!(ida.get(&page_of(&wrong)).text().contains("corrected by another"));
    let void = format!("/desk/yard/tickets/{id}/void");
    let form = ida.get(&void).form(&void);
    let _reason = ida.submit(&form).page(422);
    let form = form.with("reason", "not our timber");
    let to = ida.submit(&form).leads_to().expect("it is void");
    assert_eq!(ida.submit(&form).leads_to().as_deref(), Some(to.as_str()), "sent twice, done once");
    assert!(ida.get(&to).text().contains("not our timber"));
    let gone = outfit.manager.get(&format!("/v1/tickets/{id}")).expect(200);
    assert_eq!(gone["state"], "corrected");
    let all = outfit.manager.get("/v1/tickets").expect(200);
    assert_eq!(all["items"].as_array().map(Vec::len), Some(3));
}

#[test]
fn missing_numbers_are_shown_and_voided_with_a_reason_once() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    assert!(ida.get("/desk/yard/books").text().contains("No ticket is in the books yet"));
    for number in [1, 4, 6] {
        let _posted = posted(&outfit, number, "ida", &[log("12", "16")]);
    }
    let shown = ida.get("/desk/yard/books?book=A");
    let missing = shown.texts("#missing li strong");
    assert_eq!(missing, ["2 to 3", "5"]);
    let form = shown.form("/desk/yard/books");
    let _reason = ida.submit(&form).page(422);
    let taken = ida.submit(&form.clone().with("from", "4").with("to", "").with("reason", "lost"));
    assert!(
        taken.reply.status >= 400 && taken.text().contains("lost")
            || taken.reply.text.contains("value=\"lost\"")
    );
    let form = shown.form("/desk/yard/books").with("reason", "the sheet got wet");
    for _ in 0..2 {
        assert_eq!(ida.submit(&form).leads_to().as_deref(), Some("/desk/yard/books?book=A&was=void"));
    }
    let shown = ida.get("/desk/yard/books?book=A");
    assert_eq!(shown.texts("#missing li strong"), ["5"]);
    assert_eq!(shown.texts("#voided li"), ["2 to 3: the sheet got wet, ida"]);
    let voided = outfit.manager.get("/v1/scale-books/A/voided-numbers").expect(200);
    assert_eq!(voided["items"].as_array().map(Vec::len), Some(1));
    assert_eq!(
        ida.get("/desk/yard")
            .form("/desk/yard")
            .fields
            .iter()
            .find(|(name, _)| name == "number")
            .expect("it")
            .1,
        "7"
    );
}
