//! Made-up direct requests: the sizes a rule takes, and now and then one that it does not.

use proptest::prelude::*;
use scaling::{RuleName, rules::Takes};
use serde_json::{Value, json};

use crate::members::{Member, decimal, decimal_or_nothing, flag, list, object, word};
use crate::pieces::defects;

/// A request for any rule.
pub fn request() -> BoxedStrategy<Value> {
    prop::sample::select(RuleName::ALL.to_vec()).prop_flat_map(of_rule).boxed()
}

fn of_rule(rule: RuleName) -> BoxedStrategy<Value> {
    let inches = || decimal(1, 60);
    let needed: Vec<Member> = match rule.facts().takes {
        Takes::SmallEnd | Takes::Middle | Takes::MiddleOrEnds => vec![("diameter_in", inches())],
        Takes::SmallEndOfEachSection => {
            vec![("small_diameter_in", inches()), ("large_diameter_in", inches())]
        }
        Takes::Ends => vec![("small_diameter_in", inches()), ("large_diameter_in", inches())],
        Takes::EndsAndMiddle => vec![
            ("small_diameter_in", inches()),
            ("middle_diameter_in", inches()),
            ("large_diameter_in", inches()),
        ],
        Takes::Girth => vec![("girth_in", decimal(1, 754))],
        Takes::WidthAndThickness => vec![("width_in", inches()), ("thickness_in", decimal(0, 30))],
    };
    let always = [("rule", Just(json!(rule)).boxed()), ("length_ft", decimal(0, 60))];
    let good = object(
        always.into_iter().chain(needed).collect(),
        vec![
            ("length_in", decimal_or_nothing(11)),
            ("rounding", word(&["rule", "none"])),
            ("defects", defects()),
            ("label", word(&["first"])),
        ],
    );
    let odd = object(
        Vec::new(),
        vec![
            ("diameter_in", decimal(0, 240)),
            ("section_diameters_in", list(decimal(1, 40), 0..4)),
            ("unit", word(&["board_foot", "cubic_foot", "cubic_metre"])),
            ("printed_cells_only", flag()),
            ("edition", word(&["standard", "print", "half-down", "hundred-six", "five-sevenths"])),
        ],
    );
    (good, prop::option::weighted(0.2, odd))
        .prop_map(|(mut good, odd)| {
            if let (Some(good), Some(Value::Object(odd))) = (good.as_object_mut(), odd) {
                good.extend(odd);
            }
            good
        })
        .boxed()
}
