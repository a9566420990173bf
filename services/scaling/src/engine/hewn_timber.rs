//! Measures a hewn timber: sides, wane, the section that counts, content, defects.

use kernel::Exact;

use super::deduction::{Methods, Wood};
use super::{Scaled, Volume, cull, volume};
use crate::piece::total_feet;
use crate::practice::{Content, HewnPractice, HewnUnit, WaneTreatment};
use crate::working::{Plain, Recorder, plural};
use crate::{FigureUnit, Grade, HewnTimber, ScaleProblem, Section, Step, StepKind};

const SOURCE: &str = "breadth × thickness × length: Spons' Mechanics' Own Book; CCC Forestry, chapter VIII";

/// A section as the practice reads it: its sides, and what wane takes off.
#[derive(Clone, Copy)]
struct Square {
    width: Exact,
    thickness: Exact,
    wane: Exact,
}

impl Square {
    /// The whole square, in square inches.
    fn full(self) -> Result<Exact, ScaleProblem> {
        Ok(self.width.times(self.thickness)?)
    }

    /// What is left of it without the wane that the contract takes off.
    fn sound(self) -> Result<Exact, ScaleProblem> {
        Ok(self.full()?.minus(self.wane)?.max(Exact::ZERO))
    }
}

pub(super) fn scaled(
    practice: &HewnPractice,
    timber: &HewnTimber,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let length = total_feet(timber.length_ft, timber.length_in)?;
    let square = section(practice, timber, recorder)?;
    let (unit, divisor) = match practice.unit {
        HewnUnit::BoardFoot => (practice.unit.volume_unit(), 12),
        HewnUnit::CubicFoot => (practice.unit.volume_unit(), 144),
    };
    let content = |area: Exact| area.times(length)?.over(Exact::of(divisor));
    let exact = content(square.full()?)?;
    recorder.record(|| {
        let Square { width, thickness, .. } = square;
        let says =
            format!("{width} × {thickness} × {length} ÷ {divisor} = {} {}", Plain(exact), plural(unit));
        Step::new(StepKind::Formula, says).figure("gross_unrounded", exact, unit).source(SOURCE)
    });
    let rounding = Some(practice.volume_rounding);
    let gross = volume::gross(exact, unit, rounding, recorder)?;
    let sound = if square.wane.is_zero() {
        gross
    } else {
        let sound = practice.volume_rounding.apply(content(square.sound()?)?)?.min(gross);
        recorder.record(|| {
            let (wane, left) = (square.wane, Plain(sound));
            let says = format!(
                "without {wane} square inches of wane along the whole length: {left} {}",
                plural(unit)
            );
            Step::new(StepKind::Wane, says)
                .figure("without_wane", sound, unit)
                .rounded(rounding)
                .source("plain geometry: half the product of the legs of each corner")
        });
        sound
    };
    let wood = Wood {
        gross: sound,
        unit,
        length,
        measured_length: length,
        diameter: None,
        methods: Methods::LengthCutAndSquared,
        sawdust: false,
        waste_inch: false,
    };
    let scale = volume::net(&wood, &timber.defects, rounding, |_| Ok(wood.gross), recorder)?;
    Ok(Scaled {
        scaling_diameter_in: None,
        scaling_length_ft: Some(length),
        volume: Some(Volume { unit, gross, net: scale.net }),
        grade: timber.grade.as_ref().map(Grade::to_string),
        cull: cull::refusal(timber.refused.as_ref(), recorder),
        working: Vec::new(),
    })
}

