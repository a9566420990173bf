//! Grants of access as they are shown.

use jiff::Timestamp;
use storage::{GrantKind, GrantState, Reversed};
use wire::{AccessEnded, AccessGrantView, AccessKind, Role, Scope};

use crate::http::refusal::Refusal;

/// A role as the books name it.
///
/// # Errors
///
/// [`wire::Code::Internal`] when the books hold another.
pub fn role(name: &str) -> Result<Role, Refusal> {
    Role::named(name).ok_or_else(|| Refusal::internal(format!("the books hold a role {name}")))
}

/// That something ended, as it is shown.
#[must_use]
pub fn ended(reversed: Reversed) -> AccessEnded {
    AccessEnded { reason: reversed.reason, ended_by: reversed.made.by, ended_at: reversed.made.at }
}

/// A grant as it is shown.
///
/// # Errors
///
/// [`wire::Code::Internal`] when the books hold a role or a scope that is none.
pub fn view(state: GrantState, now: Timestamp) -> Result<AccessGrantView, Refusal> {
    let stands = state.stands_at(now);
    let grant = state.grant;
    let (kind, account_id) = match grant.kind {
        GrantKind::SignIn(account) => (AccessKind::SignIn, Some(account)),
        GrantKind::Token => (AccessKind::Token, None),
        GrantKind::MachineKey => (AccessKind::MachineKey, None),
    };
    let scopes = state.scopes.map(|scopes| scopes.into_iter().map(Scope::try_from).collect()).transpose();
    Ok(AccessGrantView {
        grant_id: grant.id,
        kind,
        subject: grant.subject,
        role: role(&grant.role)?,
        mill_id: grant.mill,
        account_id,
        scopes: scopes.map_err(Refusal::internal)?,
        last_four: state.last_four,
        expires_at: grant.expires,
        refreshed_at: state.refreshed,
        stands,
        revoked: state.revoked.or(state.account_closed).map(ended),
        made_at: grant.made.at,
        made_by: grant.made.by,
    })
}
