//! Scribner: boards drawn in circles and counted; here by the formula often used for it.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet. Taper is left out.
//! - Formula: (0.79 D² - 2 D - 4) × L / 16 board feet, from memory (Bruce and Schumacher); not checked
//!   against print. The rule itself is a table of drawn boards, so the formula comes near it and no nearer.
//! - Range: 4 inches and up. Below about 3.85 inches the formula is less than nothing.
//! - Rounding: to the nearest board foot, a half up. None is published; whole feet are what the old tables
//!   show.
//! - Jurisdiction: general; the "Old Scribner Rule" of the Woodsman's Handbook.
//! - Source: Woodsman's Handbook, Forest Service Bulletin 36, p. 20, for the rule; the formula from memory.

use kernel::{Exact, Rounding, VolumeUnit};

use super::{Content, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes, edition, formula};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Scribner,
    title: "Scribner, by formula",
    edition: "scribner 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "(0.79 D² - 2 D - 4) × L ÷ 16 board feet",
    range: "4 inches or more",
    rounding: "to the nearest board foot, a half up",
    jurisdiction: "general custom in North America",
    source: "Bruce and Schumacher, Forest Mensuration (from memory)",
    from_memory: true,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
    kerf_in: QUARTER_INCH_KERF,
};

/// To the nearest board foot, a half up.
pub(super) const ROUNDING: RoundTo = RoundTo::fixed(Exact::ONE, Rounding::HalfUp);

/// Board feet before rounding.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] below 4 inches.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::scribner::board_feet;
/// assert_eq!(board_feet(Exact::of(16), Exact::of(16))?.to_string(), "166.24");
/// assert!(board_feet(Exact::of(3), Exact::of(16)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    if diameter_in < Exact::of(4) {
        return Err(ScaleProblem::OutsideRule {
            rule: RuleName::Scribner,
            what: "a diameter",
            value: diameter_in,
            unit: "inches",
            range: FACTS.range,
        });
    }
    let sixteen_feet = Exact::fraction(79, 100)
        .times(diameter_in.squared()?)?
        .minus(Exact::of(2).times(diameter_in)?)?
        .minus(Exact::of(4))?;
    Ok(sixteen_feet.times(length_ft)?.over(Exact::of(16))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length) = (measures.small()?, measures.length);
    let exact = board_feet(diameter, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || {
            format!(
                "(0.79 × {diameter}² - 2 × {diameter} - 4) × {length} ÷ 16 = {shown} board feet, by a \
                formula from memory"
            )
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
