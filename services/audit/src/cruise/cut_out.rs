//! What was cut, held against what a cruise expected.

use kernel::Fixed;
use serde::{Deserialize, Serialize};

use super::CruiseEstimate;
use crate::{Number, ScaleBase, StatisticError};

/// What was scaled, in the unit of the cruise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CutOut {
    /// With no defect taken off.
    pub gross: Fixed,
    /// Less what defects take off.
    pub net: Fixed,
}

/// One scale of what was cut beside the estimate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct HeldAgainst {
    /// On which scale the cut stands.
    pub base: ScaleBase,
    /// What was cut.
    pub cut: Fixed,
    /// Cut less estimate; below zero while less was cut than was expected.
    pub difference: Fixed,
    /// The difference in percent of the estimate, to two decimals, halves away from zero; none for an estimate of nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub percent: Option<Fixed>,
    /// Whether the cut lies within the estimate's confidence interval, its ends included; none where there is no interval.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within_interval: Option<bool>,
}

/// Holds what was cut against the estimate, on one scale.
///
/// # Errors
///
/// [`StatisticError::TooLarge`].
///
/// ```
/// use audit::{Confidence, CutOut, Number, SampledTract, ScaleBase, TallyTree, Tract, hold_against, still_standing};
/// // Constructed: every tree was tallied, ten of 100 board feet.
/// let trees = vec![TallyTree { species: "oak".into(), stems: Number::whole(10), volume: Number::whole(100) }];
/// let cruise = SampledTract::new(Tract::Complete { area: None }, vec![trees])?;
/// let estimate = cruise.estimate(None, Confidence::NinetyFive)?;
/// let cut = CutOut { gross: kernel::Fixed::from_millionths(960_000_000), net: kernel::Fixed::from_millionths(900_000_000) };
/// let held = hold_against(&estimate, cut, ScaleBase::Gross)?;
/// assert_eq!(held.difference.to_string(), "-40");
/// assert_eq!(held.percent.map(|percent| percent.to_string()).as_deref(), Some("-4"));
/// assert_eq!(held.within_interval, Some(false));
/// assert_eq!(still_standing(&estimate, cut)?.to_string(), "40");
/// # Ok::<(), audit::StatisticError>(())
/// ```
pub fn hold_against(
    estimate: &CruiseEstimate,
    cut: CutOut,
    base: ScaleBase,
) -> Result<HeldAgainst, StatisticError> {
    let cut = match base {
        ScaleBase::Gross => cut.gross,
        ScaleBase::Net => cut.net,
    };
    let expected = Number::from(estimate.volume);
    let difference = Number::from(cut).minus(&expected);
    let percent = if expected.is_zero() {
        None
    } else {
        Some(difference.over(&expected)?.times(&Number::whole(100)).shown(2)?)
    };
    Ok(HeldAgainst {
        base,
        cut,
        difference: difference.shown(6)?,
        percent,
        within_interval: estimate.sampling_error.map(|error| error.from <= cut && cut <= error.to),
    })
}

/// What would still stand if the cut is not finished: the estimate less the gross scale of what was cut, and nothing once
/// more was cut. Gross, because a standing tree is measured from outside, with its defects in it.
///
/// # Errors
///
/// [`StatisticError::TooLarge`].
pub fn still_standing(estimate: &CruiseEstimate, cut: CutOut) -> Result<Fixed, StatisticError> {
    let left = Number::from(estimate.volume).minus(&cut.gross.into()).shown(6)?;
    Ok(if left.is_negative() { Fixed::ZERO } else { left })
}
