//! Scaling by an outfit's own table: readings, segments, defects and the working. All the tables are invented.

use scaling::{FiledTable, LogPractice, Practice, SentPractice, StepKind};
use serde_json::{Value, json};

use crate::common::{gross_and_net, practice, scaled};

const ID: &str = "01977000-0000-7000-8000-000000000001";

/// Diameters 6 to 24 inches by 4 to 16 even feet: diameter × length board feet.
fn document() -> Value {
    let lengths: Vec<u32> = (4..=16).step_by(2).collect();
    let row = |diameter: u32| {
        let volumes: Vec<_> = lengths.iter().map(|length| (diameter * length).to_string()).collect();
        json!({"diameter": diameter.to_string(), "volumes": volumes})
    };
    json!({
        "heading": {"title": "Camp scale", "unit": "board_foot", "rounding": "none", "jurisdiction": "the camp",
                    "source": "invented for this test"},
        "lengths": lengths.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "rows": (6..=24).map(row).collect::<Vec<_>>()
    })
}

fn terms_of(document: Value, more: Value) -> Value {
    let mut terms =
        json!({"rule": "own-table", "table": {"table_id": ID, "version": 3, "document": document}});
    for (name, value) in more.as_object().unwrap() {
        terms[name] = value.clone();
    }
    terms
}

fn terms(more: Value) -> Value {
    terms_of(document(), more)
}

fn log(diameter: &str, length: &str) -> Value {
    json!({"small_diameter_in": [diameter], "length_ft": length})
}

#[test]
fn a_log_goes_by_its_cell_and_the_working_says_which() {
    let scaled = scaled(terms(json!({})), &log("12", "16")).unwrap();
    assert_eq!(scaled.volume.unwrap().gross.to_string(), "192");
    let cell = scaled.working.iter().find(|step| step.step == StepKind::TableCell).unwrap();
    assert_eq!(
        cell.says.as_str(),
        "own table \"Camp scale\", version 3: 12 inches by 16 feet stands at 192 board feet; its figures are rounded, as \
         the outfit states: none"
    );
    assert_eq!(cell.source.as_deref(), Some("as the outfit states: invented for this test (the camp)"));
    let figures: Vec<_> =
        cell.figures.iter().map(|figure| (figure.name.as_ref(), figure.value.to_string())).collect();
    assert_eq!(
        figures,
        [("table_version", "3"), ("diameter", "12"), ("length", "16"), ("gross_unrounded", "192")]
            .map(|(name, value)| (name, value.to_owned()))
    );
    assert!(!cell.from_memory);
}

#[test]
fn the_contracts_rounding_has_to_land_on_a_row_and_a_column() {
    // 12 1/2 goes up to 13 by the default; without whole inches it stands between two rows.
    assert_eq!(gross_and_net(terms(json!({})), &log("12.5", "16")).0, "208");
    assert_eq!(gross_and_net(terms(json!({"one_reading": "down"})), &log("12.5", "16")).0, "192");
    let between = scaled(terms(json!({"whole_inches": false})), &log("12.5", "16")).unwrap_err();
    assert_eq!(between.code(), "not-in-the-table");
    assert_eq!(
        between.to_string(),
        "own table \"Camp scale\", version 3 has no cell for 12.5 inches by 16 feet: it holds 6 to 24 inches in 19 rows \
         and 4 to 16 feet in 7 columns, and nothing between them"
    );
    assert!(between.range().is_some_and(|range| range.starts_with("it holds 6 to 24 inches")));
    for (diameter, length) in [("5", "16"), ("25", "16"), ("12", "18"), ("12", "2")] {
        let outside = scaled(terms(json!({})), &log(diameter, length)).unwrap_err();
        assert_eq!(outside.code(), "not-in-the-table", "{diameter} by {length}");
    }
    let odd = scaled(terms(json!({"length_multiple_ft": "1"})), &log("12", "15")).unwrap_err();
    assert_eq!(odd.code(), "not-in-the-table");
}

/// A table with half inches is entered with readings as they are.
#[test]
fn rows_between_whole_inches_keep_the_reading() {
    let half = json!({
        "heading": {"title": "Half inches", "unit": "cubic_foot", "rounding": "to a tenth", "source": "invented"},
        "lengths": ["8"],
        "rows": [{"diameter": "6", "volumes": ["1.6"]}, {"diameter": "6.5", "volumes": ["1.8"]}]
    });
    assert_eq!(gross_and_net(terms_of(half.clone(), json!({})), &log("6.5", "8")).0, "1.8");
    let whole = scaled(terms_of(half, json!({"whole_inches": true})), &log("6.5", "8")).unwrap_err();
    assert_eq!(whole.code(), "not-in-the-table"); // it became 7
}

