//! Hewn timbers, ties and poles.

use scaling::{Practice, ScaleProblem, Scaled, scale};
use serde_json::{Value, json};

fn timber(terms: Value, members: Value) -> Result<Scaled, ScaleProblem> {
    let mut document = json!({"product": "hewn_timber", "species": "white pine"});
    for (name, value) in members.as_object().unwrap() {
        document[name] = value.clone();
    }
    let practice: Practice = serde_json::from_value(json!({ "hewn_timber": terms })).unwrap();
    scale(&practice, &serde_json::from_value(document).unwrap())
}

fn content(terms: Value, members: Value) -> String {
    timber(terms, members).unwrap().volume.unwrap().gross.to_string()
}

fn square(width: &str, thickness: &str) -> Value {
    json!({"width_in": width, "thickness_in": thickness})
}

#[test]
fn content_by_each_way_of_choosing_the_section() {
    let all = || {
        json!({"small_end": square("10", "8"), "middle": square("11", "10"),
        "large_end": square("14", "10"), "length_ft": "12"})
    };
    assert_eq!(content(json!({}), all()), "108"); // 12 × 9 × 12 / 12
    assert_eq!(content(json!({"content": "middle"}), all()), "110");
    assert_eq!(content(json!({"content": "least_section"}), all()), "80");
    assert_eq!(content(json!({"content": "middle", "unit": "cubic_foot"}), all()), "9.167"); // 9 1/6, to 0.001
    for content_rule in ["ends_averaged", "middle", "least_section"] {
        let one = json!({"large_end": square("12", "10"), "length_ft": "24"});
        assert_eq!(content(json!({"content": content_rule}), one), "240");
    }
}

#[test]
fn a_section_the_contract_needs_is_named() {
    let ends = json!({"small_end": square("10", "8"), "large_end": square("14", "10"), "length_ft": "12"});
    let problem = timber(json!({"content": "middle"}), ends).unwrap_err();
    assert!(matches!(problem, ScaleProblem::MissingMeasurement { member: "middle", .. }));
    let half = json!({"small_end": square("10", "8"), "middle": square("14", "10"), "length_ft": "12"});
    let problem = timber(json!({}), half).unwrap_err();
    assert!(matches!(problem, ScaleProblem::MissingMeasurement { member: "large_end", .. }));
}

/// Laslett (1875): quarter inches are not allowed in the sidings.
#[test]
fn quarter_inches_can_be_left_out() {
    let members = json!({"middle": square("12.75", "10.25"), "length_ft": "24"});
    let terms = json!({"side_rounding": {"step": "0.5", "mode": "down"}});
    assert_eq!(content(terms, members), "250"); // 12 1/2 by 10
}

#[test]
fn defects_come_off_the_solid_content() {
    let members =
        |defects: Value| json!({"middle": square("12", "12"), "length_ft": "20", "defects": defects});
    let cut = json!({"kind": "check", "method": "length_cut", "length_ft": "2"});
    let rot = json!({"kind": "heart_rot", "method": "squared", "width_in": "3", "height_in": "4",
        "length_ft": "5"});
    let volume = timber(json!({}), members(json!([cut, rot]))).unwrap().volume.unwrap();
    assert_eq!((volume.gross.to_string(), volume.net.to_string()), ("240".to_owned(), "211".to_owned())); // 24 and 5
    let ring = json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": "1"});
    assert_eq!(timber(json!({}), members(json!([ring]))).unwrap_err().code(), "method-does-not-apply");
}

#[test]
fn a_refused_timber_is_cull_and_keeps_its_content() {
    let members = json!({"middle": square("12", "12"), "length_ft": "20", "refused": "hollow butt"});
    let scaled = timber(json!({}), members).unwrap();
    assert_eq!(scaled.cull.as_deref(), Some("refused: hollow butt"));
    assert_eq!(scaled.volume.unwrap().gross.to_string(), "240");
}

fn tie(thickness: &str, width: &str, feet: &str, refused: Option<&str>) -> Scaled {
    let practice: Practice = serde_json::from_str(r#"{"tie": {}}"#).unwrap();
    let mut document = json!({"product": "tie", "species": "oak", "width_in": width,
        "thickness_in": thickness, "length_ft": feet});
    if let Some(reason) = refused {
        document["refused"] = json!(reason);
    }
    scale(&practice, &serde_json::from_value(document).unwrap()).unwrap()
}

/// Classes of 1911, least sizes: a size that just meets one, and one that just misses it.
#[test]
fn ties_get_the_first_class_they_meet() {
    let cases = [
        ("7", "10", "8", Some("A")),
        ("7", "9.99", "8", Some("B")),
        ("7", "8.99", "8", Some("C")),
        ("6.99", "10", "8", Some("D")),
        ("6", "8.99", "9", Some("E")),
        ("8", "12", "8.5", Some("A")),
        ("7", "7.99", "8", None),
        ("5.99", "12", "8", None),
        ("7", "10", "7.9999", None),
    ];
    for (thickness, width, feet, class) in cases {
        let scaled = tie(thickness, width, feet, None);
        assert_eq!(scaled.grade.as_deref(), class, "{thickness} by {width} by {feet}");
        assert_eq!(scaled.cull.is_some(), class.is_none());
    }
}

#[test]
fn a_refused_tie_keeps_its_class_and_is_cull() {
    let scaled = tie("7", "9", "8.5", Some("knothole in the rail seat"));
    assert_eq!(scaled.grade.as_deref(), Some("B"));
    assert_eq!(scaled.cull.as_deref(), Some("refused: knothole in the rail seat"));
    assert_eq!(scaled.volume.unwrap().net.to_string(), "44.625");
}

#[test]
fn a_pole_goes_by_its_length_under_any_contract() {
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "35", "length_in": "6",
        "top_diameter_in": "7"});
    let scaled = scale(&Practice::default(), &serde_json::from_value(pole).unwrap()).unwrap();
    assert_eq!(scaled.volume, None);
    assert_eq!(scaled.scaling_length_ft.unwrap().to_string(), "35.5");
    assert_eq!(scaled.scaling_diameter_in.unwrap().to_string(), "7");
}

#[test]
fn a_product_without_a_practice_is_a_problem() {
    let tie =
        json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8"});
    let problem = scale(&Practice::default(), &serde_json::from_value(tie).unwrap()).unwrap_err();
    assert_eq!(problem.code(), "no-practice");
}

#[test]
fn wane_comes_off_the_net_and_never_off_the_gross() {
    let practice: Practice = serde_json::from_value(json!({"hewn_timber": {"wane": "deducted"}})).unwrap();
    let corner = json!({"width_in": "2", "thickness_in": "2"});
    let piece = serde_json::from_value(json!({
        "product": "hewn_timber", "species": "white pine", "length_ft": "24",
        "middle": {"width_in": "12", "thickness_in": "12", "wane": [corner, corner, corner, corner]}
    }));
    let scaled = scale(&practice, &piece.unwrap()).unwrap();
    let volume = scaled.volume.unwrap();
    // 144 square inches over 24 feet are 288 board feet; four corners of 2 square inches leave 136: 272.
    assert_eq!((volume.gross.to_string(), volume.net.to_string()), ("288".to_owned(), "272".to_owned()));
    assert!(scaled.working.iter().any(|step| step.says.contains("without 8 square inches of wane")));
}
