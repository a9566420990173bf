//! From readings across the wood to the diameter a rule is entered with.

use kernel::Exact;

use crate::working::Recorder;
use crate::{FigureUnit, LogPractice, Readings, ScaleProblem, Step, StepKind};

/// Averages the readings and brings them to the whole inch where the practice does.
pub(super) fn read(
    practice: &LogPractice,
    place: &'static str,
    readings: Readings,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let average = readings.average()?;
    let rounding = practice.inch_rounding(if readings.second().is_some() { 2 } else { 1 });
    let diameter = match rounding {
        Some(round_to) => round_to.apply(average)?,
        None => average,
    };
    recorder.record(|| {
        let first = readings.first();
        let read = match readings.second() {
            Some(second) => format!("{place}: {first} and {second} inches average {average}"),
            None => format!("{place}: {first} inches"),
        };
        let taken = match rounding {
            Some(round_to) => format!("{read}, taken as {diameter} ({round_to})"),
            None => format!("{read}, taken as it is"),
        };
        Step::new(StepKind::Diameter, taken)
            .figure("first_reading", first.exact(), FigureUnit::Inch)
            .maybe_figure("second_reading", readings.second().map(|second| second.exact()), FigureUnit::Inch)
            .figure("average", average, FigureUnit::Inch)
            .figure("diameter", diameter, FigureUnit::Inch)
            .rounded(rounding)
    });
    Ok(diameter)
}
