//! Being signed in: the pair of tokens, and exchanging it for the next.
//!
//! A refresh token is good once; used again, it is taken for stolen, and the sign-in is revoked. An answer that was
//! lost on its way would look the same. So the next token is worked out of the one that was sent, with a key of the
//! service's: whoever sends the same again within two minutes, before its answer was used, gets the very same next
//! token. A thief who does so gains nothing that the next use of either copy does not bring to light.

use jiff::{SignedDuration, Timestamp};
use kernel::{GrantId, OutfitId};
use storage::{Account, Books, Grant, GrantKind, KnownRefreshToken, RefreshToken, Stamp};
use wire::{Code, Secret, SignedIn};

use super::grants::role;
use super::secrets;
use crate::http::caller::{Caller, Member};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// Who revokes a sign-in that looks stolen: the service itself.
pub const SERVICE: &str = "skidway";
/// How long an access token is good.
const ACCESS: SignedDuration = SignedDuration::from_mins(15);
/// How long a refresh token is good, unused.
const REFRESH: SignedDuration = SignedDuration::from_hours(14 * 24);
/// After how long signing in again is needed, however often it was refreshed.
const WHOLE: SignedDuration = SignedDuration::from_hours(60 * 24);
/// For how long the same refresh may be sent again: longer than a patient caller waits for an answer.
const LOST_ANSWER: SignedDuration = SignedDuration::from_mins(2);

/// What came of exchanging a refresh token.
#[derive(Debug)]
pub enum Refreshed {
    /// The next pair.
    Next(Box<SignedIn>),
    /// The token had been used before: the sign-in is revoked, which must be kept.
    Reused(GrantId),
}

/// The earlier of a time after now, and an end.
fn at_most(now: Timestamp, lasting: SignedDuration, end: Timestamp) -> Result<Timestamp, Refusal> {
    Ok(now.checked_add(lasting).map_err(Refusal::internal)?.min(end))
}

fn refused(why: &str) -> Refusal {
    Refusal::new(Code::RefreshRefused, format!("the refresh token {why}"))
}

/// Grants access to somebody who has shown that an account is theirs.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn begin(books: &mut Books, service: &Service, account: &Account) -> Result<SignedIn, Refusal> {
    let now = service.clock.now();
    let grant = Grant {
        id: service.ids.make(),
        kind: GrantKind::SignIn(account.id),
        subject: account.name.clone(),
        role: account.role.clone(),
        mill: account.mill,
        expires: now.checked_add(WHOLE).map_err(Refusal::internal)?,
        made: Stamp { at: now, by: account.name.clone() },
    };
    books.add_grant(&grant, None).await?;
    let outfit = books.outfit();
    let text = secrets::refresh_token(outfit, service.entropy.as_ref())?;
    let token = RefreshToken {
        id: service.ids.make(),
        grant: grant.id,
        token_hash: secrets::hash(text.reveal()),
        follows: None,
        expires: at_most(now, REFRESH, grant.expires)?,
        at: now,
    };
    books.add_refresh_token(&token).await?;
    pair(service, outfit, &grant, text, token.expires)
}

/// Exchanges a refresh token for the next pair.
///
/// # Errors
///
/// [`Code::RefreshRefused`] when the token is not good. [`Refreshed::Reused`] is no error: what it wrote must be kept.
pub async fn refresh(books: &mut Books, service: &Service, sent: &Secret) -> Result<Refreshed, Refusal> {
    let hash = secrets::hash(sent.reveal());
    let known = books.refresh_token(&hash).await?.ok_or_else(|| refused("is not one of this service"))?;
    let now = service.clock.now();
    let state = books.grant(known.token.grant).await?.ok_or_else(|| refused("is not one of this service"))?;
    if !state.stands_at(now) {
        return Err(refused("belongs to a sign-in that has ended"));
    }
    let outfit = books.outfit();
    let text = secrets::refresh_token_of(outfit, &service.tokens.successor(sent.reveal()))?;
    let next_hash = secrets::hash(text.reveal());
    if let Some(next) = &known.next {
        if sent_again(&known, next, &next_hash, now) {
            let signed_in = pair(service, outfit, &state.grant, text, next.expires)?;
            return Ok(Refreshed::Next(Box::new(signed_in)));
        }
        let made = Stamp { at: now, by: SERVICE.to_owned() };
        books.revoke(state.grant.id, "a refresh token was used twice", &made).await?;
        return Ok(Refreshed::Reused(state.grant.id));
    }
    if known.token.expires <= now {
        return Err(refused("has expired"));
    }
    let next = RefreshToken {
        id: service.ids.make(),
        grant: state.grant.id,
        token_hash: next_hash,
        follows: Some(known.token.id),
        expires: at_most(now, REFRESH, state.grant.expires)?,
        at: now,
    };
    books.add_refresh_token(&next).await?;
    let signed_in = pair(service, outfit, &state.grant, text, next.expires)?;
    Ok(Refreshed::Next(Box::new(signed_in)))
}

/// Whether a used token is sent again because the answer to it was lost.
fn sent_again(known: &KnownRefreshToken, next: &RefreshToken, next_hash: &[u8; 32], now: Timestamp) -> bool {
    let soon = next.at.checked_add(LOST_ANSWER).is_ok_and(|end| now < end);
    // With another key of the service's the next token comes out differently, and cannot be told again.
    soon && !known.next_used && next.token_hash == *next_hash
}

fn pair(
    service: &Service,
    outfit: OutfitId,
    grant: &Grant,
    refresh_token: Secret,
    refresh_expires_at: Timestamp,
) -> Result<SignedIn, Refusal> {
    let now = service.clock.now();
    let member = Member {
        outfit,
        role: role(&grant.role)?,
        subject: grant.subject.clone(),
        mill: grant.mill,
        grant: Some(grant.id),
    };
    let lifetime = at_most(now, ACCESS, grant.expires)?.duration_since(now);
    let (role, subject, mill_id) = (member.role, member.subject.clone(), member.mill);
    let (access_token, expires_at) = service.tokens.grant(&Caller::Member(member), lifetime)?;
    Ok(SignedIn {
        access_token: access_token.try_into().map_err(Refusal::internal)?,
        expires_at,
        refresh_token,
        refresh_expires_at,
        sign_in_expires_at: grant.expires,
        grant_id: grant.id,
        outfit_id: outfit,
        subject,
        role,
        mill_id,
    })
}
