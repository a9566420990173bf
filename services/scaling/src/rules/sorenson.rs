//! Sorenson: the cylinder of the diameter at mid-length, told from the small end by an inch of taper in ten feet.
//!
//! - Measures: diameter of the small end inside bark, in inches; length in feet.
//! - Formula: f × (ds + 0.05 × L)² × L, where f is 0.005454 for cubic feet. The taper is given in inches and feet,
//!   so there is no metric form.
//! - Range: any size.
//! - Rounding: none. Readings are taken as they are, unless a contract asks for whole inches.
//! - Jurisdiction: general cubic scaling. Also written Sorensen.
//! - Source: Briggs, Forest Products Measurements and Conversion Factors, table 2-1.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, System, Takes, edition, formula};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Sorenson,
    title: "Sorenson",
    edition: "sorenson 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in inches; length in feet",
    formula: "f × (ds + 0.05 × L)² × L",
    range: "any size",
    rounding: "none",
    jurisdiction: "general cubic scaling",
    source: "Briggs, Forest Products Measurements and Conversion Factors, table 2-1",
    from_memory: false,
    units: &[VolumeUnit::CubicFoot],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Cubic feet of a log by its small end.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::sorenson;
/// // 20 feet taper an inch to mid-length: 0.005454 × 13² × 20.
/// let log = sorenson::cubic_feet(Exact::of(12), Exact::of(20))?;
/// assert_eq!(log.to_string(), "18.43452");
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn cubic_feet(small_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    let middle = small_in.plus(Exact::fraction(1, 20).times(length_ft)?)?;
    Ok(System::Inch.circle_factor().times(middle.squared()?)?.times(length_ft)?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (small, length) = (measures.small()?, measures.length);
    let exact = cubic_feet(small, length)?;
    let (shown, factor) = (Plain(exact), System::Inch.circle_factor());
    recorder.record(|| {
        let says =
            later(move || format!("{factor} × ({small} + 0.05 × {length})² × {length} = {shown} cubic feet"));
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::CubicFoot)
    });
    Ok(Content { exact, rounding: None, unit: VolumeUnit::CubicFoot })
}
