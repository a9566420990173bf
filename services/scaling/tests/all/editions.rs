//! Editions: named, applied, shown, and refused where a rule does not have them.

use kernel::Exact;
use scaling::{EditionName, RuleName, StepKind};
use serde_json::{Value, json};

use crate::common::{asked, gross_and_net, scaled};

fn doyle(edition: &str, diameter: &str, length: &str) -> Result<String, &'static str> {
    asked(json!({"rule": "doyle", "edition": edition, "diameter_in": diameter, "length_ft": length}))
        .map(|answer| answer.gross.to_string())
}

/// 10² × 34 ÷ 16 is 212.5, which Chase (1913) prints as 212; 6² × 14 ÷ 16 is 31.5, which it prints as 32.
#[test]
fn an_exact_half_goes_as_the_edition_says() {
    for (edition, first, second) in
        [("half-up", "213", "32"), ("half-down", "212", "31"), ("printing-1913", "212", "32")]
    {
        assert_eq!(doyle(edition, "14", "34"), Ok(first.to_owned()), "{edition}");
        assert_eq!(doyle(edition, "10", "14"), Ok(second.to_owned()), "{edition}");
        // What is no half goes the same way in all of them.
        assert_eq!(doyle(edition, "21", "9"), Ok("163".to_owned()), "{edition}");
    }
}

/// A half that the printing was not seen to put either way: 8² × 1/8 ÷ 16 is a half.
#[test]
fn a_half_not_seen_in_print_is_not_guessed() {
    assert_eq!(doyle("printing-1913", "12", "0.125"), Err("not-in-the-table"));
    assert_eq!(doyle("half-down", "12", "0.125"), Ok("0".to_owned()));
}

#[test]
fn the_answer_and_the_working_name_the_edition() {
    for rule in RuleName::ALL {
        let facts = rule.facts();
        let names: Vec<EditionName> = facts.editions.iter().map(|edition| edition.name).collect();
        assert!(names.iter().all(|name| names.iter().filter(|other| *other == name).count() == 1), "{rule}");
        assert_eq!(facts.default_edition().name, names[0]);
        assert_eq!(names.contains(&EditionName::Standard), names.len() == 1, "{rule}");
    }
    let request = |edition: Value| json!({"rule": "international-quarter-inch", "edition": edition, "diameter_in": "21", "length_ft": "8"});
    let by_default =
        asked(json!({"rule": "international-quarter-inch", "diameter_in": "21", "length_ft": "8"}));
    assert_eq!(by_default.unwrap().edition, EditionName::Statute);
    let print = asked(request(json!("print"))).unwrap();
    assert_eq!((print.edition, print.gross.to_string()), (EditionName::Print, "155".to_owned()));
    let formula = print.working.iter().find(|step| step.step == StepKind::Formula).unwrap();
    assert_eq!(formula.edition, Some(EditionName::Print));
    assert!(formula.says.ends_with("(edition print: factor 0.905)"), "{}", formula.says);
    // A rule of one edition does not speak of it.
    let quebec = asked(json!({"rule": "quebec", "diameter_in": "21", "length_ft": "16"})).unwrap();
    assert!(quebec.working.iter().all(|step| step.edition.is_none()));
    assert_eq!(quebec.edition, EditionName::Standard);
}

#[test]
fn an_edition_of_another_rule_is_refused() {
    let request = json!({"rule": "doyle", "edition": "statute", "diameter_in": "20", "length_ft": "16"});
    assert_eq!(asked(request).unwrap_err(), "edition-not-offered");
}

#[test]
fn a_contract_names_its_edition() {
    let members = json!({"small_diameter_in": ["14"], "length_ft": "34"});
    let by = |edition: &str| gross_and_net(json!({"rule": "doyle", "edition": edition}), &members).0;
    assert_eq!((by("half-up"), by("half-down")), ("213".to_owned(), "212".to_owned()));
    // A rounding that the contract names itself goes before the edition's.
    let terms = json!({"rule": "doyle", "edition": "half-down",
        "volume_rounding": {"step": "1", "mode": "up"}});
    assert_eq!(gross_and_net(terms, &members).0, "213");
}

/// The shop figures for the side of a square: 25/49 and 289/576 of D² where geometry has a half.
#[test]
fn the_shop_figures_come_out_a_little_large() {
    let by = |edition: &str| {
        let request = json!({"rule": "inscribed-square", "edition": edition, "diameter_in": "24",
            "length_ft": "8"});
        asked(request).unwrap().gross
    };
    let geometric = by("geometric");
    assert_eq!(geometric, Exact::of(16)); // 2 square feet over 8 feet
    assert_eq!(by("five-sevenths").over(geometric).unwrap(), Exact::fraction(50, 49));
    assert_eq!(by("seventeen-twenty-fourths").over(geometric).unwrap(), Exact::fraction(289, 288));
}

#[test]
fn print_only_holds_a_table_to_its_printed_cells() {
    let terms = json!({"rule": "scribner-decimal-c", "sources": "print_only"});
    let log = |diameter: &str| json!({"small_diameter_in": [diameter], "length_ft": "16"});
    assert_eq!(gross_and_net(terms.clone(), &log("20")).0, "280");
    assert_eq!(scaled(terms, &log("24")).unwrap_err().code(), "not-in-the-table");
}
