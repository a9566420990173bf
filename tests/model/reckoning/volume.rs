//! What a stick scales: Doyle by its formula, Decimal C by cells copied by hand, length cuts in proportion; ties by
//! class and board measure.

use crate::facts::record::{Grade, Rule, Stick};
use crate::reckoning::division::{fraction, nearest};

/// The steps that every count is kept in: millionths.
pub const ONE: i64 = 1_000_000;

/// A stick as it counts under a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scaled {
    /// Gross and net board feet, in millionths; a pole has none.
    pub board_feet: Option<(i64, i64)>,
    pub is_cull: bool,
    /// The scaling diameter in inches; none of a pole, whose top was not measured.
    pub diameter: Option<i64>,
    /// The scaling length in half feet.
    pub half_feet: i64,
    pub grade: Option<Grade>,
}

/// Classes of ties by least thickness and width, in inches: the railroad classes of 1911 that stand as the default.
const TIE_CLASSES: [(Grade, i64, i64); 5] =
    [("A", 7, 10), ("B", 7, 9), ("C", 7, 8), ("D", 6, 9), ("E", 6, 8)];

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
    let (diameter, measured, cut, grade) = match stick {
        Stick::Log { diameter, length, cut, grade, .. } => (diameter, length, cut, grade),
        Stick::Pole { half_feet, .. } => {
            return Some(Scaled { board_feet: None, is_cull: false, diameter: None, half_feet, grade: None });
        }
        Stick::Tie { width, thickness, refused, .. } => return Some(tie(width, thickness, refused)),
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
        board_feet: Some((gross * ONE, net * ONE)),
        // Less than a third sound: our documented default (common practice, no source).
        is_cull: net * 3 < gross,
        diameter: Some(diameter),
        half_feet: length * 2,
        grade,
    })
}

/// Board measure: thickness × width × length ÷ 12, to the thousandth.
fn tie(width: i64, thickness: i64, refused: bool) -> Scaled {
    let thousandths = board_feet(thickness * width * 8 * 1000, 12);
    let volume = thousandths * (ONE / 1000);
    let mut meets = TIE_CLASSES.into_iter().filter(|(_, thick, wide)| *thick <= thickness && *wide <= width);
    let grade = meets.next().map(|(class, ..)| class);
    Scaled {
        board_feet: Some((volume, volume)),
        is_cull: refused || grade.is_none(),
        diameter: None,
        half_feet: 16,
        grade,
    }
}

fn board_feet(numerator: i64, denominator: i64) -> i64 {
    nearest(&fraction(numerator.into(), denominator.into()))
}

fn decimal_c(diameter: i64, length: i64) -> i64 {
    let row = DECIMAL_C.iter().find(|(inches, _)| *inches == diameter).expect("a copied diameter").1;
    let column = [8, 12, 16].iter().position(|feet| *feet == length).expect("a copied length");
    row[column] * 10
}

#[test]
fn the_model_scales_as_the_rules_are_published() {
    use crate::facts::record::Species;
    let log =
        |diameter, length, cut| Stick::Log { species: Species::Pine, diameter, length, cut, grade: None };
    let feet = |(gross, net)| (gross / ONE, net / ONE);
    let net = |rule, stick| scaled(rule, stick).and_then(|scaled| scaled.board_feet).map(feet);
    // Printed Doyle, 20 in by 16 ft: 256 board feet (Chase, Timber Cruising Manual, 1913).
    assert_eq!(net(Rule::Doyle, log(20, 16, 0)), Some((256, 256)));
    // 14 in by 13 ft: 10² × 12 ÷ 16 = 75; 4 of 12 feet cut off is 25.
    assert_eq!(net(Rule::Doyle, log(14, 13, 4)), Some((75, 50)));
    // 160 × 4 ÷ 16 = 40; 110 × 6 ÷ 16 = 41.25, which is 40 in tens.
    assert_eq!(net(Rule::DecimalC, log(16, 16, 4)), Some((160, 120)));
    assert_eq!(net(Rule::DecimalC, log(14, 16, 6)), Some((110, 70)));
    let mostly_rotten = scaled(Rule::Doyle, log(12, 16, 11)).expect("it scales");
    assert_eq!((mostly_rotten.board_feet.map(feet), mostly_rotten.is_cull), (Some((64, 20)), true));
    assert_eq!(scaled(Rule::Doyle, log(TOO_THIN, 16, 0)), None);
    // 7 × 9 × 8 ÷ 12 = 42 and 7 × 8 × 8 ÷ 12 = 37.333 board feet.
    let classed = |width, thickness| {
        let tie = tie(width, thickness, false);
        (tie.grade, tie.board_feet.map(|(gross, _)| gross / 1000), tie.is_cull)
    };
    assert_eq!(classed(9, 7), (Some("B"), Some(42_000), false));
    assert_eq!(classed(8, 7), (Some("C"), Some(37_333), false));
    assert_eq!(classed(7, 6), (None, Some(28_000), true));
}