#[test]
fn a_log_below_the_contracts_least_size_and_below_the_table_is_cull_without_a_volume() {
    let scaled = scaled(terms(json!({"least_diameter_in": "6"})), &log("5", "16")).unwrap();
    assert_eq!(scaled.volume, None);
    assert_eq!(scaled.cull.as_deref(), Some("5 inches is under the least diameter of 6 inches"));
}

#[test]
fn a_long_log_goes_segment_by_segment_where_the_table_has_the_cells() {
    let long = json!({"small_diameter_in": ["10"], "large_diameter_in": ["14"], "length_ft": "28"});
    let sixteen = json!({"longest_scaling_length_ft": "16"});
    // 14 feet at 10 inches and 14 feet at 12: 140 + 168.
    assert_eq!(gross_and_net(terms(sixteen.clone()), &long).0, "308");
    // A table of lengths 8 and 16 alone has no cell for a segment of 14 feet.
    let mut few = document();
    few["lengths"] = json!(["8", "16"]);
    few["rows"] = json!([{"diameter": "10", "volumes": ["80", "160"]}]);
    assert_eq!(scaled(terms_of(few, sixteen.clone()), &long).unwrap_err().code(), "not-in-the-table");
    // The middles of segments are not measured.
    let mut middle = document();
    middle["heading"]["diameter"] = json!("middle");
    let mut with_middle = long;
    with_middle["middle_diameter_in"] = json!(["12"]);
    assert_eq!(scaled(terms_of(middle, sixteen), &with_middle).unwrap_err().code(), "too-long");
}

#[test]
fn a_table_of_middles_asks_for_the_middle() {
    let mut middle = document();
    middle["heading"]["diameter"] = json!("middle");
    let missing = scaled(terms_of(middle.clone(), json!({})), &log("12", "16")).unwrap_err();
    assert_eq!(missing.code(), "missing-measurement");
    let mut measured = log("12", "16");
    measured["middle_diameter_in"] = json!(["13"]);
    assert_eq!(gross_and_net(terms_of(middle, json!({})), &measured).0, "208");
}

