//! Made-up logs and the practices they are scaled by: the same ones on every machine and in every run.

use scaling::{Piece, Practice, RuleName};
use serde_json::{Value, json};

use crate::chance::{Chance, halves};

/// How many logs are scaled in one pass: few enough to stay in the processor's cache, many enough to vary.
pub const COUNT: usize = 512;

/// The rules that are measured: a table, a formula with one step, a sum of sections, a rule of solid content.
pub const RULES: [RuleName; 4] =
    [RuleName::ScribnerDecimalC, RuleName::Doyle, RuleName::InternationalQuarterInch, RuleName::Smalian];

/// Whether the logs have defects.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wood {
    /// No log has a defect.
    Sound,
    /// Every log has one or two, of every method in turn.
    Defective,
}

/// Logs of 6 to 40 inches and 8 to 20 feet, measured to the half inch with trim over an even length; half of
/// them have two readings of each end.
pub fn logs(wood: Wood) -> serde_json::Result<Vec<Piece>> {
    let mut chance = Chance::from_seed(2_031);
    (0..COUNT).map(|number| serde_json::from_value(log(number, wood, &mut chance))).collect()
}

/// A practice that names the rule and nothing else.
pub fn practice(rule: RuleName) -> serde_json::Result<Practice> {
    serde_json::from_value(json!({ "log": { "rule": rule } }))
}

fn log(number: usize, wood: Wood, chance: &mut Chance) -> Value {
    let small = 12 + chance.below(69);
    let large = small + 2 + chance.below(10);
    let readings = |half_inches: u64, across: u64| match number % 2 {
        0 => json!([halves(half_inches)]),
        _ => json!([halves(half_inches), halves(half_inches + across)]),
    };
    let mut document = json!({
        "product": "log",
        "species": "red pine",
        "small_diameter_in": readings(small, chance.below(4)),
        "large_diameter_in": readings(large, chance.below(4)),
        "length_ft": (8 + 2 * chance.below(7)).to_string(),
        "length_in": halves(chance.below(13)),
    });
    if wood == Wood::Defective
        && let Some(members) = document.as_object_mut()
    {
        let first = defect(number, chance);
        let defects = if number.is_multiple_of(3) {
            json!([first, defect(number + 1, chance)])
        } else {
            json!([first])
        };
        members.insert("defects".to_owned(), defects);
    }
    document
}

/// A defect that fits the smallest of the logs.
fn defect(number: usize, chance: &mut Chance) -> Value {
    let feet = (1 + chance.below(4)).to_string();
    match number % 6 {
        0 => json!({"kind": "heart_rot", "method": "squared", "width_in": halves(2 + chance.below(5)),
            "height_in": halves(2 + chance.below(5)), "length_ft": feet}),
        1 => {
            json!({"kind": "catface", "method": "pie_cut", "angle_degrees": (15 + chance.below(60)).to_string(),
            "length_ft": feet})
        }
        2 => json!({"kind": "break", "method": "length_cut", "length_ft": (1 + chance.below(2)).to_string()}),
        3 => json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": halves(1)}),
        4 => json!({"kind": "sweep", "method": "sweep", "departure_in": halves(2 + chance.below(6))}),
        _ => json!({"kind": "crook", "method": "crook", "deflection_in": halves(1 + chance.below(4)),
            "length_ft": feet}),
    }
}
