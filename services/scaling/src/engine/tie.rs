//! Puts a tie in its class and works out its content.

use kernel::{Exact, VolumeUnit};

use super::{Outcome, Scaled, Volume, cull, inspection, volume};
use crate::piece::total_feet;
use crate::rules::board_measure;
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{
    FigureUnit, Grade, Inches, ScaleProblem, Step, StepKind, Tie, TieClass, TiePractice, smallest_log_in,
};

pub(super) fn scaled(
    practice: &TiePractice,
    tie: &Tie,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let length = total_feet(tie.length_ft, tie.length_in)?;
    let (width, thickness) = (tie.width_in.exact(), tie.thickness_in.exact());
    recorder.record(|| {
        Step::new(
            StepKind::Measured,
            later(move || format!("{thickness} inches thick, {width} inches wide, {length} feet long")),
        )
        .figure("thickness", thickness, FigureUnit::Inch)
        .figure("width", width, FigureUnit::Inch)
        .figure("length", length, FigureUnit::Foot)
    });
    let class = practice.classes().iter().find(|class| meets(class, tie, length));
    recorder.record(|| {
        let says = match class {
            Some(class) => format!(
                "class {}: at least {} inches thick, {} inches wide and {} feet long",
                class.name, class.thickness_in, class.width_in, class.length_ft
            ),
            None => NO_CLASS.to_owned(),
        };
        Step::new(StepKind::TieClass, says)
    });
    if let Some(diameter) = tie.log_diameter_in {
        check_log(tie, diameter, recorder)?;
    }
    let exact = board_measure::board_feet(width, thickness, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || format!("{thickness} × {width} × {length} ÷ 12 = {shown} board feet"));
        Step::new(StepKind::Formula, says)
            .figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
            .source(board_measure::FACTS.source)
    });
    let gross = volume::gross(exact, VolumeUnit::BoardFoot, Some(practice.volume_rounding()), recorder)?;
    let inspection = match practice.tolerances() {
        Some(tolerances) => Some(inspection::of_tie(tolerances, tie, length, class, recorder)?),
        None => None,
    };
    let refused = cull::refusal(tie.refused.as_ref(), recorder)
        .or_else(|| inspection.as_ref().and_then(|inspection| inspection.refusal()));
    let degraded = inspection.as_ref().is_some_and(|inspection| inspection.outcome == Outcome::Degraded);
    let lower = practice.tolerances().and_then(|tolerances| tolerances.degraded_to.as_ref());
    let own = class.map(|class| &class.name);
    let grade = if degraded { own.and(lower).or(own) } else { own };
    Ok(Scaled {
        scaling_length_ft: Some(length),
        volume: Some(Volume { unit: VolumeUnit::BoardFoot, gross, net: gross }),
        grade: grade.map(Grade::to_string),
        cull: refused.or_else(|| class.is_none().then(|| NO_CLASS.to_owned())),
        inspection,
        ..Scaled::default()
    })
}

/// Notes whether the log was large enough for the tie's square without wane.
fn check_log(tie: &Tie, diameter: Inches, recorder: &mut impl Recorder) -> Result<(), ScaleProblem> {
    let least = smallest_log_in(tie.width_in, tie.thickness_in)?;
    recorder.record(|| {
        let stands = if diameter.exact() >= least {
            "the log was large enough"
        } else {
            "the tie keeps wane, or one of the two was measured wrong"
        };
        let says = format!(
            "hewn from a log of {diameter} inches; the diagonal asks for {least}, up to the hundredth: {stands}"
        );
        Step::new(StepKind::LogCheck, says)
            .figure("log_diameter_in", diameter.exact(), FigureUnit::Inch)
            .figure("least_log_in", least, FigureUnit::Inch)
            .source("plain geometry: the diagonal of the section")
    });
    Ok(())
}

const NO_CLASS: &str = "it meets the least sizes of no class";

fn meets(class: &TieClass, tie: &Tie, length: Exact) -> bool {
    tie.thickness_in >= class.thickness_in
        && tie.width_in >= class.width_in
        && length >= class.length_ft.exact()
}
