//! Scales a log: readings, scaling length, least size, rule, defects, cull.

use kernel::Exact;

use super::{Scale, Scaled, Terms, Volume, by_rule, cull, diameter, scaling_length};
use crate::piece::total_feet;
use crate::rules::{Choice, Measures, Takes};
use crate::working::Recorder;
use crate::{Grade, Log, LogPractice, Readings, ScaleProblem, Step, StepKind};

pub(super) fn scaled(
    practice: &LogPractice,
    log: &Log,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let measured_length = total_feet(log.length_ft, log.length_in)?;
    let mut measures = measures(practice, log, recorder)?;
    let scaling_diameter = measures.scaling_diameter(practice.rule.facts().takes)?;
    let (length, too_short) = match scaling_length::scaling_length(practice, measured_length, recorder) {
        Ok(length) => (length, None),
        // A log below the contract's least length is cull, not a problem, even where it makes no length
        // class.
        Err(problem) if practice.least_length_ft.is_some() => (Exact::ZERO, Some(problem)),
        Err(problem) => return Err(problem),
    };
    let longest = practice.longest_scaling_length_ft.exact();
    if length > longest {
        return Err(ScaleProblem::TooLong { length_ft: length, longest_ft: longest });
    }
    let too_small = cull::least_size(practice, scaling_diameter, length, recorder);
    measures.length = length;
    let scaled = match too_short {
        Some(problem) => Err(problem),
        None => by_rule(practice.rule, &measures, measured_length, &terms(practice), &log.defects, recorder),
    };
    let (scale, reason) = match (scaled, too_small) {
        (Ok(scale), Some(reason)) => (Some(scale), Some(reason)),
        (Ok(scale), None) => (Some(scale), cull::too_little_sound(practice, &scale, recorder)?),
        (Err(problem), Some(reason)) if below_the_rule(&problem) => {
            recorder.record(|| Step::new(StepKind::NoVolume, format!("no volume: {problem}")));
            (None, Some(reason))
        }
        (Err(problem), _) => return Err(problem),
    };
    Ok(Scaled {
        scaling_diameter_in: Some(scaling_diameter),
        scaling_length_ft: Some(length),
        volume: scale.map(|Scale { unit, gross, net, .. }| Volume { unit, gross, net }),
        grade: log.grade.as_ref().map(Grade::to_string),
        cull: reason,
        working: Vec::new(),
    })
}

/// Whether a rule stops short of so small a log, which is no matter when the log is cull for its size anyway.
const fn below_the_rule(problem: &ScaleProblem) -> bool {
    matches!(
        problem,
        ScaleProblem::OutsideRule { .. } | ScaleProblem::NotInTable { .. } | ScaleProblem::TooShort { .. }
    )
}

fn terms(practice: &LogPractice) -> Terms {
    Terms {
        choice: Choice { unit: practice.unit, printed_cells_only: practice.printed_cells_only },
        volume_rounding: practice.volume_rounding,
        deduction_rounding: practice.deduction_rounding,
        waste_inch: practice.waste_inch,
        cut_rounding: practice.inch_rounding(1),
    }
}

/// The diameters the rule takes, each averaged and rounded; a reading it does not take stays out, and so, as
/// yet, does the length.
fn measures(
    practice: &LogPractice,
    log: &Log,
    recorder: &mut impl Recorder,
) -> Result<Measures<'static>, ScaleProblem> {
    let mut read = |place: &'static str, readings: Option<Readings>| {
        readings.map(|readings| diameter::read(practice, place, readings, recorder)).transpose()
    };
    let takes = practice.rule.facts().takes;
    let middle = match takes {
        Takes::Middle | Takes::MiddleOrEnds | Takes::EndsAndMiddle => read("middle", log.middle_diameter_in)?,
        _ => None,
    };
    let ends = match takes {
        Takes::Middle => false,
        Takes::MiddleOrEnds => middle.is_none(),
        _ => true,
    };
    let small = if ends { read("small end", Some(log.small_diameter_in))? } else { None };
    let large = match takes {
        Takes::SmallEnd => None,
        _ if ends => read("large end", log.large_diameter_in)?,
        _ => None,
    };
    let taper_rounding = practice.inch_rounding(1);
    Ok(Measures { small, middle, large, taper_rounding, ..Measures::of_length(Exact::ZERO) })
}
