//! Who may come into the yard: nobody without a session, no role that posts no tickets, nobody of another outfit.

use tests::{Furnished, TestApp, Visitor, log, ticket};

#[test]
fn strangers_wrong_roles_and_other_outfits_are_kept_out() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let posted =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-08", &[log("12", "16")])).expect(201);
    let id = posted["ticket_id"].as_str().expect("an id");
    let of_ticket = ["", "/correct", "/void"].map(|what| format!("/desk/yard/tickets/{id}{what}"));
    let all = ["/desk/yard", "/desk/yard/tickets", "/desk/yard/books"].map(str::to_owned);
    for path in all.iter().chain(&of_ticket) {
        let mut nobody = Visitor::new(&app);
        let door = nobody.get(path).leads_to().expect("the door");
        assert!(door.starts_with("/desk/sign-in?next=/desk/yard"), "{door}");
    }
    for role in ["contractor", "mill"] {
        let mut wrong = Visitor::signed_in(&app, &outfit, &format!("one-{role}"), role);
        for path in all.iter().chain(&of_ticket) {
            let _refused = wrong.get(path).page(403);
        }
    }
    for role in ["scaler", "bookkeeper", "manager"] {
        let mut right = Visitor::signed_in(&app, &outfit, &format!("one-{role}"), role);
        for path in all.iter().chain(&of_ticket) {
            let shown = right.get(path);
            let _page = shown.page(200);
            assert!(!shown.reply.text.contains("10.01"), "no price: {path}");
        }
    }
    let other = Furnished::new(&app);
    let mut elsewhere = Visitor::signed_in(&app, &other, "otto", "scaler");
    for path in &of_ticket {
        let _none = elsewhere.get(path).page(404);
    }
    let _none = elsewhere.get("/desk/yard/tickets/nothing").page(404);
}

#[test]
fn no_form_of_the_yard_goes_without_the_key_of_its_session() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let posted =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-08", &[log("12", "16")])).expect(201);
    let void = format!("/desk/yard/tickets/{}/void", posted["ticket_id"].as_str().expect("an id"));
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    for path in ["/desk/yard", "/desk/yard/books", &void] {
        let form =
            ida.get(path).form(path).with("form_key", "0123").with("reason", "spoiled").with("do", "post");
        let _refused = ida.submit(&form).page(403);
    }
    let tickets = outfit.manager.get("/v1/tickets").expect(200);
    assert_eq!(tickets["items"].as_array().map(Vec::len), Some(1));
}

#[test]
fn the_worker_looks_after_the_yard_and_names_all_it_keeps() {
    let app = TestApp::start();
    let mut visitor = Visitor::new(&app);
    let shown = visitor.get("/desk/yard/worker.js");
    assert_eq!(shown.reply.status, 200);
    assert_eq!(shown.reply.header("content-type"), Some("text/javascript; charset=utf-8"));
    assert_eq!(shown.reply.header("service-worker-allowed"), Some("/desk/yard"));
    assert_eq!(shown.reply.header("cache-control"), Some("no-cache"));
    let list =
        shown.reply.text.lines().find_map(|line| line.strip_prefix("const ASSETS = ")).expect("a list");
    let list: Vec<String> = serde_json::from_str(list.trim_end_matches(';')).expect("addresses");
    for address in &list {
        assert_eq!(visitor.get(address).reply.status, 200, "{address}");
    }
    let outfit = Furnished::new(&app);
    let page = Visitor::signed_in(&app, &outfit, "ida", "scaler").get("/desk/yard");
    for used in page.reply.text.split('"').filter(|text| text.starts_with("/desk/assets/")) {
        assert!(list.iter().any(|kept| kept == used), "the page uses {used}, and the worker keeps it not");
    }
}
