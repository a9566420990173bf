//! Quarter girth: a quarter of the girth at mid-length, squared, times the length. Its unit is called the
//! Hoppus foot.
//!
//! - Measures: girth at mid-length, in inches; length in feet. Bark is allowed for before the girth is
//!   written down.
//! - Formula: (G / 4)² × L / 144 Hoppus feet.
//! - Range: any size. Boughs of a quarter girth under 6 inches were not reckoned timber.
//! - Rounding: none.
//! - Unit: a Hoppus foot is written as a cubic foot here, but it holds more wood: of a true cylinder the rule
//!   counts a quarter of pi, 21.5 per cent less than all of it. Nothing converts between the two.
//! - Jurisdiction: British practice; Victoria until 1974.
//! - Source: Spons' Mechanics' Own Book, unsquared timber; Fowler, timber measure.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, Takes, edition, formula};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::QuarterGirth,
    title: "Quarter girth (Hoppus)",
    edition: "quarter-girth 1",
    editions: edition::STANDARD,
    takes: Takes::Girth,
    measures: "girth at mid-length in inches, bark allowed for; length in feet",
    formula: "(G ÷ 4)² × L ÷ 144 Hoppus feet",
    range: "any size",
    rounding: "none",
    jurisdiction: "British practice; Victoria until 1974",
    source: "Spons' Mechanics' Own Book, unsquared timber",
    from_memory: false,
    units: &[VolumeUnit::CubicFoot],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Hoppus feet.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::quarter_girth::hoppus_feet;
/// assert_eq!(hoppus_feet(Exact::of(48), Exact::of(20))?, Exact::of(20));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn hoppus_feet(girth_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    let quarter = girth_in.over(Exact::of(4))?;
    Ok(quarter.squared()?.times(length_ft)?.over(Exact::of(144))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (girth, length) = (measures.girth()?, measures.length);
    let exact = hoppus_feet(girth, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        formula(&FACTS, later(move || format!("({girth} ÷ 4)² × {length} ÷ 144 = {shown} Hoppus feet")))
            .figure("gross_unrounded", exact, VolumeUnit::CubicFoot)
    });
    Ok(Content { exact, rounding: None, unit: VolumeUnit::CubicFoot })
}
