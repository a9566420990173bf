//! Inscribed square: the squared timber that just fits in the small end of a round log.
//!
//! - Measures: diameter of the small end inside bark, in inches; length in feet.
//! - Formula: the side is D / √2, so its square is D² / 2 and the contents D² × L / 288 cubic feet, or D² × L
//!   / 24 board feet. The square root never has to be taken.
//! - Editions: `geometric` as above, taken where none is named; the shop figures `five-sevenths` and
//!   `seventeen-twenty-fourths` take the side as that part of D, and come out a little too large.
//! - Range: any size.
//! - Rounding: none.
//! - Jurisdiction: trade in hewn and squared timber.
//! - Source: Woodsman's Handbook (Forest Service Bulletin 36), cubic contents of logs without slabs.

use kernel::{Exact, VolumeUnit};

use super::{
    Choice, Content, Edition, EditionName, Measures, NO_KERF, RuleFacts, RuleName, Takes, formula_of_edition,
};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder, plural};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::InscribedSquare,
    title: "Inscribed square",
    edition: "inscribed-square 1",
    editions: &[
        Edition {
            name: EditionName::Geometric,
            what: "side D ÷ √2",
            source: "Woodsman's Handbook, Forest Service Bulletin 36 (1902)",
            from_memory: false,
        },
        Edition {
            name: EditionName::FiveSevenths,
            what: "side 5/7 of D, a shop figure about 2 per cent too large in volume",
            source: "C. E. Moore, Measurement of Logs, Scientific American (1850s)",
            from_memory: false,
        },
        Edition {
            name: EditionName::SeventeenTwentyFourths,
            what: "side 17/24 of D, a shop figure",
            source: "shop practice, from memory",
            from_memory: true,
        },
    ],
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in inches; length in feet",
    formula: "D² × L ÷ 288 cubic feet, or D² × L ÷ 24 board feet",
    range: "any size",
    rounding: "none",
    jurisdiction: "trade in squared timber",
    source: "Woodsman's Handbook, Forest Service Bulletin 36 (1902)",
    from_memory: false,
    units: &[VolumeUnit::CubicFoot, VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Cubic feet of the squared timber.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::inscribed_square::cubic_feet;
/// assert_eq!(cubic_feet(Exact::of(20), Exact::of(16))?, Exact::fraction(200, 9));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn cubic_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    Ok(diameter_in.squared()?.times(length_ft)?.over(Exact::of(288))?)
}

/// Board feet of the squared timber, solid: nothing is taken out for sawdust.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::inscribed_square::board_feet;
/// assert_eq!(board_feet(Exact::of(16), Exact::of(12))?, Exact::of(128));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    Ok(diameter_in.squared()?.times(length_ft)?.over(Exact::of(24))?)
}

/// The square of the side by an edition, as a part of the square of the diameter.
const fn square_of_side(edition: EditionName) -> Exact {
    match edition {
        EditionName::FiveSevenths => Exact::fraction(25, 49),
        EditionName::SeventeenTwentyFourths => Exact::fraction(289, 576),
        _ => Exact::fraction(1, 2),
    }
}

pub(super) fn content(
    measures: &Measures<'_>,
    choice: Choice,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length) = (measures.small()?, measures.length);
    let unit = choice.unit.unwrap_or(VolumeUnit::CubicFoot);
    let edition = choice.edition(&FACTS);
    let part = square_of_side(edition);
    let (by_geometry, divisor) = match unit {
        VolumeUnit::CubicFoot => (cubic_feet(diameter, length)?, 288),
        VolumeUnit::BoardFoot => (board_feet(diameter, length)?, 24),
        VolumeUnit::CubicMetre | VolumeUnit::Cord | VolumeUnit::StackedCubicMetre => {
            let offered = "it gives cubic_foot or board_foot";
            return Err(ScaleProblem::UnitNotOffered { rule: FACTS.name, unit, offered });
        }
    };
    let exact = by_geometry.times(part)?.times(Exact::of(2))?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || match edition {
            EditionName::Geometric => {
                format!("{diameter}² × {length} ÷ {divisor} = {shown} {}", plural(unit))
            }
            _ => format!("{diameter}² × {length} ÷ {divisor} × 2 × {part} = {shown} {}", plural(unit)),
        });
        formula_of_edition(&FACTS, edition, says).figure("gross_unrounded", exact, unit)
    });
    Ok(Content { exact, rounding: None, unit })
}
