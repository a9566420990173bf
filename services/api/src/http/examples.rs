//! Examples for the API document: what one invented outfit sent and was answered, taken from the running service.
//!
//! The files in `examples/` are written and held to the service by the test `service::examples`, which says how to
//! write them anew.

/// The media type of nearly everything that is answered (RFC 8259).
pub const JSON: &str = "application/json";

/// The media type of documents (ISO 32000-1, RFC 8118).
pub const PDF: &str = "application/pdf";

/// An answer in one media type.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The media type, without parameters.
    pub media_type: &'static str,
    /// The body.
    pub text: &'static str,
}

/// A document is not to be read as text: its first bytes stand for it.
const DOCUMENT: Answer = Answer { media_type: PDF, text: "%PDF-1.7" };

/// What is sent to an operation, and what it answers when it does what it was asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Example {
    /// The operation's id.
    pub operation: &'static str,
    /// What is sent; none for an operation without a body.
    pub request: Option<&'static str>,
    /// What is answered, in each media type that it is answered in.
    pub responses: &'static [Answer],
}

macro_rules! examples {
    (@request takes_body $operation:literal) => {
        Some(include_str!(concat!("../../examples/", $operation, ".request.json")))
    };
    (@request takes_lines $operation:literal) => {
        Some(include_str!(concat!("../../examples/", $operation, ".request.ndjson")))
    };
    (@request takes_sheet $operation:literal) => {
        Some(include_str!(concat!("../../examples/", $operation, ".request.csv")))
    };
    (@request $kind:ident $operation:literal) => {
        None
    };
    (@responses answers_text $operation:literal) => {
        &[
            Answer {
                media_type: "text/csv",
                text: include_str!(concat!("../../examples/", $operation, ".response.csv")),
            },
            Answer {
                media_type: "text/plain",
                text: include_str!(concat!("../../examples/", $operation, ".response.txt")),
            },
        ]
    };
    (@responses answers_report $operation:literal) => {
        &[
            Answer {
                media_type: JSON,
                text: include_str!(concat!("../../examples/", $operation, ".response.json")),
            },
            Answer {
                media_type: "text/csv",
                text: include_str!(concat!("../../examples/", $operation, ".response.csv")),
            },
            Answer {
                media_type: "text/html",
                text: include_str!(concat!("../../examples/", $operation, ".response.html")),
            },
            DOCUMENT,
        ]
    };
    (@responses on_paper $operation:literal) => {
        &[
            Answer {
                media_type: JSON,
                text: include_str!(concat!("../../examples/", $operation, ".response.json")),
            },
            Answer {
                media_type: "text/html",
                text: include_str!(concat!("../../examples/", $operation, ".response.html")),
            },
            DOCUMENT,
        ]
    };
    (@responses takes_lines $operation:literal) => {
        &[Answer {
            media_type: "application/x-ndjson",
            text: include_str!(concat!("../../examples/", $operation, ".response.ndjson")),
        }]
    };
    (@responses answers_lines $operation:literal) => {
        &[Answer {
            media_type: "application/x-ndjson",
            text: include_str!(concat!("../../examples/", $operation, ".response.ndjson")),
        }]
    };
    (@responses answers_sheet $operation:literal) => {
        &[Answer {
            media_type: "text/csv",
            text: include_str!(concat!("../../examples/", $operation, ".response.csv")),
        }]
    };
    (@responses lists $operation:literal) => {
        &[
            Answer {
                media_type: JSON,
                text: include_str!(concat!("../../examples/", $operation, ".response.json")),
            },
            Answer {
                media_type: "text/csv",
                text: include_str!(concat!("../../examples/", $operation, ".response.csv")),
            },
        ]
    };
    (@responses explains $operation:literal) => {
        &[
            Answer {
                media_type: JSON,
                text: include_str!(concat!("../../examples/", $operation, ".response.json")),
            },
            Answer {
                media_type: "text/plain",
                text: include_str!(concat!("../../examples/", $operation, ".response.txt")),
            },
        ]
    };
    (@responses $kind:ident $operation:literal) => {
        &[Answer {
            media_type: JSON,
            text: include_str!(concat!("../../examples/", $operation, ".response.json")),
        }]
    };
    ($($kind:ident: $operation:literal;)+) => {
        /// The example of every operation.
        pub static EXAMPLES: &[Example] = &[$(Example {
            operation: $operation,
            request: examples!(@request $kind $operation),
            responses: examples!(@responses $kind $operation),
        },)+];
    };
}

