//! The wood from which losses are taken, and what a contract says about losses.

use kernel::{Exact, VolumeUnit};

use crate::practice::{Estimates, LogPractice, grade_only};
use crate::rules::{RuleFacts, System};
use crate::{Defect, DefectKind, Defects, RoundTo};

/// Which methods have a meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::engine) enum Methods {
    /// A round log.
    All,
    /// Squared timber.
    LengthCutAndSquared,
    /// A log known by its girth only.
    LengthCutAndPieCut,
    /// A ranked pile: it has no shape of its own to cut from.
    EstimateAlone,
}

impl Methods {
    /// Why a method has no meaning here; none if it has one. An estimate and what is only noted need no shape.
    pub(super) fn refuse(self, defect: &Defect) -> Option<&'static str> {
        match (self, defect.method()) {
            (Self::All, _)
            | (_, "estimate" | "noted")
            | (Self::LengthCutAndSquared | Self::LengthCutAndPieCut, "length_cut")
            | (Self::LengthCutAndSquared, "squared")
            | (Self::LengthCutAndPieCut, "pie_cut") => None,
            (Self::LengthCutAndSquared, _) => Some("squared timber takes length_cut and squared only"),
            (Self::LengthCutAndPieCut, _) => {
                Some("a log known by its girth alone takes length_cut and pie_cut only")
            }
            (Self::EstimateAlone, _) => Some(
                "a ranked pile takes estimate and noted only: leave what does not count out of its sizes",
            ),
        }
    }
}

/// Whose word holds for losses. What it says is only asked for a piece that has a defect.
#[derive(Clone, Copy)]
pub(crate) enum LossTerms<'a> {
    /// That of a log contract.
    Contract(&'a LogPractice),
    /// That of the rule, where no contract says otherwise.
    Rule(&'static RuleFacts),
}

impl<'a> LossTerms<'a> {
    pub(in crate::engine) fn defect_terms(self) -> DefectTerms<'a> {
        match self {
            Self::Contract(practice) => DefectTerms::of_practice(practice),
            Self::Rule(facts) => DefectTerms::of_rule(facts),
        }
    }

    /// How a diameter less a ring of bad wood is rounded.
    pub(in crate::engine) fn cut_rounding(self) -> Option<RoundTo> {
        match self {
            Self::Contract(practice) => practice.cut_rounding(),
            Self::Rule(_) => None,
        }
    }
}

/// What a contract says about losses.
#[derive(Clone, Copy)]
pub(in crate::engine) struct DefectTerms<'a> {
    pub(crate) waste_inch: bool,
    /// The kerf that a squared defect is counted with, where sawdust is out of the volume.
    pub(crate) kerf_in: Exact,
    /// Length in feet and width in inches of the least board that counts as saved.
    pub(crate) least_board: Option<(Exact, Exact)>,
    /// What length cuts are raised to multiples of, in feet.
    pub(crate) length_cut_multiple: Option<Exact>,
    pub(crate) grade_only: &'a [DefectKind],
    pub(crate) estimates: bool,
}

impl<'a> DefectTerms<'a> {
    /// What holds where no contract says otherwise.
    const fn of_rule(facts: &RuleFacts) -> DefectTerms<'static> {
        DefectTerms {
            waste_inch: false,
            kerf_in: facts.kerf_in,
            least_board: None,
            length_cut_multiple: None,
            grade_only: &grade_only::KINDS,
            estimates: false,
        }
    }

    /// The terms of a log contract.
    fn of_practice(practice: &'a LogPractice) -> Self {
        Self {
            waste_inch: practice.waste_inch,
            kerf_in: practice.kerf_in.map_or(practice.applied().kerf_in(), |kerf| kerf.exact()),
            least_board: practice.least_board.map(|board| (board.length_ft.exact(), board.width_in.exact())),
            length_cut_multiple: practice.length_cut_multiple_ft.map(|multiple| multiple.feet()),
            grade_only: &practice.grade_only_kinds,
            estimates: practice.estimates == Estimates::Allowed,
        }
    }
}

/// Which part of a log is scaled, in the log's own unit of length.
#[derive(Clone, Copy)]
pub(crate) struct Stretch {
    /// The scaling length of the whole log.
    pub(crate) log: Exact,
    /// Where the part begins, from the small end that is scaled.
    pub(crate) start: Exact,
    /// Its length.
    pub(crate) length: Exact,
    /// The length of the log as measured.
    pub(crate) measured: Exact,
    /// What was cut back at the small end before scaling.
    pub(crate) cut_back: Exact,
}

impl Stretch {
    /// A log in one piece.
    pub(crate) const fn whole(length: Exact, measured: Exact) -> Self {
        Self { log: length, start: Exact::ZERO, length, measured, cut_back: Exact::ZERO }
    }

    /// Whether the part is the whole log.
    pub(super) fn is_whole(&self) -> bool {
        self.length == self.log
    }
}

/// The wood from which losses are taken.
pub(in crate::engine) struct Wood<'a> {
    pub(in crate::engine) gross: Exact,
    pub(in crate::engine) unit: VolumeUnit,
    pub(in crate::engine) system: System,
    pub(in crate::engine) stretch: Stretch,
    /// The scaling diameter of a round log.
    pub(in crate::engine) diameter: Option<Exact>,
    pub(in crate::engine) methods: Methods,
    /// Whether sawdust is already out of the volume, as it is in a log rule's board feet.
    pub(in crate::engine) sawdust: bool,
    pub(in crate::engine) terms: DefectTerms<'a>,
}

impl Wood<'_> {
    /// What width × height × length is divided by. Board feet with sawdust out go by 12 × (1 + kerf), solid board feet
    /// by 12, cubic feet by 144; square centimetres by metres are ten thousand to the cubic metre. A cord is 128 of
    /// those cubic feet.
    pub(super) fn squared_divisor(&self) -> Result<Exact, kernel::NumberError> {
        match self.unit {
            VolumeUnit::BoardFoot if self.sawdust => {
                Exact::of(12).times(Exact::ONE.plus(self.terms.kerf_in)?)
            }
            VolumeUnit::BoardFoot => Ok(Exact::of(12)),
            VolumeUnit::CubicFoot => Ok(Exact::of(144)),
            VolumeUnit::Cord => Ok(Exact::of(144 * 128)),
            VolumeUnit::CubicMetre | VolumeUnit::StackedCubicMetre => Ok(Exact::of(10_000)),
        }
    }

    pub(super) const fn length_unit(&self) -> &'static str {
        self.system.length_in_words()
    }

    pub(super) const fn across_unit(&self) -> &'static str {
        match self.system {
            System::Inch => "inches",
            System::Metric => "centimetres",
        }
    }

    /// Whether the contract takes wood off for this kind.
    pub(super) fn counts(&self, defect: &Defect) -> bool {
        !self.terms.grade_only.contains(&defect.kind())
    }

    /// The defects that take wood off, each with its place in the scaler's list.
    pub(super) fn counted<'d>(&self, defects: &'d Defects) -> impl Iterator<Item = (usize, &'d Defect)> {
        (1..).zip(defects.as_slice()).filter(|(_, defect)| self.counts(defect))
    }
}
