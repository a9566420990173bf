//! Published tolerances of check scales, and the ratio estimate, held to their sources.

use std::path::Path;

use audit::{CheckMeasure, CheckOutcome, Finding, Number, PublishedTolerance, Ratio, judge};
use kernel::Fixed;
use serde_json::{Value, json};

use crate::scaling::data::{Example, examples, number};

fn published(name: &str) -> PublishedTolerance {
    serde_json::from_value(json!(name)).unwrap()
}

fn judged(name: &str, original: [Fixed; 2], check: [Fixed; 2]) -> Vec<Finding> {
    judge(&published(name).rule(), (original[0], original[1]), (check[0], check[1])).unwrap()
}

fn worst(findings: &[Finding]) -> CheckOutcome {
    findings.iter().map(|finding| finding.outcome).max().unwrap()
}

/// Every row of the table: limits from the sources that it names, figures constructed.
#[test]
fn every_tolerance_at_its_limit_under_and_over_it() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/check_scale/tolerances.csv");
    let rows: Vec<_> = csv::Reader::from_path(path).unwrap().records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 36);
    for row in rows {
        let figure = |at: usize| row[at].parse::<Fixed>().unwrap();
        let found = judged(&row[1], [figure(2), figure(3)], [figure(4), figure(5)]);
        let outcome: CheckOutcome = serde_json::from_value(json!(row[7])).unwrap();
        assert_eq!(worst(&found), outcome, "{}: {found:?}", &row[0]);
        if !row[6].is_empty() {
            assert_eq!(found[0].limit_percent, figure(6), "{}", &row[0]);
        }
    }
}

fn whole(value: &Value) -> Fixed {
    number(value).fixed().unwrap()
}

/// The constructed examples K21 to K30: seen rules but for K24, which is from memory.
#[test]
fn the_constructed_check_scales() {
    let mut compared = 0;
    for example in examples("constructed_examples.csv") {
        compared += usize::from(hold(&example));
    }
    assert_eq!(compared, 10);
}

fn hold(example: &Example) -> bool {
    let (inputs, expected) = (&example.inputs, &example.expected);
    let both = |member: &str| [whole(&inputs[member]); 2];
    match example.topic.as_str() {
        "check_variance_allowed" => {
            let hundred = Fixed::whole(100).unwrap();
            let net = hundred.minus(whole(&inputs["percent_defect"])).unwrap();
            let found = judged("net_by_defect", [hundred, net], [hundred, net]);
            assert_eq!(found[0].limit_percent, whole(&expected["allowed_percent"]), "{}", example.id);
        }
        "minnesota_rescale" => {
            let found = judged("replaced_beyond_ten_percent", both("original"), both("rescale"));
            assert_eq!(
                worst(&found) == CheckOutcome::Beyond,
                expected["supersedes"] == true,
                "{}",
                example.id
            );
        }
        "quebec_rescale" => {
            let found = judged("scaled_again_beyond_three_percent", both("reported"), both("verified"));
            assert_eq!(worst(&found) == CheckOutcome::Beyond, expected["rescale"] == true, "{}", example.id);
        }
        "state_clause_adjust" => {
            let found = judged("adjusted_from_five_percent", both("original"), both("check"));
            let adjusts = worst(&found) == CheckOutcome::Beyond;
            let by = if adjusts { found[0].difference } else { Fixed::ZERO };
            assert_eq!(by, whole(&expected["adjust_by"]), "{}", example.id);
            assert_eq!(found[0].percent_of_original, Some(whole(&expected["percent"])), "{}", example.id);
            assert_eq!(found[0].measure, CheckMeasure::Net);
            let bears = if adjusts { "purchaser" } else { "state" };
            assert_eq!(expected["cost_borne_by"], bears, "{}", example.id);
        }
        _ => return false,
    }
    true
}

/// K49; the formula is from memory (Freese, Elementary Forest Sampling).
#[test]
fn the_constructed_ratio_estimate() {
    let all = examples("constructed_examples.csv");
    let example = all.iter().find(|one| one.topic == "ratio_estimate").unwrap();
    let figures = |member: &str| -> Vec<Number> {
        example.inputs[member].as_array().unwrap().iter().map(|one| whole(one).into()).collect()
    };
    let pairs = figures("sample_scaler").into_iter().zip(figures("sample_check")).collect();
    let ratio = Ratio::new(pairs, None).unwrap();
    assert_eq!(ratio.shown().unwrap(), whole(&example.expected["ratio"]));
    let estimate = ratio.exact().times(&whole(&example.inputs["total_scaler"]).into()).shown(4).unwrap();
    assert_eq!(estimate, whole(&example.expected["estimate"]));
}
