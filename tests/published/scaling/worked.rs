//! Every row of `worked_examples.csv` that is a matter of scaling.

use std::collections::BTreeMap;

use kernel::{Exact, Rounding};
use scaling::{CUBIC_FEET_IN_A_CORD, RoundTo};
use serde_json::{Value, json};

use super::data::{Example, agrees, asked, cords, examples, hewn, log, near, number, size};
use super::disagreements::{Disagreement, settle};

/// Topics that other parts of the workspace, or none yet, answer for.
const NOT_SCALING: [&str; 5] =
    ["superficial", "plank_value_pence", "tapering_planks_value_pence", "yield_divisor", "piece_pay"];

#[test]
fn every_worked_example() {
    let mut found = BTreeMap::new();
    let mut compared = 0;
    for example in examples("worked_examples.csv") {
        if NOT_SCALING.contains(&example.topic.as_str()) {
            continue;
        }
        compared += 1;
        if let Err(figures) = compare(&example) {
            found.insert(example.id, figures);
        }
    }
    assert_eq!(compared, 29);
    settle("worked_examples", &found);
}

fn compare(example: &Example) -> Result<(), Disagreement> {
    let (inputs, expected) = (&example.inputs, &example.expected);
    let (ours, holds, printed) = match example.topic.as_str() {
        "decimal_c_round" => {
            let tens = RoundTo::new(Exact::of(10), Rounding::HalfUp).unwrap();
            exactly(tens.apply(number(&inputs["board_feet"])).unwrap(), &expected["board_feet"])
        }
        "decimal_c_total" => {
            // A log of 13 inches by 16 feet stands at ten tens.
            let one =
                asked(json!({"rule": "scribner-decimal-c", "diameter_in": "13", "length_ft": "16"})).gross;
            assert_eq!(one, number(&inputs["tens_each"]).times(Exact::of(10)).unwrap());
            exactly(one.times(number(&inputs["logs"])).unwrap(), &expected["board_feet"])
        }
        "decimal_c_expand" => {
            let (diameter, rest) = inputs["note"].as_str().unwrap().split_once(" in x ").unwrap();
            let length = rest.strip_suffix(" ft").unwrap();
            let request = json!({"rule": "scribner-decimal-c", "diameter_in": diameter,
                "length_ft": length, "printed_cells_only": true});
            exactly(asked(request).gross, &expected["board_feet"])
        }
        "stick_half_inch" => {
            let members =
                json!({"small_diameter_in": [inputs["diameter_in"].to_string()], "length_ft": "16"});
            let scaled = log(json!({"rule": "doyle"}), members);
            exactly(scaled.scaling_diameter_in.unwrap(), &expected["scaling_diameter"])
        }
        "length_class_even" => {
            let feet = size(number(&inputs["length_in"]).over(Exact::of(12)).unwrap());
            let terms = json!({"rule": "doyle", "least_trim_in": inputs["trim_in"].to_string()});
            let scaled = log(terms, json!({"small_diameter_in": ["12"], "length_ft": feet}));
            exactly(scaled.scaling_length_ft.unwrap(), &expected["scaling_length_ft"])
        }
        "board_measure" => {
            let text = |member: &str| inputs[member].to_string();
            let request = json!({"rule": "board-measure", "thickness_in": text("t_in"),
                "width_in": text("w_in"), "length_ft": text("l_ft")});
            exactly(asked(request).gross.times(number(&inputs["pieces"])).unwrap(), &expected["board_feet"])
        }
        "squared_timber_cuft" => squared_timber(inputs, expected),
        "mean_of_ends" => mean_of_ends(inputs, expected),
        "quarter_girth" => {
            let girth = size(number(&inputs["girth_ft"]).times(Exact::of(12)).unwrap());
            let request =
                json!({"rule": "quarter-girth", "girth_in": girth, "length_ft": inputs["l_ft"].to_string()});
            within(asked(request).gross, expected, "cu_ft_near")
        }
        "quarter_girth_shortfall" => {
            // A cylinder 12 inches through, 3.1416 times as far round.
            let hoppus =
                asked(json!({"rule": "quarter-girth", "girth_in": "37.6992", "length_ft": "16"})).gross;
            let round = asked(json!({"rule": "huber", "diameter_in": "12", "length_ft": "16"})).gross;
            let share = Exact::ONE.minus(hoppus.over(round).unwrap()).unwrap();
            within(share.times(Exact::of(100)).unwrap(), expected, "percent_near")
        }
        "stack_cuft" => {
            let members = json!({"length_ft": inputs["l_ft"].to_string(),
                "heights": [{"feet": inputs["h_ft"].to_string()}], "stick_length_ft": inputs["w_ft"].to_string()});
            exactly(cords(members).times(CUBIC_FEET_IN_A_CORD).unwrap(), &expected["cu_ft"])
        }
        "two_thirds_siding" => {
            // The side whose square the rule's content stands on: two thirds of the caliper.
            let side = number(&inputs["calliper_in"]).times(Exact::fraction(2, 3)).unwrap();
            let request = json!({"rule": "two-thirds", "diameter_in": inputs["calliper_in"].to_string(),
                "length_ft": "144"});
            assert_eq!(asked(request).gross, side.squared().unwrap());
            within(side, expected, "siding_in_near")
        }
        other => panic!("{other} is in the file and in no test"),
    };
    if holds { Ok(()) } else { Err(Disagreement { printed, ours }) }
}