/// The section from which the content is worked out.
fn section(
    practice: &HewnPractice,
    timber: &HewnTimber,
    recorder: &mut impl Recorder,
) -> Result<Square, ScaleProblem> {
    let mut read = |place: &'static str, section: Option<&Section>| {
        section.map(|section| square(practice, place, section, recorder)).transpose()
    };
    let small = read("small end", timber.small_end())?;
    let middle = read("middle", timber.middle())?;
    let large = read("large end", timber.large_end())?;
    if let (Some(only), None, None) | (None, Some(only), None) | (None, None, Some(only)) =
        (small, middle, large)
    {
        return Ok(only);
    }
    match practice.content {
        Content::Middle => middle.ok_or(ScaleProblem::MissingMeasurement {
            member: "middle",
            reason: "the contract takes the section at mid-length",
        }),
        Content::EndsAveraged => {
            let needs = |member| ScaleProblem::MissingMeasurement {
                member,
                reason: "the contract averages the sections of both ends",
            };
            mean(small.ok_or(needs("small_end"))?, large.ok_or(needs("large_end"))?, recorder)
        }
        Content::LeastSection => least([small, middle, large], recorder),
    }
}

/// Reads the sides of one section, and its wane where that counts.
fn square(
    practice: &HewnPractice,
    place: &'static str,
    section: &Section,
    recorder: &mut impl Recorder,
) -> Result<Square, ScaleProblem> {
    let side = |side: Exact| match practice.side_rounding {
        Some(round_to) => round_to.apply(side),
        None => Ok(side),
    };
    let (width, thickness) = (side(section.width_in().exact())?, side(section.thickness_in().exact())?);
    let area = section.wane_area()?;
    let wane = match practice.wane {
        WaneTreatment::Ignored => Exact::ZERO,
        WaneTreatment::Deducted => area,
    };
    recorder.record(|| {
        let (measured_width, measured_thickness) = (section.width_in(), section.thickness_in());
        let read = match practice.side_rounding {
            Some(round_to) => format!(", read as {width} by {thickness} ({round_to})"),
            None => String::new(),
        };
        Step::new(StepKind::Side, format!("{place}: {measured_width} by {measured_thickness} inches{read}"))
            .figure("width", width, FigureUnit::Inch)
            .figure("thickness", thickness, FigureUnit::Inch)
            .rounded(practice.side_rounding)
    });
    if !area.is_zero() {
        recorder.record(|| {
            let treated = match practice.wane {
                WaneTreatment::Ignored => "left in: the contract measures to the full square",
                WaneTreatment::Deducted => "taken off, each corner as half the product of its legs",
            };
            Step::new(StepKind::Wane, format!("{place}: wane of {area} square inches, {treated}")).figure(
                "wane",
                area,
                FigureUnit::SquareInch,
            )
        });
    }
    Ok(Square { width, thickness, wane })
}

fn mean(small: Square, large: Square, recorder: &mut impl Recorder) -> Result<Square, ScaleProblem> {
    let half = |one: Exact, other: Exact| one.plus(other).and_then(|sum| sum.over(Exact::of(2)));
    let square = Square {
        width: half(small.width, large.width)?,
        thickness: half(small.thickness, large.thickness)?,
        wane: half(small.wane, large.wane)?,
    };
    recorder.record(|| {
        let Square { width, thickness, .. } = square;
        Step::new(StepKind::Side, format!("the ends average {width} by {thickness} inches"))
            .figure("width", width, FigureUnit::Inch)
            .figure("thickness", thickness, FigureUnit::Inch)
            .source("mean breadth by mean thickness: Spons' Mechanics' Own Book, unsquared timber")
    });
    Ok(square)
}

/// The measured section with the least area.
fn least(sections: [Option<Square>; 3], recorder: &mut impl Recorder) -> Result<Square, ScaleProblem> {
    let mut least: Option<(Exact, Square)> = None;
    for section in sections.into_iter().flatten() {
        let area = section.sound()?;
        if least.is_none_or(|(smallest, _)| area < smallest) {
            least = Some((area, section));
        }
    }
    let (area, square) = least
        .ok_or(ScaleProblem::MissingMeasurement { member: "small_end", reason: "no section was measured" })?;
    recorder.record(|| {
        let Square { width, thickness, .. } = square;
        Step::new(
            StepKind::Side,
            format!("the least section is {width} by {thickness} inches, {area} square inches"),
        )
        .figure("width", width, FigureUnit::Inch)
        .figure("thickness", thickness, FigureUnit::Inch)
        .figure("area", area, FigureUnit::SquareInch)
    });
    Ok(square)
}
