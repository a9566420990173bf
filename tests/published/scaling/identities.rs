//! Identities of plain geometry that tie the rules to one another.

use kernel::Exact;
use serde_json::json;

use super::data::asked;

fn gross(rule: &str, diameter: i128, length: i128) -> Exact {
    let request = json!({"rule": rule, "diameter_in": diameter.to_string(),
        "length_ft": length.to_string(), "rounding": "none"});
    asked(request).gross
}

/// D² L / 24 is both.
#[test]
fn vermont_to_12_feet_is_the_inscribed_square_in_board_feet() {
    for diameter in 4..60 {
        for length in 1..=12 {
            let square = asked(json!({"rule": "inscribed-square", "unit": "board_foot",
                "diameter_in": diameter.to_string(), "length_ft": length.to_string()}));
            assert_eq!(gross("vermont", diameter, length), square.gross);
        }
    }
}

/// A quarter of pi, by the circle factor as printed: 21.5 per cent under the cylinder.
#[test]
fn quarter_girth_is_a_quarter_of_pi_of_the_cylinder() {
    // 113 inches through are 355 round, to seven figures.
    let hoppus = asked(json!({"rule": "quarter-girth", "girth_in": "355", "length_ft": "12"})).gross;
    let share = hoppus.over(gross("huber", 113, 12)).unwrap();
    assert!(Exact::fraction(7853, 10_000) < share && share < Exact::fraction(7855, 10_000), "{share}");
}

#[test]
fn a_cubic_foot_is_twelve_board_feet_by_the_squared_timber_rules() {
    for rule in ["inscribed-square", "two-thirds"] {
        let cubic = gross(rule, 18, 16);
        let board =
            asked(json!({"rule": rule, "unit": "board_foot", "diameter_in": "18", "length_ft": "16"})).gross;
        assert_eq!(board, cubic.times(Exact::of(12)).unwrap());
    }
}

/// Of a cylinder every cubic rule makes the same.
#[test]
fn the_cubic_rules_agree_on_a_cylinder() {
    let huber = gross("huber", 14, 16);
    for rule in ["smalian", "two-end-conic", "subneiloid"] {
        let log =
            json!({"rule": rule, "small_diameter_in": "14", "large_diameter_in": "14", "length_ft": "16"});
        assert_eq!(asked(log).gross, huber, "{rule}");
    }
    let newton = json!({"rule": "newton", "small_diameter_in": "14", "middle_diameter_in": "14",
        "large_diameter_in": "14", "length_ft": "16"});
    assert_eq!(asked(newton).gross, huber);
}

/// Of a cone's frustum, Newton with the middle diameter between the ends is the two-end conic, exactly; and
/// Smalian is a third Newton's way towards the ends, Huber two thirds towards the middle.
#[test]
fn newton_is_the_two_end_conic_of_a_straight_taper() {
    let ends = |rule: &str| {
        asked(json!({"rule": rule, "small_diameter_in": "12", "large_diameter_in": "18", "length_ft": "16"}))
            .gross
    };
    let newton = json!({"rule": "newton", "small_diameter_in": "12", "middle_diameter_in": "15",
        "large_diameter_in": "18", "length_ft": "16"});
    let newton = asked(newton).gross;
    assert_eq!(newton, ends("two-end-conic"));
    let twice_huber = gross("huber", 15, 16).times(Exact::of(2)).unwrap();
    let mean = ends("smalian").plus(twice_huber).unwrap().over(Exact::of(3)).unwrap();
    assert_eq!(newton, mean);
}

/// The closed forms of the 1/8-inch rule for two to five sections, by arithmetic from the statutes' section.
#[test]
fn the_eighth_inch_rule_has_its_closed_forms() {
    let forms = [(8, 44, 120, 30), (12, 66, 147, 79), (16, 88, 152, 136), (20, 110, 135, 190)];
    for (length, square, plain, constant) in forms {
        for diameter in 6..40 {
            let hundredths = square * diameter * diameter - plain * diameter - constant;
            assert_eq!(
                gross("international-eighth-inch", diameter, length),
                Exact::fraction(hundredths, 100)
            );
        }
    }
}
