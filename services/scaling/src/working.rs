//! The working: how a volume came about, step by step, as data and in plain words.

use std::borrow::Cow;
use std::fmt;

use kernel::{Exact, VolumeUnit};
use serde::{Deserialize, Serialize};

use crate::rules::System;
use crate::{EditionName, RoundTo, Says};

/// What a step did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum StepKind {
    /// What was measured.
    Measured,
    /// A diameter became the one the rule is entered with.
    Diameter,
    /// A length became the scaling length.
    Length,
    /// The heights of a ranked pile became the one it is measured by.
    Height,
    /// A side of a hewn timber was read.
    Side,
    /// Wane was taken off a section, or left in.
    Wane,
    /// A part of a long log was scaled by itself.
    Section,
    /// A log too long to be scaled as one was divided.
    Division,
    /// A segment of a divided log begins: the steps that follow are its own.
    Segment,
    /// A log was cut back to where its top is large enough.
    CutBack,
    /// A cell of the rule's table was read.
    TableCell,
    /// The rule's formula was worked out.
    Formula,
    /// The gross scale stands.
    Gross,
    /// A loss was reckoned for one defect.
    Defect,
    /// The losses were added up and rounded.
    Deduction,
    /// The net scale stands.
    Net,
    /// The piece was held against the least size.
    LeastSize,
    /// The net scale was held against the share below which a piece is cull.
    CullTest,
    /// A tie was put in its class.
    TieClass,
    /// A hewn stick was held against the contract's tolerances.
    Inspection,
    /// A tie was held against the log it was hewn from.
    LogCheck,
    /// A pole was put in its class.
    PoleClass,
    /// An inspector's refusal was noted.
    Refusal,
    /// The piece has no volume.
    NoVolume,
}

/// The unit of a figure in the working.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum FigureUnit {
    /// Inches.
    Inch,
    /// Feet.
    Foot,
    /// Centimetres.
    Centimetre,
    /// Metres.
    Metre,
    /// Square inches.
    SquareInch,
    /// Degrees of angle.
    Degree,
    /// Board feet.
    BoardFoot,
    /// Cubic feet.
    CubicFoot,
    /// Cubic metres.
    CubicMetre,
    /// Cords.
    Cord,
    /// Stacked cubic metres.
    StackedCubicMetre,
    /// A bare number, such as a share.
    Number,
}

impl FigureUnit {
    /// What lengths along a log are in.
    pub(crate) const fn length(system: System) -> Self {
        match system {
            System::Inch => Self::Foot,
            System::Metric => Self::Metre,
        }
    }

    /// What sizes across a log are in.
    pub(crate) const fn across(system: System) -> Self {
        match system {
            System::Inch => Self::Inch,
            System::Metric => Self::Centimetre,
        }
    }
}

impl From<VolumeUnit> for FigureUnit {
    fn from(unit: VolumeUnit) -> Self {
        match unit {
            VolumeUnit::BoardFoot => Self::BoardFoot,
            VolumeUnit::CubicFoot => Self::CubicFoot,
            VolumeUnit::CubicMetre => Self::CubicMetre,
            VolumeUnit::Cord => Self::Cord,
            VolumeUnit::StackedCubicMetre => Self::StackedCubicMetre,
        }
    }
}

/// One number that a step used or made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Figure {
    /// What it is, in snake_case; as in the piece's document where it was measured.
    #[cfg_attr(feature = "openapi", schema(value_type = String))]
    pub name: Cow<'static, str>,
    /// The number, exactly.
    pub value: Exact,
    /// Its unit.
    pub unit: FigureUnit,
}

