//! Ranked piles, by the cord and by the stacked cubic metre.

use kernel::{Exact, VolumeUnit};
use scaling::{
    CUBIC_FEET_IN_A_CORD, Piece, Practice, STACKED_CUBIC_METRES_IN_A_CORD, ScaleProblem, Scaled, StepKind,
    cords, scale, stacked_cubic_metres,
};
use serde_json::{Value, json};

fn scaled(terms: &Value, pile: &Value) -> Result<Scaled, ScaleProblem> {
    let practice: Practice = serde_json::from_value(json!({ "ranked_pile": terms })).unwrap();
    let piece: Piece = serde_json::from_value(pile.clone()).unwrap();
    scale(&practice, &piece)
}

/// Sticks of 4 feet in a pile 8 feet 6 inches long, 4 feet high on average.
fn pile() -> Value {
    json!({"product": "ranked_pile", "species": "spruce", "length_ft": "8", "length_in": "6",
        "heights": [{"feet": "4", "inches": "2"}, {"feet": "3", "inches": "10"}], "stick_length_ft": "4"})
}

fn metric_pile() -> Value {
    json!({"product": "ranked_pile", "species": "birch", "length_m": "5",
        "heights_m": ["1.22", "1.2", "1.15"], "stick_length_m": "1.04"})
}

/// Gross, net and unit under terms, with members of the pile set to others.
fn volume(terms: Value, mut pile: Value, members: Value) -> (String, String, VolumeUnit) {
    for (name, value) in members.as_object().unwrap() {
        pile[name] = value.clone();
    }
    let volume = scaled(&terms, &pile).unwrap().volume.unwrap();
    (volume.gross.to_string(), volume.net.to_string(), volume.unit)
}

fn gross(terms: Value, pile: Value) -> String {
    volume(terms, pile, json!({})).0
}

fn code(terms: &Value, pile: &Value) -> &'static str {
    scaled(terms, pile).map_or_else(|problem| problem.code(), |_| "scaled")
}

const AS_IT_IS: &str = "0.000001";

fn exactly() -> Value {
    json!({"step": AS_IT_IS, "mode": "half_up"})
}

#[test]
fn cords_are_the_filled_space_over_128_cubic_feet() {
    // 8 1/2 × 4 × 4 = 136 cubic feet.
    assert_eq!(gross(json!({"unit": "cord", "volume_rounding": exactly()}), pile()), "1.0625");
    assert_eq!(gross(json!({"unit": "cord"}), pile()), "1.06");
    let up = json!({"step": "1/8", "mode": "up"});
    assert_eq!(gross(json!({"unit": "cord", "volume_rounding": up}), pile()), "1.125");
}

#[test]
fn stacked_cubic_metres_are_the_filled_space() {
    // The heights average 1.19; 5 × 1.19 × 1.04 = 6.188.
    let terms = json!({"unit": "stacked_cubic_metre", "volume_rounding": exactly()});
    assert_eq!(gross(terms, metric_pile()), "6.188");
    assert_eq!(gross(json!({"unit": "stacked_cubic_metre"}), metric_pile()), "6.19");
}

#[test]
fn a_cord_is_exactly_so_many_stacked_cubic_metres() {
    let foot = Exact::fraction(3048, 10_000);
    let metres = |feet: i128| Exact::of(feet).times(foot).unwrap();
    assert_eq!(cords(Exact::of(8), Exact::of(4), Exact::of(4)), Ok(Exact::ONE));
    assert_eq!(stacked_cubic_metres(metres(8), metres(4), metres(4)), Ok(STACKED_CUBIC_METRES_IN_A_CORD));
    let cubic_foot = foot.squared().unwrap().times(foot).unwrap();
    assert_eq!(CUBIC_FEET_IN_A_CORD.times(cubic_foot), Ok(STACKED_CUBIC_METRES_IN_A_CORD));
}

