//! The JSON documents: their exact shapes, their bounds, and what they refuse.

use scaling::{DirectRequest, Piece};
use serde_json::{Value, json};

fn refusal(document: Value) -> String {
    serde_json::from_value::<Piece>(document).unwrap_err().to_string()
}

fn whole_log() -> Value {
    json!({
        "product": "log", "species": "Red Pine", "grade": "No 2", "marks": "end stamp HX 7",
        "stick_number": "14a",
        "small_diameter_in": ["13", "14.5"], "middle_diameter_in": ["15"], "large_diameter_in": ["16", "17"],
        "butt_diameter_in": ["16.5"],
        "length_ft": "16", "length_in": "4.25",
        "defects": [
            {"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "5", "length_ft": "6",
                "from_small_end_ft": "2.5"},
            {"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_ft": "8",
                "note": "old burn"},
            {"kind": "break", "method": "length_cut", "length_ft": "2"},
            {"kind": "sap_rot", "method": "diameter_cut", "depth_in": "1"},
            {"kind": "sweep", "method": "sweep", "departure_in": "5"},
            {"kind": "crook", "method": "crook", "deflection_in": "6", "length_ft": "4"},
            {"kind": "heart_rot", "method": "ellipse", "major_in": "7", "minor_in": "5", "length_ft": "16",
                "from_small_end_ft": "0"},
            {"kind": "ring_shake", "method": "sound_core", "core_in": "9", "length_ft": "8"},
            {"kind": "worm_holes", "method": "estimate", "percent": "12.5", "reason": "holes on all faces"},
            {"kind": "sound_knot", "method": "noted", "note": "one face only"}
        ]
    })
}

fn whole_metric_log() -> Value {
    json!({
        "product": "log", "species": "Red Pine", "small_diameter_cm": ["33", "36.5"],
        "middle_diameter_cm": ["38"], "large_diameter_cm": ["41", "43"], "length_m": "4.9",
        "defects": [
            {"kind": "heart_rot", "method": "squared", "width_cm": "10", "height_cm": "12.5", "length_m": "2",
                "from_small_end_m": "1"},
            {"kind": "sap_rot", "method": "diameter_cut", "depth_cm": "2"},
            {"kind": "spiral_grain", "method": "noted"}
        ]
    })
}

fn whole_timber() -> Value {
    json!({
        "product": "hewn_timber", "species": "white oak", "stick_number": "15", "hewn_from": "14a",
        "small_end": {"width_in": "12", "thickness_in": "10",
                      "wane": [{"width_in": "2", "thickness_in": "1.5"}]},
        "middle": {"width_in": "12.5", "thickness_in": "10.5"},
        "large_end": {"width_in": "13", "thickness_in": "11"},
        "length_ft": "24", "length_in": "6",
        "defects": [{"kind": "check", "method": "length_cut", "length_ft": "1"}],
        "score_mark_depth_in": "0.75", "straightness_in": "0", "out_of_square_in": "0.5",
        "ordered_width_in": "12", "ordered_thickness_in": "10", "refused": "score marks too deep"
    })
}

fn whole_tie() -> Value {
    json!({
        "product": "tie", "species": "white oak", "width_in": "9", "thickness_in": "7", "stick_number": "16",
        "hewn_from": "14a", "length_ft": "8", "length_in": "6", "score_mark_depth_in": "0.25", "straightness_in": "1",
        "out_of_square_in": "0", "log_diameter_in": "12.5", "refused": "knothole"
    })
}

fn whole_pole() -> Value {
    json!({
        "product": "pole", "species": "cedar", "grade": "3", "stick_number": "17", "length_ft": "35", "top_diameter_in": "7",
        "refused": "broken top"
    })
}

fn whole_pile() -> Value {
    json!({
        "product": "ranked_pile", "species": "black spruce", "grade": "B", "marks": "lot 7", "length_ft": "16",
        "stick_number": "18", "length_in": "6", "heights": [{"feet": "4", "inches": "2.5"}, {"feet": "4"}],
        "stick_length_ft": "4", "stick_length_in": "3",
        "defects": [
            {"kind": "loosely_ranked", "method": "estimate", "percent": "5", "reason": "gaps", "note": "north half"},
            {"kind": "spiral_grain", "method": "noted"}
        ],
        "refused": "thrown, not ranked"
    })
}

fn whole_metric_pile() -> Value {
    json!({
        "product": "ranked_pile", "species": "birch", "length_m": "5", "heights_m": ["1.2", "1.25"],
        "stick_length_m": "1"
    })
}

