//! Figures on the pages against the API's JSON.

use serde_json::Value;
use tests::{Furnished, TestApp, Visitor};

use super::{SPAN, two_weeks};

fn text(value: &Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

/// An amount as tables show it whose caption names the currency.
fn amount(value: &Value) -> String {
    text(&value["amount"])
}

#[test]
fn volume_and_pay_are_what_the_report_says() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _settled = two_weeks(&outfit);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ann", "contractor");
    let shown = visitor.get(&format!("/desk/audit?{SPAN}"));
    let _page = shown.page(200);
    let report = outfit.contractor.get(&format!("/v1/reports/audit?{SPAN}")).expect(200);
    let audit = &report["volume_against_pay"];
    let list = |value: &Value| value.as_array().expect("a list").clone();

    let stages = shown.rows("table-stages");
    assert_eq!(stages.len(), list(&audit["stages"]).len());
    for (row, known) in stages.iter().zip(list(&audit["stages"])) {
        let figures = ["pieces", "culls", "gross", "net"].map(|member| text(&known[member]));
        assert_eq!(row[4..8], figures, "{known:#}");
        assert!(row[9].contains("tickets"), "{row:?}");
    }
    let contracts = shown.rows("table-contracts");
    for (row, known) in contracts.iter().zip(list(&audit["contracts"])) {
        assert_eq!(row[0], text(&known["contract_title"]));
        assert_eq!(row[2..5], ["earned", "posted", "open"].map(|member| amount(&known[member])), "{known:#}");
    }
    let rates = shown.rows("table-rates");
    let known: Vec<Value> = list(&audit["contracts"]).iter().flat_map(|one| list(&one["pay"])).collect();
    assert_eq!((rates.len(), rates.is_empty()), (known.len(), false));
    for (row, known) in rates.iter().zip(&known) {
        assert_eq!(row[0], text(&known["rate_name"]));
        assert_eq!(row[4..7], ["price", "quantity", "pieces"].map(|member| text(&known[member])));
        assert_eq!(row[7..10], ["earned", "posted", "open"].map(|member| amount(&known[member])));
    }
    let weeks = list(&report["volume_by_week"]);
    let delivered = shown.rows("table-delivered-board-feet");
    let known: Vec<_> = weeks.iter().filter(|row| row["stage"] == "delivered").collect();
    assert_eq!((delivered.len(), known.len()), (2, 2), "{}", shown.text());
    for (row, known) in delivered.iter().zip(known) {
        assert_eq!(row[0], text(&known["week_ends_on"]));
        assert_eq!(row[4..6], [text(&known["gross"]), text(&known["net"])]);
    }
    // Every chart is there with what a screen reader reads, and its table.
    assert_eq!(shown.texts("figure svg > title").len(), shown.texts("figure").len());
    assert!(shown.texts("figure").len() >= 5);
}

#[test]
fn only_what_is_chosen_is_shown_and_nothing_chosen_is_the_last_settled_weeks() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _settled = two_weeks(&outfit);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ann", "contractor");
    let shown = visitor.get("/desk/audit");
    let form = shown.form("/desk/audit");
    let field = |name: &str| form.fields.iter().find(|(known, _)| known == name).expect(name).1.clone();
    assert_eq!((field("from").as_str(), field("to").as_str()), ("2026-05-10", "2026-06-06"));
    let shown = visitor.submit(&form.with("contract_id", &outfit.felling_contract).with("to", "2026-06-13"));
    let _page = shown.page(200);
    assert_eq!(shown.texts("#table-contracts tbody th"), ["Felling"]);
    let query = format!("from=2026-05-10&to=2026-06-13&contract_id={}", outfit.felling_contract);
    let report = outfit.contractor.get(&format!("/v1/reports/audit?{query}")).expect(200);
    let earned = &report["volume_against_pay"]["contracts"][0]["earned"];
    assert_eq!(shown.texts("#table-contracts tbody td")[1], amount(earned));
    let _unreadable = visitor.get("/desk/audit?from=last+week&to=2026-06-13").page(400);
}

#[test]
fn a_settlement_leads_to_its_week() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let settled = two_weeks(&outfit);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ann", "contractor");
    let settled = text(&settled["settlement_id"]);
    let to = visitor.get(&format!("/desk/audit/settlements/{settled}")).leads_to();
    assert_eq!(to.as_deref(), Some("/desk/week/2026-06-06"));
    let _refused = Visitor::signed_in(&app, &outfit, "max", "mill")
        .get(&format!("/desk/audit/settlements/{settled}"))
        .page(403);
}

#[test]
fn a_line_is_followed_to_the_sticks_and_a_stick_to_the_line() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let settled = two_weeks(&outfit);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ann", "contractor");
    let id = text(&settled["settlement_id"]);
    for line in settled["lines"].as_array().expect("lines") {
        let path = format!("settlements/{id}/lines/{}", line["number"]);
        let shown = visitor.get(&format!("/desk/audit/{path}"));
        let _page = shown.page(200);
        let known = outfit.contractor.get(&format!("/v1/{path}")).expect(200);
        let says = text(&known["says"]).split_whitespace().collect::<Vec<_>>().join(" ");
        let all = shown.text();
        assert!(all.contains(&says), "{says}\n{all}");
        let money =
            format!("{} {}", amount(&known["line"]["amount"]), text(&known["line"]["amount"]["currency"]));
        assert!(all.contains(&money) || all.contains(&amount(&known["line"]["amount"])), "{money}");
        for ticket in known["tickets"].as_array().expect("tickets") {
            for piece in ticket["pieces"].as_array().expect("pieces") {
                let steps = piece["working"].as_array().expect("steps");
                assert!(
                    steps.iter().all(|step| all.contains(text(step).get(1..).expect("a step in words"))),
                    "{piece:#}"
                );
            }
        }
    }
    let form = visitor.get("/desk/audit/find").form("/desk/audit/find");
    let form = form.with("book", "A").with("number", "1");
    let found = visitor.submit(&form.clone().with("stick", "2"));
    let shown = visitor.follow(found);
    assert_eq!(shown.texts("h1"), ["Stick 2 of ticket A 1"]);
    assert!(shown.reply.text.contains(&format!("/desk/audit/settlements/{id}/lines/")), "{}", shown.text());
    let missing = visitor.submit(&form.clone().with("number", "99"));
    assert!(missing.texts("[role=alert]")[0].contains("no ticket A 99"));
    let wrong = visitor.submit(&form.with("number", "one"));
    assert!(wrong.texts("[role=alert]")[0].contains("whole number"));
}

#[test]
fn a_seal_and_its_proofs_can_be_kept_as_files() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _settled = two_weeks(&outfit);
    let mut visitor = Visitor::signed_in(&app, &outfit, "ann", "contractor");
    let seal = outfit.contractor.get("/v1/seals").expect(200)["items"][0].clone();
    let id = text(&seal["statement"]["seal_id"]);
    let file = visitor.get(&format!("/desk/audit/seals/{id}/seal.json"));
    let kept: Value = serde_json::from_str(&file.reply.text).expect("JSON");
    assert_eq!((file.reply.status, kept), (200, seal.clone()));
    assert!(file.reply.header("content-disposition").expect("a file").contains("seal.json"));
    let records = visitor.get(&format!("/desk/audit/seals/{id}/records.ndjson"));
    assert_eq!(records.reply.text.lines().count().to_string(), text(&seal["statement"]["tree_size"]));
    let checked = visitor.get(&format!("/desk/audit/seals/{id}/check"));
    assert_eq!(checked.texts("[role=status]"), ["Nothing is wrong: the books are what was sealed."]);
}
