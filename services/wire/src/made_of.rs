//! What a figure is made of: where to look, one step further down.

use serde::{Deserialize, Serialize};

/// The kind of thing that a figure is made of.
///
/// ```
/// assert_eq!(serde_json::to_string(&wire::MadeOfKind::SettlementLine)?, "\"settlement_line\"");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum MadeOfKind {
    /// The list of its tickets, with what contracts make of each piece; each ticket has its working.
    Tickets,
    /// A posted line of a settlement, with its arithmetic, its tickets and their sticks.
    SettlementLine,
    /// The list of hours.
    TimeEntries,
    /// The list of statements.
    Statements,
    /// The list of payments; one that was taken back says so and does not count.
    Payments,
    /// The list of what accounts stand at.
    Balances,
}

/// Where to find something that a figure is made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MadeOf {
    /// What is there.
    pub kind: MadeOfKind,
    /// Its address, relative to the service's own (RFC 3986, section 4.2); open to whoever may see the figure.
    pub address: String,
}

impl MadeOf {
    /// Something of this kind at this address.
    ///
    /// ```
    /// use wire::{MadeOf, MadeOfKind};
    /// let tickets = MadeOf::new(MadeOfKind::Tickets, "/v1/tickets?from=2031-06-01");
    /// assert!(tickets.address.starts_with("/v1/"));
    /// ```
    #[must_use]
    pub fn new(kind: MadeOfKind, address: impl Into<String>) -> Self {
        Self { kind, address: address.into() }
    }
}
