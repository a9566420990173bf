//! The week at the desk, without script: blocked, set aside, previewed again, confirmed, posted, and its statements.

mod edges;
mod papers;

use serde_json::{Value, json};
use tests::{Furnished, TestApp, Visitor, log, ticket};

pub const WEEK: &str = "/desk/week/2026-06-06";

/// The link of an element.
pub fn leads(shown: &tests::Shown, before: &str) -> String {
    let (_, rest) = shown.reply.text.split_once(before).expect("it is on the page");
    let (_, rest) = rest.split_once("href=\"").expect("it leads somewhere");
    rest.split_once('"').expect("it ends").0.to_owned()
}

#[test]
fn a_week_is_settled_from_the_first_preview_to_the_statements() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let tie =
        json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8"});
    let first = ticket(&outfit, 1, "2026-06-02", &[log("16", "16"), tie]);
    let _posted = outfit.scaler.post("/v1/tickets", &first).expect(201);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "bookkeeper");
    let draft = ida.get(WEEK).form(&format!("{WEEK}/preview"));
    assert_eq!(ida.submit(&draft).leads_to().as_deref(), Some(WEEK));
    let _again = ida.submit(&draft);
    let drafts = outfit.bookkeeper.get("/v1/settlements").expect(200);
    assert_eq!(drafts["items"].as_array().map(Vec::len), Some(1), "a form sent twice is done once");
    let blocked = ida.get(WEEK);
    assert!(blocked.text().contains("no price"), "{}", blocked.text());
    let mut aside = blocked.form(&format!("{WEEK}/set-aside")).with("reason", "ties are paid by hand");
    let names = blocked.reply.text.split("name=\"aside.").skip(1);
    for name in names.map(|rest| rest.split('"').next().expect("a name")) {
        aside = aside.with(&format!("aside.{name}"), "on");
    }
    assert_eq!(ida.submit(&aside).leads_to().as_deref(), Some(WEEK));
    let _twice = ida.submit(&aside);
    let draft = ida.get(WEEK).form(&format!("{WEEK}/preview"));
    let _drafted = ida.submit(&draft);
    let clear = ida.get(WEEK);
    assert!(clear.text().contains("Since the preview before"), "{}", clear.text());
    let confirm = leads(&clear, "id=\"to-posting\"");
    // The books change between reading and posting.
    let second = ticket(&outfit, 2, "2026-06-03", &[log("12", "16")]);
    let _posted = outfit.scaler.post("/v1/tickets", &second).expect(201);
    let form = ida.get(&confirm).form(&confirm);
    let refused = ida.submit(&form);
    let _page = refused.page(409);
    assert_eq!(refused.texts(".refusal").len(), 1);
    let _drafted = ida.submit(&refused.form(&format!("{WEEK}/preview")));
    let shown = ida.get(WEEK);
    assert!(shown.text().contains("by tickets"), "{}", shown.text());
    let confirm = leads(&shown, "id=\"to-posting\"");
    let form = ida.get(&confirm).form(&confirm);
    let _foreign = ida.submit(&form.clone().with("form_key", "0")).page(403);
    assert_eq!(ida.submit(&form).leads_to().as_deref(), Some(WEEK));
    assert_eq!(ida.submit(&form).leads_to().as_deref(), Some(WEEK));
    figures_are_those_of_the_service(&outfit, &mut ida);
}

fn figures_are_those_of_the_service(outfit: &Furnished, ida: &mut Visitor) {
    let money = |value: &Value| {
        format!(
            "{} {}",
            value["amount"].as_str().expect("an amount"),
            value["currency"].as_str().expect("it")
        )
    };
    let posted = outfit.bookkeeper.get("/v1/settlements?posted=true").expect(200)["items"][0].clone();
    let shown = ida.get(WEEK);
    let figures = ["paid_to_crews", "added_to_pay", "kept_back", "owed_by_mills"];
    assert_eq!(shown.texts(".totals strong"), figures.map(|name| money(&posted[name])));
    let again = ida.get(&leads(&shown, "id=\"again\""));
    assert!(again.text().contains("All of it is as it was posted."), "{}", again.text());
    let statements = outfit.bookkeeper.get("/v1/statements").expect(200);
    for one in statements["items"].as_array().expect("a list") {
        let id = one["statement_id"].as_str().expect("an id");
        let page = ida.get(&format!("/desk/statements/{id}"));
        let texts = page.texts("td.figure");
        for name in ["opening", "moved", "earned", "closing"] {
            assert!(texts.contains(&money(&one[name])), "{name}: {texts:?}");
        }
        let paper = ida.get(&format!("/desk/papers/statements/{id}.pdf"));
        assert_eq!(paper.reply.header("content-type"), Some("application/pdf"));
        let paper = ida.get(&format!("/desk/papers/statements/{id}.html"));
        assert!(paper.reply.text.contains("<h1"), "{}", paper.reply.text);
    }
}

#[test]
fn who_has_no_business_with_the_week_is_told_so() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut stranger = Visitor::new(&app);
    for path in ["/desk/week", WEEK, "/desk/statements"] {
        assert!(stranger.get(path).leads_to().expect("the door").starts_with("/desk/sign-in"), "{path}");
    }
    let mut scaler = Visitor::signed_in(&app, &outfit, "sam", "scaler");
    let _refused = scaler.get(WEEK).page(403);
    let _refused = scaler.get("/desk/statements").page(403);
    let mut contractor = Visitor::signed_in(&app, &outfit, "con", "contractor");
    let shown = contractor.get(WEEK);
    let _page = shown.page(200);
    assert!(!shown.reply.text.contains("preview-now"), "{}", shown.reply.text);
}
