//! The week at its edges: other outfits, mills, readers, wrong keys, refusals.

use serde_json::{Value, json};
use tests::{Furnished, Shown, TestApp, Visitor, log, ticket};

use super::{WEEK, leads};

fn money(value: &Value) -> String {
    let part = |name: &str| value[name].as_str().expect("money has it").to_owned();
    format!("{} {}", part("amount"), part("currency"))
}

/// A draft of a week with a log and a tie that nothing pays for.
fn blocked(outfit: &Furnished) -> Value {
    let tie =
        json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8"});
    let filed = ticket(outfit, 1, "2026-06-02", &[log("16", "16"), tie]);
    let _posted = outfit.scaler.post("/v1/tickets", &filed).expect(201);
    outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201)
}

/// The names of the boxes of what can be set aside.
fn boxes(shown: &Shown) -> Vec<String> {
    let names = shown.reply.text.split("name=\"aside.").skip(1);
    names.map(|rest| format!("aside.{}", rest.split('"').next().expect("a name"))).collect()
}

#[test]
fn a_blocked_week_leads_to_tickets_and_contracts_and_keeps_what_was_ticked() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let draft = blocked(&outfit);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "bookkeeper");
    let shown = ida.get(WEEK);
    assert_eq!(shown.texts("h2").first().map(String::as_str), Some("What blocks the week"));
    for open in draft["unpriced"].as_array().expect("a list") {
        let ticket = open["ticket_id"].as_str().expect("an id");
        assert!(shown.reply.text.contains(&format!("/desk/audit/tickets/{ticket}\"")));
        assert!(shown.text().contains(open["says"].as_str().expect("why")), "{}", shown.text());
    }
    let contract = format!("/desk/contracts/{}", outfit.felling_contract);
    assert!(shown.reply.text.contains(&contract), "{}", shown.reply.text);
    let _found = ida.get(&contract).page(200);
    let form = shown.form(&format!("{WEEK}/set-aside")).with("reason", "ties are paid by hand");
    assert!(ida.submit(&form).text().contains("Tick what is to be set aside"));
    let ticked = boxes(&shown).first().expect("a box").clone();
    let _foreign = ida.submit(&form.clone().with(&ticked, "on").with("form_key", "0")).page(403);
    let empty = ida.submit(&form.with(&ticked, "on").with("reason", " "));
    let _page = empty.page(400);
    assert_eq!(empty.texts("[role=alert]").len(), 1);
    assert!(empty.reply.text.contains(&format!("name=\"{ticked}\" value=\"on\" checked")), "the tick stays");
    let draft = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201);
    assert_eq!(draft["unpriced"].as_array().map(Vec::len), Some(boxes(&shown).len()), "nothing was filed");
}

#[test]
fn differences_tell_of_volumes_and_pay_and_where_prices_are_told() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _before = blocked(&outfit);
    let more = ticket(&outfit, 2, "2026-06-03", &[log("12", "16")]);
    let _posted = outfit.scaler.post("/v1/tickets", &more).expect(201);
    let void =
        json!({"product": "tie", "species": "oak", "width_in": "8", "thickness_in": "7", "length_ft": "8"});
    let _posted = outfit.scaler.post("/v1/tickets", &ticket(&outfit, 3, "2026-06-03", &[void])).expect(201);
    let after = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "bookkeeper");
    let shown = ida.get(WEEK);
    let text = shown.text();
    for says in ["What has no price stands above", "scaled before", "scaled now", "How pay is made up"] {
        assert!(text.contains(says), "{says}: {text}");
    }
    let figures = shown.texts(".volumes td.figure");
    for contract in after["volumes"].as_array().expect("a list") {
        for row in contract["rows"].as_array().expect("rows") {
            assert!(figures.contains(&row["pieces"].to_string()), "{row}");
            if row["unit"].is_string() {
                assert!(figures.contains(&row["gross"].as_str().expect("gross").to_owned()), "{row}");
            }
        }
    }
    for pay in after["pays"].as_array().expect("a list") {
        assert!(text.contains(&money(&pay["total"])), "{pay}");
    }
}

