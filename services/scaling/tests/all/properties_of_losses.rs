//! What holds of losses, segments and units for every log: tried on made-up ones.

use kernel::Exact;
use proptest::prelude::*;
use scaling::{Piece, Practice, Scaled, StepKind, direct, scale};
use serde_json::{Value, json};

use crate::made_up::{defect, hundredths, log};

/// Rules whose losses are seen without rounding, so that nothing but the losses themselves is compared.
const RULES: [&str; 5] = ["doyle", "scribner", "smalian", "inscribed-square", "international-eighth-inch"];

fn outcome(rule: &str, terms: Value, log: &Value) -> Result<Scaled, &'static str> {
    let mut all = json!({"rule": rule, "deduction_rounding": "none", "cull_share": "0"});
    for (name, value) in terms.as_object().unwrap() {
        all[name] = value.clone();
    }
    let practice: Practice = serde_json::from_value(json!({ "log": all })).unwrap();
    let piece: Piece = serde_json::from_value(log.clone()).unwrap();
    scale(&practice, &piece).map_err(|problem| problem.code())
}

fn lost(rule: &str, log: &Value, defects: &[Value]) -> Result<Exact, &'static str> {
    let mut log = log.clone();
    log["defects"] = json!(defects);
    let volume = outcome(rule, json!({}), &log)?.volume.unwrap();
    Ok(volume.gross.minus(volume.net).unwrap())
}

fn sum(values: impl IntoIterator<Item = Exact>) -> Exact {
    values.into_iter().fold(Exact::ZERO, |sum, value| sum.plus(value).unwrap())
}

