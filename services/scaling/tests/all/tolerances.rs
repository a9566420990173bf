//! Hewn sticks held against their tolerances, ties against their logs, poles against their classes.

use kernel::Exact;
use scaling::{Outcome, Practice, ScaleProblem, Scaled, StepKind, scale};
use serde_json::{Value, json};

fn stick(practice: &Value, piece: &Value) -> Result<Scaled, ScaleProblem> {
    let practice: Practice = serde_json::from_value(practice.clone()).unwrap();
    scale(&practice, &serde_json::from_value(piece.clone()).unwrap())
}

fn timber(tolerances: Value, members: Value) -> Scaled {
    let mut piece = json!({"product": "hewn_timber", "species": "white pine", "grade": "No 1", "length_ft": "24",
        "small_end": {"width_in": "12", "thickness_in": "12"},
        "large_end": {"width_in": "12.5", "thickness_in": "12"}});
    for (name, value) in members.as_object().unwrap() {
        piece[name] = value.clone();
    }
    stick(&json!({"hewn_timber": {"tolerances": tolerances}}), &piece).unwrap()
}

fn outcome(scaled: &Scaled) -> Outcome {
    scaled.inspection.as_ref().unwrap().outcome
}

/// Half an inch of score mark: the tie specification of 1918 to 1921, from memory.
#[test]
fn score_marks_are_accepted_degraded_or_refused() {
    let limits = || json!({"score_mark_depth_in": {"degraded_over": "0.25", "refused_over": "0.5"}, "degraded_to": "No 2"});
    let by = |depth: &str| timber(limits(), json!({ "score_mark_depth_in": depth }));
    for depth in ["0", "0.25"] {
        assert_eq!(outcome(&by(depth)), Outcome::Accepted);
        assert_eq!(by(depth).grade.as_deref(), Some("No 1"));
    }
    let degraded = by("0.5");
    assert_eq!((outcome(&degraded), degraded.grade.as_deref()), (Outcome::Degraded, Some("No 2")));
    assert_eq!(degraded.cull, None);
    let refused = by("0.5001");
    assert_eq!(outcome(&refused), Outcome::Refused);
    assert_eq!(refused.cull.as_deref(), Some("refused: score mark: 0.5001 inches is over 0.5"));
    // It keeps its content: what is paid for is the contract's matter.
    assert_eq!(refused.volume.unwrap().gross.to_string(), "294");
}

#[test]
fn what_was_not_measured_is_not_held_against_it() {
    let all = json!({"score_mark_depth_in": {"refused_over": "0"}, "straightness_in": {"refused_over": "0"},
        "out_of_square_in": {"refused_over": "0"}, "under_size_in": {"refused_over": "0"}});
    assert_eq!(outcome(&timber(all, json!({}))), Outcome::Accepted);
    let no_tolerances = stick(
        &json!({"hewn_timber": {}}),
        &json!({"product": "hewn_timber", "species": "pine", "length_ft": "24", "score_mark_depth_in": "3",
            "middle": {"width_in": "12", "thickness_in": "12"}}),
    );
    assert_eq!(no_tolerances.unwrap().inspection, None);
}

#[test]
fn each_tolerance_has_its_measurement() {
    let wane =
        json!({"width_in": "12", "thickness_in": "12", "wane": [{"width_in": "3", "thickness_in": "2"}]});
    let cases = [
        ("straightness_in", "1.5", "2", json!({"straightness_in": "1.75"})),
        ("out_of_square_in", "1", "2", json!({"out_of_square_in": "1.5"})),
        ("size_difference_in", "0.25", "1", json!({})), // 12 and 12 1/2
        ("under_size_in", "0.5", "2", json!({"ordered_width_in": "13"})), // by 1
        ("over_size_in", "0.25", "1", json!({"ordered_width_in": "12"})), // by 1/2
        ("over_size_in", "0.5", "2", json!({"ordered_thickness_in": "11"})), // by 1
        ("wane_of_face", "1/8", "1/3", json!({"small_end": wane})), // a quarter of a face
    ];
    for (name, low, high, members) in cases {
        let limit = |degraded: &str, refused: &str| {
            let mut limits = json!({});
            limits[name] = json!({"degraded_over": degraded, "refused_over": refused});
            outcome(&timber(limits, members.clone()))
        };
        assert_eq!(limit(low, high), Outcome::Degraded, "{name}");
        assert_eq!(limit(high, high), Outcome::Accepted, "{name}");
        assert_eq!(limit("0", low), Outcome::Refused, "{name}");
    }
}

#[test]
fn several_reasons_stand_together_and_the_worst_decides() {
    let limits =
        json!({"score_mark_depth_in": {"degraded_over": "0.25"}, "straightness_in": {"refused_over": "2"}});
    let scaled = timber(limits, json!({"score_mark_depth_in": "0.5", "straightness_in": "3"}));
    let inspection = scaled.inspection.unwrap();
    assert_eq!(inspection.outcome, Outcome::Refused);
    assert_eq!(inspection.reasons, ["score mark: 0.5 inches is over 0.25", "bow: 3 inches is over 2"]);
}

#[test]
fn linear_feet_need_no_volume() {
    let piece = json!({"product": "hewn_timber", "species": "pine", "length_ft": "24", "length_in": "6",
        "middle": {"width_in": "12", "thickness_in": "12"}});
    let scaled = stick(&json!({"hewn_timber": {"unit": "linear_foot"}}), &piece).unwrap();
    assert_eq!((scaled.volume, scaled.scaling_length_ft), (None, Some(Exact::fraction(49, 2))));
}

