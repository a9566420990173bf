//! What the two International rules share: sections of 4 feet, each half an inch thicker than the one above
//! it.
//!
//! The log is divided from the small end. A last section shorter than 4 feet lies at the large end and counts
//! pro rata; laying it at the small end would give the same rounded figure in every printed cell that tests
//! it.

use kernel::{Exact, VolumeUnit};

use super::{EditionName, Measures, RuleFacts, RuleName};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{FigureUnit, ScaleProblem, Step, StepKind};

const SECTION_FT: Exact = Exact::of(4);
/// Below this the section formula soon gives nothing, and then less.
const LEAST_DIAMETER_IN: Exact = Exact::of(4);
pub(super) const RANGE: &str = "4 inches or more";

/// Board feet of the whole log at a kerf of an eighth of an inch, before rounding: the sum over the sections
/// of (0.22 D² - 0.71 D), D being the top diameter of each.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] below 4 inches.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::international::at_eighth_inch_kerf;
/// // Two sections: the closed form is 0.44 D² - 1.20 D - 0.30.
/// let eight_feet = at_eighth_inch_kerf(Exact::of(10), Exact::of(8))?;
/// assert_eq!(eight_feet, Exact::fraction(317, 10));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn at_eighth_inch_kerf(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    sections(RuleName::InternationalEighthInch, diameter_in, length_ft, Kerf::EIGHTH_INCH, |_| ())
}

/// What a kerf leaves of the volume at an eighth of an inch.
#[derive(Clone, Copy)]
pub(super) struct Kerf {
    /// The part that it leaves.
    factor: Exact,
    /// A two-hundredth of that part.
    two_hundredth: Exact,
}

impl Kerf {
    /// An eighth of an inch, which leaves all of it.
    pub(super) const EIGHTH_INCH: Self = Self::leaving(1, 1);

    /// A kerf that leaves this fraction.
    pub(super) const fn leaving(numerator: i128, denominator: i128) -> Self {
        Self {
            factor: Exact::fraction(numerator, denominator),
            two_hundredth: Exact::fraction(numerator, denominator * 200),
        }
    }
}

/// One section, in numbers that stay whole where the log is measured in whole or half inches.
pub(super) struct Section {
    /// Twice the top diameter, in inches.
    twice_diameter: Exact,
    length: Exact,
    /// Two hundred times the board feet at a kerf of an eighth of an inch: with k for twice the diameter,
    /// 0.22 D² - 0.71 D is k × (11 k - 71) ÷ 200.
    two_hundred_volumes: Exact,
}

impl Section {
    /// How the working shows it. The division by two hundred is left to here and to the end of the sum, since most
    /// logs are scaled without the working.
    fn step(&self, Kerf { factor, two_hundredth }: Kerf, facts: &RuleFacts) -> Step {
        let diameter = self.twice_diameter.over(Exact::of(2));
        let volume = self.two_hundred_volumes.times(two_hundredth);
        let length = self.length;
        let says = later(move || match (diameter, volume) {
            (Ok(diameter), Ok(volume)) => {
                let kerf = if factor == Exact::ONE { String::new() } else { format!(" × {factor}") };
                format!(
                    "section of {length} feet from {diameter} inches: (0.22 × {diameter}² - 0.71 × \
                    {diameter}) × {length} ÷ 4{kerf} = {volume} board feet"
                )
            }
            // The sum, which is larger, is refused for the same reason.
            (Err(problem), _) | (_, Err(problem)) => problem.to_string(),
        });
        Step::new(StepKind::Section, says)
            .maybe_figure("diameter_in", diameter.ok(), FigureUnit::Inch)
            .figure("length_ft", length, FigureUnit::Foot)
            .maybe_figure("section_volume", volume.ok(), FigureUnit::BoardFoot)
            .source(facts.source)
    }
}

/// Adds up the sections, showing each to `see`.
pub(super) fn sections(
    rule: RuleName,
    diameter_in: Exact,
    length_ft: Exact,
    kerf: Kerf,
    mut see: impl FnMut(Section),
) -> Result<Exact, ScaleProblem> {
    if diameter_in < LEAST_DIAMETER_IN {
        return Err(ScaleProblem::OutsideRule {
            rule,
            what: "a diameter",
            value: diameter_in,
            unit: "inches",
            range: RANGE,
        });
    }
    let mut twice_diameter = diameter_in.times(Exact::of(2))?;
    let (mut left, mut sum) = (length_ft, Exact::ZERO);
    while left > Exact::ZERO {
        let eleven = twice_diameter.times(Exact::of(11))?;
        let whole = eleven.minus(Exact::of(71))?.times(twice_diameter)?;
        let (length, two_hundred_volumes) = if left < SECTION_FT {
            (left, whole.times(left)?.over(SECTION_FT)?)
        } else {
            (SECTION_FT, whole)
        };
        see(Section { twice_diameter, length, two_hundred_volumes });
        sum = sum.plus(two_hundred_volumes)?;
        left = left.minus(length)?;
        // Half an inch of taper.
        twice_diameter = twice_diameter.plus(Exact::ONE)?;
    }
    Ok(sum.times(kerf.two_hundredth)?)
}

/// Scales a log and takes its sections down.
pub(super) fn recorded(
    rule: RuleName,
    edition: Option<EditionName>,
    kerf: Kerf,
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let facts = rule.facts();
    let exact = sections(rule, measures.small()?, measures.length, kerf, |section| {
        recorder.record(|| section.step(kerf, facts));
    })?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || format!("the sections together make {shown} board feet"));
        let step = match edition {
            Some(edition) => super::formula_of_edition(facts, edition, says),
            None => super::formula(facts, says),
        };
        step.figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(exact)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The formula as it is published, section by section, with nothing put off to the end.
    fn as_published(diameter: Exact, length: Exact) -> Result<Exact, kernel::NumberError> {
        let (mut diameter, mut left, mut sum) = (diameter, length, Exact::ZERO);
        while left > Exact::ZERO {
            let length = left.min(SECTION_FT);
            let square = Exact::fraction(22, 100).times(diameter.squared()?)?;
            let whole = square.minus(Exact::fraction(71, 100).times(diameter)?)?;
            sum = sum.plus(whole.times(length)?.over(SECTION_FT)?)?;
            left = left.minus(length)?;
            diameter = diameter.plus(Exact::fraction(1, 2))?;
        }
        Ok(sum)
    }

    #[test]
    fn whole_numbers_give_the_published_formula() {
        for eighths in 32..400 {
            for thirds in (1..130).step_by(7) {
                let (diameter, length) = (Exact::fraction(eighths, 8), Exact::fraction(thirds, 3));
                assert_eq!(
                    at_eighth_inch_kerf(diameter, length),
                    Ok(as_published(diameter, length).unwrap()),
                    "{diameter} inches by {length} feet"
                );
            }
        }
    }

    #[test]
    fn the_sections_shown_make_the_sum() {
        let kerf = Kerf::leaving(904_762, 1_000_000);
        let mut shown = Exact::ZERO;
        let rule = RuleName::InternationalQuarterInch;
        let sum = sections(rule, Exact::fraction(29, 2), Exact::of(19), kerf, |section| {
            let step = section.step(kerf, rule.facts());
            let volume = step.figures.iter().find(|figure| figure.name == "section_volume").unwrap();
            shown = shown.plus(volume.value).unwrap();
        });
        assert_eq!(sum, Ok(shown));
    }
}
