//! Keys for machines, at the door.

use wire::{Code, Role, Scope};

use super::secrets;
use crate::http::caller::Member;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// Who sends this key, and what it may be used for.
///
/// # Errors
///
/// [`Code::TokenRefused`], [`Code::TokenExpired`] or [`Code::AccessRevoked`].
pub async fn check(service: &Service, key: &str) -> Result<(Member, Vec<Scope>), Refusal> {
    let refused = || Refusal::new(Code::TokenRefused, "the key is not one of this service");
    let outfit = secrets::outfit_of_machine_key(key).ok_or_else(refused)?;
    let hash = secrets::hash(key);
    let found = service.store.read(outfit, async |books| books.machine_key(&hash).await);
    let found = found.await?.ok_or_else(refused)?;
    if found.revoked.is_some() {
        return Err(Refusal::new(Code::AccessRevoked, "this key was revoked"));
    }
    let grant = found.grant;
    if grant.expires <= service.clock.now() {
        return Err(Refusal::new(Code::TokenExpired, format!("the key expired at {}", grant.expires)));
    }
    let role =
        Role::named(&grant.role).ok_or_else(|| Refusal::internal("a grant has a role that is not known"))?;
    let scopes = found.scopes.unwrap_or_default();
    let scopes = scopes.into_iter().filter_map(|scope| Scope::try_from(scope).ok()).collect();
    let member = Member { outfit, role, subject: grant.subject, mill: grant.mill, grant: Some(grant.id) };
    Ok((member, scopes))
}