#[test]
fn defects_come_off_as_off_any_board_foot_rule() {
    let with = |defect: Value| {
        let mut log = log("12", "16");
        log["defects"] = json!([defect]);
        gross_and_net(terms(json!({})), &log)
    };
    let text = |gross: &str, net: &str| (gross.to_owned(), net.to_owned());
    // 6 × 6 × 8 ÷ 15, with the handbook's kerf, is 19.2: 19.
    let squared = json!({"kind": "heart_rot", "method": "squared", "width_in": "6", "height_in": "6", "length_ft": "8"});
    assert_eq!(with(squared), text("192", "173"));
    // A quarter of the length.
    assert_eq!(with(json!({"kind": "break", "method": "length_cut", "length_ft": "4"})), text("192", "144"));
    // Two inches all round leave 8 inches, which stands at 128.
    assert_eq!(
        with(json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": "2"})),
        text("192", "128")
    );
    // Four leave 4, thinner than the table: nothing is left.
    assert_eq!(with(json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": "4"})), text("192", "0"));
}

#[test]
fn a_metric_table_takes_a_metric_contract() {
    let metric = json!({
        "heading": {"title": "Metre table", "system": "metric", "unit": "cubic_metre", "rounding": "to a hundredth",
                    "source": "invented"},
        "lengths": ["3", "4", "5"],
        "rows": [{"diameter": "20", "volumes": ["0.09", "0.13", "0.16"]}, {"diameter": "22", "volumes": ["0.11", "0.15", "0.19"]},
                 {"diameter": "24", "volumes": ["0.14", "0.18", "0.23"]}]
    });
    let contract = json!({"system": "metric", "metric": {
        "diameter_rounding_cm": {"step": "2", "mode": "down"}, "length_rounding_m": {"step": "1", "mode": "down"}}});
    let log = json!({"small_diameter_cm": ["23.4"], "length_m": "4.2"});
    assert_eq!(gross_and_net(terms_of(metric.clone(), contract.clone()), &log).0, "0.15");
    // 24 less half a centimetre each side is 23, read as 22.
    let ring = json!({"small_diameter_cm": ["24.5"], "length_m": "4.2",
                      "defects": [{"kind": "sap_rot", "method": "diameter_cut", "depth_cm": "0.5"}]});
    let cut = gross_and_net(terms_of(metric.clone(), contract), &ring);
    assert_eq!(cut, ("0.18".to_owned(), "0.15".to_owned()));
    let inches = serde_json::from_value::<LogPractice>(terms_of(metric, json!({}))).unwrap_err().to_string();
    assert!(inches.starts_with("system:"), "{inches}");
}

#[test]
fn terms_that_do_not_go_with_an_own_table_are_refused_by_name() {
    for (more, member) in [
        (json!({"edition": "standard"}), "edition:"),
        (json!({"sources": "print_only"}), "sources:"),
        (json!({"printed_cells_only": true}), "printed_cells_only:"),
        (json!({"unit": "cubic_foot"}), "unit:"),
        (json!({"system": "metric"}), "system:"),
        (json!({"rule": "doyle"}), "table:"),
        (json!({"table": null}), "table:"),
    ] {
        let refused = serde_json::from_value::<LogPractice>(terms(more.clone())).unwrap_err().to_string();
        assert!(refused.starts_with(member), "{more}: {refused}");
    }
    assert!(serde_json::from_value::<LogPractice>(terms(json!({"unit": "board_foot"}))).is_ok());
}

#[test]
fn roundings_have_to_be_named_only_where_the_cells_do_not_end_them() {
    let names = |terms: Value| serde_json::from_value::<LogPractice>(terms).unwrap().names_its_roundings();
    assert!(names(terms(json!({}))));
    assert!(names(terms(json!({"volume_rounding": "none"}))));
    assert!(!names(terms(json!({"deduction_rounding": "none"}))));
    let mut cubic = document();
    cubic["heading"]["unit"] = json!("cubic_foot");
    assert!(!names(terms_of(cubic.clone(), json!({}))));
    assert!(names(terms_of(cubic, json!({"deduction_rounding": {"step": "0.1", "mode": "half_up"}}))));
}

#[test]
fn a_practice_is_written_with_the_whole_table_and_reads_again_the_same() {
    let practice = practice(terms(json!({})));
    let written = serde_json::to_value(&practice).unwrap();
    assert_eq!(written["log"]["rule"], "own-table");
    assert_eq!(written["log"]["table"]["document"]["rows"][0]["volumes"][0], "24");
    assert_eq!(serde_json::from_value::<Practice>(written).unwrap(), practice);
}

fn filed(version: u32) -> FiledTable {
    FiledTable { table_id: ID.parse().unwrap(), version, table: serde_json::from_value(document()).unwrap() }
}

#[test]
fn a_practice_as_sent_gets_the_table_it_names_and_no_other() {
    let named = json!({"log": {"rule": "own-table", "table": {"table_id": ID}}});
    let sent: SentPractice = serde_json::from_value(named.clone()).unwrap();
    assert_eq!(sent.table_id(), Some(ID.parse().unwrap()));
    assert_eq!(serde_json::to_value(&sent).unwrap()["log"]["table"], json!({"table_id": ID}));
    assert_eq!(sent.settled(Some(filed(3))).unwrap(), practice(terms(json!({}))));
    assert!(sent.settled(None).is_err());
    let mut another = filed(3);
    another.table_id = "01977000-0000-7000-8000-000000000002".parse().unwrap();
    assert!(sent.settled(Some(another)).is_err());
    // Whole, it has to be the one that was filed.
    let whole: SentPractice = practice(terms(json!({}))).into();
    assert!(whole.settled(Some(filed(3))).is_ok());
    assert!(whole.settled(Some(filed(4))).unwrap_err().to_string().contains("differs"));
    // What can only be told from the table is told when it is there.
    let mut metric = named;
    metric["log"]["system"] = json!("metric");
    let metric: SentPractice = serde_json::from_value(metric).unwrap();
    assert!(metric.settled(Some(filed(3))).unwrap_err().to_string().starts_with("system:"));
}

#[test]
fn outside_the_filing_of_terms_an_id_alone_is_refused() {
    let named = json!({"log": {"rule": "own-table", "table": {"table_id": ID}}});
    let refused = serde_json::from_value::<Practice>(named).unwrap_err().to_string();
    assert!(refused.contains("only where terms are filed"), "{refused}");
    let direct = json!({"rule": "own-table", "diameter_in": "12", "length_ft": "16"});
    assert!(serde_json::from_value::<scaling::DirectRequest>(direct).is_err());
}
