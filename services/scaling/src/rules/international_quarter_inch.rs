//! International 1/4-inch: sections of 4 feet with half an inch of taper, kerf a quarter of an inch.
//!
//! - Measures: diameter of the small end inside bark, of an oval log the average, in whole inches; length in
//!   feet.
//! - Formula: for each 4-foot section (0.22 D² - 0.71 D) × 0.904762 board feet, D growing 1/2 inch a section;
//!   a shorter last section, at the large end, pro rata.
//! - Range: 4 inches and up. Seen in print: 6 to 26 inches, 6 to 16 feet.
//! - Rounding: to the nearest 5 board feet. No exact half can be told from print, so half up is named here.
//! - Editions: `statute` takes the factor 0.904762 (19/21 to six places), as Michigan and Massachusetts write
//!   it; it is the one taken where none is named. `print` takes 0.905, which comes one cell nearer to the printed
//!   charts: 21 inches by 8 feet is 152.49 by statute and rounds to 150, and is 152.53 and 155 as printed.
//! - Jurisdiction: Michigan and Massachusetts unless agreed otherwise; one of two lawful rules in Vermont;
//!   Maine's standard for logs where no agreement is written.
//! - Source: Michigan Compiled Laws 290.401 (1941); Massachusetts General Laws ch. 96 s. 11A.

use kernel::{Exact, Rounding, VolumeUnit};

use super::international::Kerf;
use super::{
    Choice, Content, Edition, EditionName, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes,
    international,
};
use crate::working::Recorder;
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::InternationalQuarterInch,
    title: "International 1/4-inch",
    edition: "international-quarter-inch 1",
    editions: &[
        Edition {
            name: EditionName::Statute,
            what: "factor 0.904762",
            source: "Michigan MCL 290.401 (1941); Massachusetts G.L. ch. 96 s. 11A",
            from_memory: false,
        },
        Edition {
            name: EditionName::Print,
            what: "factor 0.905",
            source: "recalled, and checked against G. Wengert, Log Volume (2001): 126 of 128 cells",
            from_memory: false,
        },
    ],
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "each 4-foot section (0.22 D² - 0.71 D) × 0.904762 board feet, D growing 1/2 inch a section; a \
        short section pro rata",
    range: international::RANGE,
    rounding: "to the nearest 5 board feet",
    jurisdiction: "Michigan and Massachusetts by default; Vermont; Maine",
    source: "Michigan MCL 290.401 (1941); Massachusetts G.L. ch. 96 s. 11A",
    from_memory: false,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
    kerf_in: QUARTER_INCH_KERF,
};

/// What the wider kerf leaves of the 1/8-inch volume, as the statutes write it.
const STATUTE: Kerf = Kerf::leaving(904_762, 1_000_000);
/// The same as the printed tables agree with best.
const PRINT: Kerf = Kerf::leaving(905, 1000);
const ROUNDING: RoundTo = RoundTo::fixed(Exact::of(5), Rounding::HalfUp);

/// What the wider kerf leaves of the 1/8-inch volume, by an edition.
fn kerf(edition: EditionName) -> Kerf {
    if edition == EditionName::Print { PRINT } else { STATUTE }
}

/// Board feet before rounding, by the statutes' factor.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] below 4 inches.
///
/// ```
/// use kernel::{Exact, Rounding};
/// use scaling::rules::international_quarter_inch::board_feet;
/// let log = board_feet(Exact::of(12), Exact::of(16))?;
/// assert_eq!(log.rounded_to(Exact::of(5), Rounding::HalfUp)?, Exact::of(95));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    international::sections(FACTS.name, diameter_in, length_ft, STATUTE, |_| ())
}

pub(super) fn content(
    measures: &Measures<'_>,
    choice: Choice,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let edition = choice.edition(&FACTS);
    let exact = international::recorded(FACTS.name, Some(edition), kerf(edition), measures, recorder)?;
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