/// A pyramid's frustum from 6 by 6 to 12 by 12 over 12 feet: (36 + 4 × 81 + 144) ÷ 6 = 84 square inches.
#[test]
fn the_frustum_is_the_solid_between_the_ends() {
    let wane = json!([{"width_in": "2", "thickness_in": "2"}]);
    let piece = json!({"product": "hewn_timber", "species": "pine", "length_ft": "12",
        "small_end": {"width_in": "6", "thickness_in": "6"},
        "large_end": {"width_in": "12", "thickness_in": "12", "wane": wane}});
    let volume =
        |practice: Value| stick(&json!({ "hewn_timber": practice }), &piece).unwrap().volume.unwrap();
    assert_eq!(volume(json!({"content": "frustum"})).gross, Exact::of(84));
    assert_eq!(volume(json!({})).gross, Exact::of(81)); // the mean of the ends is 9 by 9
    // Wane of 2 square inches at one end is 1 on the mean.
    assert_eq!(volume(json!({"content": "frustum", "wane": "deducted"})).net, Exact::of(83));
    let one_end = json!({"product": "hewn_timber", "species": "pine", "length_ft": "12",
        "small_end": {"width_in": "6", "thickness_in": "6"}, "middle": {"width_in": "8", "thickness_in": "8"}});
    let problem = stick(&json!({"hewn_timber": {"content": "frustum"}}), &one_end).unwrap_err();
    assert_eq!(problem.code(), "missing-measurement");
}

fn tie(tolerances: Value, members: Value) -> Scaled {
    let mut piece =
        json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5"});
    for (name, value) in members.as_object().unwrap() {
        piece[name] = value.clone();
    }
    stick(&json!({"tie": {"tolerances": tolerances}}), &piece).unwrap()
}

/// Over 1 inch thicker, 3 wider or 2 longer than its class: the specification of 1918 to 1921, from memory.
#[test]
fn a_tie_much_larger_than_its_class_is_degraded_or_refused() {
    let rule = || {
        json!({"thicker_in": {"refused_over": "1"}, "wider_in": {"degraded_over": "3"},
            "longer_in": {"degraded_over": "12"}, "degraded_to": "second"})
    };
    let fits = tie(rule(), json!({}));
    assert_eq!((outcome(&fits), fits.grade.as_deref()), (Outcome::Accepted, Some("B")));
    assert_eq!(outcome(&tie(rule(), json!({"thickness_in": "8"}))), Outcome::Accepted);
    let thick = tie(rule(), json!({"thickness_in": "8.5"}));
    assert_eq!(thick.cull.as_deref(), Some("refused: thicker than its class: 1.5 inches is over 1"));
    let wide = tie(rule(), json!({"width_in": "13.5"})); // class A is 10 wide
    assert_eq!((outcome(&wide), wide.grade.as_deref()), (Outcome::Degraded, Some("second")));
    assert_eq!(outcome(&tie(rule(), json!({"length_ft": "9.25"}))), Outcome::Degraded); // 15 inches over 8 feet
}

/// 7 by 9 inches has a diagonal of 11.40: the square root of 130.
#[test]
fn a_tie_is_held_against_the_log_it_was_hewn_from() {
    let check = |diameter: &str| {
        let scaled = tie(json!({}), json!({ "log_diameter_in": diameter }));
        let step = scaled.working.into_iter().find(|step| step.step == StepKind::LogCheck).unwrap();
        assert!(step.figures.iter().any(|figure| figure.value.to_string() == "11.41"));
        step.says
    };
    assert!(check("12").ends_with("the log was large enough"));
    assert!(check("11").ends_with("measured wrong"));
}

fn pole(classes: Value, members: Value) -> Result<Scaled, ScaleProblem> {
    let mut piece = json!({"product": "pole", "species": "cedar", "grade": "good", "length_ft": "37"});
    for (name, value) in members.as_object().unwrap() {
        piece[name] = value.clone();
    }
    stick(&json!({"pole": {"classes": classes}}), &piece)
}

#[test]
fn poles_get_the_first_class_they_meet() {
    let classes = || {
        json!([{"name": "40", "length_ft": "40"}, {"name": "35 stout", "length_ft": "35", "least_top_in": "8"},
            {"name": "35", "length_ft": "35"}])
    };
    let class = |members: Value| pole(classes(), members).unwrap().grade;
    assert_eq!(class(json!({"length_ft": "41"})).as_deref(), Some("40"));
    assert_eq!(class(json!({"top_diameter_in": "8"})).as_deref(), Some("35 stout"));
    assert_eq!(class(json!({"top_diameter_in": "7"})).as_deref(), Some("35"));
    let short = pole(classes(), json!({"length_ft": "34"})).unwrap();
    assert_eq!((short.grade, short.cull.is_some()), (None, true));
    assert_eq!(pole(classes(), json!({})).unwrap_err().code(), "missing-measurement");
    let refused = pole(classes(), json!({"length_ft": "41", "refused": "broken top"})).unwrap();
    assert_eq!(refused.cull.as_deref(), Some("refused: broken top"));
}

#[test]
fn limits_that_say_nothing_are_refused() {
    let refused = |limit: Value| {
        let practice = json!({"hewn_timber": {"tolerances": {"straightness_in": limit}}});
        serde_json::from_value::<Practice>(practice).unwrap_err().to_string()
    };
    assert!(refused(json!({})).contains("straightness_in: a limit needs"));
    assert!(refused(json!({"degraded_over": "2", "refused_over": "1"})).contains("exchange them"));
    assert!(refused(json!({"refused_over": "-1"})).contains("a limit of -1 cannot be used"));
}