examples! {
    takes_body: "open_outfit";
    no_body: "show_outfit";
    takes_body: "grant_access";
    lists: "list_access";
    takes_body: "revoke_access";
    takes_body: "register_account";
    lists: "list_accounts";
    takes_body: "issue_enrolment";
    takes_body: "set_password";
    takes_body: "close_account";
    takes_body: "make_machine_key";
    takes_body: "sign_in";
    takes_body: "sign_in_externally";
    takes_body: "refresh_sign_in";
    takes_body: "sign_out";
    no_body: "show_token_keys";
    takes_body: "file_worker";
    lists: "list_workers";
    takes_body: "file_crew";
    lists: "list_crews";
    takes_body: "file_share_set";
    takes_body: "file_mill";
    lists: "list_mills";
    takes_body: "file_job";
    lists: "list_jobs";
    takes_body: "file_landing";
    lists: "list_practices";
    takes_body: "file_log_table";
    lists: "list_log_tables";
    no_body: "show_log_table";
    takes_body: "check_log_table";
    takes_body: "file_contract";
    lists: "list_contracts";
    no_body: "show_contract";
    takes_body: "file_terms";
    takes_body: "preview_terms";
    lists: "list_rules";
    takes_body: "scale";
    takes_body: "scale_piece";
    takes_body: "post_ticket";
    takes_lines: "post_tickets";
    takes_sheet: "post_ticket_sheet";
    answers_sheet: "ticket_sheet_template";
    lists: "list_tickets";
    on_paper: "show_ticket";
    takes_body: "correct_ticket";
    no_body: "show_working";
    explains: "explain_ticket";
    explains: "explain_piece";
    takes_body: "set_aside";
    lists: "list_unpriced";
    lists: "list_scale_books";
    lists: "list_gaps";
    takes_body: "void_numbers";
    lists: "list_voided_numbers";
    takes_body: "file_scaler_certificate";
    lists: "list_scaler_certificates";
    takes_body: "file_check_scale";
    lists: "list_check_scales";
    no_body: "show_check_scale";
    takes_body: "file_volume_adjustment";
    takes_body: "reverse_volume_adjustment";
    takes_body: "file_time";
    lists: "list_time";
    takes_body: "draft_settlement";
    lists: "list_settlements";
    no_body: "show_settlement";
    no_body: "post_settlement";
    explains: "explain_line";
    explains: "rederive_settlement";
    on_paper: "show_crew_sheet";
    lists: "list_statements";
    on_paper: "show_statement";
    explains: "explain_statement_line";
    takes_body: "make_seal";
    lists: "list_seals";
    no_body: "show_seal";
    no_body: "show_seal_inclusion";
    no_body: "show_seal_consistency";
    answers_lines: "export_sealed_records";
    no_body: "check_seal";
    lists: "list_seal_keys";
    takes_body: "file_wage_terms";
    lists: "list_wage_terms";
    takes_body: "file_charge";
    lists: "list_charges";
    takes_body: "file_advance";
    lists: "list_advances";
    takes_body: "file_payment";
    lists: "list_payments";
    lists: "list_holdback";
    takes_body: "release_holdback";
    takes_body: "file_reversal";
    lists: "list_journal";
    no_body: "show_journal_entry";
    no_body: "show_trial_balance";
    answers_text: "export_journal";
    lists: "list_balances";
    takes_body: "file_mill_tally";
    lists: "list_mill_tallies";
    no_body: "show_mill_tally";
    takes_body: "withdraw_mill_tally";
    takes_body: "file_cruise";
    lists: "list_cruises";
    no_body: "show_cruise";
    takes_body: "withdraw_cruise";
    no_body: "audit_volume_against_pay";
    no_body: "audit_margin";
    no_body: "audit_overrun";
    no_body: "audit_cut_out";
    lists: "list_changes";
    lists: "list_exceptions";
    no_body: "summarize_exceptions";
    takes_body: "file_turn_count";
    lists: "list_turn_counts";
    answers_report: "report_audit";
    takes_body: "file_event_subscription";
    lists: "list_event_subscriptions";
    no_body: "show_event_subscription";
    takes_body: "end_event_subscription";
    takes_body: "make_signing_secret";
    takes_body: "try_event_subscription";
    lists: "list_deliveries";
    lists: "list_dead_letters";
    takes_body: "replay_dead_letters";
    no_body: "live";
    no_body: "ready";
    no_body: "show_problem";
}

/// The example of an operation.
#[must_use]
pub fn of(operation: &str) -> Option<&'static Example> {
    EXAMPLES.iter().find(|example| example.operation == operation)
}