#[test]
fn every_document_comes_back_as_it_was_written() {
    for document in [
        whole_log(),
        whole_metric_log(),
        whole_timber(),
        whole_tie(),
        whole_pole(),
        whole_pile(),
        whole_metric_pile(),
    ] {
        let piece: Piece = serde_json::from_value(document.clone()).unwrap();
        assert_eq!(serde_json::to_value(piece).unwrap(), document);
    }
}

/// Puts an unknown member at every place where there is an object, one after another.
fn with_a_stranger(document: &Value) -> Vec<Value> {
    fn places(value: &Value, at: &str, found: &mut Vec<String>) {
        match value {
            Value::Object(members) => {
                found.push(at.to_owned());
                members.iter().for_each(|(name, value)| places(value, &format!("{at}/{name}"), found));
            }
            Value::Array(items) => {
                items.iter().enumerate().for_each(|(i, item)| places(item, &format!("{at}/{i}"), found));
            }
            _ => {}
        }
    }
    let mut found = Vec::new();
    places(document, "", &mut found);
    found
        .into_iter()
        .map(|at| {
            let mut changed = document.clone();
            changed.pointer_mut(&at).unwrap()["stranger"] = json!("x");
            changed
        })
        .collect()
}

#[test]
fn a_stranger_is_refused_wherever_it_stands() {
    let mut tried = 0;
    for document in [
        whole_log(),
        whole_metric_log(),
        whole_timber(),
        whole_tie(),
        whole_pole(),
        whole_pile(),
        whole_metric_pile(),
    ] {
        for changed in with_a_stranger(&document) {
            let said = refusal(changed.clone());
            assert!(said.contains("stranger"), "{said}: {changed}");
            tried += 1;
        }
    }
    // A log and its ten defects, a metric log and its three; a timber, three sections, a wane and a defect; …; a pile,
    // two heights and two defects.
    assert_eq!(tried, 11 + 4 + 6 + 1 + 1 + 5 + 1);
}

#[test]
fn a_stranger_in_a_request_or_practice_is_refused() {
    let request = json!({"rule": "doyle", "diameter_in": "20", "length_ft": "16",
        "defects": [{"kind": "sweep", "method": "sweep", "departure_in": "5"}]});
    for changed in with_a_stranger(&request) {
        assert!(serde_json::from_value::<DirectRequest>(changed).is_err());
    }
    let practice = json!({
        "log": {"rule": "doyle", "volume_rounding": {"step": "5", "mode": "half_up"}},
        "hewn_timber": {"side_rounding": {"step": "0.5", "mode": "down"}},
        "tie": {"classes": [{"name": "A", "thickness_in": "7", "width_in": "9", "length_ft": "8"}]}
    });
    assert!(serde_json::from_value::<scaling::Practice>(practice.clone()).is_ok());
    for changed in with_a_stranger(&practice) {
        assert!(serde_json::from_value::<scaling::Practice>(changed.clone()).is_err(), "{changed}");
    }
}

#[test]
fn bounds_are_kept_and_the_member_is_named() {
    let cases = [
        (
            "/small_diameter_in",
            json!(["0"]),
            "small_diameter_in: 0 is not a size: it must be more than 0 and at most 240 inches",
        ),
        ("/small_diameter_in", json!(["240.0001"]), "small_diameter_in: 240.0001 is not a size"),
        ("/small_diameter_in", json!(["-1"]), "small_diameter_in: -1 is not a size"),
        (
            "/small_diameter_in",
            json!([]),
            "small_diameter_in: 0 readings were given: give one, or two at right angles",
        ),
        ("/small_diameter_in", json!(["1", "2", "3"]), "small_diameter_in: 3 readings were given"),
        ("/small_diameter_in", json!([12]), "a number written as text"),
        ("/small_diameter_in", json!(["12.00001"]), "small_diameter_in: 12.00001 is measured too finely"),
        ("/large_diameter_in", json!(["1e3"]), "large_diameter_in: \"1e3\" is not a plain decimal number"),
        ("/length_ft", json!("200.0001"), "length_ft: 200.0001 is not a length"),
        ("/length_ft", json!("0"), "length_ft: 0 is not a length"),
        ("/length_in", json!("12"), "length_in: 12 is not a number of further inches"),
        ("/species", json!("  "), "species: a species is blank"),
        ("/species", json!("pine; oak"), "species: a species holds ';'"),
        (
            "/grade",
            json!("A very long grade indeed"),
            "grade: a grade is 24 characters long: write at most 20",
        ),
        ("/marks", json!("a\u{7}b"), "marks: a mark holds '\\u{7}'"),
        ("/stick_number", json!(" "), "stick_number: a stick number is blank"),
        (
            "/stick_number",
            json!("123456789012345678901"),
            "stick_number: a stick number is 21 characters long",
        ),
        ("/defects/0/width_in", json!("0"), "defects: width_in: 0 is not a size"),
        ("/defects/1/angle_degrees", json!("361"), "defects: angle_degrees: 361 is not an angle"),
        ("/defects/0/kind", json!("bad_luck"), "defects: kind: unknown variant `bad_luck`"),
    ];
    for (at, value, expected) in cases {
        let mut document = whole_log();
        *document.pointer_mut(at).unwrap() = value;
        let said = refusal(document);
        assert!(said.contains(expected), "{at}: {said}");
    }
}

