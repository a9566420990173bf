//! Two-thirds: the squared timber whose side is two thirds of the middle diameter, allowing for crook and
//! rough logs.
//!
//! - Measures: diameter at mid-length inside bark, or the mean of the two ends, in inches; length in feet.
//! - Formula: (2 D / 3)² × L / 144, which is D² × L / 324 cubic feet; in board feet (from memory, called the
//!   square of two thirds) D² × L / 27.
//! - Range: any size.
//! - Rounding: none.
//! - Jurisdiction: trade in hewn and squared timber; also called the Big Sandy Cube rule.
//! - Source: Woodsman's Handbook (Forest Service Bulletin 36), cubic contents of logs without slabs.

use kernel::{Exact, VolumeUnit};

use super::{Choice, Content, Measures, NO_KERF, RuleFacts, RuleName, Takes, edition, formula};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder, plural};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::TwoThirds,
    title: "Two-thirds",
    edition: "two-thirds 1",
    editions: edition::STANDARD,
    takes: Takes::MiddleOrEnds,
    measures: "diameter at mid-length inside bark, or the mean of both ends, in inches; length in feet",
    formula: "D² × L ÷ 324 cubic feet, or D² × L ÷ 27 board feet (the latter from memory)",
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
/// use scaling::rules::two_thirds::cubic_feet;
/// assert_eq!(cubic_feet(Exact::of(18), Exact::of(16))?, Exact::of(16));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn cubic_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    Ok(diameter_in.squared()?.times(length_ft)?.over(Exact::of(324))?)
}

/// Board feet of the squared timber, solid: twelve times the cubic feet.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::two_thirds::board_feet;
/// assert_eq!(board_feet(Exact::of(18), Exact::of(16))?, Exact::of(192));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    Ok(diameter_in.squared()?.times(length_ft)?.over(Exact::of(27))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    choice: Choice,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length) = (measures.middle_or_mean_of_ends()?, measures.length);
    let unit = choice.unit.unwrap_or(VolumeUnit::CubicFoot);
    let (exact, divisor) = match unit {
        VolumeUnit::CubicFoot => (cubic_feet(diameter, length)?, 324),
        VolumeUnit::BoardFoot => (board_feet(diameter, length)?, 27),
        VolumeUnit::CubicMetre | VolumeUnit::Cord | VolumeUnit::StackedCubicMetre => {
            let offered = "it gives cubic_foot or board_foot";
            return Err(ScaleProblem::UnitNotOffered { rule: FACTS.name, unit, offered });
        }
    };
    let shown = Plain(exact);
    recorder.record(|| {
        let means = if measures.middle.is_some() { "at mid-length" } else { "the mean of the ends" };
        let says = later(move || {
            format!(
                "{diameter} inches {means}: {diameter}² × {length} ÷ {divisor} = {shown} {}",
                plural(unit)
            )
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, unit).recalled(unit == VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: None, unit })
}
