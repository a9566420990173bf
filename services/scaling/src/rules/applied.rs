//! The rule that a contract's logs are scaled by: one of the published rules, or the outfit's own table.

use kernel::{Exact, Rounding, VolumeUnit};

use super::{
    Choice, Content, FiledTable, Measures, NO_KERF, QUARTER_INCH_KERF, RuleName, Takes, scribner_decimal_c,
};
use crate::working::Recorder;
use crate::{RoundTo, ScaleProblem};

/// A rule to scale by.
#[derive(Clone, Copy)]
pub(crate) enum AppliedRule<'a> {
    /// A published one.
    Published(RuleName),
    /// The outfit's own table; none where a contract on its way into the books names it by its id alone.
    OwnTable(Option<&'a FiledTable>),
}

impl AppliedRule<'_> {
    /// The sizes it is entered with.
    #[inline]
    pub(crate) const fn takes(self) -> Takes {
        match self {
            Self::Published(rule) => rule.facts().takes,
            Self::OwnTable(Some(filed)) => filed.table.takes(),
            Self::OwnTable(None) => Takes::SmallEnd,
        }
    }

    /// Whether its volume is solid content, with nothing out for sawdust. An own table in board feet is taken to be a
    /// log rule, one in cubic units to be solid.
    pub(crate) fn solid(self) -> bool {
        match self {
            Self::Published(rule) => rule.facts().solid,
            Self::OwnTable(_) => self.own_unit().is_some_and(|unit| unit != VolumeUnit::BoardFoot),
        }
    }

    /// The saw kerf, in inches, that a squared defect is counted with: for an own table in board feet the handbook's
    /// quarter of an inch, as for every rule that is not named for its kerf.
    pub(crate) fn kerf_in(self) -> Exact {
        match self {
            Self::Published(rule) => rule.facts().kerf_in,
            Self::OwnTable(_) if self.solid() => NO_KERF,
            Self::OwnTable(_) => QUARTER_INCH_KERF,
        }
    }

    /// Whether diameters are by custom taken in whole inches before it is applied: of an own table in inches, where all
    /// its rows are.
    #[inline]
    pub(crate) fn whole_inches(self) -> bool {
        match self {
            Self::Published(rule) => rule.facts().whole_inches,
            Self::OwnTable(filed) => filed.is_some_and(|filed| {
                filed.table.unit() != VolumeUnit::CubicMetre && filed.table.whole_diameters()
            }),
        }
    }

    /// The unit its volumes come in unless another is asked for.
    pub(crate) fn own_unit(self) -> Option<VolumeUnit> {
        match self {
            Self::Published(rule) => rule.facts().units.first().copied(),
            Self::OwnTable(filed) => filed.map(|filed| filed.table.unit()),
        }
    }

    /// Applies it to measures.
    pub(crate) fn content(
        self,
        measures: &Measures<'_>,
        choice: Choice,
        recorder: &mut impl Recorder,
    ) -> Result<Content, ScaleProblem> {
        match self {
            Self::Published(rule) => super::content(rule, measures, choice, recorder),
            Self::OwnTable(Some(filed)) => filed.content(measures, recorder),
            Self::OwnTable(None) => Err(ScaleProblem::TableNotAtHand),
        }
    }

    /// The step in which its deductions are counted: tens for a table of tens, whole feet where the rule counts whole
    /// feet, and none where the rule itself does not round.
    pub(crate) fn deduction_rounding(self, unit: VolumeUnit) -> Option<RoundTo> {
        match (self, unit) {
            (Self::Published(RuleName::ScribnerDecimalC), _) => Some(scribner_decimal_c::TENS),
            (_, VolumeUnit::BoardFoot) if !self.solid() => Some(RoundTo::fixed(Exact::ONE, Rounding::HalfUp)),
            _ => None,
        }
    }

    /// Whether a problem says that a log is thinner than the rule reaches.
    pub(crate) fn is_too_thin(self, problem: &ScaleProblem) -> bool {
        match (self, problem) {
            (_, ScaleProblem::OutsideRule { .. }) => true,
            (_, ScaleProblem::NotInTable { diameter_in, .. }) => {
                *diameter_in < scribner_decimal_c::LEAST_DIAMETER_IN
            }
            (Self::OwnTable(Some(filed)), ScaleProblem::NotInOwnTable(no_cell)) => {
                filed.table.is_below(no_cell.diameter)
            }
            _ => false,
        }
    }
}
