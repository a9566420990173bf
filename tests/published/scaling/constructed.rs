//! The rows of `constructed_examples.csv` that are a matter of scaling: made by hand from the methods, so they test
//! our reading of them and not an outside figure.

use kernel::Exact;
use serde_json::{Value, json};

use super::constructed_long_logs;
use super::data::{Example, agrees, asked, examples, hewn, log, number, scaled};

/// Topics for other parts of the workspace.
const NOT_SCALING: [&str; 9] = [
    "check_variance_allowed",
    "minnesota_rescale",
    "quebec_rescale",
    "state_clause_adjust",
    "overrun_percent",
    "sampling_error",
    "sample_size",
    "ratio_estimate",
    "tie_pay",
];

#[test]
fn every_constructed_example_of_scaling() {
    let mut compared = 0;
    for example in examples("constructed_examples.csv") {
        if NOT_SCALING.contains(&example.topic.as_str()) {
            continue;
        }
        compared += 1;
        compare(&example);
    }
    assert_eq!(compared, 36);
}

fn text(value: &Value) -> String {
    value.to_string()
}

pub fn hold(example: &Example, ours: Exact, member: &str) {
    let printed = &example.expected[member];
    assert!(agrees(ours, printed), "{}: {member} is {printed}, and the crate makes it {ours}", example.id);
}

fn compare(example: &Example) {
    let (inputs, expected) = (&example.inputs, &example.expected);
    match example.topic.as_str() {
        "squared_defect_bf" => squared(example),
        "squared_defect_cuft" => {
            let rule = json!({"rule": "inscribed-square"});
            hold(example, loss(rule, "30", "16", squared_defect(inputs)), "cu_ft");
        }
        "pie_cut" => {
            let defect = json!({"kind": "scar", "method": "pie_cut",
                "angle_degrees": text(&inputs["angle_deg"]), "length_ft": text(&inputs["defect_l_ft"])});
            // 16 inches by 16 feet stands at 160 board feet.
            let exact = loss(decimal_c("none"), "16", "16", defect.clone());
            hold(example, exact.over(number(&inputs["gross_bf"])).unwrap(), "proportion");
            hold(example, exact, "bf_exact");
            hold(example, loss(decimal_c("1"), "16", "16", defect), "bf");
        }
        "length_proportion" => {
            let defect =
                json!({"kind": "break", "method": "length_cut", "length_ft": text(&inputs["cut_ft"])});
            let exact = loss(decimal_c("none"), "16", "16", defect);
            hold(example, exact.over(number(&inputs["gross_bf"])).unwrap(), "proportion");
            hold(example, exact, "bf");
        }
        "sweep_16ft" => {
            let defect =
                json!({"kind": "sweep", "method": "sweep", "departure_in": text(&inputs["departure_in"])});
            hold(example, share(&text(&inputs["d_in"]), "16", defect), "proportion");
        }
        "crook" => {
            let defect = json!({"kind": "crook", "method": "crook",
                "deflection_in": text(&inputs["deflection_in"]), "length_ft": text(&inputs["section_ft"])});
            hold(example, share(&text(&inputs["d_in"]), &text(&inputs["log_l_ft"]), defect), "proportion");
        }
        "interior_ellipse" => {
            let defect = json!({"kind": "heart_rot", "method": "ellipse", "major_in": text(&inputs["major_in"]),
                "minor_in": text(&inputs["minor_in"]), "length_ft": text(&inputs["defect_l_ft"])});
            hold(example, share(&text(&inputs["d_in"]), &text(&inputs["log_l_ft"]), defect), "proportion");
        }
        "sound_core" => {
            let defect = json!({"kind": "ring_shake", "method": "sound_core",
                "core_in": text(&inputs["core_in"]), "length_ft": text(&inputs["defect_l_ft"])});
            hold(example, share(&text(&inputs["d_in"]), &text(&inputs["log_l_ft"]), defect), "proportion");
        }
        "even_taper_two_segments" | "even_taper_three_segments" => constructed_long_logs::taper(example),
        "georgia_split" => constructed_long_logs::georgia_split(example),
        "georgia_half_inches" => constructed_long_logs::georgia_half_inches(example),
        "tie_content" => tie(example),
        "inscribed_square_side" => sides(example),
        "inscribed_vs_two_thirds_cuft" => {
            let by = |rule: &str| {
                asked(json!({"rule": rule, "diameter_in": text(&inputs["d_in"]),
                    "length_ft": text(&inputs["l_ft"])}))
                .gross
            };
            hold(example, by("inscribed-square"), "inscribed");
            hold(example, by("two-thirds"), "two_thirds");
            // The printed factor of the circle is short by 1.5 in ten thousand thousand, so the last figures
            // differ.
            let short = number(&expected["cylinder"]).minus(by("huber")).unwrap();
            assert!(!short.is_negative() && short < Exact::fraction(1, 1000), "{}: {short}", example.id);
        }
        "waney_square" => waney(example),
        "mean_of_ends_vs_frustum" | "mean_of_sides_fallacy" => squared_timber(example),
        "cull_threshold" => cull(example),
        other => panic!("{other} is in the file and in no test"),
    }
}

