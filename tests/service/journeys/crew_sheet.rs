//! Crew sheets: how a settlement's lines were divided, so that every part is somebody's and the parts are the whole.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

use super::several_weeks::{WEEKS, cents, several_weeks};

fn sheet(outfit: &Furnished, settlement: &Value, crew: &str) -> Value {
    let settlement = settlement["settlement_id"].as_str().expect("an id");
    outfit.bookkeeper.get(&format!("/v1/settlements/{settlement}/crews/{crew}")).expect(200)
}

fn list<'a>(of: &'a Value, member: &str) -> &'a Vec<Value> {
    of[member].as_array().unwrap_or_else(|| panic!("no {member} in {of:#}"))
}

/// Members × lines: rows and columns add up to the same.
fn foots(sheet: &Value) {
    let mut in_all = 0;
    for line in list(sheet, "lines") {
        let parts = list(sheet, "members").iter().flat_map(|member| list(member, "parts"));
        let of_line = parts.filter(|part| part["line_number"] == line["number"]);
        let sum: i64 = of_line.map(|part| cents(&part["amount"])).sum();
        assert_eq!(sum, cents(&line["amount"]), "{line:#}");
        in_all += sum;
    }
    for member in list(sheet, "members") {
        let parts: i64 = list(member, "parts").iter().map(|part| cents(&part["amount"])).sum();
        assert_eq!(parts, cents(&member["total"]), "{member:#}");
    }
    let totals: i64 = list(sheet, "members").iter().map(|member| cents(&member["total"])).sum();
    assert_eq!((totals, in_all), (cents(&sheet["total"]), cents(&sheet["total"])));
}

#[test]
fn parts_add_up_to_lines_and_totals_to_the_whole() {
    let app = TestApp::start();
    let outfit = several_weeks(&app, 41);
    for week in WEEKS {
        let posted =
            outfit.bookkeeper.get(&format!("/v1/settlements?week_ends_on={week}&posted=true")).expect(200);
        let posted = &posted["items"][0];
        let mut all = 0;
        for crew in [&outfit.felling_crew, &outfit.teamster] {
            let sheet = sheet(&outfit, posted, crew);
            assert_eq!((&sheet["state"], &sheet["week_ends_on"]), (&json!("posted"), &json!(week)));
            foots(&sheet);
            assert!(list(&sheet, "lines").iter().all(|line| line["crew_id"] == crew.as_str()), "{sheet:#}");
            all += cents(&sheet["total"]);
        }
        assert_eq!(all, cents(&posted["paid_to_crews"]), "{week}");
    }
}

#[test]
fn a_draft_has_sheets_and_so_has_a_crew_that_is_paid_nothing() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("20", "16"), log("20", "16"), log("20", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let draft = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201);
    let felling = sheet(&outfit, &draft, &outfit.felling_crew);
    // 840 board feet at 10.01 a thousand are 8.41, and 4.21 and 4.20 to two who share alike.
    assert_eq!((&felling["state"], &felling["crew_name"]), (&json!("draft"), &json!("Felling crew")));
    let totals: Vec<_> = list(&felling, "members").iter().map(|one| cents(&one["total"])).collect();
    assert_eq!((totals, cents(&felling["total"])), (vec![421, 420], 841));
    assert_eq!(felling["volumes"][0]["rows"][0]["gross"], "840");
    assert_eq!(list(&felling, "volumes").len(), 1, "the crew's own contract only");
    foots(&felling);

    let idle = outfit.manager.post("/v1/crews", &json!({"name": "Idle crew"})).expect(201);
    let idle = sheet(&outfit, &draft, idle["crew_id"].as_str().expect("an id"));
    assert_eq!((&idle["lines"], &idle["members"], cents(&idle["total"])), (&json!([]), &json!([]), 0));

    let nobody = "01977000-0000-7000-8000-000000000099";
    let settlement = draft["settlement_id"].as_str().expect("an id");
    for path in [
        format!("/v1/settlements/{settlement}/crews/{nobody}"),
        format!("/v1/settlements/{nobody}/crews/{}", outfit.felling_crew),
    ] {
        let _problem = outfit.bookkeeper.get(&path).refuses(Code::NotFound);
    }
}
