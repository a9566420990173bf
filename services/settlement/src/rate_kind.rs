//! What a rate does to pay: sets it, adds to it, or takes off from it.

use serde::{Deserialize, Serialize};

/// What a rate does to the pay of a piece.
///
/// A piece has its price from exactly one `price` rate for each task. Premiums and dockages go on top, as many as
/// cover the piece, and never make a price by themselves.
///
/// ```
/// use settlement::RateKind;
/// assert_eq!(RateKind::default(), RateKind::Price);
/// assert_eq!(serde_json::to_string(&RateKind::Dockage)?, "\"dockage\"");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum RateKind {
    /// Pays for the work.
    #[default]
    Price,
    /// Adds to what a price pays for the same piece and task.
    Premium,
    /// Takes off from what a price pays for the same piece and task; its price is written positive.
    Dockage,
}

impl RateKind {
    /// Whether it is the plain kind, which JSON leaves out.
    pub(crate) fn is_price(&self) -> bool {
        *self == Self::Price
    }
}
