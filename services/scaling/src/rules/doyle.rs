//! Doyle: four inches off the top diameter for slab and edging, a quarter of what is left squared, times the
//! length.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet.
//! - Formula: ((D - 4) / 4)² × L, which is (D - 4)² × L / 16 board feet.
//! - Range: more than 4 inches. At 4 inches the formula gives nothing, and below that the square would rise
//!   again.
//! - Rounding: to the nearest board foot, an exact half up. The statute lays down none. Printed tables go to
//!   the nearest foot, and they part over exact halves: one chart puts all of them up, the table of a 1913
//!   manual puts 20 of 55 up and 35 down. Up is taken here; a contract can name another rounding.
//! - Jurisdiction: Louisiana, standard rule for saw logs; formerly Arkansas, Florida, Mississippi and West
//!   Virginia.
//! - Source: Louisiana Revised Statutes 3:4641 (Acts 1992, No. 55).

use kernel::{Exact, Rounding, VolumeUnit};

use super::{Content, Measures, RuleFacts, RuleName, Takes, formula};
use crate::working::{Plain, Recorder};
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Doyle,
    title: "Doyle",
    edition: "doyle 1",
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "(D - 4)² × L ÷ 16 board feet",
    range: "more than 4 inches",
    rounding: "to the nearest board foot, a half up",
    jurisdiction: "Louisiana; formerly Arkansas, Florida, Mississippi, West Virginia",
    source: "Louisiana RS 3:4641 (1992)",
    from_memory: false,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
};

/// To the nearest board foot, a half up.
pub(super) const ROUNDING: RoundTo = RoundTo::fixed(Exact::ONE, Rounding::HalfUp);

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

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length) = (measures.small()?, measures.length);
    let exact = board_feet(diameter, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        formula(&FACTS, format!("({diameter} - 4)² × {length} ÷ 16 = {shown} board feet")).figure(
            "gross_unrounded",
            exact,
            VolumeUnit::BoardFoot,
        )
    });
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
