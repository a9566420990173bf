//! The sizes a rule is entered with, after readings have been averaged and rounded.

use kernel::Exact;

use super::{System, Takes};
use crate::{RoundTo, ScaleProblem};

/// Sizes in one system; a rule asks for those it takes.
#[derive(Clone, Copy)]
pub(crate) struct Measures<'a> {
    pub(crate) small: Option<Exact>,
    pub(crate) middle: Option<Exact>,
    pub(crate) large: Option<Exact>,
    pub(crate) girth: Option<Exact>,
    pub(crate) width: Option<Exact>,
    pub(crate) thickness: Option<Exact>,
    /// Top diameter of each section, from the small end on.
    pub(crate) sections: Option<&'a [Exact]>,
    /// How a diameter worked out from taper is brought to the whole inch.
    pub(crate) taper_rounding: Option<RoundTo>,
    pub(crate) length: Exact,
    pub(crate) system: System,
}

#[inline]
fn needed(size: Option<Exact>, member: &'static str, reason: &'static str) -> Result<Exact, ScaleProblem> {
    size.ok_or(ScaleProblem::MissingMeasurement { member, reason })
}

impl Measures<'_> {
    /// A length and no other size yet, in inches and feet.
    pub(crate) const fn of_length(length: Exact) -> Self {
        Self {
            small: None,
            middle: None,
            large: None,
            girth: None,
            width: None,
            thickness: None,
            sections: None,
            taper_rounding: None,
            length,
            system: System::Inch,
        }
    }

    pub(crate) fn small(&self) -> Result<Exact, ScaleProblem> {
        needed(self.small, "small_diameter_in", "the rule is entered with the diameter of the small end")
    }

    pub(crate) fn middle(&self) -> Result<Exact, ScaleProblem> {
        needed(self.middle, "middle_diameter_in", "the rule is entered with the diameter at mid-length")
    }

    pub(crate) fn large(&self) -> Result<Exact, ScaleProblem> {
        needed(self.large, "large_diameter_in", "the rule is entered with the diameters of both ends")
    }

    pub(crate) fn girth(&self) -> Result<Exact, ScaleProblem> {
        needed(self.girth, "girth_in", "the rule is entered with the girth at mid-length")
    }

    pub(crate) fn width(&self) -> Result<Exact, ScaleProblem> {
        needed(self.width, "width_in", "the rule is entered with the width of the stick")
    }

    pub(crate) fn thickness(&self) -> Result<Exact, ScaleProblem> {
        needed(self.thickness, "thickness_in", "the rule is entered with the thickness of the stick")
    }

    /// The diameter at mid-length: measured, or the mean of the ends.
    pub(crate) fn middle_or_mean_of_ends(&self) -> Result<Exact, ScaleProblem> {
        match (self.middle, self.small, self.large) {
            (Some(middle), ..) => Ok(middle),
            (None, Some(small), Some(large)) => Ok(small.plus(large)?.over(Exact::of(2))?),
            _ => Err(ScaleProblem::MissingMeasurement {
                member: "middle_diameter_in",
                reason: "the rule is entered with the diameter at mid-length, or those of both ends",
            }),
        }
    }

    /// The diameter by which bands, sweep and crook go: the one the rule is entered with, of two ends the
    /// small.
    pub(crate) fn scaling_diameter(&self, takes: Takes) -> Result<Exact, ScaleProblem> {
        match takes {
            Takes::Middle => self.middle(),
            Takes::MiddleOrEnds => self.middle_or_mean_of_ends(),
            _ => match self.sections.and_then(|sections| sections.first()) {
                Some(top) => Ok(*top),
                None => self.small(),
            },
        }
    }
}
