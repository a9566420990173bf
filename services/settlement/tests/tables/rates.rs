//! Which rates are refused on their own, which clash, and which holes between them are reported.

use settlement::{Rate, RateClash, RateDraft, Rates};

use crate::common::read;

/// A rate from what differs from a plain one for felling logs by the piece.
fn rate(fields: &str) -> serde_json::Value {
    let mut rate = serde_json::json!({
        "name": "fell", "task": "felling", "product": "log", "unit": "piece", "price": "0.10"
    });
    let fields: serde_json::Map<String, serde_json::Value> = serde_json::from_str(fields).unwrap();
    for (name, value) in fields {
        match value {
            serde_json::Value::Null => drop(rate.as_object_mut().unwrap().remove(&name)),
            value => drop(rate.as_object_mut().unwrap().insert(name, value)),
        }
    }
    rate
}

/// The code under which a rate is refused, or `accepted`.
fn verdict(fields: &str) -> &'static str {
    let draft: RateDraft = serde_json::from_value(rate(fields)).unwrap();
    Rate::try_from(draft).map_or_else(|error| error.code(), |_| "accepted")
}

#[test]
fn each_unit_asks_for_a_basis_or_refuses_one() {
    let table = [
        ("thousand_board_feet", "rate_basis_missing", "accepted"),
        ("cubic_foot", "rate_basis_missing", "accepted"),
        ("hundred_cubic_feet", "rate_basis_missing", "accepted"),
        ("cubic_metre", "rate_basis_missing", "accepted"),
        ("cord", "rate_basis_missing", "rate_stacked_unit"),
        ("stacked_cubic_metre", "rate_basis_missing", "rate_stacked_unit"),
        ("piece", "accepted", "rate_basis_unwanted"),
        ("linear_metre", "accepted", "rate_basis_unwanted"),
        ("linear_foot", "accepted", "rate_basis_unwanted"),
    ];
    for (unit, without, with) in table {
        assert_eq!(verdict(&format!(r#"{{"unit": "{unit}"}}"#)), without, "{unit}");
        for basis in ["gross", "net"] {
            assert_eq!(
                verdict(&format!(r#"{{"unit": "{unit}", "basis": "{basis}"}}"#)),
                with,
                "{unit} {basis}"
            );
        }
    }
    assert_eq!(verdict(r#"{"unit": "turn", "product": null}"#), "accepted");
    let by_the_mile = r#""task": "hauling", "unit": "thousand_board_feet_mile""#;
    assert_eq!(verdict(&format!("{{{by_the_mile}}}")), "rate_basis_missing");
    assert_eq!(verdict(&format!(r#"{{{by_the_mile}, "basis": "net"}}"#)), "accepted");
    for unit in ["hour", "day"] {
        assert_eq!(verdict(&format!(r#"{{"unit": "{unit}", "product": null}}"#)), "accepted");
        assert_eq!(
            verdict(&format!(r#"{{"unit": "{unit}", "product": null, "basis": "net"}}"#)),
            "rate_basis_unwanted"
        );
    }
    assert_eq!(verdict(r#"{"unit": "turn", "product": null, "basis": "net"}"#), "rate_basis_unwanted");
}

#[test]
fn a_rate_is_refused_for_each_thing_that_makes_no_sense() {
    let many: Vec<String> = (0..101).map(|number| format!("\"species {number}\"")).collect();
    let table = [
        (r#"{"price": "0"}"#, "accepted"),
        (r#"{"price": "-0.01"}"#, "rate_negative_price"),
        (r#"{"product": null}"#, "rate_product_missing"),
        (r#"{"unit": "turn"}"#, "rate_turn_by_piece"),
        (r#"{"unit": "turn", "product": null, "covers": {"species": ["pine"]}}"#, "rate_turn_by_piece"),
        (r#"{"unit": "turn", "product": null, "covers": {"grades": ["1"]}}"#, "rate_turn_by_piece"),
        (
            r#"{"unit": "turn", "product": null, "covers": {"diameter_in": {"from": "8"}}}"#,
            "rate_turn_by_piece",
        ),
        (
            r#"{"unit": "turn", "product": null, "covers": {"length_ft": {"from": "8"}}}"#,
            "rate_turn_by_piece",
        ),
        (r#"{"unit": "turn", "product": null, "covers": {"skid_distance_ft": {"from": "8"}}}"#, "accepted"),
        (r#"{"unit": "turn", "product": null, "covers": {"haul_distance_mi": {"from": "8"}}}"#, "accepted"),
        (r#"{"unit": "turn", "product": null, "pays_cull": true}"#, "accepted"),
        (r#"{"unit": "turn", "product": null, "pays_cull": false}"#, "rate_turn_without_cull"),
        (r#"{"unit": "turn", "product": null, "covers": {"soundness": "cull"}}"#, "rate_turn_by_piece"),
        (r#"{"unit": "turn", "product": null, "kind": "premium"}"#, "accepted"),
        (r#"{"kind": "dockage", "price": "-1"}"#, "rate_negative_price"),
        (r#"{"covers": {"soundness": "cull"}, "pays_cull": true}"#, "accepted"),
        (r#"{"covers": {"soundness": "cull"}, "pays_cull": false}"#, "rate_cull_unpaid"),
        (r#"{"covers": {"soundness": "sound"}, "pays_cull": false}"#, "accepted"),
        (r#"{"covers": {"diameter_in": {"from": "8"}, "length_m": {"from": "3"}}}"#, "rate_mixed_systems"),
        (r#"{"covers": {"length_ft": {"from": "8"}, "diameter_cm": {"from": "3"}}}"#, "rate_mixed_systems"),
        (r#"{"covers": {"length_m": {"from": "3"}, "diameter_cm": {"from": "3"}}}"#, "accepted"),
        (r#"{"unit": "linear_foot", "covers": {"length_m": {"from": "3"}}}"#, "rate_mixed_systems"),
        (r#"{"unit": "linear_metre", "covers": {"length_ft": {"from": "3"}}}"#, "rate_mixed_systems"),
        (r#"{"unit": "linear_metre", "covers": {"length_m": {"from": "3"}}}"#, "accepted"),
        (r#"{"unit": "thousand_board_feet_mile", "basis": "net"}"#, "rate_nothing_moved"),
        (r#"{"unit": "cubic_foot", "basis": "net", "least_quantity_a_turn": "9"}"#, "rate_nothing_moved"),
        (
            r#"{"task": "skidding", "unit": "cubic_foot", "basis": "net", "least_quantity_a_turn": "9"}"#,
            "accepted",
        ),
        (
            r#"{"task": "skidding", "unit": "cubic_foot", "basis": "net", "least_quantity_a_turn": "0"}"#,
            "rate_least_quantity_unwanted",
        ),
        (r#"{"task": "skidding", "least_quantity_a_turn": "9"}"#, "rate_least_quantity_unwanted"),
        (
            r#"{"task": "skidding", "unit": "cubic_foot", "basis": "net", "least_quantity_a_turn": "9",
                "kind": "premium"}"#,
            "rate_least_quantity_unwanted",
        ),
        (r#"{"unit": "hour"}"#, "rate_time_by_piece"),
        (r#"{"unit": "day", "product": null, "pays_cull": true}"#, "rate_time_by_piece"),
        (r#"{"unit": "day", "product": null, "least_quantity_a_turn": "1"}"#, "rate_time_by_piece"),
        (r#"{"unit": "hour", "product": null, "covers": {"species": ["pine"]}}"#, "rate_time_by_piece"),
        (r#"{"unit": "hour", "product": null, "kind": "premium"}"#, "rate_time_not_a_price"),
        (&format!(r#"{{"covers": {{"species": [{}]}}}}"#, many.join(",")), "rate_too_many_labels"),
        (&format!(r#"{{"covers": {{"grades": [{}]}}}}"#, many.join(",")), "rate_too_many_labels"),
    ];
    for (fields, expected) in table {
        assert_eq!(verdict(fields), expected, "{fields}");
    }
}

#[test]
fn ranked_piles_go_by_the_space_they_fill_or_by_the_piece() {
    let pile =
        |unit: &str, rest: &str| verdict(&format!(r#"{{"product": "ranked_pile", "unit": "{unit}"{rest}}}"#));
    let net = r#", "basis": "net""#;
    for (unit, basis, expected) in [
        ("cord", net, "accepted"),
        ("stacked_cubic_metre", net, "accepted"),
        ("piece", "", "accepted"),
        ("linear_foot", "", "rate_stacked_unit"),
        ("thousand_board_feet", net, "rate_stacked_unit"),
        ("cubic_foot", net, "rate_stacked_unit"),
        ("hundred_cubic_feet", net, "rate_stacked_unit"),
        ("cubic_metre", net, "rate_stacked_unit"),
    ] {
        assert_eq!(pile(unit, basis), expected, "{unit}");
    }
    for product in ["log", "hewn_timber", "tie", "pole"] {
        let fields = format!(r#"{{"product": "{product}", "unit": "cord", "basis": "net"}}"#);
        assert_eq!(verdict(&fields), "rate_stacked_unit", "{product}");
    }
    let band = |member: &str| {
        pile("cord", &format!(r#", "basis": "net", "covers": {{"{member}": {{"from": "6"}}}}"#))
    };
    assert_eq!(band("length_ft"), "accepted");
    assert_eq!(band("diameter_in"), "rate_pile_diameter");
}

#[test]
fn cull_is_paid_on_gross_scale_and_by_the_turn_unless_it_is_said() {
    let table = [
        (r#"{"unit": "cubic_metre", "basis": "gross"}"#, true),
        (r#"{"unit": "cubic_metre", "basis": "net"}"#, false),
        (r#"{"unit": "piece"}"#, false),
        (r#"{"unit": "linear_foot"}"#, false),
        (r#"{"unit": "turn", "product": null}"#, true),
        (r#"{"unit": "cubic_metre", "basis": "gross", "pays_cull": false}"#, false),
        (r#"{"unit": "cubic_metre", "basis": "net", "pays_cull": true}"#, true),
        (r#"{"unit": "piece", "pays_cull": true}"#, true),
        (r#"{"unit": "piece", "covers": {"soundness": "cull"}}"#, true),
        (r#"{"unit": "piece", "covers": {"soundness": "sound"}}"#, false),
    ];
    for (fields, expected) in table {
        let rate: Rate = serde_json::from_value(rate(fields)).unwrap();
        assert_eq!(rate.pays_cull(), expected, "{fields}");
    }
}

#[test]
fn json_is_read_strictly() {
    let table = [
        (r#"{"prize": "1"}"#, "unknown field `prize`"),
        (r#"{"price": 1.5}"#, "a number written as text"),
        (r#"{"price": null}"#, "missing field `price`"),
        (r#"{"task": "sawing"}"#, "unknown variant `sawing`"),
        (r#"{"unit": "rick"}"#, "unknown variant `rick`"),
        (r#"{"name": " "}"#, "is empty"),
        (r#"{"name": "two\nlines"}"#, "does not print"),
        (r#"{"name": "12345678901234567890123456789012345678901234567890123456789012"}"#, "62 characters"),
        (r#"{"covers": {"colour": "red"}}"#, "unknown field `colour`"),
        (r#"{"covers": {"species": [""]}}"#, "is empty"),
        (r#"{"covers": {"diameter_in": {}}}"#, "needs \"from\", \"below\" or both"),
        (r#"{"covers": {"diameter_in": {"from": "8", "to": "9"}}}"#, "unknown field `to`"),
        (r#"{"covers": {"diameter_in": {"from": "8", "below": "8"}}}"#, "is empty"),
        (r#"{"covers": {"diameter_in": {"from": "9", "below": "8"}}}"#, "is empty"),
        (r#"{"covers": {"diameter_in": {"from": "-1"}}}"#, "begin at 0"),
        (r#"{"covers": {"diameter_in": {"below": "0"}}}"#, "must be more than 0"),
    ];
    for (fields, expected) in table {
        let error = serde_json::from_value::<Rate>(rate(fields)).unwrap_err().to_string();
        assert!(error.contains(expected), "{fields}: {error}");
    }
}

/// The codes of the clashes between two rates with different names.
fn clashes(one: &str, two: &str) -> Vec<&'static str> {
    let mut rates: Vec<serde_json::Value> = vec![rate(one), rate(two)];
    for (number, rate) in rates.iter_mut().enumerate() {
        rate.as_object_mut().unwrap().insert("name".into(), format!("rate {number}").into());
    }
    let rates: Vec<Rate> = rates.into_iter().map(|rate| serde_json::from_value(rate).unwrap()).collect();
    Rates::new(rates).map_or_else(|clashes| clashes.iter().map(RateClash::code).collect(), |_| Vec::new())
}

#[test]
fn two_rates_clash_when_one_piece_could_have_both_prices() {
    let by_turn = r#"{"unit": "turn", "product": null}"#;
    let near = r#"{"unit": "turn", "product": null, "covers": {"haul_distance_mi": {"below": "5"}}}"#;
    let table = [
        ("{}", "{}", true),
        ("{}", r#"{"task": "bucking"}"#, false),
        ("{}", r#"{"product": "tie"}"#, false),
        ("{}", r#"{"price": "9", "unit": "cubic_metre", "basis": "net"}"#, true),
        ("{}", r#"{"pays_cull": true}"#, true),
        (r#"{"covers": {"species": ["pine"]}}"#, r#"{"covers": {"species": ["fir"]}}"#, false),
        (r#"{"covers": {"species": ["pine"]}}"#, r#"{"covers": {"species": [" PINE"]}}"#, true),
        (r#"{"covers": {"species": ["pine"]}}"#, "{}", true),
        (r#"{"covers": {"species": ["pine"]}}"#, r#"{"covers": {"grades": ["1"]}}"#, true),
        (r#"{"covers": {"grades": ["1"]}}"#, r#"{"covers": {"grades": ["2"]}}"#, false),
        (
            r#"{"covers": {"diameter_in": {"below": "12"}}}"#,
            r#"{"covers": {"diameter_in": {"from": "12"}}}"#,
            false,
        ),
        (
            r#"{"covers": {"diameter_in": {"below": "12"}}}"#,
            r#"{"covers": {"diameter_in": {"from": "11"}}}"#,
            true,
        ),
        (
            r#"{"covers": {"diameter_in": {"below": "12"}}}"#,
            r#"{"covers": {"length_ft": {"from": "12"}}}"#,
            true,
        ),
        (r#"{"covers": {"soundness": "sound"}}"#, r#"{"covers": {"soundness": "cull"}}"#, false),
        (r#"{"covers": {"soundness": "sound"}}"#, "{}", true),
        (
            r#"{"covers": {"diameter_cm": {"below": "30"}}}"#,
            r#"{"covers": {"length_m": {"from": "4"}}}"#,
            true,
        ),
        (
            r#"{"covers": {"diameter_cm": {"below": "30"}}}"#,
            r#"{"covers": {"diameter_cm": {"from": "30"}}}"#,
            false,
        ),
        ("{}", r#"{"kind": "premium"}"#, false),
        (r#"{"kind": "dockage"}"#, r#"{"kind": "dockage"}"#, false),
        (r#"{"unit": "hour", "product": null}"#, r#"{"unit": "day", "product": null}"#, true),
        (r#"{"unit": "hour", "product": null}"#, "{}", false),
        (r#"{"unit": "hour", "product": null}"#, by_turn, false),
        (by_turn, by_turn, true),
        (by_turn, "{}", true),
        (near, "{}", true),
        (near, r#"{"covers": {"haul_distance_mi": {"from": "5"}}}"#, false),
        (near, r#"{"covers": {"skid_distance_ft": {"from": "5"}}}"#, true),
        (near, r#"{"unit": "turn", "product": null, "covers": {"skid_distance_ft": {"from": "5"}}}"#, true),
    ];
    for (one, two, clash) in table {
        let expected = if clash { vec!["rates_overlap"] } else { vec![] };
        assert_eq!(clashes(one, two), expected, "{one} and {two}");
        assert_eq!(clashes(two, one), expected, "{two} and {one}");
    }
}

#[test]
fn names_are_unique_whatever_their_case() {
    let tie = rate(r#"{"name": "FELL ", "product": "tie"}"#);
    let rates = [rate("{}"), tie].map(|rate| serde_json::from_value(rate).unwrap());
    let clashes = Rates::new(rates.into()).unwrap_err();
    assert_eq!(clashes, [RateClash::SameName { first: 0, second: 1, name: read("fell") }]);
    assert_eq!(clashes[0].to_string(), "rates 1 and 2 are both named \"fell\": give one another name");
}

#[test]
fn a_list_has_a_limit_and_so_has_the_report() {
    let one: Rate = serde_json::from_value(rate("{}")).unwrap();
    let codes = |count| -> Vec<_> {
        Rates::new(vec![one.clone(); count]).unwrap_err().iter().map(RateClash::code).collect()
    };
    assert_eq!(codes(1001), ["rates_too_many"]);
    assert_eq!(codes(1000).len(), 100);
    assert_eq!(codes(2), ["rates_same_name", "rates_overlap"]);
}

/// Bands that make rates, and the holes between them in words.
fn holes(bands: &[&str]) -> Vec<String> {
    let list: Vec<Rate> = bands
        .iter()
        .enumerate()
        .map(|(number, covers)| {
            serde_json::from_value(rate(&format!(r#"{{"name": "r{number}", "covers": {covers}}}"#))).unwrap()
        })
        .collect();
    Rates::new(list).unwrap().gaps().iter().map(ToString::to_string).collect()
}

#[test]
fn holes_between_bands_of_alike_rates_are_reported() {
    assert!(holes(&["{}"]).is_empty());
    assert!(holes(&[r#"{"diameter_in": {"from": "8", "below": "12"}}"#]).is_empty());
    assert!(
        holes(&[r#"{"diameter_in": {"from": "12"}}"#, r#"{"diameter_in": {"from": "8", "below": "12"}}"#])
            .is_empty()
    );
    assert_eq!(
        holes(&[
            r#"{"diameter_in": {"from": "20"}}"#,
            r#"{"diameter_in": {"below": "12"}}"#,
            r#"{"diameter_in": {"from": "12.5", "below": "16"}}"#,
        ]),
        [
            "no rate between \"r1\" and \"r2\": diameter from 12 below 12.5 in",
            "no rate between \"r2\" and \"r0\": diameter from 16 below 20 in",
        ]
    );
    assert_eq!(
        holes(&[r#"{"length_m": {"from": "5"}}"#, r#"{"length_m": {"below": "4.5"}}"#]),
        ["no rate between \"r1\" and \"r0\": length from 4.5 below 5 m"]
    );
    // Not alike: another product, another task.
    let small = r#"{"covers": {"diameter_in": {"below": "12"}}}"#;
    let others = [
        r#""product": "tie""#,
        r#""task": "bucking""#,
        r#""price": "2""#,
        // What goes on top of a price leaves no holes in prices.
        r#""kind": "premium""#,
    ];
    for other in others {
        let large = format!(r#"{{"name": "large", {other}, "covers": {{"diameter_in": {{"from": "16"}}}}}}"#);
        let pair = [rate(small), rate(&large)].map(|rate| serde_json::from_value(rate).unwrap());
        assert_eq!(
            Rates::new(pair.into()).unwrap().gaps().len(),
            usize::from(other.contains("price")),
            "{other}"
        );
    }
    // Not alike: other species. Alike: the same species in another order and case.
    assert!(
        holes(&[
            r#"{"species": ["fir"], "length_ft": {"below": "12"}}"#,
            r#"{"species": ["pine"], "length_ft": {"from": "16"}}"#,
        ])
        .is_empty()
    );
    assert_eq!(
        holes(&[
            r#"{"species": ["fir", "pine"], "length_ft": {"below": "12"}}"#,
            r#"{"species": ["PINE", "fir"], "length_ft": {"from": "16"}}"#,
        ]),
        ["no rate between \"r0\" and \"r1\": length from 12 below 16 ft"]
    );
}
