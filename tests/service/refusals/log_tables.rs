//! Tables with faults, and terms that name a table which is not there, is another outfit's or does not fit.

use serde_json::{Value, json};
use tests::Furnished;
use wire::Code;

use super::{Wrong, Yard, misformed, put, wrong};
use crate::world::{log_table, terms, text};

fn faulty(at: &'static str, value: Value, pointer: &'static str, says: &'static str) -> Wrong {
    wrong(at, value, Code::TableFaulty, pointer, says)
}

#[test]
fn tables_with_faults() {
    let yard = Yard::new();
    let cell = "/cells/listed/rows/1/volumes/2";
    let table = vec![
        faulty(cell, json!(""), "#/cells/listed/rows/1/volumes/2", "row 2, column 3: the cell is empty"),
        faulty(cell, json!("1e3"), "#/cells/listed/rows/1/volumes/2", "plain decimal"),
        faulty(cell, json!("-1"), "#/cells/listed/rows/1/volumes/2", "at least 0"),
        faulty("/cells/listed/rows/1/volumes/-", json!("150"), "#/cells/listed/rows/1/volumes", "4 volumes"),
        faulty("/cells/listed/rows/1/diameter", json!("12"), "#/cells/listed/rows/1/diameter", "follow 12"),
        faulty(
            "/cells/listed/rows/1/diameter",
            json!("0"),
            "#/cells/listed/rows/1/diameter",
            "0 is not a size",
        ),
        faulty(
            "/cells/listed/rows/4/diameter",
            json!("17"),
            "#/cells/listed/rows/4/diameter",
            "between them",
        ),
        faulty("/cells/listed/lengths/2", json!("18"), "#/cells/listed/lengths/2", "wider"),
        faulty("/cells/listed/lengths", json!([]), "#/cells/listed", "no lengths"),
        faulty("/heading/unit", json!("cubic_metre"), "#/heading/unit", "unit of the"),
        faulty("/cells", json!({"csv": "in,8\n6,5\n7\n"}), "#/cells/csv", "row 2: it has 0 volumes"),
        faulty("/cells", json!({"csv": ""}), "#/cells/csv", "no rows"),
        misformed(cell, json!(146), "#/cells/listed/rows/1/volumes/2", "text"),
        misformed(cell, json!(null), "#/cells/listed/rows/1/volumes/2", "text"),
        misformed("/cells", json!({}), "#/cells", ""),
        misformed(
            "/cells",
            json!({"csv": "in,8\n6,5\n", "listed": {"lengths": [], "rows": []}}),
            "#/cells",
            "",
        ),
        misformed("/cells/listed/row", json!([]), "#/cells/listed/row", "row"),
        misformed("/heading/title", json!(""), "#/heading/title", "blank"),
        // Log tables come in the units of logs: a pile's is none of them.
        faulty("/heading/unit", json!("cord"), "#/heading/unit", "unit of the"),
        misformed("/heading/unit", json!("bushel"), "#/heading/unit", "bushel"),
        misformed("/acknowledged_falls", json!("yes"), "#/acknowledged_falls", ""),
    ];
    yard.refuses_each("/v1/log-tables", || log_table("New scale"), table);
}

#[test]
fn a_table_that_falls_is_refused_with_every_fall_until_that_is_acknowledged() {
    let yard = Yard::new();
    let mut falling = log_table("New scale");
    put(&mut falling, "/cells/listed/rows/2/volumes/1", json!("100"));
    let file = |table: &Value| yard.manager().post("/v1/log-tables", table);
    let problem = yard.refused(Code::FallsNotAcknowledged, || file(&falling));
    let errors = problem["errors"].as_array().expect("errors");
    assert_eq!(errors.len(), 2, "{problem:#}");
    assert_eq!(
        errors[0]["detail"],
        "at diameter 14 and length 14 the volume is 100, and 144 at the next smaller diameter"
    );
    put(&mut falling, "/acknowledged_falls", json!(true));
    assert_eq!(file(&falling).expect(201)["falls"].as_array().map(Vec::len), Some(2));
}

