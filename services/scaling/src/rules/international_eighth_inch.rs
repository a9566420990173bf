//! International 1/8-inch: sections of 4 feet with half an inch of taper, kerf an eighth of an inch.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet.
//! - Formula: for each 4-foot section 0.22 D² - 0.71 D board feet: the statutes' 1/4-inch formula without its
//!   factor for the wider kerf. A shorter last section, at the large end, pro rata.
//! - Range: 4 inches and up.
//! - Rounding: no published rounding was found; whole board feet, half up, is our own choice.
//! - Jurisdiction: lawful in Maine by written agreement.
//! - Source: by arithmetic from Michigan Compiled Laws 290.401; the rule is named in 01-001 CMR ch. 382 s. 5
//!   (Maine).

use kernel::{Exact, Rounding, VolumeUnit};

use super::international::Kerf;
use super::{Content, EIGHTH_INCH_KERF, Measures, RuleFacts, RuleName, Takes, edition, international};
use crate::working::Recorder;
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::InternationalEighthInch,
    title: "International 1/8-inch",
    edition: "international-eighth-inch 2",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "each 4-foot section 0.22 D² - 0.71 D board feet, D growing 1/2 inch a section; a short \
        section pro rata",
    range: international::RANGE,
    rounding: "to the nearest board foot, a half up: our own choice, none is published",
    jurisdiction: "Maine by written agreement",
    source: "by arithmetic from Michigan MCL 290.401; named in 01-001 CMR ch. 382 s. 5 (Maine)",
    from_memory: false,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
    kerf_in: EIGHTH_INCH_KERF,
};

const ROUNDING: RoundTo = RoundTo::fixed(Exact::ONE, Rounding::HalfUp);

/// Board feet before rounding.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] below 4 inches.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::international_eighth_inch::board_feet;
/// // Four sections: the closed form is 0.88 D² - 1.52 D - 1.36.
/// assert_eq!(board_feet(Exact::of(20), Exact::of(16))?, Exact::fraction(32_024, 100));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    international::at_eighth_inch_kerf(diameter_in, length_ft)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let exact = international::recorded(FACTS.name, None, Kerf::EIGHTH_INCH, measures, recorder)?;
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