type Compared = (String, bool, String);

fn exactly(ours: Exact, printed: &Value) -> Compared {
    (ours.to_string(), agrees(ours, printed), printed.to_string())
}

fn within(ours: Exact, expected: &Value, member: &str) -> Compared {
    // serde_json writes a small tolerance with an exponent; the files hold only this one.
    let tolerance = match expected["tol"].to_string() {
        small if small == "5e-5" => "0.00005".to_owned(),
        plain => plain,
    };
    (ours.to_string(), near(ours, &expected[member], &tolerance), expected[member].to_string())
}

/// A figure in feet and twelfths, and twelfths of those.
fn duodecimal(value: &Value) -> Exact {
    value
        .as_array()
        .unwrap()
        .iter()
        .rev()
        .fold(Exact::ZERO, |sum, part| sum.over(Exact::of(12)).unwrap().plus(number(part)).unwrap())
}

fn squared_timber(inputs: &Value, expected: &Value) -> Compared {
    let side = inputs["side_in"].to_string();
    let members =
        json!({"middle": {"width_in": side, "thickness_in": side}, "length_ft": inputs["l_ft"].to_string()});
    let cubic = |step: &str, mode: &str| {
        hewn(json!({"unit": "cubic_foot", "volume_rounding": {"step": step, "mode": mode}}), members.clone())
    };
    if let Some(exact) = expected.get("cu_ft") {
        return exactly(cubic("0.001", "half_up"), exact);
    }
    let (ours, printed) = match (expected.get("duodecimal_truncated"), expected.get("feet_inches_rounded")) {
        (Some(cut), _) if cut.as_array().unwrap().len() == 3 => (cubic("1/144", "down"), cut),
        (Some(cut), _) => (cubic("1/12", "down"), cut),
        (None, Some(rounded)) => (cubic("1/12", "half_up"), rounded),
        (None, None) => panic!("{expected} has no figure this test knows"),
    };
    let printed = duodecimal(printed);
    (ours.to_string(), ours == printed, printed.to_string())
}

fn mean_of_ends(inputs: &Value, expected: &Value) -> Compared {
    let inches = |value: &Value| {
        size(
            number(value)
                .times(Exact::of(12))
                .unwrap()
                .rounded_to(Exact::fraction(1, 1000), Rounding::HalfUp)
                .unwrap(),
        )
    };
    let section =
        |end: &str| json!({"width_in": inches(&inputs[end][0]), "thickness_in": inches(&inputs[end][1])});
    let members = json!({"small_end": section("small"), "large_end": section("big"),
        "length_ft": inputs["l_ft"].to_string()});
    let cubic = |step: &str, mode: &str| {
        hewn(json!({"unit": "cubic_foot", "volume_rounding": {"step": step, "mode": mode}}), members.clone())
    };
    match expected.get("feet_inches_truncated") {
        Some(cut) => {
            let (ours, printed) = (cubic("1/12", "down"), duodecimal(cut));
            (ours.to_string(), ours == printed, printed.to_string())
        }
        None => within(cubic("0.000001", "half_up"), expected, "cu_ft_near"),
    }
}
