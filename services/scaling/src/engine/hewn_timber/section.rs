//! From the sections of a hewn timber to the one its content is worked out from.

use std::fmt;

use kernel::Exact;

use crate::practice::{Content, HewnPractice, WaneTreatment};
use crate::says::later;
use crate::working::Recorder;
use crate::{FigureUnit, HewnTimber, ScaleProblem, Section, Step, StepKind};

/// A section as the practice reads it: its sides, and what wane takes off.
#[derive(Clone, Copy)]
pub(super) struct Square {
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

/// The shape whose content is worked out: its mean section, carried the whole length.
#[derive(Clone, Copy)]
pub(super) enum Shape {
    /// One section, measured or averaged.
    Carried(Square),
    /// The solid between the ends.
    Frustum(Square, Square),
}

impl Shape {
    /// The area of the mean section, in square inches.
    pub(super) fn full(self) -> Result<Exact, ScaleProblem> {
        match self {
            Self::Carried(square) => square.full(),
            Self::Frustum(small, large) => {
                let middle = small.width.plus(large.width)?.times(small.thickness.plus(large.thickness)?)?;
                Ok(small.full()?.plus(middle)?.plus(large.full()?)?.over(Exact::of(6))?)
            }
        }
    }

    /// What wane takes off it; between the ends the mean of theirs.
    pub(super) fn wane(self) -> Result<Exact, ScaleProblem> {
        match self {
            Self::Carried(square) => Ok(square.wane),
            Self::Frustum(small, large) => Ok(small.wane.plus(large.wane)?.over(Exact::of(2))?),
        }
    }
}

impl fmt::Display for Shape {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Carried(Square { width, thickness, .. }) => write!(formatter, "{width} × {thickness}"),
            Self::Frustum(small, large) => {
                let (a, b, c, d) = (small.width, small.thickness, large.width, large.thickness);
                write!(formatter, "({a} × {b} + ({a} + {c}) × ({b} + {d}) + {c} × {d}) ÷ 6")
            }
        }
    }
}

/// The shape from which the content is worked out.
pub(super) fn shape(
    practice: &HewnPractice,
    timber: &HewnTimber,
    recorder: &mut impl Recorder,
) -> Result<Shape, ScaleProblem> {
    let mut read = |place: &'static str, section: Option<&Section>| {
        section.map(|section| square(practice, place, section, recorder)).transpose()
    };
    let small = read("small end", timber.small_end())?;
    let middle = read("middle", timber.middle())?;
    let large = read("large end", timber.large_end())?;
    if let (Some(only), None, None) | (None, Some(only), None) | (None, None, Some(only)) =
        (small, middle, large)
    {
        return Ok(Shape::Carried(only));
    }
    let ends = |reason| -> Result<(Square, Square), ScaleProblem> {
        let needs = |member| ScaleProblem::MissingMeasurement { member, reason };
        Ok((small.ok_or(needs("small_end"))?, large.ok_or(needs("large_end"))?))
    };
    match practice.content {
        Content::Middle => middle.map(Shape::Carried).ok_or(ScaleProblem::MissingMeasurement {
            member: "middle",
            reason: "the contract takes the section at mid-length",
        }),
        Content::EndsAveraged => {
            let (small, large) = ends("the contract averages the sections of both ends")?;
            mean(small, large, recorder).map(Shape::Carried)
        }
        Content::Frustum => {
            let (small, large) = ends("the contract takes the solid between both ends")?;
            Ok(Shape::Frustum(small, large))
        }
        Content::LeastSection => least([small, middle, large], recorder).map(Shape::Carried),
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
        let rounding = practice.side_rounding;
        let says = later(move || {
            let read = match rounding {
                Some(round_to) => format!(", read as {width} by {thickness} ({round_to})"),
                None => String::new(),
            };
            format!("{place}: {measured_width} by {measured_thickness} inches{read}")
        });
        Step::new(StepKind::Side, says)
            .figure("width", width, FigureUnit::Inch)
            .figure("thickness", thickness, FigureUnit::Inch)
            .rounded(rounding)
    });
    if !area.is_zero() {
        recorder.record(|| {
            let treated = match practice.wane {
                WaneTreatment::Ignored => "left in: the contract measures to the full square",
                WaneTreatment::Deducted => "taken off, each corner as half the product of its legs",
            };
            let says = later(move || format!("{place}: wane of {area} square inches, {treated}"));
            Step::new(StepKind::Wane, says).figure("wane", area, FigureUnit::SquareInch)
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
        Step::new(StepKind::Side, later(move || format!("the ends average {width} by {thickness} inches")))
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
            later(move || {
                format!("the least section is {width} by {thickness} inches, {area} square inches")
            }),
        )
        .figure("width", width, FigureUnit::Inch)
        .figure("thickness", thickness, FigureUnit::Inch)
        .figure("area", area, FigureUnit::SquareInch)
    });
    Ok(square)
}
