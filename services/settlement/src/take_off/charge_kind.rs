//! What a worker is charged for.

use serde::{Deserialize, Serialize};

/// What a worker is charged for, as records of pay must name it.
///
/// ```
/// use settlement::ChargeKind;
/// assert!(ChargeKind::Board.may_cut_into_minimum());
/// assert!(!ChargeKind::Tools.may_cut_into_minimum());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum ChargeKind {
    /// Meals.
    Board,
    /// A bed.
    Lodging,
    /// Goods from the camp's store.
    Store,
    /// Tools, saws, horses: what the work needs.
    Tools,
    /// Anything else.
    Other,
}

impl ChargeKind {
    /// Every kind, in order.
    ///
    /// ```
    /// assert_eq!(settlement::ChargeKind::ALL.len(), 5);
    /// ```
    pub const ALL: [Self; 5] = [Self::Board, Self::Lodging, Self::Store, Self::Tools, Self::Other];

    /// Whether a charge of this kind can be said to cut into the minimum at all: under 29 CFR 531.36(a) the reasonable
    /// cost of board and lodging, and nothing else.
    ///
    /// ```
    /// assert!(settlement::ChargeKind::Lodging.may_cut_into_minimum());
    /// ```
    #[must_use]
    pub const fn may_cut_into_minimum(self) -> bool {
        matches!(self, Self::Board | Self::Lodging)
    }

    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(settlement::ChargeKind::Store.name(), "store");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Board => "board",
            Self::Lodging => "lodging",
            Self::Store => "store",
            Self::Tools => "tools",
            Self::Other => "other",
        }
    }
}
