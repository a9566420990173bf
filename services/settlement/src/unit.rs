//! The units that rates are quoted in, and whether a volume counts gross or net.

use kernel::VolumeUnit;
use serde::{Deserialize, Serialize};

/// The unit that a price is for.
///
/// Work is counted in a smaller or equal unit, the counted unit: a price for a thousand board feet is applied to
/// a count of board feet.
///
/// ```
/// use kernel::VolumeUnit;
/// use settlement::RateUnit;
/// assert_eq!(RateUnit::ThousandBoardFeet.volume_unit(), Some(VolumeUnit::BoardFoot));
/// assert_eq!(RateUnit::ThousandBoardFeet.counted_per_unit(), 1000);
/// assert_eq!(RateUnit::Piece.volume_unit(), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum RateUnit {
    /// A thousand board feet of scale; counted in board feet.
    ThousandBoardFeet,
    /// A thousand board feet of scale hauled one mile; counted in board foot-miles, board feet × the turn's haul.
    ThousandBoardFeetMile,
    /// A piece, whatever its size.
    Piece,
    /// A foot of length.
    LinearFoot,
    /// A metre of length, of pieces scaled in metres.
    LinearMetre,
    /// A cubic foot of scale.
    CubicFoot,
    /// A hundred cubic feet of scale; counted in cubic feet.
    HundredCubicFeet,
    /// A cubic metre of scale.
    CubicMetre,
    /// A cord of ranked pile: 128 cubic feet of filled space.
    Cord,
    /// A stacked cubic metre of ranked pile: filled space, never solid wood.
    StackedCubicMetre,
    /// A turn: one load, whatever is on it.
    Turn,
    /// An hour of paid time.
    Hour,
    /// A day with any paid time in it.
    Day,
}

impl RateUnit {
    /// Every unit, in order.
    ///
    /// ```
    /// assert_eq!(settlement::RateUnit::ALL.len(), 13);
    /// ```
    pub const ALL: [Self; 13] = [
        Self::ThousandBoardFeet,
        Self::ThousandBoardFeetMile,
        Self::Piece,
        Self::LinearFoot,
        Self::LinearMetre,
        Self::CubicFoot,
        Self::HundredCubicFeet,
        Self::CubicMetre,
        Self::Cord,
        Self::StackedCubicMetre,
        Self::Turn,
        Self::Hour,
        Self::Day,
    ];

    /// Whether it is a unit of time.
    ///
    /// ```
    /// use settlement::RateUnit;
    /// assert!(RateUnit::Hour.is_time() && RateUnit::Day.is_time() && !RateUnit::Turn.is_time());
    /// ```
    #[must_use]
    pub const fn is_time(self) -> bool {
        matches!(self, Self::Hour | Self::Day)
    }

    /// The unit that a piece's volume must be in for this rate unit; none for what is not paid by volume.
    ///
    /// ```
    /// use kernel::VolumeUnit;
    /// use settlement::RateUnit;
    /// assert_eq!(RateUnit::HundredCubicFeet.volume_unit(), Some(VolumeUnit::CubicFoot));
    /// assert_eq!(RateUnit::Turn.volume_unit(), None);
    /// ```
    #[must_use]
    pub const fn volume_unit(self) -> Option<VolumeUnit> {
        match self {
            Self::ThousandBoardFeet | Self::ThousandBoardFeetMile => Some(VolumeUnit::BoardFoot),
            Self::CubicFoot | Self::HundredCubicFeet => Some(VolumeUnit::CubicFoot),
            Self::CubicMetre => Some(VolumeUnit::CubicMetre),
            Self::Cord => Some(VolumeUnit::Cord),
            Self::StackedCubicMetre => Some(VolumeUnit::StackedCubicMetre),
            Self::Piece | Self::LinearFoot | Self::LinearMetre | Self::Turn | Self::Hour | Self::Day => None,
        }
    }

    /// How many of the counted unit make one priced unit.
    ///
    /// ```
    /// use settlement::RateUnit;
    /// assert_eq!(RateUnit::HundredCubicFeet.counted_per_unit(), 100);
    /// assert_eq!(RateUnit::CubicMetre.counted_per_unit(), 1);
    /// ```
    #[must_use]
    pub const fn counted_per_unit(self) -> u16 {
        match self {
            Self::ThousandBoardFeet | Self::ThousandBoardFeetMile => 1000,
            Self::HundredCubicFeet => 100,
            _ => 1,
        }
    }

    /// Whether it measures the space a ranked pile fills, which no other product is measured by.
    ///
    /// ```
    /// use settlement::RateUnit;
    /// assert!(RateUnit::Cord.is_stacked() && !RateUnit::CubicMetre.is_stacked());
    /// ```
    #[must_use]
    pub const fn is_stacked(self) -> bool {
        matches!(self, Self::Cord | Self::StackedCubicMetre)
    }

    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(settlement::RateUnit::LinearFoot.name(), "linear_foot");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ThousandBoardFeet => "thousand_board_feet",
            Self::ThousandBoardFeetMile => "thousand_board_feet_mile",
            Self::Piece => "piece",
            Self::LinearFoot => "linear_foot",
            Self::LinearMetre => "linear_metre",
            Self::CubicFoot => "cubic_foot",
            Self::HundredCubicFeet => "hundred_cubic_feet",
            Self::CubicMetre => "cubic_metre",
            Self::Cord => "cord",
            Self::StackedCubicMetre => "stacked_cubic_metre",
            Self::Turn => "turn",
            Self::Hour => "hour",
            Self::Day => "day",
        }
    }
}

impl std::fmt::Display for RateUnit {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(self.name())
    }
}

/// Which scale a volume rate pays on.
///
/// There is no default. Who bears defect is agreed between the parties: under net scale the one who is paid bears
/// it, under gross scale the one who pays.
///
/// ```
/// use settlement::Basis;
/// assert_eq!(serde_json::to_string(&Basis::Gross)?, "\"gross\"");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Basis {
    /// The whole volume, defects and all.
    Gross,
    /// The volume after the deductions for defect.
    Net,
}

impl Basis {
    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(settlement::Basis::Net.name(), "net");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Gross => "gross",
            Self::Net => "net",
        }
    }
}
