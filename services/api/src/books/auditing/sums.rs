//! Pieces and volumes added up, as long as they stand on one scale.

use std::collections::BTreeSet;

use kernel::{ContractId, Exact, Fixed, NumberError, Product, TermsId, VolumeUnit};
use storage::{StageCell, StageScale};
use wire::ScaledBy;

use crate::books::entitling::TermsById;
use crate::books::names::Names;

/// One contract's scale in one unit: what may be added up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OneScale {
    /// Whether it stands in for the worker's own; those come after the others.
    pub stands_in: bool,
    /// The contract.
    pub contract: ContractId,
    /// The unit.
    pub unit: VolumeUnit,
}

impl From<StageScale> for OneScale {
    fn from(scale: StageScale) -> Self {
        Self { stands_in: !scale.own, contract: scale.contract, unit: scale.unit }
    }
}

/// Pieces on one scale, or on none.
#[derive(Clone, Debug, Default)]
pub struct VolumeSum {
    /// How many.
    pub pieces: i64,
    /// How many of them are culls.
    pub culls: i64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
    /// The terms that scaled the logs among them.
    logs_by: BTreeSet<TermsId>,
}

impl VolumeSum {
    /// Adds what a cell holds; the caller sees to it that the scale is the same.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    pub fn add(&mut self, cell: &StageCell) -> Result<(), NumberError> {
        self.pieces = self.pieces.saturating_add(cell.pieces);
        self.culls = self.culls.saturating_add(cell.culls);
        self.gross = self.gross.plus(cell.gross)?;
        self.net = self.net.plus(cell.net)?;
        if cell.product == Product::Log {
            self.logs_by.extend(cell.scale.map(|scale| scale.terms));
        }
        Ok(())
    }

    /// How the scale is shown.
    #[must_use]
    pub fn scaled_by(&self, scale: OneScale, names: &Names, terms: &TermsById) -> ScaledBy {
        let rules: BTreeSet<String> = self
            .logs_by
            .iter()
            .filter_map(|id| terms.get(id)?.practice.log.as_ref())
            .map(|log| log.rule().to_string())
            .collect();
        ScaledBy {
            contract_id: scale.contract,
            contract_title: names.contract(scale.contract),
            unit: scale.unit,
            rules: rules.into_iter().collect(),
            own: !scale.stands_in,
        }
    }
}

/// The share of the gross scale that defect took, exactly; none where there is no gross scale.
///
/// # Errors
///
/// [`NumberError::TooLarge`].
pub fn defect_share(gross: Fixed, net: Fixed) -> Result<Option<Exact>, NumberError> {
    let gross = gross.exact();
    if gross.is_zero() {
        return Ok(None);
    }
    gross.minus(net.exact())?.over(gross).map(Some)
}
