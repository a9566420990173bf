//! A pole goes by its length.

use super::{Scaled, cull};
use crate::piece::total_feet;
use crate::working::Recorder;
use crate::{FigureUnit, Grade, Inches, Pole, ScaleProblem, Step, StepKind};

pub(super) fn scaled(pole: &Pole, recorder: &mut impl Recorder) -> Result<Scaled, ScaleProblem> {
    let length = total_feet(pole.length_ft, pole.length_in)?;
    let top = pole.top_diameter_in.map(Inches::exact);
    recorder.record(|| {
        Step::new(StepKind::NoVolume, format!("a pole goes by its length, {length} feet; it has no volume"))
            .figure("length", length, FigureUnit::Foot)
            .maybe_figure("top_diameter_in", top, FigureUnit::Inch)
    });
    Ok(Scaled {
        scaling_diameter_in: top,
        scaling_length_ft: Some(length),
        volume: None,
        grade: pole.grade.as_ref().map(Grade::to_string),
        cull: cull::refusal(pole.refused.as_ref(), recorder),
        working: Vec::new(),
    })
}