fn decimal_c(step: &str) -> Value {
    let rounding = if step == "none" { json!("none") } else { json!({"step": step, "mode": "half_up"}) };
    json!({"rule": "scribner-decimal-c", "deduction_rounding": rounding})
}

/// What one defect takes off a log.
fn loss(terms: Value, diameter: &str, length: &str, defect: Value) -> Exact {
    let members = json!({"small_diameter_in": [diameter], "length_ft": length, "defects": [defect]});
    let volume = log(terms, members).volume.unwrap();
    volume.gross.minus(volume.net).unwrap()
}

/// What share one defect takes off a log.
fn share(diameter: &str, length: &str, defect: Value) -> Exact {
    let gross = asked(json!({"rule": "doyle", "diameter_in": diameter, "length_ft": length})).gross;
    let lost = loss(json!({"rule": "doyle", "deduction_rounding": "none"}), diameter, length, defect);
    lost.over(gross).unwrap()
}

fn squared_defect(inputs: &Value) -> Value {
    json!({"kind": "heart_rot", "method": "squared", "width_in": text(&inputs["w_in"]),
        "height_in": text(&inputs["h_in"]), "length_ft": text(&inputs["l_ft"])})
}

fn squared(example: &Example) {
    let waste = number(&example.inputs["waste_in"]) == Exact::ONE;
    assert_eq!(number(&example.inputs["divisor"]), Exact::of(15));
    let by = |rounding: Value| {
        let terms = json!({"rule": "doyle", "waste_inch": waste, "deduction_rounding": rounding});
        loss(terms, "30", "16", squared_defect(&example.inputs))
    };
    hold(example, by(json!("none")), "bf_exact");
    hold(example, by(json!("by_rule")), "bf");
    let tens = by(json!({"step": "10", "mode": "half_up"}));
    hold(example, tens.over(Exact::of(10)).unwrap(), "tens");
}

fn tie(example: &Example) {
    let inputs = &example.inputs;
    let class = json!({"name": "any", "thickness_in": "1", "width_in": "1", "length_ft": "1"});
    let practice =
        json!({"tie": {"classes": [class], "volume_rounding": {"step": "0.000001", "mode": "half_up"}}});
    let piece = json!({"product": "tie", "species": "oak", "thickness_in": text(&inputs["t_in"]),
        "width_in": text(&inputs["w_in"]), "length_ft": text(&inputs["l_ft"])});
    hold(example, scaled(practice, piece).volume.unwrap().gross, "board_feet");
    let terms = json!({"unit": "cubic_foot", "volume_rounding": {"step": "0.000001", "mode": "half_up"}});
    let section = json!({"thickness_in": text(&inputs["t_in"]), "width_in": text(&inputs["w_in"])});
    hold(example, hewn(terms, json!({"middle": section, "length_ft": text(&inputs["l_ft"])})), "cu_ft");
}

/// The sides of the squares on which the rules stand, told by their squares.
fn sides(example: &Example) {
    let area = |(rule, edition): (&str, &str)| {
        let request = json!({"rule": rule, "edition": edition, "diameter_in": text(&example.inputs["d_in"]),
            "length_ft": "144"});
        asked(request).gross
    };
    for (rule, member) in [
        (("inscribed-square", "geometric"), "exact"),
        (("inscribed-square", "seventeen-twenty-fourths"), "by_17_24"),
        (("two-thirds", "standard"), "two_thirds"),
    ] {
        let step = Exact::fraction(1, 2_000_000);
        let side = number(&example.expected[member]);
        let below = side.minus(step).unwrap().squared().unwrap();
        let above = side.plus(step).unwrap().squared().unwrap();
        assert!(below <= area(rule) && area(rule) <= above, "{}: {member}", example.id);
    }
}

