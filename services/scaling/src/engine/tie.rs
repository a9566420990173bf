//! Puts a tie in its class and works out its content.

use kernel::{Exact, VolumeUnit};

use super::{Scaled, Volume, cull, volume};
use crate::piece::total_feet;
use crate::rules::board_measure;
use crate::working::{Plain, Recorder};
use crate::{FigureUnit, ScaleProblem, Step, StepKind, Tie, TieClass, TiePractice};

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
            format!("{thickness} inches thick, {width} inches wide, {length} feet long"),
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
    let exact = board_measure::board_feet(width, thickness, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        Step::new(StepKind::Formula, format!("{thickness} × {width} × {length} ÷ 12 = {shown} board feet"))
            .figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
            .source(board_measure::FACTS.source)
    });
    let gross = volume::gross(exact, VolumeUnit::BoardFoot, Some(practice.volume_rounding()), recorder)?;
    let refused = cull::refusal(tie.refused.as_ref(), recorder);
    Ok(Scaled {
        scaling_diameter_in: None,
        scaling_length_ft: Some(length),
        volume: Some(Volume { unit: VolumeUnit::BoardFoot, gross, net: gross }),
        grade: class.map(|class| class.name.to_string()),
        cull: refused.or_else(|| class.is_none().then(|| NO_CLASS.to_owned())),
        working: Vec::new(),
    })
}

const NO_CLASS: &str = "it meets the least sizes of no class";

fn meets(class: &TieClass, tie: &Tie, length: Exact) -> bool {
    tie.thickness_in >= class.thickness_in
        && tie.width_in >= class.width_in
        && length >= class.length_ft.exact()
}
