//! Roles: whoever is not on an operation's list is kept out and changes nothing; whoever is on it is let in.

use api::http::operation::Access;
use api::routes::OPERATIONS;
use tests::{Inspector, TestApp};
use wire::{Code, Role};

use crate::world::World;

const ROLES: [Role; 6] =
    [Role::Scaler, Role::Bookkeeper, Role::Contractor, Role::Mill, Role::Manager, Role::Operator];

#[test]
fn a_role_that_is_not_listed_is_kept_out_and_changes_nothing() {
    let app = TestApp::start();
    let world = World::new(&app);
    let database = Inspector::connect(&app.database.url());
    let mut tried = 0;
    for operation in OPERATIONS {
        let Access::Roles(allowed) = operation.access else { continue };
        for role in ROLES.into_iter().filter(|role| !allowed.contains(role)) {
            let sample = world.sample(operation.id);
            let before = database.counts();
            let problem = sample.send(operation, &world.actor(&app, role)).refuses(Code::RoleNotAllowed);
            assert!(problem["detail"].as_str().is_some_and(|text| text.contains(role.name())), "{problem:#}");
            assert_eq!(database.counts(), before, "{} as {}", operation.id, role.name());
            tried += 1;
        }
    }
    assert!(tried > 60, "only {tried} pairs of operation and role were tried");
}

#[test]
fn a_role_that_is_listed_is_let_in() {
    let app = TestApp::start();
    let world = World::new(&app);
    for operation in OPERATIONS {
        let Access::Roles(allowed) = operation.access else { continue };
        let mut done = 0;
        for role in allowed {
            let reply = world.sample(operation.id).send(operation, &world.actor(&app, *role)).documented();
            let kept_out = [Code::RoleNotAllowed, Code::NoToken, Code::TokenRefused, Code::Internal];
            assert!(
                reply.code().is_none_or(|code| !kept_out.contains(&code)),
                "{} as {}: {:#}",
                operation.id,
                role.name(),
                reply.body
            );
            done += u8::from(reply.status < 300);
        }
        // What can be done once (a correction) is done by the first who comes; the others are told so.
        assert!(done > 0, "{}: nobody succeeded, so the request says nothing about roles", operation.id);
    }
}

/// What a mill may ask for, each answered with its own part only.
const A_MILL_SEES: &[&str] = &[
    "show_outfit",
    "scale",
    "list_contracts",
    "show_contract",
    "list_tickets",
    "show_ticket",
    "show_working",
    "explain_ticket",
    "explain_piece",
    "list_statements",
    "show_statement",
    "explain_statement_line",
    "audit_volume_against_pay",
    "report_audit",
    "list_mill_tallies",
    "show_mill_tally",
    "audit_overrun",
    "list_check_scales",
    "show_check_scale",
    "list_seals",
    "show_seal",
    "show_seal_inclusion",
    "show_seal_consistency",
    "list_seal_keys",
];

/// Parts of the names of operations that are about pay.
const HIDDEN_FROM_SCALERS: &[&str] = &[
    "settlement",
    "statement",
    "contract",
    "audit",
    "explain",
    "rederive",
    "worker",
    "wage",
    "charge",
    "advance",
    "payment",
    "holdback",
    "reversal",
    "journal",
    "balance",
    "crew_sheet",
    "exception",
    "turn_count",
    "seal",
];

/// The lists themselves: widening one must be a decision, made here too.
#[test]
fn the_lists_of_roles_are_what_was_decided() {
    for operation in OPERATIONS {
        let Access::Roles(allowed) = operation.access else { continue };
        let id = operation.id;
        let has = |role| allowed.contains(&role);
        assert_eq!(has(Role::Operator), id == "open_outfit", "{id}: the operator sees nobody's books");
        assert_eq!(
            has(Role::Manager),
            id != "open_outfit",
            "{id}: a manager does everything within the outfit"
        );
        if has(Role::Contractor) && operation.takes_body() {
            assert!(matches!(id, "scale" | "scale_piece"), "{id}: an auditor changes nothing");
        }
        if has(Role::Mill) {
            assert!(A_MILL_SEES.contains(&id), "{id}: a mill sees its own part and changes nothing");
        }
        if has(Role::Scaler) {
            assert!(
                !HIDDEN_FROM_SCALERS.iter().any(|part| id.contains(part)),
                "{id}: pay is not the scaler's business"
            );
            // Whoever scales is not to be led by what others measured of the same wood.
            let led_by = ["tally", "tallies", "cruise", "overrun", "cut_out"];
            assert!(!led_by.iter().any(|part| id.contains(part)), "{id}: a scale stands by itself");
        }
        if operation.body_type().is_none() && operation.method != actix_web::http::Method::GET {
            assert_eq!(id, "post_settlement", "{id}: is it known who may do this?");
        }
    }
}