fn figures(scaled: &Scaled, kind: StepKind, name: &str) -> Vec<Exact> {
    let steps = scaled.working.iter().filter(|step| step.step == kind);
    steps.map(|step| step.figures.iter().find(|figure| figure.name == name).unwrap().value).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Together defects never take more than they would one by one.
    #[test]
    fn the_union_is_not_more_than_the_sum(log in log(), rule in prop::sample::select(&RULES[..])) {
        let defects = log["defects"].as_array().unwrap().clone();
        let together = lost(rule, &log, &defects);
        let apart: Result<Vec<Exact>, _> =
            defects.iter().map(|defect| lost(rule, &log, std::slice::from_ref(defect))).collect();
        if let (Ok(together), Ok(apart)) = (together, apart) {
            prop_assert!(together <= sum(apart));
        }
    }

    /// Nor less than the largest of them, but where a ring thins what the others are reckoned on.
    #[test]
    fn the_union_is_not_less_than_the_largest_square(
        log in log(),
        squares in prop::collection::vec((hundredths(1..800), hundredths(1..800), hundredths(1..400),
            hundredths(0..400)), 1..5),
    ) {
        let squares: Vec<Value> = squares
            .into_iter()
            .map(|(width, height, length, from)| json!({"kind": "heart_rot", "method": "squared",
                "width_in": width, "height_in": height, "length_ft": length, "from_small_end_ft": from}))
            .collect();
        let together = lost("smalian", &log, &squares).unwrap();
        let again: Vec<Value> = squares.iter().chain(&squares).cloned().collect();
        prop_assert_eq!(lost("smalian", &log, &again).unwrap(), together);
        for square in squares {
            prop_assert!(lost("smalian", &log, &[square]).unwrap() <= together);
        }
    }

    /// The whole is the sum of its segments, each the rule's own answer for its diameter and length.
    #[test]
    fn segments_make_up_the_log(
        small in hundredths(600..3000),
        grows in hundredths(0..2000),
        feet in 9_u32..60,
        longest in prop::sample::select(&["8", "16", "20", "32"][..]),
        defects in prop::collection::vec(defect(), 0..4),
    ) {
        let large = small.parse::<Exact>().unwrap().plus(grows.parse().unwrap()).unwrap().to_string();
        let log = json!({"product": "log", "species": "pine", "small_diameter_in": [small],
            "large_diameter_in": [large], "length_ft": (feet * 2).to_string(), "defects": defects});
        let terms = json!({"longest_scaling_length_ft": longest, "deduction_rounding": "by_rule"});
        let Ok(scaled) = outcome("doyle", terms, &log) else { return Ok(()) };
        let volume = scaled.volume.unwrap();
        prop_assert!(!volume.net.is_negative() && volume.net <= volume.gross);
        let lengths = figures(&scaled, StepKind::Segment, "length_ft");
        if lengths.is_empty() {
            return Ok(());
        }
        prop_assert_eq!(Some(sum(lengths.iter().copied())), scaled.scaling_length_ft);
        let mut grosses = figures(&scaled, StepKind::Gross, "gross");
        prop_assert_eq!(grosses.pop(), Some(volume.gross));
        let mut nets = figures(&scaled, StepKind::Net, "net");
        prop_assert_eq!(nets.pop(), Some(volume.net));
        prop_assert_eq!(sum(nets), volume.net);
        let diameters = figures(&scaled, StepKind::Segment, "diameter_in");
        prop_assert!(diameters.is_sorted());
        for ((diameter, length), gross) in diameters.iter().zip(&lengths).zip(&grosses) {
            let request = json!({"rule": "doyle", "diameter_in": diameter.to_string(),
                "length_ft": length.to_string()});
            prop_assert_eq!(direct(&serde_json::from_value(request).unwrap()).unwrap().gross, *gross);
        }
        prop_assert_eq!(sum(grosses), volume.gross);
    }

    /// Sixteen and a half feet are sixteen feet and six inches.
    #[test]
    fn inches_of_length_are_twelfths_of_a_foot(feet in 8_u32..60, quarters in 0_u32..48) {
        let log = |feet: String, inches: Option<String>| {
            let mut log = json!({"product": "pole", "species": "pine", "length_ft": feet});
            if let Some(inches) = inches {
                log["length_in"] = json!(inches);
            }
            let piece: Piece = serde_json::from_value(log).unwrap();
            scale(&Practice::default(), &piece).unwrap().scaling_length_ft.unwrap()
        };
        let inches = Exact::of(quarters.into()).over(Exact::of(4)).unwrap();
        let expected = Exact::of(feet.into()).plus(inches.over(Exact::of(12)).unwrap()).unwrap();
        prop_assert_eq!(log(feet.to_string(), Some(inches.to_string())), expected);
    }

    /// The two forms of a cubic rule stand to one another as their two printed factors and the inch of 2.54 centimetres
    /// do, whatever the log: no other step comes in between.
    #[test]
    fn the_two_systems_differ_by_one_factor(quarters in 20_u32..160, feet in 1_u32..80) {
        let inches = Exact::of(quarters.into()).over(Exact::of(4)).unwrap();
        let centimetres = inches.times(Exact::fraction(254, 100)).unwrap();
        // A tenth of 3.048 feet a metre keeps within four decimals.
        let metres = Exact::of(feet.into()).times(Exact::fraction(3048, 10_000)).unwrap();
        let volume = |request: Value| direct(&serde_json::from_value(request).unwrap()).unwrap().gross;
        let by_inches = volume(json!({"rule": "huber", "diameter_in": inches.to_string(),
            "length_ft": feet.to_string()}));
        let by_metres = volume(json!({"rule": "huber", "diameter_cm": centimetres.to_string(),
            "length_m": metres.to_string()}));
        // Of 0.00007854 × 2.54² × 0.3048 over 0.005454.
        let factor = [
            Exact::fraction(7854, 100_000_000),
            Exact::fraction(254 * 254, 10_000),
            Exact::fraction(3048, 10_000),
        ];
        let factor = factor.into_iter().fold(Exact::ONE, |value, part| value.times(part).unwrap());
        let factor = factor.over(Exact::fraction(5454, 1_000_000)).unwrap();
        prop_assert_eq!(by_metres, by_inches.times(factor).unwrap());
    }
}
