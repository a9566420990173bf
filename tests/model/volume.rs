//! What a log scales: Doyle by its formula, Decimal C by cells copied by hand, length cuts in proportion.

use crate::division::nearest;
use crate::record::{Rule, Stick};

/// A stick as it counts under a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scaled {
    /// Gross and net board feet; a pole has none.
    pub board_feet: Option<(i64, i64)>,
    pub is_cull: bool,
    /// The scaling diameter in inches; none of a pole, whose top was not measured.
    pub diameter: Option<i64>,
    /// The scaling length in half feet.
    pub half_feet: i64,
}

/// Cells of Scribner Decimal C in tens of board feet, for 8, 12 and 16 feet: Wengert, Log Volume (2001), as printed.
const DECIMAL_C: [(i64, [i64; 3]); 7] = [
    (8, [1, 2, 3]),
    (10, [3, 3, 6]),
    (12, [4, 6, 8]),
    (14, [6, 9, 11]),
    (16, [8, 12, 16]),
    (18, [11, 16, 21]),
    (20, [14, 21, 28]),
];

/// The diameters, in inches, that both rules can scale here.
pub const DIAMETERS: [i64; 7] = [8, 10, 12, 14, 16, 18, 20];

/// A diameter that neither rule reaches: Doyle begins above 4 inches, the table at 6.
pub const TOO_THIN: i64 = 4;

/// Measured lengths in feet: a foot over 12 or 16 scales as 12 or 16, since logs are scaled by even feet.
pub const LENGTHS: [i64; 5] = [8, 12, 13, 16, 17];

/// What a stick scales; none where the rule does not reach it.
pub fn scaled(rule: Rule, stick: Stick) -> Option<Scaled> {
    let (diameter, measured, cut) = match stick {
        Stick::Log { diameter, length, cut, .. } => (diameter, length, cut),
        Stick::Pole { half_feet, .. } => {
            return Some(Scaled { board_feet: None, is_cull: false, diameter: None, half_feet });
        }
    };
    let length = measured / 2 * 2;
    if diameter == TOO_THIN {
        return None;
    }
    let (gross, step) = match rule {
        // Louisiana RS 3:4641: (D - 4)² × L ÷ 16.
        Rule::Doyle => (board_feet((diameter - 4) * (diameter - 4) * length, 16), 1),
        Rule::DecimalC => (decimal_c(diameter, length), 10),
    };
    // The loss is counted in the rule's own steps, and no log loses more than it has.
    let lost = (board_feet(gross * cut.min(length), length * step) * step).min(gross);
    let net = gross - lost;
    Some(Scaled {
        board_feet: Some((gross, net)),
        // Less than a third sound: our documented default (common practice, no source).
        is_cull: net * 3 < gross,
        diameter: Some(diameter),
        half_feet: length * 2,
    })
}

fn board_feet(numerator: i64, denominator: i64) -> i64 {
    i64::try_from(nearest(numerator.into(), denominator.into())).expect("logs are not that large")
}

fn decimal_c(diameter: i64, length: i64) -> i64 {
    let row = DECIMAL_C.iter().find(|(inches, _)| *inches == diameter).expect("a copied diameter").1;
    let column = [8, 12, 16].iter().position(|feet| *feet == length).expect("a copied length");
    row[column] * 10
}

#[test]
fn the_model_scales_as_the_rules_are_published() {
    use crate::record::Species;
    let log = |diameter, length, cut| Stick::Log { species: Species::Pine, diameter, length, cut };
    let net = |rule, stick| scaled(rule, stick).and_then(|scaled| scaled.board_feet);
    // Printed Doyle, 20 in by 16 ft: 256 board feet (Chase, Timber Cruising Manual, 1913).
    assert_eq!(net(Rule::Doyle, log(20, 16, 0)), Some((256, 256)));
    // 14 in by 13 ft: 10² × 12 ÷ 16 = 75; 4 of 12 feet cut off is 25.
    assert_eq!(net(Rule::Doyle, log(14, 13, 4)), Some((75, 50)));
    // 160 × 4 ÷ 16 = 40; 110 × 6 ÷ 16 = 41.25, which is 40 in tens.
    assert_eq!(net(Rule::DecimalC, log(16, 16, 4)), Some((160, 120)));
    assert_eq!(net(Rule::DecimalC, log(14, 16, 6)), Some((110, 70)));
    let mostly_rotten = scaled(Rule::Doyle, log(12, 16, 11)).expect("it scales");
    assert_eq!((mostly_rotten.board_feet, mostly_rotten.is_cull), (Some((64, 20)), true));
    assert_eq!(scaled(Rule::Doyle, log(TOO_THIN, 16, 0)), None);
}
