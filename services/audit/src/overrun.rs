//! Overrun: what a mill sawed out of logs, held against their scale.
//!
//! `(tally - scale) / scale × 100`, negative where less was sawed than scaled (Idaho Board of Scaling Practices, on the
//! net scale). One tally gives one figure on the gross scale and another on the net scale, another by every log rule, and
//! another again once the lumber has dried or was dressed. So a figure never goes without them.

use std::fmt;

use kernel::{Fixed, VolumeUnit};
use serde::{Deserialize, Serialize};

use crate::{Number, StatisticError};

/// The scale that a tally is held against.
///
/// ```
/// assert_eq!(audit::ScaleBase::Net.name(), "net");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum ScaleBase {
    /// The scale with no defect taken off.
    Gross,
    /// The scale less what defects take off.
    Net,
}

impl ScaleBase {
    /// The name used in JSON and on paper.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Gross => "gross",
            Self::Net => "net",
        }
    }
}

/// In which state lumber was tallied: it shrinks as it dries, and dressing takes more off.
///
/// ```
/// assert_eq!(audit::LumberState::RoughGreen.says(), "rough green lumber");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum LumberState {
    /// As it came off the saw.
    RoughGreen,
    /// Dried, and not dressed.
    RoughDry,
    /// Dressed.
    Dressed,
}

impl LumberState {
    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(audit::LumberState::RoughDry.name(), "rough_dry");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::RoughGreen => "rough_green",
            Self::RoughDry => "rough_dry",
            Self::Dressed => "dressed",
        }
    }

    /// The same in words.
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::RoughGreen => "rough green lumber",
            Self::RoughDry => "rough dry lumber",
            Self::Dressed => "dressed lumber",
        }
    }
}

/// Lumber as a mill tallied it, in board feet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tally {
    /// How much.
    pub board_feet: Fixed,
    /// In which state.
    pub state: LumberState,
}

/// The scale of the logs that a tally is held against.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogScale {
    /// The rule and edition that made it, as papers name it.
    pub rule: String,
    /// The unit.
    pub unit: VolumeUnit,
    /// With no defect taken off.
    pub gross: Fixed,
    /// Less what defects take off.
    pub net: Fixed,
}

/// Why a tally cannot be held against a scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Incomparable {
    /// Lumber is tallied in board feet, and the logs are scaled in something else.
    #[error("the logs are scaled in {0}, the lumber in board feet: nothing converts one into the other")]
    Unit(UnitName),
    /// There is nothing to hold it against.
    #[error("the {} scale of the logs is nothing", .0.name())]
    NothingScaled(ScaleBase),
    /// The figures are too large.
    #[error(transparent)]
    Statistic(#[from] StatisticError),
}

/// A unit of volume that is written in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UnitName(pub VolumeUnit);

impl fmt::Display for UnitName {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self.0 {
            VolumeUnit::BoardFoot => "board feet",
            VolumeUnit::CubicFoot => "cubic feet",
            VolumeUnit::CubicMetre => "cubic metres",
            VolumeUnit::Cord => "cords",
            VolumeUnit::StackedCubicMetre => "stacked cubic metres",
        })
    }
}

/// What was sawed over or under the scale, with everything that the figure depends on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Overrun {
    /// On which scale it stands.
    pub base: ScaleBase,
    /// The rule of that scale.
    pub rule: String,
    /// The unit of the scale and of the tally.
    pub unit: VolumeUnit,
    /// The state that the lumber was tallied in.
    pub lumber: LumberState,
    /// The tally.
    pub tally: Fixed,
    /// The scale.
    pub scale: Fixed,
    /// Tally less scale; below zero where less was sawed than scaled.
    pub difference: Fixed,
    /// The difference in percent of the scale, to two decimals, halves away from zero. Below zero it is called underrun.
    pub percent: Fixed,
}

/// How many decimals an overrun is told with.
const PLACES: u8 = 2;

/// Holds a tally against a scale.
///
/// # Errors
///
/// [`Incomparable`].
///
/// ```
/// use audit::{LogScale, LumberState, ScaleBase, Tally, overrun};
/// use kernel::VolumeUnit;
/// let tally = Tally { board_feet: "1150".parse()?, state: LumberState::RoughGreen };
/// let scale = LogScale { rule: "doyle".to_owned(), unit: VolumeUnit::BoardFoot, gross: "1250".parse()?, net: "1000".parse()? };
/// assert_eq!(overrun(tally, &scale, ScaleBase::Net)?.percent.to_string(), "15");
/// assert_eq!(overrun(tally, &scale, ScaleBase::Gross)?.percent.to_string(), "-8");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn overrun(tally: Tally, scale: &LogScale, base: ScaleBase) -> Result<Overrun, Incomparable> {
    if scale.unit != VolumeUnit::BoardFoot {
        return Err(Incomparable::Unit(UnitName(scale.unit)));
    }
    let scaled = match base {
        ScaleBase::Gross => scale.gross,
        ScaleBase::Net => scale.net,
    };
    if scaled.is_zero() {
        return Err(Incomparable::NothingScaled(base));
    }
    let difference = Number::from(tally.board_feet).minus(&scaled.into());
    let share = difference.over(&scaled.into())?;
    Ok(Overrun {
        base,
        rule: scale.rule.clone(),
        unit: scale.unit,
        lumber: tally.state,
        tally: tally.board_feet,
        scale: scaled,
        difference: difference.shown(6)?,
        percent: share.times(&Number::whole(100)).shown(PLACES)?,
    })
}