#[test]
fn every_figure_of_the_week_and_its_statements_is_the_services() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let filed = ticket(&outfit, 1, "2026-06-02", &[log("16", "16")]);
    let _posted = outfit.scaler.post("/v1/tickets", &filed).expect(201);
    let draft = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "bookkeeper");
    let shown = ida.get(WEEK);
    let confirm = leads(&shown, "id=\"to-posting\"");
    let asked = ida.get(&confirm);
    for page in [&shown, &asked] {
        let figures = page.texts("td.figure");
        for line in draft["lines"].as_array().expect("lines") {
            let amounts = [money(&line["amount"]), line["quantity"].as_str().expect("a quantity").to_owned()];
            for amount in amounts {
                assert!(figures.contains(&amount), "{amount}: {figures:?}");
            }
        }
    }
    let _posted = ida.submit(&asked.form(&confirm));
    let posted = ida.get(WEEK);
    let seals = outfit.bookkeeper.get("/v1/seals").expect(200);
    let seal = seals["items"][0]["statement"]["seal_id"].as_str().expect("a seal").to_owned();
    assert_eq!(leads(&posted, "id=\"seal\""), format!("/desk/audit/seals/{seal}"));
    let list = ida.get("/desk/statements");
    let balances = outfit.bookkeeper.get("/v1/balances").expect(200);
    let shown = list.texts("#table-balances td.figure");
    for one in balances["items"].as_array().expect("a list") {
        assert!(shown.contains(&money(&one["balance"])), "{one}");
    }
    let statements = outfit.bookkeeper.get("/v1/statements").expect(200);
    for one in statements["items"].as_array().expect("a list") {
        let id = one["statement_id"].as_str().expect("an id");
        let known = outfit.bookkeeper.get(&format!("/v1/statements/{id}")).expect(200);
        let page = ida.get(&format!("/desk/statements/{id}"));
        for line in known["lines"].as_array().expect("lines") {
            assert!(page.text().contains(&money(&line["amount"])), "{line}");
        }
        let figures = page.texts(".volumes td.figure");
        for contract in known["volumes"].as_array().expect("a list") {
            assert!(
                contract["rows"]
                    .as_array()
                    .expect("rows")
                    .iter()
                    .all(|row| figures.contains(&row["pieces"].to_string()))
            );
        }
    }
}

#[test]
fn each_sees_what_is_theirs_and_readers_change_nothing() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let filed = ticket(&outfit, 1, "2026-06-02", &[log("16", "16")]);
    let _posted = outfit.scaler.post("/v1/tickets", &filed).expect(201);
    let settlement = outfit.settle("2026-06-06")["settlement_id"].as_str().expect("an id").to_owned();
    let all = outfit.bookkeeper.get("/v1/statements").expect(200);
    let mut mill = Visitor::signed_in(&app, &outfit, "max", "mill");
    let list = mill.get("/desk/statements");
    let _page = list.page(200);
    assert!(list.texts("#table-balances").is_empty(), "balances are the office's");
    let other = Furnished::new(&app);
    let mut elsewhere = Visitor::signed_in(&app, &other, "otto", "bookkeeper");
    for one in all["items"].as_array().expect("a list") {
        let path = format!("/desk/statements/{}", one["statement_id"].as_str().expect("an id"));
        let own = one["payee"]["mill_id"].is_string();
        assert_eq!(list.reply.text.contains(&path), own, "{one}");
        let _page = mill.get(&path).page(if own { 200 } else { 404 });
        let _none = elsewhere.get(&path).page(404);
    }
    let _refused = mill.get(WEEK).page(403);
    for path in ["post", "again"] {
        let _none = elsewhere.get(&format!("{WEEK}/{path}/{settlement}")).page(404);
    }
    assert!(elsewhere.get(WEEK).text().contains("There is no preview of this week yet."));
    let mut con = Visitor::signed_in(&app, &outfit, "con", "contractor");
    let next = "/desk/week/2026-06-13";
    let page = con.get(next);
    assert!(page.texts("main button").is_empty(), "a contractor has no buttons");
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "bookkeeper");
    let form = ida.get(next).form(&format!("{next}/preview"));
    let key = page.reply.text.split("name=\"form_key\" value=\"").nth(1).expect("a key");
    let refused = con.submit(&form.with("form_key", key.split('"').next().expect("it ends")));
    let _page = refused.page(403);
    let drafts = outfit.bookkeeper.get("/v1/settlements?week_ends_on=2026-06-13").expect(200);
    assert_eq!(drafts["items"].as_array().map(Vec::len), Some(0));
}
