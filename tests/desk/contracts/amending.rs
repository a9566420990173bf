//! Amending: the same terms when nothing is changed, a preview that is the API's, filed once, refused at the field.

use serde_json::{Value, json};
use tests::{Form, Furnished, TestApp, Visitor, log, ticket};

/// The terms as a caller files them.
fn said(terms: &Value) -> Value {
    let mut terms = terms.clone();
    for member in ["terms_id", "revision", "filed_by", "filed_at"] {
        terms.as_object_mut().expect("an object").remove(member);
    }
    terms
}

fn terms(outfit: &Furnished, contract: &str) -> Vec<Value> {
    let shown = outfit.manager.get(&format!("/v1/contracts/{contract}")).expect(200);
    shown["terms"].as_array().expect("terms").clone()
}

fn form(visitor: &mut Visitor, contract: &str) -> Form {
    let address = format!("/desk/contracts/{contract}/amendment");
    let shown = visitor.get(&address);
    let _page = shown.page(200);
    shown.form(&address)
}

#[test]
fn amending_without_changing_anything_files_the_same_terms_once() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ben", "bookkeeper");
    let contracts = outfit.manager.get("/v1/contracts").expect(200);
    for contract in contracts["items"].as_array().expect("contracts") {
        let id = contract["contract_id"].as_str().expect("an id");
        let filled = form(&mut visitor, id).with("do", "file");
        let to = visitor.submit(&filled).leads_to().expect("it leads on");
        assert!(to.starts_with(&format!("/desk/contracts/{id}?filed=2026-06-01")), "{to}");
        assert_eq!(visitor.submit(&filled).leads_to().as_deref(), Some(to.as_str()), "sent twice");
        let filed = terms(&outfit, id);
        assert_eq!(filed.len(), 2, "filed once");
        assert_eq!(said(&filed[0]), said(&filed[1]));
        let shown = visitor.get(&to);
        assert!(shown.texts("[role=status]")[0].contains("are filed"), "{}", shown.text());
        assert!(shown.text().contains("It changes nothing."));
    }
}

#[test]
fn a_preview_is_the_services_and_files_nothing() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let one = ticket(&outfit, 1, "2026-06-03", &[log("14", "16"), log("20", "16")]);
    let _posted = outfit.scaler.post("/v1/tickets", &one).expect(201);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ben", "bookkeeper");
    let id = &outfit.felling_contract;
    let address = format!("/desk/contracts/{id}/amendment");
    let filled = form(&mut visitor, id)
        .with("rate-0-price", "12.5")
        .with("from", "2026-05-31")
        .with("to", "2026-06-06");
    let shown = visitor.submit(&filled.with("do", "preview"));
    let _page = shown.page(200);
    let mut proposed = said(&terms(&outfit, id)[0]);
    proposed["rates"][0]["price"] = json!("12.5");
    let asked = json!({"terms": proposed, "from": "2026-05-31", "to": "2026-06-06"});
    let known = outfit.manager.post(&format!("/v1/contracts/{id}/terms/preview"), &asked).expect(200);
    let amount = |value: &Value| value["amount"].as_str().expect("an amount").to_owned();
    for (place, member) in [("now", "now"), ("then", "proposed"), ("difference", "difference")] {
        let said = shown.texts(&format!("#preview-{place}"));
        assert!(said[0].contains(&amount(&known[member])), "{said:?} {known:#}");
    }
    let cells = shown.texts("#table-preview tbody td");
    let rate = &known["rates"][0];
    for (cell, figures) in [(1, &rate["now"]), (4, &rate["proposed"])] {
        assert_eq!(cells[cell], figures["pieces"].to_string());
        assert_eq!(cells[cell + 1], figures["quantity"].as_str().expect("a figure"));
        assert!(cells[cell + 2].contains(&amount(&figures["amount"])));
    }
    assert_eq!(shown.texts("#changed-proposed tbody td"), ["10.01", "12.5"]);
    assert_eq!(terms(&outfit, id).len(), 1, "nothing is filed");
    // From the preview it is filed as it was shown.
    let filled = shown.form(&address).with("do", "file");
    let _filed = visitor.submit(&filled).leads_to().expect("it leads on");
    assert_eq!(terms(&outfit, id)[1]["rates"][0]["price"], "12.5");
}

#[test]
fn a_refusal_is_said_at_the_field_and_nothing_filled_in_is_lost() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ben", "bookkeeper");
    let id = &outfit.felling_contract;
    let address = format!("/desk/contracts/{id}/amendment");
    let plain = form(&mut visitor, id);
    let added = visitor.submit(&plain.clone().with("do", "add")).form(&address);
    let twice = added
        .with("rate-1-name", "felling again")
        .with("rate-1-task", "felling")
        .with("rate-1-product", "log")
        .with("rate-1-unit", "thousand_board_feet")
        .with("rate-1-basis", "net")
        .with("rate-1-price", "3");
    let shown = visitor.submit(&twice.clone().with("do", "file"));
    let _page = shown.page(422);
    assert_eq!(shown.texts("#rates-fault").len(), 1, "{}", shown.text());
    let again = shown.form(&address);
    assert!(again.fields.contains(&("rate-1-name".to_owned(), "felling again".to_owned())));
    for (name, value, at) in [
        ("rate-0-basis", "", "rate-0-name"),
        ("rate-0-price", "a lot", "rate-0-price"),
        ("rule", "no-such-rule", "rule"),
        ("rest", "{", "rest"),
        ("rest", "{\"rates\": []}", "rest"),
        ("rest", "{\"odd\": 1}", "rest"),
        ("rate-0-rest", "{\"price\": \"4\"}", "rate-0-price"),
    ] {
        let shown = visitor.submit(&plain.clone().with(name, value).with("do", "file"));
        let _page = shown.page(422);
        assert_eq!(shown.texts(&format!("[id='{at}-fault']")).len(), 1, "{name}={value}: {}", shown.text());
        assert_eq!(shown.texts(&format!("[role=alert] a[href='#{at}']")).len(), 1, "{name}={value}");
        assert!(shown.form(&address).fields.contains(&(name.to_owned(), value.to_owned())), "{name}");
    }
    let removed = visitor.submit(&twice.with("do", "remove-1")).form(&address);
    assert!(!removed.fields.iter().any(|(name, _)| name.starts_with("rate-1-")));
    assert_eq!(terms(&outfit, id).len(), 1, "nothing was filed");
}

#[test]
fn only_whoever_keeps_the_books_files_and_only_with_the_key_of_the_session() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut bookkeeper = Visitor::signed_in(&app, &outfit, "ben", "bookkeeper");
    let id = &outfit.felling_contract;
    let filled = form(&mut bookkeeper, id).with("do", "file");
    for (name, role) in [("ann", "contractor"), ("max", "mill"), ("ida", "scaler")] {
        let mut visitor = Visitor::signed_in(&app, &outfit, name, role);
        assert_eq!(visitor.get(&format!("/desk/contracts/{id}/amendment")).reply.status, 403, "{role}");
        assert_eq!(visitor.get("/desk/contracts/new").reply.status, 403, "{role}");
        assert_eq!(visitor.submit(&filled).reply.status, 403, "{role}");
    }
    assert_eq!(bookkeeper.submit(&filled.clone().with("form_key", "0")).reply.status, 403);
    assert_eq!(bookkeeper.submit(&filled.without("form_key")).reply.status, 403);
    assert_eq!(terms(&outfit, id).len(), 1);
}
