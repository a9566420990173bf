//! Measures a ranked pile: its heights averaged, the length its sticks count by, the space it fills, estimates.

use std::fmt;

use kernel::{Exact, VolumeUnit};

use super::deduction::{DefectTerms, Methods, Stretch, Wood};
use super::{Scaled, Volume, cull, volume};
use crate::piece::total_feet;
use crate::practice::{Estimates, OtherSticks, PileTerms, RankedPilePractice};
use crate::rules::System;
use crate::working::{FeetAndInches, Plain, Recorder, plural};
use crate::{
    FigureUnit, Grade, InchFootPile, MetricPile, PileSizes, RankedPile, ScaleProblem, Step, StepKind, cords,
    stacked_cubic_metres,
};

const CORD_SOURCE: &str = "128 cubic feet, ranked and well stowed: NIST Handbook 130, 2.4 (as adopted 1991); Maine Revised \
                           Statutes, title 10, section 2361-A";
const STACKED_SOURCE: &str = "plain geometry of the space the pile fills";
const COMMON: &str = "common practice, no source";

pub(super) fn scaled(
    practice: &RankedPilePractice,
    pile: &RankedPile,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let tape = tape(practice, &pile.sizes)?;
    let terms = practice.terms()?;
    recorder.record(|| measured(&tape, &pile.sizes));
    let height = height(&tape, &terms, recorder)?;
    let stick = stick(&tape, &terms, recorder)?;
    let unit = practice.unit();
    let exact = filled(&tape, height, stick, unit, recorder)?;
    let rounding = Some(terms.volume_rounding);
    let gross = volume::gross(exact, unit, rounding, recorder)?;
    let wood = wood(&terms, &tape, unit, gross);
    let scale = volume::net(&wood, &pile.defects, rounding, |_| Ok(gross), recorder)?;
    let (in_feet, in_metres) = match tape.system {
        System::Inch => (Some(stick), None),
        System::Metric => (None, Some(stick)),
    };
    Ok(Scaled {
        scaling_length_ft: in_feet,
        scaling_length_m: in_metres,
        volume: Some(Volume { unit, gross, net: scale.net }),
        grade: pile.grade.as_ref().map(Grade::to_string),
        cull: cull::refusal(pile.refused.as_ref(), recorder),
        ..Scaled::default()
    })
}

/// A pile's sizes to compute with, in feet or in metres.
struct Tape {
    system: System,
    length: Exact,
    /// The heights averaged, not rounded.
    average: Exact,
    heights: usize,
    stick: Exact,
}

impl Tape {
    fn of_feet(sizes: &InchFootPile) -> Result<Self, ScaleProblem> {
        Ok(Self {
            system: System::Inch,
            length: total_feet(sizes.length_ft, sizes.length_in)?,
            average: sizes.heights.average()?,
            heights: sizes.heights.as_slice().len(),
            stick: total_feet(sizes.stick_length_ft, sizes.stick_length_in)?,
        })
    }

    fn of_metres(sizes: &MetricPile) -> Result<Self, ScaleProblem> {
        Ok(Self {
            system: System::Metric,
            length: sizes.length_m.exact(),
            average: sizes.heights_m.average()?,
            heights: sizes.heights_m.as_slice().len(),
            stick: sizes.stick_length_m.exact(),
        })
    }

    fn unit(&self) -> FigureUnit {
        FigureUnit::length(self.system)
    }

    const fn says(&self, size: Exact) -> Said {
        Said(self.system, size)
    }
}

/// A length as it is said: in feet and inches, or in metres.
struct Said(System, Exact);

impl fmt::Display for Said {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            System::Inch => FeetAndInches(self.1).fmt(formatter),
            System::Metric => write!(formatter, "{} metres", Plain(self.1)),
        }
    }
}

/// The sizes, if they are in the system of the contract's unit.
fn tape(practice: &RankedPilePractice, sizes: &PileSizes) -> Result<Tape, ScaleProblem> {
    const FEET: &str = "feet and inches";
    const METRES: &str = "metres";
    match (practice, sizes) {
        (RankedPilePractice::Cord(_), PileSizes::InchFoot(sizes)) => Tape::of_feet(sizes),
        (RankedPilePractice::StackedCubicMetre(_), PileSizes::Metric(sizes)) => Tape::of_metres(sizes),
        (RankedPilePractice::Cord(_), PileSizes::Metric(_)) => {
            Err(ScaleProblem::OtherSystem { member: "length_m", measured: METRES, contract: FEET })
        }
        (RankedPilePractice::StackedCubicMetre(_), PileSizes::InchFoot(_)) => {
            Err(ScaleProblem::OtherSystem { member: "length_ft", measured: FEET, contract: METRES })
        }
    }
}

