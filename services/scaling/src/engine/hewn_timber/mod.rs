//! Measures a hewn timber: sides, wane, the section that counts, content, defects, tolerances.

mod section;

use kernel::{Exact, NumberError, VolumeUnit};

use self::section::{Shape, shape};
use super::deduction::{DefectTerms, Methods, Stretch, Wood};
use super::{Outcome, Scaled, Volume, cull, inspection, volume};
use crate::piece::total_feet;
use crate::practice::{Estimates, HewnPractice, HewnUnit};
use crate::rules::System;
use crate::says::later;
use crate::working::{Plain, Recorder, plural};
use crate::{FigureUnit, Grade, HewnTimber, ScaleProblem, Step, StepKind};

const SOURCE: &str = "breadth × thickness × length: Spons' Mechanics' Own Book; CCC Forestry, chapter VIII";

pub(super) fn scaled(
    practice: &HewnPractice,
    timber: &HewnTimber,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let length = total_feet(timber.length_ft, timber.length_in)?;
    let volume = volume_of(practice, timber, length, recorder)?;
    let tolerances = practice.tolerances.as_ref();
    let inspection = match tolerances {
        Some(tolerances) => Some(inspection::of_timber(tolerances, timber, recorder)?),
        None => None,
    };
    let degraded = inspection.as_ref().is_some_and(|inspection| inspection.outcome == Outcome::Degraded);
    let lower = tolerances.and_then(|tolerances| tolerances.degraded_to.as_ref()).filter(|_| degraded);
    let cull = cull::refusal(timber.refused.as_ref(), recorder)
        .or_else(|| inspection.as_ref().and_then(|inspection| inspection.refusal()));
    Ok(Scaled {
        scaling_length_ft: Some(length),
        volume,
        grade: lower.or(timber.grade.as_ref()).map(Grade::to_string),
        cull,
        inspection,
        ..Scaled::default()
    })
}

/// The content, before and after wane and defects; none where the stick goes by its length.
fn volume_of(
    practice: &HewnPractice,
    timber: &HewnTimber,
    length: Exact,
    recorder: &mut impl Recorder,
) -> Result<Option<Volume>, ScaleProblem> {
    let (unit, divisor) = match (practice.unit.volume_unit(), practice.unit) {
        (Some(unit), HewnUnit::CubicFoot) => (unit, 144),
        (Some(unit), _) => (unit, 12),
        (None, _) => {
            recorder.record(|| {
                let says = format!("the stick goes by its length, {length} feet; it has no volume");
                Step::new(StepKind::NoVolume, says).figure("length", length, FigureUnit::Foot)
            });
            return Ok(None);
        }
    };
    let shape = shape(practice, timber, recorder)?;
    let content = |area: Exact| area.times(length)?.over(Exact::of(divisor));
    let exact = content(shape.full()?)?;
    recorder.record(|| {
        let says =
            later(move || format!("{shape} × {length} ÷ {divisor} = {} {}", Plain(exact), plural(unit)));
        let source = match shape {
            Shape::Carried(_) => SOURCE,
            Shape::Frustum(..) => "plain geometry of the prismoid",
        };
        Step::new(StepKind::Formula, says).figure("gross_unrounded", exact, unit).source(source)
    });
    let rounding = Some(practice.volume_rounding);
    let gross = volume::gross(exact, unit, rounding, recorder)?;
    let sound = without_wane(practice, shape, gross, content, recorder)?;
    let wood = wood(practice, sound, unit, length);
    let scale = volume::net(&wood, &timber.defects, rounding, |_| Ok(wood.gross), recorder)?;
    Ok(Some(Volume { unit, gross, net: scale.net }))
}

/// What is left of the gross without the wane that the contract takes off.
fn without_wane(
    practice: &HewnPractice,
    shape: Shape,
    gross: Exact,
    content: impl Fn(Exact) -> Result<Exact, NumberError>,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let wane = shape.wane()?;
    let Some(unit) = practice.unit.volume_unit().filter(|_| !wane.is_zero()) else { return Ok(gross) };
    let left = shape.full()?.minus(wane)?.max(Exact::ZERO);
    let sound = practice.volume_rounding.apply(content(left)?)?.min(gross);
    recorder.record(|| {
        let says = later(move || {
            format!(
                "without {wane} square inches of wane along the whole length: {} {}",
                Plain(sound),
                plural(unit)
            )
        });
        Step::new(StepKind::Wane, says)
            .figure("without_wane", sound, unit)
            .rounded(practice.volume_rounding)
            .source("plain geometry: half the product of the legs of each corner")
    });
    Ok(sound)
}

/// The squared stick from which defects are taken: solid, with nothing out for sawdust.
fn wood(practice: &HewnPractice, gross: Exact, unit: VolumeUnit, length: Exact) -> Wood<'_> {
    Wood {
        gross,
        unit,
        system: System::Inch,
        stretch: Stretch::whole(length, length),
        diameter: None,
        methods: Methods::LengthCutAndSquared,
        sawdust: false,
        terms: DefectTerms {
            waste_inch: false,
            kerf_in: Exact::ZERO,
            least_board: None,
            length_cut_multiple: None,
            grade_only: &practice.grade_only_kinds,
            estimates: practice.estimates == Estimates::Allowed,
        },
    }
}