#[test]
fn the_average_height_is_rounded_only_where_the_contract_says_so() {
    let thirds = json!([{"feet": "4"}, {"feet": "4", "inches": "2"}, {"feet": "3", "inches": "9"}]);
    let cords = |rounding: Value| {
        let mut terms = json!({"unit": "cord", "volume_rounding": exactly()});
        if !rounding.is_null() {
            terms["height_rounding_in"] = rounding;
        }
        volume(terms, pile(), json!({"heights": thirds, "length_ft": "16", "length_in": "0"})).0
    };
    // The average is 47 2/3 inches; the pile holds half a cord for each foot of it.
    assert_eq!(cords(Value::Null), "1.986111");
    assert_eq!(cords(json!({"step": "1", "mode": "half_up"})), "2");
    assert_eq!(cords(json!({"step": "1", "mode": "down"})), "1.958333");
    let terms = json!({"unit": "stacked_cubic_metre", "height_rounding_cm": {"step": "5", "mode": "down"}});
    assert_eq!(gross(terms, metric_pile()), "5.98"); // 5 × 1.15 × 1.04
}

#[test]
fn sticks_count_as_measured_or_by_the_contracts_length() {
    let with_sticks = |inches: &str, otherwise: &str| {
        let terms = json!({"unit": "cord", "volume_rounding": exactly(),
            "nominal_sticks": {"length_ft": "4", "most_trim_in": "4", "otherwise": otherwise}});
        let (feet, inches) = inches.split_once(' ').unwrap();
        let mut pile = pile();
        pile["stick_length_ft"] = json!(feet);
        pile["stick_length_in"] = json!(inches);
        scaled(&terms, &pile)
            .map(|scaled| (scaled.volume.unwrap().gross.to_string(), scaled.scaling_length_ft))
    };
    let four = Some(Exact::of(4));
    for within in ["4 0", "4 2.5", "4 4"] {
        assert_eq!(with_sticks(within, "refused"), Ok(("1.0625".to_owned(), four)), "{within}");
    }
    for outside in ["3 11.75", "4 4.25", "8 0"] {
        let problem = with_sticks(outside, "refused").unwrap_err();
        assert_eq!(problem.code(), "sticks-outside-nominal");
    }
    let problem = with_sticks("4 6", "refused").unwrap_err().to_string();
    assert_eq!(
        problem,
        "sticks of 4.5 feet do not count as the contract's 4, which takes from 4 to 4 1/3 feet: check the stick length, \
         or file terms that count such sticks as measured"
    );
    assert_eq!(with_sticks("8 0", "as_measured"), Ok(("2.125".to_owned(), Some(Exact::of(8)))));
    assert_eq!(
        gross(json!({"unit": "cord", "volume_rounding": exactly()}), {
            let mut pile = pile();
            pile["stick_length_in"] = json!("3");
            pile
        }),
        "1.128906"
    ); // 4 1/4 feet, as measured
    let metric =
        json!({"unit": "stacked_cubic_metre", "nominal_sticks": {"length_m": "1", "most_trim_cm": "5"}});
    let counted = scaled(&metric, &metric_pile()).unwrap();
    assert_eq!(counted.volume.unwrap().gross.to_string(), "5.95");
    assert_eq!((counted.scaling_length_m, counted.scaling_length_ft), (Some(Exact::ONE), None));
}

#[test]
fn nothing_converts_between_the_systems() {
    assert_eq!(code(&json!({"unit": "cord"}), &metric_pile()), "mixed-systems");
    assert_eq!(code(&json!({"unit": "stacked_cubic_metre"}), &pile()), "mixed-systems");
    let practice: Practice = serde_json::from_value(json!({"log": {"rule": "doyle"}})).unwrap();
    let piece: Piece = serde_json::from_value(pile()).unwrap();
    assert_eq!(scale(&practice, &piece).unwrap_err().code(), "no-practice");
}

fn estimate(kind: &str, percent: &str) -> Value {
    json!({"kind": kind, "method": "estimate", "percent": percent, "reason": "seen from both sides"})
}

