//! Doyle: four inches off the top diameter for slab and edging, a quarter of what is left squared, times the
//! length.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet.
//! - Formula: ((D - 4) / 4)² × L, which is (D - 4)² × L / 16 board feet.
//! - Range: more than 4 inches. At 4 inches the formula gives nothing, and below that the square would rise
//!   again.
//! - Rounding: to the nearest board foot. The statute lays down none; printed tables go to the nearest foot and
//!   part over exact halves, so each way is an edition.
//! - Editions: `half-up` puts every exact half up, as one printed chart does; it is taken where none is named.
//!   `half-down` drops every half. `printing-1913` goes as a manual of 1913 prints its table, which puts 20 of 55
//!   halves up and 35 down by no rule: the 39 of them that were seen are listed, and a half whose cell was not
//!   seen is refused rather than guessed.
//! - Jurisdiction: Louisiana, standard rule for saw logs; formerly Arkansas, Florida, Mississippi and West
//!   Virginia.
//! - Source: Louisiana Revised Statutes 3:4641 (Acts 1992, No. 55).

use kernel::{Exact, Rounding, VolumeUnit};

use super::{
    Choice, Content, Edition, EditionName, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes,
    formula_of_edition,
};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Doyle,
    title: "Doyle",
    edition: "doyle 1",
    editions: &[
        Edition {
            name: EditionName::HalfUp,
            what: "an exact half goes up",
            source: "printed chart of a wood seller, 105 of 105 cells",
            from_memory: false,
        },
        Edition {
            name: EditionName::HalfDown,
            what: "an exact half is dropped",
            source: "35 of the 55 exact halves in E. A. Chase, Timber Cruising Manual and Record (1913)",
            from_memory: false,
        },
        Edition {
            name: EditionName::Printing1913,
            what: "an exact half goes as a manual of 1913 prints that cell",
            source: "E. A. Chase, Timber Cruising Manual and Record (1913)",
            from_memory: false,
        },
    ],
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "(D - 4)² × L ÷ 16 board feet",
    range: "more than 4 inches",
    rounding: "to the nearest board foot, a half as the edition says",
    jurisdiction: "Louisiana; formerly Arkansas, Florida, Mississippi, West Virginia",
    source: "Louisiana RS 3:4641 (1992)",
    from_memory: false,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
    kerf_in: QUARTER_INCH_KERF,
};

/// To the nearest board foot, a half up.
pub(super) const ROUNDING: RoundTo = RoundTo::fixed(Exact::ONE, Rounding::HalfUp);

/// To the nearest board foot, a half dropped.
const HALF_DOWN: RoundTo = RoundTo::fixed(Exact::ONE, Rounding::HalfDown);

/// Board feet before rounding.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] at 4 inches and below.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::doyle::board_feet;
/// assert_eq!(board_feet(Exact::of(20), Exact::of(16))?, Exact::of(256));
/// assert_eq!(board_feet(Exact::of(21), Exact::of(9))?.to_string(), "162.5625");
/// assert!(board_feet(Exact::of(4), Exact::of(16)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    let squared_off = diameter_in.minus(Exact::of(4))?;
    if squared_off <= Exact::ZERO {
        return Err(ScaleProblem::OutsideRule {
            rule: RuleName::Doyle,
            what: "a diameter",
            value: diameter_in,
            unit: "inches",
            range: FACTS.range,
        });
    }
    Ok(squared_off.squared()?.times(length_ft)?.over(Exact::of(16))?)
}

/// Exact halves that the manual of 1913 prints a foot up: diameter in inches, length in feet.
const PRINTED_UP_IN_1913: [(i128, i128); 15] = [
    (10, 14),
    (10, 18),
    (10, 22),
    (10, 30),
    (10, 34),
    (14, 14),
    (14, 26),
    (14, 30),
    (30, 18),
    (30, 22),
    (30, 30),
    (31, 24),
    (33, 24),
    (34, 26),
    (35, 24),
];

/// Exact halves that the manual of 1913 prints without the half.
const PRINTED_DOWN_IN_1913: [(i128, i128); 24] = [
    (9, 24),
    (14, 34),
    (15, 24),
    (18, 18),
    (18, 22),
    (18, 26),
    (18, 30),
    (21, 24),
    (22, 18),
    (22, 22),
    (22, 26),
    (22, 30),
    (23, 24),
    (25, 24),
    (26, 14),
    (26, 18),
    (26, 22),
    (26, 26),
    (30, 14),
    (30, 26),
    (34, 14),
    (34, 18),
    (34, 22),
    (34, 30),
];

/// Which way a volume goes in the printing of 1913.
fn as_printed_in_1913(diameter_in: Exact, length_ft: Exact, exact: Exact) -> Result<RoundTo, ScaleProblem> {
    if exact.times(Exact::of(2))?.whole().is_none_or(|halves| halves % 2 == 0) {
        return Ok(ROUNDING);
    }
    let is_in = |cells: &[(i128, i128)]| {
        cells.iter().any(|(inches, feet)| diameter_in == Exact::of(*inches) && length_ft == Exact::of(*feet))
    };
    if is_in(&PRINTED_UP_IN_1913) {
        return Ok(ROUNDING);
    }
    if is_in(&PRINTED_DOWN_IN_1913) {
        return Ok(HALF_DOWN);
    }
    let range = "the formula ends in a half there, and how the printing of 1913 puts that half was not seen; the \
        editions half-up and half-down decide every half";
    Err(ScaleProblem::NotInTable { rule: RuleName::Doyle, diameter_in, length_ft, range })
}

pub(super) fn content(
    measures: &Measures<'_>,
    choice: Choice,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length, edition) = (measures.small()?, measures.length, choice.edition(&FACTS));
    let exact = board_feet(diameter, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || format!("({diameter} - 4)² × {length} ÷ 16 = {shown} board feet"));
        formula_of_edition(&FACTS, edition, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    let rounding = match edition {
        EditionName::HalfDown => HALF_DOWN,
        EditionName::Printing1913 => as_printed_in_1913(diameter, length, exact)?,
        _ => ROUNDING,
    };
    Ok(Content { exact, rounding: Some(rounding), unit: VolumeUnit::BoardFoot })
}