/// One step of the working.
///
/// ```
/// use scaling::{Practice, scale};
/// let practice: Practice = serde_json::from_str(r#"{"log": {"rule": "doyle"}}"#)?;
/// let piece = serde_json::from_str(
///     r#"{"product": "log", "species": "ash", "small_diameter_in": ["20"], "length_ft": "16"}"#,
/// )?;
/// let scaled = scale(&practice, &piece)?;
/// let says: Vec<&str> = scaled.working.iter().map(|step| step.says.as_str()).collect();
/// assert!(says.contains(&"(20 - 4)² × 16 ÷ 16 = 256 board feet"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Step {
    /// What the step did.
    pub step: StepKind,
    /// One plain line with the numbers in it.
    #[cfg_attr(feature = "openapi", schema(value_type = String))]
    pub says: Says,
    /// The numbers, for a reader that is a program.
    #[serde(default)]
    pub figures: Vec<Figure>,
    /// The rounding that was done in this step, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rounding: Option<RoundTo>,
    /// Where the rule or method is published.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<String>))]
    pub source: Option<Cow<'static, str>>,
    /// Whether the rule or method is recalled and has not been checked against print.
    #[serde(default)]
    pub from_memory: bool,
    /// The edition of the rule that was applied, where the rule has more than one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edition: Option<EditionName>,
    /// Whether the figure rests on the scaler's own judgement and on no measurement.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub judgement: bool,
}

impl Step {
    pub(crate) fn new(step: StepKind, says: impl Into<Says>) -> Self {
        Self {
            step,
            says: says.into(),
            figures: Vec::new(),
            rounding: None,
            source: None,
            from_memory: false,
            edition: None,
            judgement: false,
        }
    }

    pub(crate) fn figure(mut self, name: &'static str, value: Exact, unit: impl Into<FigureUnit>) -> Self {
        self.figures.push(Figure { name: name.into(), value, unit: unit.into() });
        self
    }

    pub(crate) fn maybe_figure(self, name: &'static str, value: Option<Exact>, unit: FigureUnit) -> Self {
        match value {
            Some(value) => self.figure(name, value, unit),
            None => self,
        }
    }

    pub(crate) fn rounded(mut self, rounding: impl Into<Option<RoundTo>>) -> Self {
        self.rounding = rounding.into();
        self
    }

    pub(crate) fn source(mut self, source: &'static str) -> Self {
        self.source = Some(source.into());
        self
    }

    pub(crate) const fn edition(mut self, edition: EditionName) -> Self {
        self.edition = Some(edition);
        self
    }

    pub(crate) const fn judged(mut self) -> Self {
        self.judgement = true;
        self
    }

    pub(crate) const fn recalled(mut self, from_memory: bool) -> Self {
        self.from_memory = from_memory;
        self
    }
}

/// Takes the steps down, or lets them go by: the arithmetic is the same code either way.
pub(crate) trait Recorder {
    /// Takes down one step; a silent recorder never makes it.
    fn record(&mut self, step: impl FnOnce() -> Step);
}

impl Recorder for Vec<Step> {
    fn record(&mut self, step: impl FnOnce() -> Step) {
        self.push(step());
    }
}

/// Lets every step go by without making it.
pub(crate) struct Silent;

impl Recorder for Silent {
    fn record(&mut self, _step: impl FnOnce() -> Step) {}
}

/// A number as a person reads it: a decimal where one ends, otherwise a whole number and a fraction, such as 12 29/48.
#[derive(Clone, Copy)]
pub(crate) struct Plain(pub(crate) Exact);

impl fmt::Display for Plain {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.whole().is_some() {
            return fmt::Display::fmt(&self.0, formatter);
        }
        let text = self.0.to_string();
        let whole = self.0.floor();
        match self.0.minus(Exact::of(whole)) {
            Ok(fraction) if whole > 0 && text.contains('/') => write!(formatter, "{whole} {fraction}"),
            _ => formatter.write_str(&text),
        }
    }
}

/// A length as a tape shows it: feet, and inches where it is not in whole feet.
pub(crate) struct FeetAndInches(pub(crate) Exact);

impl fmt::Display for FeetAndInches {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let feet = self.0.floor();
        let inches = self.0.minus(Exact::of(feet)).and_then(|part| part.times(Exact::of(12)));
        match inches {
            Ok(inches) if !inches.is_zero() => write!(formatter, "{feet} feet {} inches", Plain(inches)),
            _ => write!(formatter, "{feet} feet"),
        }
    }
}

/// The unit's name as it stands in a sentence.
pub(crate) const fn plural(unit: VolumeUnit) -> &'static str {
    match unit {
        VolumeUnit::BoardFoot => "board feet",
        VolumeUnit::CubicFoot => "cubic feet",
        VolumeUnit::CubicMetre => "cubic metres",
        VolumeUnit::Cord => "cords",
        VolumeUnit::StackedCubicMetre => "stacked cubic metres",
    }
}
