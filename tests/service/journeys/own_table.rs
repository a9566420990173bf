//! An outfit's own log rule: filed, named in terms, scaled and settled by, and never changed by what is filed later.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};

use crate::world::{log_table, text};

/// Terms that pay for felling by a table.
fn terms(table: Value) -> Value {
    json!({
        "effective_from": "2026-06-01", "practice": {"log": {"rule": "own-table", "table": table}},
        "rates": [{"name": "felling logs", "task": "felling", "product": "log",
                   "unit": "thousand_board_feet", "basis": "gross", "price": "10"}]
    })
}

fn terms_path(outfit: &Furnished) -> String {
    format!("/v1/contracts/{}/terms", outfit.felling_contract)
}

/// What felling comes to on a ticket.
fn felled(outfit: &Furnished, ticket_id: &str) -> String {
    let shown = outfit.scaler.get(&format!("/v1/tickets/{ticket_id}")).expect(200);
    let scaled = shown["scaled"].as_array().expect("scales").clone();
    let felling = scaled.iter().find(|one| one["contract_title"] == "Felling").expect("the felling");
    text(&felling["accruals"][0], "quantity")
}

fn post(outfit: &Furnished, number: u32, pieces: &[Value]) -> String {
    let accepted =
        outfit.scaler.post("/v1/tickets", &ticket(outfit, number, "2026-06-03", pieces)).expect(201);
    text(&accepted, "ticket_id")
}

/// The same table with every volume a hundred board feet more.
fn richer(title: &str) -> Value {
    let mut table = log_table(title);
    for row in table["cells"]["listed"]["rows"].as_array_mut().expect("rows") {
        for volume in row["volumes"].as_array_mut().expect("volumes") {
            let more = volume.as_str().expect("a text").parse::<u32>().expect("a number") + 100;
            *volume = more.to_string().into();
        }
    }
    table
}

#[test]
fn a_week_is_settled_by_an_own_table_and_stays_as_it_was_when_a_new_version_comes() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let first = outfit.bookkeeper.post("/v1/log-tables", &log_table("Camp scale")).expect(201);
    assert_eq!(first["version"], 1);
    let first_id = text(&first, "table_id");
    let filed =
        outfit.bookkeeper.post(&terms_path(&outfit), &terms(json!({"table_id": first_id}))).expect(201);
    // The terms hold the table whole.
    let held = &filed["terms"]["practice"]["log"]["table"];
    assert_eq!(
        (&held["table_id"], &held["version"], &held["document"]),
        (&first["table_id"], &json!(1), &first["document"])
    );

    // 12 in × 16 ft: 136; 15 1/2 in, a half up, × 12 ft: 172.
    let ticket_id = post(&outfit, 1, &[log("12", "16"), log("15.5", "12")]);
    assert_eq!(felled(&outfit, &ticket_id), "308");
    let working = outfit.contractor.get(&format!("/v1/tickets/{ticket_id}/working")).expect(200);
    let says = working.to_string();
    assert!(
        says.contains(
            "own table \\\"Camp scale\\\", version 1: 12 inches by 16 feet stands at 136 board feet"
        ),
        "{working:#}"
    );
    // A log past the table is unpriced, with the range in the reason.
    let past =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 2, "2026-06-03", &[log("17", "16")])).expect(201);
    assert!(past["unpriced"].to_string().contains("it holds 12 to 16 inches"), "{past:#}");
    let aside = json!({"task": "felling", "piece": 1, "reason": "scaled by hand"});
    let aside =
        outfit.bookkeeper.post(&format!("/v1/tickets/{}/set-asides", text(&past, "ticket_id")), &aside);
    let _aside = aside.expect(201);

    let second = outfit.bookkeeper.post("/v1/log-tables", &richer("Camp scale")).expect(201);
    assert_eq!(second["version"], 2);
    assert_ne!(second["table_id"], first["table_id"]);
    // Neither what was scaled nor what is scaled from now on under the same terms goes by it.
    assert_eq!(felled(&outfit, &ticket_id), "308");
    let later = post(&outfit, 3, &[log("12", "16")]);
    assert_eq!(felled(&outfit, &later), "136");
    let posted = outfit.settle("2026-06-06");
    let line = posted["lines"].as_array().expect("lines").iter().find(|line| line["task"] == "felling");
    // 444 board feet at 10 a thousand.
    assert_eq!(line.expect("felling")["amount"]["amount"], "4.44", "{posted:#}");

    // Terms that name it do.
    let second_id = text(&second, "table_id");
    let amended = terms(json!({"table_id": second_id}));
    let filed = outfit.bookkeeper.post(&terms_path(&outfit), &amended).expect(201);
    assert_eq!(filed["tickets_worked_out_again"], 3);
    assert_eq!(felled(&outfit, &ticket_id), "508");
    // And the old ones still hold the old one.
    let contract = outfit.contractor.get(&format!("/v1/contracts/{}", outfit.felling_contract)).expect(200);
    let versions: Vec<_> = contract["terms"]
        .as_array()
        .expect("terms")
        .iter()
        .map(|terms| terms["practice"]["log"]["table"]["version"].clone())
        .collect();
    assert_eq!(versions, [Value::Null, json!(1), json!(2)]);
}

