//! From the measured length to the scaling length: trim off, then down to a length class.

use kernel::{Exact, Rounding};

use crate::practice::OverLong;
use crate::says::later;
use crate::working::{FeetAndInches, Plain, Recorder};
use crate::{FigureUnit, LogPractice, RoundTo, ScaleProblem, Step, StepKind};

const INCHES_A_FOOT: Exact = Exact::of(12);

/// The scaling length of a log, by the practice's classes and trim.
///
/// A log past the most trim of its class goes up to the next class, unless the contract leaves it in its own. That goes
/// before the least trim: where a contract has both, a log that lacks the trim of one class and is past the most of
/// the class below is put up.
pub(super) fn scaling_length(
    practice: &LogPractice,
    measured: Exact,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let class = RoundTo::fixed(practice.length_multiple_ft.feet(), Rounding::Down);
    let trimmed = measured.minus(practice.least_trim_in.exact().over(INCHES_A_FOOT)?)?.max(Exact::ZERO);
    let reached = class.apply(trimmed)?;
    // Few contracts name a most trim; without one, only the working needs these inches.
    let over_in = || measured.minus(reached)?.times(INCHES_A_FOOT);
    let past_most = match practice.most_trim_in {
        Some(most) => Some((most, over_in()?)).filter(|(most, over)| *over > most.exact()),
        None => None,
    };
    let goes_up = past_most.is_some() && practice.over_long == OverLong::NextClass;
    let length = if goes_up { reached.plus(class.step())? } else { reached };
    recorder.record(|| {
        let (step, trim) = (class.step(), practice.least_trim_in);
        let says = later(move || {
            let measured_as = FeetAndInches(measured);
            let rule =
                format!("{measured_as} with at least {trim} inches of trim, in multiples of {step} feet");
            match past_most {
                Some((most, over)) => {
                    let then = if goes_up {
                        format!("so it goes up to {length} feet")
                    } else {
                        format!("and the contract leaves it at {length} feet: improper trim")
                    };
                    format!(
                        "{rule}, reaches {reached}; {} inches over is past the most trim of {most}, {then}",
                        Plain(over)
                    )
                }
                None => format!("{rule}, scales as {length} feet"),
            }
        });
        Step::new(StepKind::Length, says)
            .figure("measured_length", measured, FigureUnit::Foot)
            .maybe_figure("over", over_in().ok(), FigureUnit::Inch)
            .figure("scaling_length", length, FigureUnit::Foot)
            .rounded(class)
    });
    if length > Exact::ZERO {
        Ok(length)
    } else {
        Err(ScaleProblem::TooShort { length_ft: measured, shortest_ft: class.step() })
    }
}
