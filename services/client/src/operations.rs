//! The operations of the API, one file for each area.

mod access_grants;
mod access_tokens;
mod accounts;
mod advances;
mod audit;
mod balances;
mod charges;
mod check_scales;
mod contracts;
mod crews;
mod cruises;
mod event_subscriptions;
mod exceptions;
mod health;
mod holdback;
mod jobs;
mod journal;
mod log_tables;
mod machine_keys;
mod mill_tallies;
mod mills;
mod outfits;
mod papers;
mod payments;
mod problems;
mod reports;
mod reversals;
mod rules;
mod scale;
mod scale_books;
mod scaler_certificates;
mod seals;
mod settlements;
mod sign_in;
mod statements;
mod tickets;
mod time;
mod token_keys;
mod unpriced;
mod wage_terms;
mod workers;

pub use access_grants::AccessQuery;
pub use advances::AdvanceQuery;
pub use audit::{AuditQuery, ChangeQuery, SpanQuery};
pub use charges::ChargeQuery;
pub use check_scales::{CheckScaleQuery, ComparisonQuery};
pub use cruises::{CruiseQuery, CutOutQuery, EstimateQuery};
pub use event_subscriptions::DeliveryQuery;
pub use exceptions::{ExceptionQuery, TurnCountQuery};
pub use journal::{ExportQuery, JournalQuery};
pub use mill_tallies::{MillTallyQuery, OverrunQuery};
pub use papers::PaperOf;
pub use payments::PaymentQuery;
pub use reports::ReportQuery;
pub(crate) use scale_books::in_path;
pub use scaler_certificates::CertificateQuery;
pub use seals::SealedRecord;
pub use settlements::{PostedSettlement, SettlementQuery};
pub use statements::StatementQuery;
pub use tickets::{Posted, TicketQuery};
pub use time::TimeQuery;
pub use unpriced::UnpricedQuery;

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
    "list_access",
    "revoke_access",
    "register_account",
    "list_accounts",
    "issue_enrolment",
    "set_password",
    "close_account",
    "make_machine_key",
    "sign_in",
    "sign_in_externally",
    "refresh_sign_in",
    "sign_out",
    "show_token_keys",
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
    "list_practices",
    "file_log_table",
    "list_log_tables",
    "show_log_table",
    "check_log_table",
    "file_contract",
    "list_contracts",
    "show_contract",
    "file_terms",
    "preview_terms",
    "list_rules",
    "scale",
    "scale_piece",
    "post_ticket",
    "post_tickets",
    "post_ticket_sheet",
    "ticket_sheet_template",
    "list_tickets",
    "show_ticket",
    "correct_ticket",
    "show_working",
    "explain_ticket",
    "explain_piece",
    "set_aside",
    "list_unpriced",
    "list_scale_books",
    "list_gaps",
    "void_numbers",
    "list_voided_numbers",
    "file_scaler_certificate",
    "list_scaler_certificates",
    "file_check_scale",
    "list_check_scales",
    "show_check_scale",
    "file_volume_adjustment",
    "reverse_volume_adjustment",
    "file_time",
    "list_time",
    "draft_settlement",
    "list_settlements",
    "show_settlement",
    "post_settlement",
    "explain_line",
    "rederive_settlement",
    "show_crew_sheet",
    "list_statements",
    "show_statement",
    "explain_statement_line",
    "make_seal",
    "list_seals",
    "show_seal",
    "show_seal_inclusion",
    "show_seal_consistency",
    "export_sealed_records",
    "check_seal",
    "list_seal_keys",
    "file_wage_terms",
    "list_wage_terms",
    "file_charge",
    "list_charges",
    "file_advance",
    "list_advances",
    "file_payment",
    "list_payments",
    "list_holdback",
    "release_holdback",
    "file_reversal",
    "list_journal",
    "show_journal_entry",
    "show_trial_balance",
    "export_journal",
    "list_balances",
    "file_mill_tally",
    "list_mill_tallies",
    "show_mill_tally",
    "withdraw_mill_tally",
    "file_cruise",
    "list_cruises",
    "show_cruise",
    "withdraw_cruise",
    "audit_volume_against_pay",
    "audit_margin",
    "audit_overrun",
    "audit_cut_out",
    "list_changes",
    "list_exceptions",
    "summarize_exceptions",
    "file_turn_count",
    "list_turn_counts",
    "report_audit",
    "file_event_subscription",
    "list_event_subscriptions",
    "show_event_subscription",
    "end_event_subscription",
    "make_signing_secret",
    "try_event_subscription",
    "list_deliveries",
    "list_dead_letters",
    "replay_dead_letters",
    "live",
    "ready",
    "show_problem",
];
