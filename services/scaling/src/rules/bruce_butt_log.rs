//! Bruce butt log: three parts of the small end's area to one of the large, since a butt swells below.
//!
//! - Measures: diameters of both ends inside bark; length; inches and feet, or centimetres and metres.
//! - Formula: f × (0.75 ds² + 0.25 dl²) × L, where f is 0.005454 for cubic feet or 0.00007854 for cubic metres.
//! - Which reading: the copy of the table that was seen also halves the sum. Taken so, a cylinder would come out at
//!   half its volume, so the halving is read as a slip of the copy and left out. Because of that the formula counts
//!   as not checked against print.
//! - Range: any size.
//! - Rounding: none. Readings are taken as they are, unless a contract asks for whole inches.
//! - Jurisdiction: general cubic scaling of butt logs.
//! - Source: Briggs, Forest Products Measurements and Conversion Factors, table 2-1, read as above.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, System, Takes, edition, formula};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder, plural};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::BruceButtLog,
    title: "Bruce butt log",
    edition: "bruce-butt-log 1",
    editions: edition::STANDARD,
    takes: Takes::Ends,
    measures: "diameters of both ends inside bark; length",
    formula: "f × (0.75 ds² + 0.25 dl²) × L",
    range: "any size",
    rounding: "none",
    jurisdiction: "general cubic scaling of butt logs",
    source: "Briggs, Forest Products Measurements and Conversion Factors, table 2-1, read without the halving \
        that the copy prints",
    from_memory: true,
    units: &[VolumeUnit::CubicFoot, VolumeUnit::CubicMetre],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Cubic feet or cubic metres of a butt log by its two end diameters.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::{System, bruce_butt_log, huber};
/// let log = bruce_butt_log::volume(Exact::of(12), Exact::of(20), Exact::of(16), System::Inch)?;
/// assert_eq!(log.to_string(), "18.150912"); // 0.75 × 144 + 0.25 × 400 is 208
/// // A cylinder comes out whole.
/// let cylinder = bruce_butt_log::volume(Exact::of(14), Exact::of(14), Exact::of(16), System::Inch)?;
/// assert_eq!(cylinder, huber::volume(Exact::of(14), Exact::of(16), System::Inch)?);
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn volume(small: Exact, large: Exact, length: Exact, system: System) -> Result<Exact, ScaleProblem> {
    let small_part = Exact::fraction(3, 4).times(small.squared()?)?;
    let large_part = Exact::fraction(1, 4).times(large.squared()?)?;
    Ok(system.circle_factor().times(small_part.plus(large_part)?)?.times(length)?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (small, large, length) = (measures.small()?, measures.large()?, measures.length);
    let (unit, factor) = (measures.system.unit(), measures.system.circle_factor());
    let exact = volume(small, large, length, measures.system)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || {
            format!("{factor} × (0.75 × {small}² + 0.25 × {large}²) × {length} = {shown} {}", plural(unit))
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, unit)
    });
    Ok(Content { exact, rounding: None, unit })
}