#[test]
fn the_same_table_again_is_the_version_that_exists_in_whatever_form_it_comes() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let file = |table: &Value| outfit.bookkeeper.post("/v1/log-tables", table);
    let first = file(&log_table("Camp scale")).expect(201);
    let again = file(&log_table("Camp scale"));
    assert_eq!((again.status, again.header("replayed")), (200, Some("true")));
    assert_eq!(again.body, first);
    let mut csv = log_table("Camp scale");
    csv["cells"] = json!({"csv": "\u{feff}inches,12.0,14,16\r\n12,132,134,136\r\n13,142,144,146\r\n14,152,154,156\r\n\
                                  15,162,164,166\r\n16,172,174,\"176.0\"\r\n"});
    csv["acknowledged_falls"] = json!(true);
    assert_eq!(file(&csv).expect(200), first);
    let second = file(&richer("Camp scale")).expect(201);
    assert_eq!(file(&log_table("Camp scale")).expect(200)["version"], 1);
    // Another statement about the same cells is another version; another title begins anew.
    let mut stated = log_table("Camp scale");
    stated["heading"]["jurisdiction"] = json!("north of the river");
    assert_eq!(file(&stated).expect(201)["version"], 3);
    assert_eq!(file(&log_table("Mill scale")).expect(201)["version"], 1);
    let listed = outfit.contractor.get("/v1/log-tables?limit=3").expect(200);
    let titles: Vec<_> = listed["items"]
        .as_array()
        .expect("items")
        .iter()
        .map(|one| (text(one, "title"), one["version"].clone(), text(one, "unit")))
        .collect();
    let camp = |version: u32| ("Camp scale".to_owned(), json!(version), "board_foot".to_owned());
    assert_eq!(titles, [camp(1), camp(2), camp(3)]);
    let rest = outfit.contractor.get(&format!("/v1/log-tables?after={}", text(&listed, "next"))).expect(200);
    assert_eq!(rest["items"].as_array().map(Vec::len), Some(1), "{rest:#}");
    let shown = outfit.contractor.get(&format!("/v1/log-tables/{}", text(&second, "table_id"))).expect(200);
    assert_eq!(shown, second);
}

#[test]
fn terms_as_they_are_shown_can_be_filed_again() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut falling = log_table("Camp scale");
    falling["cells"]["listed"]["rows"][2]["volumes"][0] = json!("1");
    falling["acknowledged_falls"] = json!(true);
    let table = outfit.bookkeeper.post("/v1/log-tables", &falling).expect(201);
    assert_eq!(table["falls"].as_array().map(Vec::len), Some(1), "{table:#}");
    let named = terms(json!({"table_id": table["table_id"]}));
    let filed = outfit.bookkeeper.post(&terms_path(&outfit), &named).expect(201);
    let mut again = named;
    again["practice"] = filed["terms"]["practice"].clone();
    let filed_again = outfit.bookkeeper.post(&terms_path(&outfit), &again).expect(201);
    assert_eq!(filed_again["terms"]["practice"], filed["terms"]["practice"]);
}

/// A mill has no list of the outfit's tables; the one of its contract it reads in the terms.
#[test]
fn a_mill_reads_the_table_of_its_own_contract() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let table = outfit.bookkeeper.post("/v1/log-tables", &log_table("Mill scale")).expect(201);
    let contract = &outfit.mill.get("/v1/contracts").expect(200)["items"][0]["contract_id"];
    let mut delivery = terms(json!({"table_id": table["table_id"]}));
    delivery["rates"][0]["task"] = json!("delivery");
    let path = format!("/v1/contracts/{}", contract.as_str().expect("an id"));
    let _filed = outfit.bookkeeper.post(&format!("{path}/terms"), &delivery).expect(201);
    let shown = outfit.mill.get(&path).expect(200);
    assert_eq!(shown["terms"][1]["practice"]["log"]["table"]["document"], table["document"], "{shown:#}");
}
