//! The tasks that are paid for, from the stump to the mill.

use serde::{Deserialize, Serialize};

/// A task of the woods that a rate can pay for.
///
/// The order is the order in which the tasks come to a tree, and the order in which accruals are listed.
///
/// ```
/// use settlement::Task;
/// assert_eq!(serde_json::to_string(&Task::Skidding)?, "\"skidding\"");
/// assert!(Task::Felling < Task::Hauling);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Task {
    /// Bringing the tree down.
    Felling,
    /// Cutting the stem into logs.
    Bucking,
    /// Taking the bark off.
    Peeling,
    /// Cutting to the line before hewing, so that the waste splits off.
    Scoring,
    /// Squaring with the broadaxe.
    Hewing,
    /// Dragging to the landing.
    Skidding,
    /// Putting the turn on sled, wagon or truck.
    Loading,
    /// Taking the turn to the railhead or the mill.
    Hauling,
    /// Timber handed over to the mill: what the mill pays for.
    Delivery,
}

impl Task {
    /// Every task, in order.
    ///
    /// ```
    /// assert_eq!(settlement::Task::ALL.len(), 9);
    /// ```
    pub const ALL: [Self; 9] = [
        Self::Felling,
        Self::Bucking,
        Self::Peeling,
        Self::Scoring,
        Self::Hewing,
        Self::Skidding,
        Self::Loading,
        Self::Hauling,
        Self::Delivery,
    ];

    /// Whether it is done to a turn as a whole: skidding, loading and hauling.
    ///
    /// ```
    /// use settlement::Task;
    /// assert!(Task::Loading.moves_the_turn() && !Task::Hewing.moves_the_turn());
    /// ```
    #[must_use]
    pub const fn moves_the_turn(self) -> bool {
        matches!(self, Self::Skidding | Self::Loading | Self::Hauling)
    }

    /// The name used in JSON, in the database and in sentences.
    ///
    /// ```
    /// assert_eq!(settlement::Task::Hewing.name(), "hewing");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Felling => "felling",
            Self::Bucking => "bucking",
            Self::Peeling => "peeling",
            Self::Scoring => "scoring",
            Self::Hewing => "hewing",
            Self::Skidding => "skidding",
            Self::Loading => "loading",
            Self::Hauling => "hauling",
            Self::Delivery => "delivery",
        }
    }
}

impl std::fmt::Display for Task {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(self.name())
    }
}
