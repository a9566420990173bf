//! The few words of the trade that scaling and settlement both use without knowing each other.

use serde::{Deserialize, Serialize};

/// What a piece of timber is, as it is scaled and paid for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Product {
    /// A round log.
    Log,
    /// A stick hewn square or on two sides.
    HewnTimber,
    /// A crosstie.
    Tie,
    /// A pole or pile, measured by its length.
    Pole,
    /// A pile of sticks of one length, ranked side by side and measured as it stands.
    RankedPile,
}

impl Product {
    /// The name used in JSON.
    ///
    /// ```
    /// assert_eq!(kernel::Product::HewnTimber.name(), "hewn_timber");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Log => "log",
            Self::HewnTimber => "hewn_timber",
            Self::Tie => "tie",
            Self::Pole => "pole",
            Self::RankedPile => "ranked_pile",
        }
    }

    /// What it is called on paper.
    ///
    /// ```
    /// assert_eq!(kernel::Product::HewnTimber.words(), "hewn timber");
    /// ```
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Log => "log",
            Self::HewnTimber => "hewn timber",
            Self::Tie => "tie",
            Self::Pole => "pole",
            Self::RankedPile => "ranked pile",
        }
    }
}

/// The unit a volume is given in. Nothing converts one into another: a contract's rule decides.
///
/// The stacked units hold wood, bark and the air between the sticks. They are never counted with solid wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum VolumeUnit {
    /// A board 1 inch thick, 12 inches wide and 1 foot long.
    BoardFoot,
    /// 1,728 cubic inches of solid wood.
    CubicFoot,
    /// A cubic metre of solid wood.
    CubicMetre,
    /// A cord: 128 cubic feet of space filled with ranked sticks, wood, bark and air together.
    Cord,
    /// A cubic metre of space filled with ranked sticks, wood, bark and air together; also called a stere.
    StackedCubicMetre,
}

impl VolumeUnit {
    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(kernel::VolumeUnit::BoardFoot.name(), "board_foot");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::BoardFoot => "board_foot",
            Self::CubicFoot => "cubic_foot",
            Self::CubicMetre => "cubic_metre",
            Self::Cord => "cord",
            Self::StackedCubicMetre => "stacked_cubic_metre",
        }
    }

    /// What many of them are called on paper.
    ///
    /// ```
    /// assert_eq!(kernel::VolumeUnit::BoardFoot.words(), "board feet");
    /// ```
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::BoardFoot => "board feet",
            Self::CubicFoot => "cubic feet",
            Self::CubicMetre => "cubic metres",
            Self::Cord => "cords",
            Self::StackedCubicMetre => "stacked cubic metres",
        }
    }
}
