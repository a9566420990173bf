//! Humphrey: recalled as the Vermont rule under another name.
//!
//! - Measures, formula and range: as [`vermont`].
//! - Rounding: to the nearest board foot, a half up: our own choice, as there.
//! - Jurisdiction: Vermont, formerly.
//! - Source: none seen; that the two are one is from memory.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes, edition, vermont};
use crate::ScaleProblem;
use crate::working::Recorder;

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Humphrey,
    title: "Humphrey",
    edition: "humphrey 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEndOfEachSection,
    measures: vermont::FACTS.measures,
    formula: vermont::FACTS.formula,
    range: "any size",
    rounding: vermont::FACTS.rounding,
    jurisdiction: "Vermont, formerly",
    source: "recalled as the Vermont rule under another name; not checked against print",
    from_memory: true,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
    kerf_in: QUARTER_INCH_KERF,
};

/// Board feet of one section of at most 12 feet, before rounding.
///
/// # Errors
///
/// As [`vermont::section_board_feet`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::{humphrey, vermont};
/// let (diameter, length) = (Exact::of(16), Exact::of(12));
/// assert_eq!(
///     humphrey::section_board_feet(diameter, length)?,
///     vermont::section_board_feet(diameter, length)?,
/// );
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn section_board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    vermont::section_board_feet(diameter_in, length_ft)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    vermont::content_under(&FACTS, measures, recorder)
}
