//! Recalled formulas of standing trees, held against what stands beside them: a plain reckoning of the same coefficients, the
//! log rules themselves, recalled cells of the tables, and the sense that a larger tree holds more.
#![expect(clippy::expect_used, reason = "a check that cannot read its figures has failed")]

use kernel::{Exact, Fixed, Rounding};
use scaling::standing::{Tree, TreeFormula, TreeProblem};
use scaling::{DirectRequest, DirectRounding, RuleName, direct};
use serde_json::json;

use crate::overrun::{cell, rows};

const RULES: [&str; 3] = ["doyle", "scribner", "international-quarter-inch"];

fn tree(diameter: Fixed, half_logs: i64) -> Tree {
    let logs = Fixed::from_millionths(half_logs * 500_000);
    serde_json::from_value(json!({"species": "oak", "diameter_in": diameter, "logs": logs})).expect("a tree")
}

fn formula(rule: &str) -> TreeFormula {
    serde_json::from_value(json!({"by": "form_class_table", "rule": rule})).expect("a formula")
}

fn volume(rule: &str, diameter: Fixed, half_logs: i64) -> Option<Exact> {
    match formula(rule).volume(&tree(diameter, half_logs)) {
        Ok(volume) => Some(volume.exact),
        Err(TreeProblem::OutsideRange(_)) => None,
        Err(other) => unreachable!("{other}"),
    }
}

fn number(exact: Exact) -> f64 {
    exact.to_string().parse().expect("a decimal")
}

fn inches(whole: i64) -> Fixed {
    Fixed::whole(whole).expect("small")
}

/// Every tree of whole inches and half logs within the range.
fn every_tree() -> impl Iterator<Item = (i64, i64)> {
    (10..=40).flat_map(|diameter| (2..=12).map(move |half_logs| (diameter, half_logs)))
}

#[test]
fn the_formulas_are_the_coefficients_as_recalled() {
    let rows = rows("form_class_78.csv");
    assert_eq!(rows.len(), 9);
    let mut compared = 0;
    for rule in RULES {
        for (diameter, half_logs) in every_tree() {
            let Some(found) = volume(rule, inches(diameter), half_logs) else { continue };
            let (d, l) = (
                f64::from(i32::try_from(diameter).expect("small")),
                f64::from(i32::try_from(half_logs).expect("small")) / 2.0,
            );
            let part =
                |row: &csv::StringRecord, column: usize| cell(row, column).parse::<f64>().expect("a number");
            let plain: f64 = rows
                .iter()
                .filter(|row| cell(row, 0) == rule)
                .map(|row| {
                    let of_logs = part(row, 2) + part(row, 3) * l + part(row, 4) * l * l;
                    of_logs * d.powf(part(row, 1))
                })
                .sum();
            assert!((number(found) - plain).abs() < 1e-6, "{rule} {diameter} {half_logs}: {found} {plain}");
            compared += 1;
        }
    }
    assert_eq!(compared, 3 * 314);
}

/// The first log of the tables is the rule's own volume at 78 percent of the diameter: the recalled regressions come within
/// 5 percent of it for every tree, and within 2 board feet for small ones.
#[test]
fn a_tree_of_one_log_is_the_log_itself() {
    for rule in RULES {
        for diameter in 10..=40 {
            let found = number(volume(rule, inches(diameter), 2).expect("within the range"));
            let mut request = DirectRequest::new(rule.parse::<RuleName>().expect("a rule"));
            request.rounding = DirectRounding::None;
            request.length_ft = Some("16".parse().expect("feet"));
            let top = Exact::of(diameter.into()).times(Exact::fraction(78, 100)).expect("small");
            let top = top.fixed().expect("two decimals").to_string();
            request.small_diameter_in = Some(top.parse().expect("inches"));
            let log = number(direct(&request).expect("the rule reaches it").gross);
            let off = (found - log).abs();
            assert!(
                off <= (log * 0.05).max(2.0),
                "{rule}, {diameter} inches: {found} by the formula, {log} by the rule"
            );
        }
    }
}

/// Cells of the form class 78 tables for 10 inches and one log (Mesavage and Girard 1946, from memory).
#[test]
fn recalled_cells() {
    for (rule, printed) in [("doyle", 14), ("scribner", 28), ("international-quarter-inch", 36)] {
        let found = volume(rule, inches(10), 2).expect("within the range");
        let whole = found.rounded_to(Exact::ONE, Rounding::HalfUp).expect("small");
        let off = whole.minus(Exact::of(printed)).expect("small");
        assert!(off == Exact::ZERO || off == Exact::ONE, "{rule}: {found}, printed {printed}");
    }
}

#[test]
fn a_larger_tree_holds_more() {
    for rule in RULES {
        for (diameter, half_logs) in every_tree() {
            let Some(found) = volume(rule, inches(diameter), half_logs) else { continue };
            assert!(found > Exact::ZERO, "{rule} {diameter} {half_logs}");
            for larger in [(diameter + 1, half_logs), (diameter, half_logs + 1)] {
                if let Some(more) = volume(rule, inches(larger.0), larger.1) {
                    assert!(more > found, "{rule}: {diameter} inches, {half_logs} half logs; {larger:?}");
                }
            }
        }
    }
}

/// Nothing is carried past the range: a slender tree, where the regression turns down, has no volume by it.
#[test]
fn outside_of_the_range_there_is_no_volume() {
    for rule in RULES {
        for (diameter, half_logs) in [("9.9", 2), ("40.1", 2), ("10", 7), ("20", 1), ("40", 13)] {
            assert_eq!(volume(rule, diameter.parse().expect("inches"), half_logs), None, "{rule} {diameter}");
        }
    }
    let other = json!({"by": "form_class_table", "rule": "doyle", "form_class": "80"});
    let other: TreeFormula = serde_json::from_value(other).expect("a formula");
    let (at_78, at_80) =
        (volume("doyle", inches(20), 4).expect("a volume"), other.volume(&tree(inches(20), 4)));
    // Two classes up is 6 percent more, by Mesavage and Girard's own rule of thumb (from memory).
    let expected = at_78.times(Exact::fraction(106, 100)).expect("small");
    assert_eq!(at_80.expect("a volume").exact, expected);
}