#[test]
fn estimates_come_off_where_the_contract_allows_them() {
    let allowed = || json!({"unit": "cord", "estimates": "allowed"});
    let with = |terms: Value, defects: Value| volume(terms, pile(), json!({ "defects": defects }));
    let cases = [
        (json!([estimate("loosely_ranked", "5")]), "1.01"), // 0.053 off 1.06, rounded to 0.05
        (json!([estimate("loosely_ranked", "5"), estimate("sap_rot", "10")]), "0.9"), // 0.159, to 0.16
        (json!([estimate("sap_rot", "60"), estimate("other", "60")]), "0"),
        (json!([{"kind": "spiral_grain", "method": "noted"}]), "1.06"),
    ];
    for (defects, net) in cases {
        let (gross, found, _) = with(allowed(), defects);
        assert_eq!((gross.as_str(), found.as_str()), ("1.06", net));
    }
    let mut estimated = pile();
    estimated["defects"] = json!([estimate("sap_rot", "10")]);
    assert_eq!(code(&json!({"unit": "cord"}), &estimated), "estimate-refused");
    let by_grade = json!({"unit": "cord", "estimates": "allowed", "grade_only_kinds": ["sap_rot"]});
    assert_eq!(volume(by_grade, estimated.clone(), json!({})).1, "1.06");
    let marked = scaled(&allowed(), &estimated).unwrap();
    assert!(marked.working.iter().any(|step| step.judgement), "an estimate is marked as judgement");
    estimated["defects"] = json!([{"kind": "sap_rot", "method": "noted"}]);
    assert_eq!(code(&allowed(), &estimated), "method-does-not-apply");
}

