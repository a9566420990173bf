//! The constructed examples of long logs: division, taper, and halves shared out along a ticket.

use kernel::Exact;
use scaling::{Alternation, Practice, Scaled, StepKind, scale_in_turn};
use serde_json::{Value, json};

use super::data::{Example, log, number};

/// Diameter and length of each segment, as the working shows them from the small end on.
fn segments(scaled: &Scaled) -> Vec<(Exact, Exact)> {
    let figure = |step: &scaling::Step, name: &str| {
        step.figures.iter().find(|figure| figure.name == name).unwrap().value
    };
    scaled
        .working
        .iter()
        .filter(|step| step.step == StepKind::Segment)
        .map(|step| (figure(step, "diameter_in"), figure(step, "length_ft")))
        .collect()
}

/// A log scaled in segments of at most 16 feet.
fn in_sixteens(terms: Value, top: &Value, butt: &Value, feet: i128) -> Vec<(Exact, Exact)> {
    let mut terms = terms;
    terms["rule"] = json!("doyle");
    terms["longest_scaling_length_ft"] = json!("16");
    let members = json!({"small_diameter_in": [top.to_string()], "large_diameter_in": [butt.to_string()],
        "length_ft": feet.to_string()});
    segments(&log(terms, members))
}

pub fn taper(example: &Example) {
    let (inputs, expected) = (&example.inputs, &example.expected);
    let (top, butt) = (&inputs["top_in"], &inputs["butt_in"]);
    if let Some(diameters) = expected.get("diameters_top_to_butt") {
        let feet = inputs["segments"].as_i64().unwrap() * 16;
        let ours: Vec<Exact> = in_sixteens(json!({}), top, butt, feet.into())
            .into_iter()
            .map(|(diameter, _)| diameter)
            .collect();
        let printed: Vec<Exact> = diameters.as_array().unwrap().iter().map(number).collect();
        assert_eq!(ours, printed, "{}", example.id);
        return;
    }
    let feet = inputs["lengths_top_to_butt_ft"].as_array().unwrap().iter().map(number);
    let feet = feet.fold(Exact::ZERO, |sum, part| sum.plus(part).unwrap()).whole().unwrap();
    let both_ways = ["raised", "dropped"];
    for odd_taper in both_ways {
        let Some(printed) =
            expected.get("segments").or_else(|| expected.get(format!("segments_if_{odd_taper}")))
        else {
            panic!("{} has no figure this test knows", example.id)
        };
        let printed: Vec<(Exact, Exact)> =
            printed.as_array().unwrap().iter().map(|pair| (number(&pair[0]), number(&pair[1]))).collect();
        let ours = in_sixteens(json!({"odd_taper": odd_taper}), top, butt, feet);
        assert_eq!(ours, printed, "{} {odd_taper}", example.id);
    }
}

pub fn georgia_split(example: &Example) {
    let feet = number(&example.inputs["length_ft"]);
    let terms = json!({"rule": "scribner-decimal-c", "division": "georgia"});
    let members =
        json!({"small_diameter_in": ["12"], "large_diameter_in": ["15"], "length_ft": feet.to_string()});
    let scaled = log(terms, members);
    let mut parts: Vec<Exact> = segments(&scaled).into_iter().map(|(_, length)| length).collect();
    if parts.is_empty() {
        parts.extend(scaled.scaling_length_ft);
    }
    assert!(parts.is_sorted(), "{}: the longer segments lie at the butt", example.id);
    let printed: Vec<Exact> =
        example.expected["parts_sorted"].as_array().unwrap().iter().map(number).collect();
    assert_eq!(parts, printed, "{}", example.id);
}

/// The statute names no order, so the first half goes up here as it does in the example.
pub fn georgia_half_inches(example: &Example) {
    let terms =
        json!({"log": {"rule": "scribner-decimal-c", "one_reading": "alternating", "first_half": "up"}});
    let practice: Practice = serde_json::from_value(terms).unwrap();
    let readings = example.inputs["diameters_in"].as_array().unwrap();
    let mut turn = Alternation::default();
    let ours: Vec<Exact> = readings
        .iter()
        .map(|reading| {
            let piece = json!({"product": "log", "species": "pine", "small_diameter_in": [reading.to_string()],
                "length_ft": "16"});
            let piece = serde_json::from_value(piece).unwrap();
            scale_in_turn(&practice, &piece, &mut turn).unwrap().scaling_diameter_in.unwrap()
        })
        .collect();
    let expected = &example.expected;
    let printed: Vec<Exact> =
        expected["whole_inches_alternating"].as_array().unwrap().iter().map(number).collect();
    assert_eq!(ours, printed, "{}", example.id);
    let sum = |inches: Vec<Exact>| inches.into_iter().fold(Exact::ZERO, |sum, inch| sum.plus(inch).unwrap());
    assert_eq!(sum(readings.iter().map(number).collect()), number(&expected["sum_in"]));
    assert_eq!(sum(ours), number(&expected["sum_out"]));
}
