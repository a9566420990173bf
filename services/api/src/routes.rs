//! The operations, one to a file: the folder is what it is about, the file is what it does.

use actix_web::http::Method;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::http::operation::Operation;

/// Declares the operations: each is served, documented, guarded and tested from this one list.
macro_rules! operations {
    ($($area:ident { $($verb:ident),+ $(,)? })+) => {
        $(
            #[doc = concat!("Operations on ", stringify!($area), ".")]
            pub mod $area {
                $(pub mod $verb;)+
            }
        )+

        /// Every operation.
        pub static OPERATIONS: &[&Operation] = &[$($(&$area::$verb::OPERATION,)+)+];

        /// Attaches every operation to the application.
        pub fn attach(config: &mut ServiceConfig<'_>) {
            $($(config.service($area::$verb::handle);)+)+
        }
    };
}

/// The one list of operations, handed to the macro named: what they are about, and what they do.
macro_rules! with_operations {
    ($made_of:ident) => {
        $made_of! {
            outfits { open, show }
            access_tokens { grant }
            access_grants { list, revoke }
            accounts { register, list, issue_enrolment, set_password, close }
            machine_keys { make }
            sign_in { begin, external, refresh, end }
            token_keys { show }
            workers { file, list }
            crews { file, list, file_share_set }
            mills { file, list }
            jobs { file, list, file_landing, practices }
            log_tables { file, list, show, check }
            contracts { file, list, show, file_terms, preview_terms }
            rules { list }
            scale { direct, piece }
            tickets { post, post_many, post_sheet, sheet_template, list, show, correct, working, explain, explain_piece, set_aside }
            unpriced { list }
            scale_books { list, gaps, void, voided }
            scaler_certificates { file, list }
            check_scales { file, list, show, adjust, take_back }
            time { file, list }
            settlements { draft, list, show, post, explain, rederive, crew_sheet }
            statements { list, show, explain_line }
            seals { make, list, show, inclusion, consistency, records, check }
            seal_keys { list }
            wage_terms { file, list }
            charges { file, list }
            advances { file, list }
            payments { file, list }
            holdback { list, release }
            reversals { file }
            journal { list, show, trial_balance, export }
            balances { list }
            mill_tallies { file, list, show, withdraw }
            cruises { file, list, show, withdraw }
            audit { volume_against_pay, margin, overrun, cut_out, changes, exceptions, exceptions_by_kind }
            turn_counts { file, list }
            reports { audit }
            event_subscriptions { file, list, show, end, make_secret, trial, deliveries, dead_letters, replay }
            health { live, ready }
            problems { show }
        }
    };
}

#[cfg(test)]
pub(crate) use with_operations;

with_operations!(operations);

/// The operation with this method and path pattern.
pub fn find(method: &Method, pattern: &str) -> Option<&'static Operation> {
    OPERATIONS.iter().find(|operation| operation.method == *method && operation.path == pattern).copied()
}

/// The methods that a path is served with, in the order of their names. What is served with GET is served with HEAD.
pub fn methods_at(path: &str) -> Vec<&'static str> {
    let mut methods: Vec<_> = OPERATIONS
        .iter()
        .filter(|operation| matches(operation.path, path))
        .map(|operation| operation.method.as_str())
        .collect();
    if methods.contains(&"GET") {
        methods.push("HEAD");
    }
    methods.sort_unstable();
    methods
}

fn matches(pattern: &str, path: &str) -> bool {
    let (mut left, mut right) = (pattern.split('/'), path.split('/'));
    loop {
        match (left.next(), right.next()) {
            (None, None) => return true,
            (Some(pattern), Some(part)) if pattern == part => {}
            (Some(pattern), Some(part)) if pattern.starts_with('{') && !part.is_empty() => {}
            _ => return false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_match_whole_paths() {
        assert!(matches("/v1/tickets/{ticket_id}", "/v1/tickets/7"));
        assert!(!matches("/v1/tickets/{ticket_id}", "/v1/tickets/"));
        assert!(!matches("/v1/tickets/{ticket_id}", "/v1/tickets/7/working"));
        assert_eq!(methods_at("/v1/tickets"), ["GET", "HEAD", "POST"]);
        assert!(methods_at("/v1/nothing").is_empty());
    }
}
