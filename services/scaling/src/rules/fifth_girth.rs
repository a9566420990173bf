//! Fifth girth: a fifth of the girth at mid-length, squared, times twice the length: an old rule for true content.
//!
//! - Measures: girth at mid-length, in inches; length in feet. Bark is allowed for before the girth is written
//!   down.
//! - Formula: (G / 5)² × 2 L / 144 cubic feet. Of a true cylinder it counts 0.08 × π, which is 1.0053 of it.
//! - Range: any size.
//! - Rounding: none.
//! - Jurisdiction: British practice, formerly.
//! - Source: Spons' Mechanics' Own Book, unsquared timber.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, Takes, edition, formula};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::FifthGirth,
    title: "Fifth girth",
    edition: "fifth-girth 1",
    editions: edition::STANDARD,
    takes: Takes::Girth,
    measures: "girth at mid-length in inches, bark allowed for; length in feet",
    formula: "(G ÷ 5)² × 2 × L ÷ 144 cubic feet",
    range: "any size",
    rounding: "none",
    jurisdiction: "British practice, formerly",
    source: "Spons' Mechanics' Own Book, unsquared timber",
    from_memory: false,
    units: &[VolumeUnit::CubicFoot],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Cubic feet.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::fifth_girth::cubic_feet;
/// assert_eq!(cubic_feet(Exact::of(60), Exact::of(20))?, Exact::of(40));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn cubic_feet(girth_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    let fifth = girth_in.over(Exact::of(5))?;
    Ok(fifth.squared()?.times(length_ft)?.over(Exact::of(72))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (girth, length) = (measures.girth()?, measures.length);
    let exact = cubic_feet(girth, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        formula(&FACTS, later(move || format!("({girth} ÷ 5)² × 2 × {length} ÷ 144 = {shown} cubic feet")))
            .figure("gross_unrounded", exact, VolumeUnit::CubicFoot)
    });
    Ok(Content { exact, rounding: None, unit: VolumeUnit::CubicFoot })
}
