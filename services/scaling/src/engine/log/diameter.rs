//! From readings across the wood to the diameter a rule is entered with.

use kernel::Exact;

use crate::engine::Turns;
use crate::practice::InchRounding;
use crate::says::later;
use crate::working::Recorder;
use crate::{FigureUnit, LogPractice, Readings, RoundTo, ScaleProblem, Step, StepKind};

/// Averages the readings and brings them to the whole inch where the practice does.
pub(super) fn read(
    practice: &LogPractice,
    place: &'static str,
    readings: Readings,
    turns: &mut Turns,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let each = practice.each_reading.filter(|_| practice.whole_inches() && readings.second().is_some());
    let each = each.map(|mode| RoundTo::fixed(Exact::ONE, mode));
    let average = match (each, readings.second()) {
        (Some(each), Some(second)) => {
            let (first, second) = (each.apply(readings.first().exact())?, each.apply(second.exact())?);
            first.plus(second)?.over(Exact::of(2))?
        }
        _ => readings.average()?,
    };
    let way = practice.inch_rounding(readings.second().is_some());
    let rounding = match way {
        Some(way) => Some(match way.fixed() {
            Some(mode) => RoundTo::fixed(Exact::ONE, mode),
            None => turns.round(average, practice.first_half)?,
        }),
        None => None,
    };
    let diameter = match rounding {
        Some(round_to) => round_to.apply(average)?,
        None => average,
    };
    recorder.record(|| {
        let first = readings.first();
        let says = later(move || {
            let read = match (readings.second(), each) {
                (Some(second), Some(each)) => {
                    format!("{place}: {first} and {second} inches, each {each}, average {average}")
                }
                (Some(second), None) => format!("{place}: {first} and {second} inches average {average}"),
                (None, _) => format!("{place}: {first} inches"),
            };
            let in_turn = if way == Some(InchRounding::Alternating) { ", halves in turn" } else { "" };
            match rounding {
                Some(round_to) => format!("{read}, taken as {diameter} ({round_to}{in_turn})"),
                None => format!("{read}, taken as it is"),
            }
        });
        Step::new(StepKind::Diameter, says)
            .figure("first_reading", first.exact(), FigureUnit::Inch)
            .maybe_figure("second_reading", readings.second().map(|second| second.exact()), FigureUnit::Inch)
            .figure("average", average, FigureUnit::Inch)
            .figure("diameter", diameter, FigureUnit::Inch)
            .rounded(rounding)
            .recalled(each.is_some())
    });
    Ok(diameter)
}
