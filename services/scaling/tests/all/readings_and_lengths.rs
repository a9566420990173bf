//! How readings become the scaling diameter, and a length the scaling length.

use kernel::Exact;
use serde_json::json;

use crate::common::{gross_and_net, scaled};

fn diameter(terms: serde_json::Value, readings: serde_json::Value) -> String {
    let members = json!({"small_diameter_in": readings, "length_ft": "16"});
    scaled(terms, &members).unwrap().scaling_diameter_in.unwrap().to_string()
}

/// Sources: a half up on one reading, Idaho Board of Scaling Practices; dropped on an average, Idaho contest
/// guide 2016.
#[test]
fn a_half_goes_up_on_one_reading_and_is_dropped_on_an_average() {
    let doyle = || json!({"rule": "doyle"});
    assert_eq!(diameter(doyle(), json!(["9.5"])), "10");
    assert_eq!(diameter(doyle(), json!(["10.49"])), "10");
    assert_eq!(diameter(doyle(), json!(["5.51"])), "6");
    assert_eq!(diameter(doyle(), json!(["8", "13"])), "10");
    assert_eq!(diameter(doyle(), json!(["8", "13.0002"])), "11");
    assert_eq!(diameter(json!({"rule": "doyle", "two_readings": "half_up"}), json!(["8", "13"])), "11");
    assert_eq!(diameter(json!({"rule": "doyle", "one_reading": "down"}), json!(["9.9"])), "9");
}

#[test]
fn cubic_rules_keep_the_reading_unless_told_otherwise() {
    let smalian = |whole: Option<bool>| {
        let terms = match whole {
            Some(whole) => json!({"rule": "smalian", "whole_inches": whole}),
            None => json!({"rule": "smalian"}),
        };
        let members =
            json!({"small_diameter_in": ["11.6"], "large_diameter_in": ["16.2"], "length_ft": "16"});
        gross_and_net(terms, &members).0
    };
    assert_eq!(smalian(None), smalian(Some(false)));
    assert_eq!(smalian(Some(true)), "17.4528"); // 12 and 16
    assert_ne!(smalian(None), "17.4528");
}

fn scaling_length(terms: serde_json::Value, feet: &str, inches: &str) -> Result<String, &'static str> {
    let mut terms = terms;
    terms["rule"] = json!("doyle");
    let members = json!({"small_diameter_in": ["12"], "length_ft": feet, "length_in": inches});
    scaled(terms, &members)
        .map(|scaled| scaled.scaling_length_ft.unwrap().to_string())
        .map_err(|problem| problem.code())
}

#[test]
fn trim_decides_the_length_class() {
    let three = json!({"least_trim_in": "3"});
    // Maine extension: a 10-foot log under 10 ft 3 in is an 8-foot log.
    assert_eq!(scaling_length(three.clone(), "10", "3"), Ok("10".to_owned()));
    assert_eq!(scaling_length(three.clone(), "10", "2.9999"), Ok("8".to_owned()));
    // With no trim agreed, nobody is docked for having none.
    assert_eq!(scaling_length(json!({}), "10", "0"), Ok("10".to_owned()));
    assert_eq!(scaling_length(json!({"length_multiple_ft": "1"}), "11", "4"), Ok("11".to_owned()));
    // Past the most trim the log goes up a class; at it, it does not.
    let both = json!({"least_trim_in": "3", "most_trim_in": "8"});
    assert_eq!(scaling_length(both.clone(), "10", "8"), Ok("10".to_owned()));
    assert_eq!(scaling_length(both.clone(), "10", "8.0001"), Ok("12".to_owned()));
}

#[test]
fn too_short_and_too_long_are_problems() {
    assert_eq!(scaling_length(json!({}), "1", "11"), Err("too-short"));
    let whole = |longest: &str| json!({"longest_scaling_length_ft": longest, "division": "none"});
    assert_eq!(scaling_length(whole("40"), "42", "0"), Err("too-long"));
    assert_eq!(scaling_length(whole("40"), "41", "11"), Ok("40".to_owned()));
    assert_eq!(scaling_length(whole("16"), "18", "0"), Err("too-long"));
    // Divided, it needs its taper.
    assert_eq!(scaling_length(json!({}), "42", "0"), Err("missing-measurement"));
}

#[test]
fn below_the_least_size_a_log_is_cull_with_its_volume_kept() {
    let terms = json!({"rule": "doyle", "least_diameter_in": "8"});
    let scaled = scaled(terms, &json!({"small_diameter_in": ["7.4"], "length_ft": "16"})).unwrap();
    assert_eq!(scaled.cull.as_deref(), Some("7 inches is under the least diameter of 8 inches"));
    assert_eq!(scaled.volume.unwrap().gross, Exact::of(9));
}

#[test]
fn cull_for_size_below_the_rule_has_no_volume() {
    let terms = || json!({"rule": "doyle", "least_diameter_in": "8", "least_length_ft": "8"});
    let thin = scaled(terms(), &json!({"small_diameter_in": ["3"], "length_ft": "16"})).unwrap();
    assert_eq!((thin.volume, thin.cull.is_some()), (None, true));
    let stub = scaled(terms(), &json!({"small_diameter_in": ["12"], "length_ft": "1"})).unwrap();
    assert_eq!((stub.volume, stub.cull.is_some()), (None, true));
    // Without the term the same log is a problem, not a guess.
    let refused = scaled(json!({"rule": "doyle"}), &json!({"small_diameter_in": ["3"], "length_ft": "16"}));
    assert_eq!(refused.unwrap_err().code(), "outside-the-rule");
}