/// What was measured; each height is a figure of its own, in the order in which they were read.
fn measured(tape: &Tape, sizes: &PileSizes) -> Step {
    let heights: Vec<Exact> = match sizes {
        PileSizes::InchFoot(sizes) => {
            // The sum was found when the heights were averaged, so the other way is never taken.
            let whole = |height: &crate::PileHeight| height.total_feet().unwrap_or(height.feet.exact());
            sizes.heights.as_slice().iter().map(whole).collect()
        }
        PileSizes::Metric(sizes) => sizes.heights_m.as_slice().iter().map(|height| height.exact()).collect(),
    };
    let said: Vec<String> = heights.iter().map(|height| tape.says(*height).to_string()).collect();
    let says = format!(
        "{} along the pile; {} high; sticks of {}",
        tape.says(tape.length),
        said.join(", "),
        tape.says(tape.stick)
    );
    let step = Step::new(StepKind::Measured, says).figure("length", tape.length, tape.unit());
    heights.into_iter().fold(step, |step, height| step.figure("height", height, tape.unit())).figure(
        "stick_length",
        tape.stick,
        tape.unit(),
    )
}

/// The height the pile is measured by: the mean of those that were read, rounded if the contract says so.
fn height(tape: &Tape, terms: &PileTerms<'_>, recorder: &mut impl Recorder) -> Result<Exact, ScaleProblem> {
    let (small, small_unit) = match tape.system {
        System::Inch => (Exact::of(12), "inches"),
        System::Metric => (Exact::of(100), "centimetres"),
    };
    let height = match terms.height_rounding {
        Some(round_to) => round_to.apply(tape.average.times(small)?)?.over(small)?,
        None => tape.average,
    };
    recorder.record(|| {
        let read = match tape.heights {
            1 => format!("height: {}", tape.says(tape.average)),
            count => format!("height: {count} readings average {}", tape.says(tape.average)),
        };
        let taken = terms.height_rounding.map_or(String::new(), |round_to| {
            format!(", taken as {} (in {small_unit}, {round_to})", tape.says(height))
        });
        Step::new(StepKind::Height, format!("{read}{taken}"))
            .figure("average", tape.average, tape.unit())
            .figure("height", height, tape.unit())
            .rounded(terms.height_rounding)
            .source(COMMON)
    });
    Ok(height)
}

/// The length the sticks count by: as measured, or the nominal one where they are within its trim.
fn stick(tape: &Tape, terms: &PileTerms<'_>, recorder: &mut impl Recorder) -> Result<Exact, ScaleProblem> {
    let within =
        terms.nominal_sticks.filter(|nominal| nominal.length <= tape.stick && tape.stick <= nominal.longest);
    let counted = match (terms.nominal_sticks, within) {
        (_, Some(nominal)) => nominal.length,
        (Some(nominal), None) if nominal.otherwise == OtherSticks::Refused => {
            return Err(ScaleProblem::SticksOutsideNominal {
                stick: tape.stick,
                nominal: nominal.length,
                longest: nominal.longest,
                system: tape.system,
            });
        }
        (_, None) => tape.stick,
    };
    recorder.record(|| {
        let why = match (terms.nominal_sticks, within) {
            (None, _) => "as measured".to_owned(),
            (Some(_), Some(nominal)) => {
                format!("the contract's length, which takes sticks up to {}", tape.says(nominal.longest))
            }
            (Some(nominal), None) => format!(
                "as measured, since the contract's length takes sticks from {} to {}",
                tape.says(nominal.length),
                tape.says(nominal.longest)
            ),
        };
        let says = format!("sticks of {} count as {} ({why})", tape.says(tape.stick), tape.says(counted));
        Step::new(StepKind::Length, says)
            .figure("measured_length", tape.stick, tape.unit())
            .figure("scaling_length", counted, tape.unit())
            .source(COMMON)
    });
    Ok(counted)
}

/// The space the pile fills, not rounded.
fn filled(
    tape: &Tape,
    height: Exact,
    stick: Exact,
    unit: VolumeUnit,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let (exact, divided, source) = match tape.system {
        System::Inch => (cords(tape.length, height, stick)?, " ÷ 128", CORD_SOURCE),
        System::Metric => (stacked_cubic_metres(tape.length, height, stick)?, "", STACKED_SOURCE),
    };
    recorder.record(|| {
        let says = format!(
            "{} × {} × {}{divided} = {} {}",
            Plain(tape.length),
            Plain(height),
            Plain(stick),
            Plain(exact),
            plural(unit)
        );
        Step::new(StepKind::Formula, says).figure("gross_unrounded", exact, unit).source(source)
    });
    Ok(exact)
}

/// The pile as something losses are taken from: a share of the whole, since it has no shape of its own.
fn wood<'a>(terms: &PileTerms<'a>, tape: &Tape, unit: VolumeUnit, gross: Exact) -> Wood<'a> {
    Wood {
        gross,
        unit,
        system: tape.system,
        stretch: Stretch::whole(tape.length, tape.length),
        diameter: None,
        methods: Methods::EstimateAlone,
        sawdust: false,
        terms: DefectTerms {
            waste_inch: false,
            kerf_in: Exact::ZERO,
            least_board: None,
            length_cut_multiple: None,
            grade_only: terms.grade_only_kinds,
            estimates: terms.estimates == Estimates::Allowed,
        },
    }
}