fn waney(example: &Example) {
    let inputs = &example.inputs;
    let legs = inputs["legs_in"].as_array().unwrap();
    let wane: Vec<Value> =
        legs.iter().map(|leg| json!({"width_in": text(&leg[0]), "thickness_in": text(&leg[1])})).collect();
    let section =
        json!({"width_in": text(&inputs["w_in"]), "thickness_in": text(&inputs["h_in"]), "wane": wane});
    let members = json!({"middle": section, "length_ft": text(&inputs["l_ft"])});
    hold(example, hewn(json!({"wane": "ignored"}), members.clone()), "full_bf");
    let net = hewn(json!({"wane": "deducted"}), members);
    hold(example, net, "net_bf");
    let section = net.times(Exact::of(12)).unwrap().over(number(&inputs["l_ft"])).unwrap();
    hold(example, section, "net_section_in2");
}

fn squared_timber(example: &Example) {
    let inputs = &example.inputs;
    let terms = json!({"unit": "cubic_foot", "volume_rounding": {"step": "0.000001", "mode": "half_up"}});
    let square = |side: &Value| json!({"width_in": text(side), "thickness_in": text(side)});
    let length = text(&inputs["l_ft"]);
    if example.topic == "mean_of_sides_fallacy" {
        let section = json!({"width_in": text(&inputs["b_in"]), "thickness_in": text(&inputs["t_in"])});
        let right = hewn(terms.clone(), json!({"middle": section, "length_ft": length}));
        hold(example, right, "true_cuft");
        let side = number(&inputs["b_in"]).plus(number(&inputs["t_in"])).unwrap().over(Exact::of(2)).unwrap();
        let square = json!({"width_in": side.to_string(), "thickness_in": side.to_string()});
        hold(example, hewn(terms, json!({"middle": square, "length_ft": length})), "fallacious_cuft");
        return;
    }
    let ends = json!({"small_end": square(&inputs["small_in"]), "large_end": square(&inputs["big_in"]),
        "length_ft": length});
    let mut solid = terms.clone();
    solid["content"] = json!("frustum");
    let (mean, frustum) = (hewn(terms, ends.clone()), hewn(solid, ends));
    hold(example, mean, "mean_of_ends");
    hold(example, frustum, "frustum");
    // What the mean of the ends leaves out: L × difference² / 12, in square inches over 144.
    let difference = number(&inputs["big_in"]).minus(number(&inputs["small_in"])).unwrap();
    let left_out = number(&inputs["l_ft"])
        .times(difference.squared().unwrap())
        .unwrap()
        .over(Exact::of(12 * 144))
        .unwrap();
    let apart = frustum.minus(mean).unwrap().minus(left_out).unwrap();
    let step = Exact::fraction(1, 1_000_000);
    assert!(apart <= step && Exact::ZERO.minus(apart).unwrap() <= step, "{}: {apart}", example.id);
}

/// A log of the gross, found among all sizes, with a squared defect that leaves the net.
fn cull(example: &Example) {
    let inputs = &example.inputs;
    let gross = number(&inputs["gross_bf"]);
    let sizes =
        (8..=40_i32).step_by(2).flat_map(|length| (6..40_i32).map(move |diameter| (diameter, length)));
    let of_that_gross = |(diameter, length): &(i32, i32)| {
        let request = json!({"rule": "international-quarter-inch", "diameter_in": diameter.to_string(),
            "length_ft": length.to_string()});
        asked(request).gross == gross
    };
    let (diameter, length) = sizes.into_iter().find(of_that_gross).unwrap();
    let (diameter, length) = (diameter.to_string(), length.to_string());
    let lost = gross.minus(number(&inputs["net_bf"])).unwrap();
    // 15 inches wide and 4 feet long, each inch of height is 4 board feet.
    let height = lost.over(Exact::of(4)).unwrap().to_string();
    let defect = json!({"kind": "heart_rot", "method": "squared", "width_in": "15", "height_in": height,
        "length_ft": "4"});
    let terms = json!({"rule": "international-quarter-inch", "cull_share": inputs["threshold"]});
    let scaled =
        log(terms, json!({"small_diameter_in": [diameter], "length_ft": length, "defects": [defect]}));
    assert_eq!(scaled.volume.unwrap().net, number(&inputs["net_bf"]), "{}", example.id);
    assert_eq!(scaled.cull.is_none(), example.expected["merchantable"].as_bool().unwrap(), "{}", example.id);
}