/// Even taper between the ends, each already in whole inches: 12 of 16 feet on the way from 16 to 19 is 18 1/4, which the
/// statute drops to 18. From 16 to 18 it is 17 1/2 exactly, which the contract's way with a half decides.
#[test]
fn vermont_reads_the_fraction_of_a_tapered_section_as_the_statute_does() {
    let gross = |large: &str, half: &str| {
        let members = json!({"small_diameter_in": ["16"], "large_diameter_in": [large], "length_ft": "16"});
        gross_and_net(json!({"rule": "vermont", "one_reading": half}), &members).0
    };
    assert_eq!(gross("19", "half_up"), "182"); // 128 and 18² × 4 / 24 = 54
    assert_eq!(gross("18", "half_up"), "182");
    assert_eq!(gross("18", "half_down"), "176"); // 17² × 4 / 24 = 48 1/6
}

/// The smallest length at which each setting culls is compared with the scaling length, not the measured one.
#[test]
fn cull_for_length_looks_at_the_scaling_length() {
    let terms = json!({"rule": "doyle", "least_length_ft": "10", "least_trim_in": "3"});
    let scaled =
        scaled(terms, &json!({"small_diameter_in": ["12"], "length_ft": "10", "length_in": "2"})).unwrap();
    assert_eq!(scaled.cull.as_deref(), Some("8 feet is under the least length of 10 feet"));
}

/// Pacific west-side practice, from memory: fractions are dropped on each reading and again on the average.
#[test]
fn fractions_can_be_dropped_on_each_reading_and_on_the_average() {
    let westside =
        || json!({"rule": "doyle", "one_reading": "down", "two_readings": "down", "each_reading": "down"});
    // 12.9 and 14.9 average 13.9; 12 and 14 average 13. 12.5 and 13.5 average 13; 12 and 13 average 12 1/2.
    assert_eq!(diameter(westside(), json!(["12.9", "14.9"])), "13");
    assert_eq!(diameter(westside(), json!(["12.5", "13.5"])), "12");
    assert_eq!(diameter(westside(), json!(["12.9"])), "12");
    let without = json!({"rule": "doyle", "two_readings": "down"});
    assert_eq!(diameter(without, json!(["12.5", "13.5"])), "13");
}

#[test]
fn a_log_past_the_most_trim_stays_where_the_contract_leaves_it() {
    let terms = |over_long: &str| json!({"most_trim_in": "8", "over_long": over_long});
    assert_eq!(scaling_length(terms("next_class"), "10", "9"), Ok("12".to_owned()));
    assert_eq!(scaling_length(terms("same_class"), "10", "9"), Ok("10".to_owned()));
    let members = json!({"small_diameter_in": ["12"], "length_ft": "10", "length_in": "9"});
    let stays =
        scaled(json!({"rule": "doyle", "most_trim_in": "8", "over_long": "same_class"}), &members).unwrap();
    assert!(stays.working.iter().any(|step| step.says.ends_with("improper trim")));
}

/// The whole inches of a ticket's readings, in order.
fn along_a_ticket(terms: serde_json::Value, readings: &[serde_json::Value]) -> Vec<String> {
    let practice = crate::common::practice(terms);
    let mut turn = scaling::Alternation::default();
    readings
        .iter()
        .map(|readings| {
            let piece = crate::common::log(&json!({"small_diameter_in": readings, "length_ft": "16"}));
            match scaling::scale_in_turn(&practice, &piece, &mut turn) {
                Ok(scaled) => scaled.scaling_diameter_in.unwrap().to_string(),
                Err(problem) => problem.code().to_owned(),
            }
        })
        .collect()
}

#[test]
fn halves_go_up_and_down_in_turn_along_the_ticket() {
    let terms = |first: &str| json!({"rule": "doyle", "one_reading": "alternating", "two_readings": "alternating", "first_half": first});
    // A log that is no half takes no turn; an average takes one like a single reading.
    let readings =
        [json!(["12.5"]), json!(["13.25"]), json!(["12", "13"]), json!(["12.75"]), json!(["12.5"])];
    assert_eq!(along_a_ticket(terms("up"), &readings), ["13", "13", "12", "13", "13"]);
    assert_eq!(along_a_ticket(terms("down"), &readings), ["12", "13", "13", "13", "12"]);
}

/// 3 1/2 inches cannot be scaled by Doyle whichever way it goes, so it takes no turn.
#[test]
fn a_log_that_cannot_be_scaled_takes_no_turn() {
    let terms = || json!({"rule": "doyle", "one_reading": "alternating"});
    let readings = [json!(["3.5"]), json!(["12.5"]), json!(["12.5"])];
    assert_eq!(along_a_ticket(terms(), &readings), ["outside-the-rule", "13", "12"]);
}

#[test]
fn only_an_exact_half_needs_to_know_its_turn() {
    let terms = || json!({"rule": "doyle", "one_reading": "alternating"});
    let by = |reading: &str| scaled(terms(), &json!({"small_diameter_in": [reading], "length_ft": "16"}));
    assert_eq!(by("12.4999").unwrap().scaling_diameter_in, Some(Exact::of(12)));
    assert_eq!(by("12.5").unwrap_err().code(), "place-on-ticket-needed");
}
