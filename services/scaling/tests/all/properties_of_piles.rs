//! What holds for every ranked pile: tried on made-up ones.

use kernel::Exact;
use proptest::prelude::*;
use scaling::{Piece, Practice, Scaled, Volume, scale, scale_without_working};
use serde_json::{Value, json};

use crate::made_up::hundredths;

const CORD: &str = r#"{"unit": "cord", "estimates": "allowed"}"#;
const METRE: &str = r#"{"unit": "stacked_cubic_metre", "estimates": "allowed"}"#;

fn practice(terms: &str) -> Practice {
    serde_json::from_str(&format!(r#"{{"ranked_pile": {terms}}}"#)).unwrap()
}

fn scaled(terms: &str, pile: &Value) -> Scaled {
    scale(&practice(terms), &serde_json::from_value(pile.clone()).unwrap()).unwrap()
}

fn volume(terms: &str, pile: &Value) -> Volume {
    scaled(terms, pile).volume.unwrap()
}

fn estimates() -> impl Strategy<Value = Vec<Value>> {
    let one = hundredths(1..10_000).prop_map(|percent| {
        json!({"kind": "loosely_ranked", "method": "estimate", "percent": percent, "reason": "seen"})
    });
    prop::collection::vec(one, 0..5)
}

/// A pile in feet and inches.
fn pile() -> impl Strategy<Value = Value> {
    let height = (hundredths(1..1200), prop::option::of(hundredths(0..1200))).prop_map(|(feet, inches)| {
        let mut height = json!({ "feet": feet });
        inches.into_iter().for_each(|inches| height["inches"] = json!(inches));
        height
    });
    let sizes = (hundredths(1..20_000), prop::collection::vec(height, 1..21), hundredths(1..2000));
    (sizes, estimates()).prop_map(|((length, heights, stick), defects)| {
        json!({"product": "ranked_pile", "species": "spruce", "length_ft": length, "heights": heights,
            "stick_length_ft": stick, "defects": defects})
    })
}

/// A pile in metres.
fn metric_pile() -> impl Strategy<Value = Value> {
    let heights = prop::collection::vec(hundredths(1..400), 1..21);
    (hundredths(1..6000), heights, hundredths(1..600), estimates()).prop_map(
        |(length, heights, stick, defects)| {
            json!({"product": "ranked_pile", "species": "birch", "length_m": length, "heights_m": heights,
            "stick_length_m": stick, "defects": defects})
        },
    )
}

fn any_pile() -> impl Strategy<Value = (&'static str, Value)> {
    prop_oneof![pile().prop_map(|pile| (CORD, pile)), metric_pile().prop_map(|pile| (METRE, pile))]
}

/// The name of the member that holds the heights.
fn heights_of(pile: &Value) -> &'static str {
    if pile.get("heights").is_some() { "heights" } else { "heights_m" }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn net_is_between_nothing_and_gross((terms, pile) in any_pile()) {
        let volume = volume(terms, &pile);
        prop_assert!(!volume.net.is_negative() && volume.net <= volume.gross);
        if pile["defects"] == json!([]) {
            prop_assert_eq!(volume.net, volume.gross);
        }
    }

    #[test]
    fn the_order_of_heights_and_of_estimates_changes_nothing(
        (terms, pile) in any_pile(),
        turns in 0_usize..20,
        swapped in 0_usize..20,
    ) {
        let mut turned = pile.clone();
        for member in [heights_of(&pile), "defects"] {
            let items = turned[member].as_array_mut().unwrap();
            let count = items.len();
            if count > 1 {
                items.rotate_left(turns % count);
                items.swap(0, swapped % count);
            }
        }
        prop_assert_eq!(volume(terms, &pile), volume(terms, &turned));
    }

    /// Reading the same height again is no news.
    #[test]
    fn a_height_read_twice_counts_as_once((terms, pile) in any_pile()) {
        let member = heights_of(&pile);
        let mut one = pile.clone();
        one[member] = json!([pile[member][0]]);
        let mut three = pile.clone();
        three[member] = json!([pile[member][0], pile[member][0], pile[member][0]]);
        prop_assert_eq!(volume(terms, &one), volume(terms, &three));
    }

    /// A pile twice as long holds twice as much, before rounding.
    #[test]
    fn the_volume_goes_with_the_length(feet in 1_i64..100, pile in pile()) {
        let unrounded = |length: i64| {
            let mut pile = pile.clone();
            pile["length_ft"] = json!(length.to_string());
            let steps = scaled(CORD, &pile).working;
            steps.iter().flat_map(|step| &step.figures).find(|figure| figure.name == "gross_unrounded").unwrap().value
        };
        prop_assert_eq!(unrounded(feet).times(Exact::of(2)).unwrap(), unrounded(2 * feet));
    }

    #[test]
    fn without_the_working_the_figures_are_the_same((terms, pile) in any_pile()) {
        let piece: Piece = serde_json::from_value(pile).unwrap();
        let with = scale(&practice(terms), &piece).map(|scaled| Scaled { working: Vec::new(), ..scaled });
        prop_assert_eq!(with, scale_without_working(&practice(terms), &piece));
    }

    #[test]
    fn a_pile_and_what_is_made_of_it_come_back_as_written((terms, pile) in any_pile()) {
        let piece: Piece = serde_json::from_value(pile.clone()).unwrap();
        let text = serde_json::to_string(&piece).unwrap();
        prop_assert_eq!(&serde_json::from_str::<Piece>(&text).unwrap(), &piece);
        let scaled = scaled(terms, &pile);
        let text = serde_json::to_string(&scaled).unwrap();
        prop_assert_eq!(serde_json::from_str::<Scaled>(&text).unwrap(), scaled);
    }
}
