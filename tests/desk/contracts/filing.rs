//! Filing a contract through the form.

use tests::{Furnished, TestApp, Visitor};

#[test]
fn a_contract_is_filed_once_however_often_the_form_is_sent() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let crew = outfit.manager.post("/v1/crews", &serde_json::json!({"name": "Hewers"})).expect(201);
    let crew = crew["crew_id"].as_str().expect("an id");
    let mut visitor = Visitor::signed_in(&app, &outfit, "mia", "manager");
    let filled = visitor
        .get("/desk/contracts/new")
        .form("/desk/contracts/new")
        .with("title", "Hewing")
        .with("party", &format!("crew_id:{crew}"))
        .with("effective_from", "2026-06-01")
        .with("rate-0-name", "hewing ties")
        .with("rate-0-task", "hewing")
        .with("rate-0-product", "tie")
        .with("rate-0-unit", "piece")
        .with("rate-0-price", "0.18")
        .with("rate-0-species", "white oak, red oak");
    let empty = visitor.submit(&filled.clone().with("title", "").with("do", "file"));
    let _page = empty.page(422);
    assert_eq!(empty.texts("#title-fault").len(), 1, "{}", empty.text());
    let unscaled = visitor.submit(&filled.clone().with("do", "file"));
    // A tie is counted, so no practice is needed for it.
    let to = unscaled.leads_to().expect("it is filed");
    assert_eq!(visitor.submit(&filled.clone().with("do", "file")).leads_to().as_deref(), Some(to.as_str()));
    let all = outfit.manager.get("/v1/contracts").expect(200);
    let filed: Vec<_> =
        all["items"].as_array().expect("a list").iter().filter(|one| one["title"] == "Hewing").collect();
    assert_eq!(filed.len(), 1);
    let rate = &filed[0]["terms"][0]["rates"][0];
    assert_eq!(
        (rate["price"].as_str(), rate["covers"]["species"][1].as_str()),
        (Some("0.18"), Some("red oak"))
    );
    let shown = visitor.get(&to);
    assert_eq!(shown.texts("h1"), ["Hewing"]);
    assert!(shown.text().contains("Only these species: white oak, red oak"), "{}", shown.text());
    let again = visitor.get("/desk/contracts/new").form("/desk/contracts/new");
    let forged = again.with("form_key", "0").with("do", "file");
    assert_eq!(visitor.submit(&forged).reply.status, 403);
}