#[test]
fn many_faults_are_counted_and_the_first_hundred_listed() {
    let yard = Yard::new();
    let lines: String = (1..=150).map(|diameter| format!("{diameter},x\n")).collect();
    let mut table = log_table("New scale");
    put(&mut table, "/cells", json!({"csv": format!("in,8\n{lines}")}));
    let problem = yard.refused(Code::TableFaulty, || yard.manager().post("/v1/log-tables", &table));
    assert_eq!(problem["errors"].as_array().map(Vec::len), Some(100));
    assert!(problem["detail"].to_string().contains("150 faults"), "{}", problem["detail"]);
}

#[test]
fn a_check_tells_the_same_and_keeps_nothing() {
    let yard = Yard::new();
    let check = |table: &Value| yard.manager().post("/v1/log-table-checks", table).expect(200);
    let before = yard.database.counts();
    let good = log_table("New scale");
    assert_eq!(check(&good), json!({"can_be_filed": true, "faults": [], "falls": []}));
    let mut faulty = good.clone();
    put(&mut faulty, "/cells/listed/rows/1/volumes/2", json!(""));
    let found = check(&faulty);
    assert_eq!(
        (&found["can_be_filed"], &found["faults"][0]["code"]),
        (&json!(false), &json!("missing-cell"))
    );
    assert_eq!((&found["faults"][0]["row"], &found["faults"][0]["column"]), (&json!(2), &json!(3)));
    let mut falling = good;
    put(&mut falling, "/cells/listed/rows/2/volumes/1", json!("100"));
    let found = check(&falling);
    assert_eq!((&found["can_be_filed"], found["falls"].as_array().map(Vec::len)), (&json!(false), Some(2)));
    put(&mut falling, "/acknowledged_falls", json!(true));
    assert_eq!(check(&falling)["can_be_filed"], true);
    assert_eq!(yard.database.counts(), before);
}

#[test]
fn terms_name_a_table_of_their_own_outfit_that_fits_them() {
    let yard = Yard::new();
    let stranger = Furnished::new(&yard.app);
    let theirs = stranger.manager.post("/v1/log-tables", &log_table("Their scale")).expect(201);
    let path = format!("/v1/contracts/{}/terms", yard.world.outfit.felling_contract);
    let own = |table: Value| json!({"rule": "own-table", "table": table});
    let named = || own(json!({"table_id": yard.world.log_table}));
    let with = |member: &str, value: Value| {
        let mut log = named();
        log[member] = value;
        log
    };
    let shown = yard.manager().get(&format!("/v1/log-tables/{}", yard.world.log_table)).expect(200);
    let whole = |document: &Value, version: u32| {
        own(json!({"table_id": shown["table_id"], "version": version, "document": document}))
    };
    let mut altered = shown["document"].clone();
    altered["rows"][0]["volumes"][0] = json!("131");
    let log = "/practice/log";
    let clash = |value: Value, says| wrong(log, value, Code::TermsClash, "#/practice/log", says);
    let missing = |id: &str| {
        wrong(log, own(json!({"table_id": id})), Code::NamesMissingRecord, "", "there is no log table")
    };
    let form = |value: Value, says| misformed(log, value, "#/practice/log", says);
    let table = vec![
        missing("01977000-0000-7000-8000-000000000099"),
        missing(&text(&theirs, "table_id")),
        missing(&yard.world.outfit.job),
        clash(with("system", json!("metric")), "system"),
        clash(with("unit", json!("cubic_foot")), "unit"),
        clash(with("deduction_rounding", json!("none")), "deduction_rounding"),
        clash(whole(&altered, 1), "differs"),
        clash(whole(&shown["document"], 2), "differs"),
        form(with("edition", json!("standard")), "edition"),
        form(with("sources", json!("print_only")), "sources"),
        form(with("rule", json!("doyle")), "table"),
        form(json!({"rule": "own-table"}), "table_id"),
        misformed(log, own(json!({})), "#/practice/log/table", "table_id"),
        misformed(log, own(json!({"table_id": "Camp scale"})), "#/practice/log/table/table_id", ""),
        misformed(
            log,
            own(json!({"table_id": yard.world.log_table, "version": 1})),
            "#/practice/log/table",
            "together",
        ),
    ];
    yard.refuses_each(&path, || terms("10"), table);
    // A whole contract is held to the same.
    let mut contract = yard.world.sample("file_contract").body.expect("a body");
    put(&mut contract, "/terms/practice/log", own(json!({"table_id": text(&theirs, "table_id")})));
    let _problem = yard.refused(Code::NamesMissingRecord, || yard.manager().post("/v1/contracts", &contract));
}