#[test]
fn methods_that_need_the_shape_of_one_stick_are_refused_at_once() {
    for defect in [
        json!({"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "5", "length_ft": "2"}),
        json!({"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_ft": "2"}),
        json!({"kind": "break", "method": "length_cut", "length_ft": "2"}),
        json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": "1"}),
        json!({"kind": "sweep", "method": "sweep", "departure_in": "5"}),
        json!({"kind": "crook", "method": "crook", "deflection_in": "2", "length_ft": "2"}),
        json!({"kind": "heart_rot", "method": "ellipse", "major_in": "5", "minor_in": "4", "length_ft": "4"}),
        json!({"kind": "ring_shake", "method": "sound_core", "core_in": "9", "length_ft": "4"}),
    ] {
        let mut pile = pile();
        pile["defects"] = json!([estimate("other", "1"), defect]);
        let method = defect["method"].as_str().unwrap();
        let said = serde_json::from_value::<Piece>(pile).unwrap_err().to_string();
        assert!(
            said.starts_with(&format!("defects: {method} in place 2 cannot be used on a pile")),
            "{said}"
        );
    }
}

/// A pile that a program made by itself, past the reader of documents, is held to the same.
#[test]
fn a_pile_made_by_hand_takes_no_other_method_either() {
    let Ok(Piece::RankedPile(mut made)) = serde_json::from_value(pile()) else { panic!("a pile") };
    let cut = json!([{"kind": "break", "method": "length_cut", "length_ft": "2"}]);
    made.defects = serde_json::from_value(cut).unwrap();
    let practice: Practice = serde_json::from_value(json!({"ranked_pile": {"unit": "cord"}})).unwrap();
    let problem = scale(&practice, &Piece::RankedPile(made)).unwrap_err();
    assert_eq!(problem.code(), "method-does-not-apply");
}

#[test]
fn a_refused_pile_is_cull_and_keeps_its_volume() {
    let mut refused = pile();
    refused["refused"] = json!("thrown, not ranked");
    refused["grade"] = json!("B");
    let scaled = scaled(&json!({"unit": "cord"}), &refused).unwrap();
    assert_eq!(scaled.cull.as_deref(), Some("refused: thrown, not ranked"));
    assert_eq!(scaled.grade.as_deref(), Some("B"));
    assert_eq!(scaled.volume.unwrap().net.to_string(), "1.06");
}

#[test]
fn the_working_says_every_step_and_where_it_comes_from() {
    let terms = json!({"unit": "cord", "height_rounding_in": {"step": "1", "mode": "half_up"},
        "nominal_sticks": {"length_ft": "4", "most_trim_in": "3"}, "estimates": "allowed"});
    let mut measured = pile();
    measured["stick_length_in"] = json!("3");
    measured["defects"] = json!([estimate("loosely_ranked", "5")]);
    let scaled = scaled(&terms, &measured).unwrap();
    let says: Vec<&str> = scaled.working.iter().map(|step| step.says.as_str()).collect();
    assert_eq!(
        says,
        [
            "8 feet 6 inches along the pile; 4 feet 2 inches, 3 feet 10 inches high; sticks of 4 feet 3 inches",
            "height: 2 readings average 4 feet, taken as 4 feet (in inches, to the nearest 1, a half up)",
            "sticks of 4 feet 3 inches count as 4 feet (the contract's length, which takes sticks up to 4 feet 3 inches)",
            "8.5 × 4 × 4 ÷ 128 = 1.0625 cords",
            "gross: 1.0625 becomes 1.06 cords (to the nearest 0.01, a half up)",
            "defect 1, loosely_ranked: the scaler's own estimate, a judgement (seen from both sides): 1.06 × 5 ÷ 100 = \
             0.053 cords",
            "losses of 0.053 cords become 0.05 (to the nearest 0.01, a half up)",
            "net: 1.06 - 0.05 = 1.01 cords",
        ]
    );
    let formula = scaled.working.iter().find(|step| step.step == StepKind::Formula).unwrap();
    assert!(formula.source.as_ref().unwrap().contains("section 2361-A"));
    assert!(!formula.from_memory);
    for kind in [StepKind::Height, StepKind::Length] {
        let step = scaled.working.iter().find(|step| step.step == kind).unwrap();
        assert_eq!(step.source.as_deref(), Some("common practice, no source"));
    }
}

#[test]
fn a_practice_holds_the_terms_of_its_own_unit_only() {
    let read = |terms: Value| {
        serde_json::from_value::<Practice>(json!({ "ranked_pile": terms }))
            .map_or_else(|problem| problem.to_string(), |_| "read".to_owned())
    };
    let cases = [
        (json!({"unit": "cord"}), "read"),
        (json!({"unit": "stacked_cubic_metre"}), "read"),
        (json!({}), "ranked_pile: missing field `unit`"),
        (json!({"unit": "cubic_foot"}), "ranked_pile: unknown variant `cubic_foot`"),
        (json!({"unit": "cord", "solid_share": "2/3"}), "ranked_pile: unknown field `solid_share`"),
        (
            json!({"unit": "cord", "height_rounding_cm": {"step": "1", "mode": "down"}}),
            "ranked_pile: unknown field `height_rounding_cm`",
        ),
        (
            json!({"unit": "cord", "height_rounding_in": {"step": "0", "mode": "down"}}),
            "ranked_pile: height_rounding_in: a rounding step of 0 cannot be used",
        ),
        (
            json!({"unit": "stacked_cubic_metre", "nominal_sticks": {"length_ft": "4", "most_trim_in": "4"}}),
            "ranked_pile: nominal_sticks: unknown field `length_ft`",
        ),
        (
            json!({"unit": "cord", "nominal_sticks": {"length_ft": "4"}}),
            "ranked_pile: nominal_sticks: missing field `most_trim_in`",
        ),
        (
            json!({"unit": "cord", "nominal_sticks": {"length_ft": "4", "most_trim_in": "25"}}),
            "ranked_pile: nominal_sticks: most_trim_in: 25 is not a trim",
        ),
    ];
    for (terms, expected) in cases {
        let said = read(terms.clone());
        assert!(said.starts_with(expected), "{terms}: {said}");
    }
    let whole = json!({"ranked_pile": {"unit": "cord", "height_rounding_in": {"step": "1", "mode": "half_up"},
        "nominal_sticks": {"length_ft": "4", "length_in": "2", "most_trim_in": "4", "otherwise": "as_measured"},
        "volume_rounding": {"step": "0.01", "mode": "half_up"}, "grade_only_kinds": ["sound_knot"],
        "estimates": "allowed"}});
    let practice: Practice = serde_json::from_value(whole.clone()).unwrap();
    assert_eq!(serde_json::to_value(practice).unwrap(), whole);
}
