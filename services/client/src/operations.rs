//! The operations of the API, one file for each area.

mod access_tokens;
mod audit;
mod contracts;
mod crews;
mod health;
mod jobs;
mod mills;
mod outfits;
mod problems;
mod rules;
mod scale;
mod settlements;
mod statements;
mod tickets;
mod time;
mod unpriced;
mod workers;

pub use audit::AuditQuery;
pub use settlements::{PostedSettlement, SettlementQuery};
pub use statements::StatementQuery;
pub use tickets::{Posted, TicketQuery};
pub use time::TimeQuery;

/// The ids of the operations this client has, each the name of a method of [`Client`](crate::Client), in the order of
/// the service's own list.
///
/// ```
/// assert!(client::OPERATIONS.contains(&"post_ticket"));
/// ```
pub const OPERATIONS: &[&str] = &[
    "open_outfit",
    "show_outfit",
    "grant_access",
    "file_worker",
    "list_workers",
    "file_crew",
    "list_crews",
    "file_share_set",
    "file_mill",
    "list_mills",
    "file_job",
    "list_jobs",
    "file_landing",
    "file_contract",
    "list_contracts",
    "show_contract",
    "file_terms",
    "preview_terms",
    "list_rules",
    "scale",
    "scale_piece",
    "post_ticket",
    "list_tickets",
    "show_ticket",
    "correct_ticket",
    "show_working",
    "set_aside",
    "list_unpriced",
    "file_time",
    "list_time",
    "draft_settlement",
    "list_settlements",
    "show_settlement",
    "post_settlement",
    "explain_line",
    "list_statements",
    "show_statement",
    "audit_volume_against_pay",
    "live",
    "ready",
    "show_problem",
];
