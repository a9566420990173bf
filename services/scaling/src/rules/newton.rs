//! Newton: both end areas and four times the middle area, over six, times the length.
//!
//! - Measures: diameters of both ends and at mid-length inside bark; length; inches and feet, or centimetres
//!   and metres.
//! - Formula: f × (ds² + 4 dm² + dl²) × L / 6, where f is 0.005454 for cubic feet or 0.00007854 for cubic
//!   metres.
//! - Range: any size.
//! - Rounding: none. Readings are taken as they are, unless a contract asks for whole inches.
//! - Jurisdiction: general cubic scaling.
//! - Source: Briggs, Forest Products Measurements and Conversion Factors, table 2-1.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, System, Takes, edition, formula};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder, plural};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Newton,
    title: "Newton",
    edition: "newton 1",
    editions: edition::STANDARD,
    takes: Takes::EndsAndMiddle,
    measures: "diameters of both ends and at mid-length inside bark; length",
    formula: "f × (ds² + 4 dm² + dl²) × L ÷ 6",
    range: "any size",
    rounding: "none",
    jurisdiction: "general cubic scaling",
    source: "Briggs, Forest Products Measurements and Conversion Factors, table 2-1",
    from_memory: false,
    units: &[VolumeUnit::CubicFoot, VolumeUnit::CubicMetre],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Cubic feet or cubic metres of a log by its two end diameters and its middle diameter.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::{System, newton};
/// // Of a cylinder the three rules make the same.
/// let (d, l) = (Exact::of(12), Exact::of(16));
/// assert_eq!(newton::volume(d, d, d, l, System::Inch)?, scaling::rules::huber::volume(d, l, System::Inch)?);
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn volume(
    small: Exact,
    middle: Exact,
    large: Exact,
    length: Exact,
    system: System,
) -> Result<Exact, ScaleProblem> {
    let four_middles = Exact::of(4).times(middle.squared()?)?;
    let squares = small.squared()?.plus(four_middles)?.plus(large.squared()?)?;
    Ok(system.circle_factor().times(squares)?.times(length)?.over(Exact::of(6))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (small, middle, large, length) =
        (measures.small()?, measures.middle()?, measures.large()?, measures.length);
    let (unit, factor) = (measures.system.unit(), measures.system.circle_factor());
    let exact = volume(small, middle, large, length, measures.system)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || {
            format!(
                "{factor} × ({small}² + 4 × {middle}² + {large}²) × {length} ÷ 6 = {shown} {}",
                plural(unit)
            )
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, unit)
    });
    Ok(Content { exact, rounding: None, unit })
}
