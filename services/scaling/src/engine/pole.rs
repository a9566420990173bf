//! A pole goes by its length, and where the contract names classes by its class.

use super::{Scaled, cull};
use crate::piece::total_feet;
use crate::working::Recorder;
use crate::{FigureUnit, Grade, Inches, Pole, PolePractice, ScaleProblem, Step, StepKind};

const NO_CLASS: &str = "it meets the least sizes of no class";

pub(super) fn scaled(
    practice: Option<&PolePractice>,
    pole: &Pole,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let length = total_feet(pole.length_ft, pole.length_in)?;
    let top = pole.top_diameter_in.map(Inches::exact);
    recorder.record(|| {
        Step::new(StepKind::NoVolume, format!("a pole goes by its length, {length} feet; it has no volume"))
            .figure("length", length, FigureUnit::Foot)
            .maybe_figure("top_diameter_in", top, FigureUnit::Inch)
    });
    let refused = cull::refusal(pole.refused.as_ref(), recorder);
    let (grade, cull) = match practice {
        None => (pole.grade.as_ref().map(Grade::to_string), refused),
        Some(practice) => {
            let class = class(practice, pole, length, recorder)?;
            let none = class.is_none().then(|| NO_CLASS.to_owned());
            (class, refused.or(none))
        }
    };
    Ok(Scaled { scaling_diameter_in: top, scaling_length_ft: Some(length), grade, cull, ..Scaled::default() })
}

/// The first class whose least length and top the pole meets.
fn class(
    practice: &PolePractice,
    pole: &Pole,
    length: kernel::Exact,
    recorder: &mut impl Recorder,
) -> Result<Option<String>, ScaleProblem> {
    let mut found = None;
    for class in practice.classes().iter().filter(|class| length >= class.length_ft.exact()) {
        let Some(least) = class.least_top_in else {
            found = Some(class);
            break;
        };
        let top = pole.top_diameter_in.ok_or(ScaleProblem::MissingMeasurement {
            member: "top_diameter_in",
            reason: "the contract classes poles by their top",
        })?;
        if top >= least {
            found = Some(class);
            break;
        }
    }
    recorder.record(|| {
        let says = found.map_or(NO_CLASS.to_owned(), |class| {
            let top = class
                .least_top_in
                .map_or(String::new(), |top| format!(" with a top of at least {top} inches"));
            format!("class {}: at least {} feet long{top}", class.name, class.length_ft)
        });
        Step::new(StepKind::PoleClass, says)
    });
    Ok(found.map(|class| class.name.to_string()))
}