#[test]
fn the_bounds_themselves_are_inside() {
    let document = json!({"product": "log", "species": "x", "small_diameter_in": ["240", "0.0001"],
        "length_ft": "200", "length_in": "11.9999"});
    assert!(serde_json::from_value::<Piece>(document).is_ok());
}

#[test]
fn twenty_defects_are_the_most() {
    let mut document = whole_log();
    let one = document["defects"][2].clone();
    document["defects"] = json!(vec![one.clone(); 20]);
    assert!(serde_json::from_value::<Piece>(document.clone()).is_ok());
    document["defects"] = json!(vec![one; 21]);
    assert!(refusal(document).contains("21 defects are too many"));
}

#[test]
fn a_missing_member_is_named() {
    for (document, member) in [
        (whole_log(), "small_diameter_in"),
        (whole_tie(), "width_in"),
        (whole_pole(), "species"),
        (whole_pile(), "length_ft"),
        (whole_pile(), "heights"),
        (whole_pile(), "stick_length_ft"),
        (whole_metric_pile(), "length_m"),
        (whole_metric_pile(), "heights_m"),
        (whole_metric_pile(), "stick_length_m"),
    ] {
        let mut document = document;
        document.as_object_mut().unwrap().remove(member);
        assert!(refusal(document).contains(&format!("missing field `{member}`")));
    }
}

#[test]
fn a_pile_is_of_one_system_with_one_to_twenty_heights() {
    let mut mixed = whole_pile();
    mixed["heights_m"] = json!(["1.2"]);
    assert!(refusal(mixed).contains("heights_m is not in the system of the pile's other sizes"));
    let mut mixed = whole_metric_pile();
    mixed["length_in"] = json!("3");
    assert!(refusal(mixed).contains("length_m is not in the system of the pile's other sizes"));
    for (count, expected) in [(0, "heights: 0 heights were given"), (21, "heights: 21 heights were given")] {
        let mut document = whole_pile();
        document["heights"] = json!(vec![json!({"feet": "4"}); count]);
        assert!(refusal(document).contains(expected));
    }
    let mut most = whole_pile();
    most["heights"] = json!(vec![json!({"feet": "4"}); 20]);
    assert!(serde_json::from_value::<Piece>(most).is_ok());
    for (at, value, expected) in [
        ("/heights/1/feet", json!("0"), "heights: feet: 0 is not a length"),
        ("/heights/0/inches", json!("12"), "heights: inches: 12 is not a number of further inches"),
        ("/heights/1", json!("4"), "heights: "),
        ("/stick_length_ft", json!("201"), "stick_length_ft: 201 is not a length"),
        ("/stick_length_in", json!("-1"), "stick_length_in: -1 is not a number of further inches"),
    ] {
        let mut document = whole_pile();
        *document.pointer_mut(at).unwrap() = value;
        let said = refusal(document);
        assert!(said.contains(expected), "{at}: {said}");
    }
}

#[test]
fn a_timber_needs_a_section_and_wane_that_fits_it() {
    let mut document = whole_timber();
    for section in ["small_end", "middle", "large_end"] {
        document.as_object_mut().unwrap().remove(section);
    }
    assert!(refusal(document).contains("no section is given"));
    let corner = json!({"width_in": "6", "thickness_in": "10"});
    let mut document = whole_timber();
    document["small_end"]["wane"] = json!([corner, corner, corner, corner]);
    assert!(refusal(document).contains("take the whole section away"));
    let mut document = whole_timber();
    document["small_end"]["wane"] = json!(vec![json!({"width_in": "1", "thickness_in": "1"}); 5]);
    assert!(refusal(document).contains("5 corners are given"));
}

#[test]
fn names_are_compared_without_capitals_and_kept_as_written() {
    let piece: Piece = serde_json::from_value(whole_log()).unwrap();
    assert_eq!(piece.species().as_str(), "Red Pine");
    assert_eq!(piece.species().lower_case(), "red pine");
    assert_eq!(*piece.species(), "RED PINE".to_owned().try_into().unwrap());
}
