//! Access tokens: JSON Web Tokens signed with Ed25519, checked as RFC 8725 advises.

use std::sync::Arc;

use aws_lc_rs::signature::{Ed25519KeyPair, KeyPair};
use jiff::{SignedDuration, Timestamp};
use jsonwebtoken::{Algorithm, DecodingKey, EncodingKey, Header, Validation};
use kernel::{Clock, IdSource, MillId, OutfitId, TokenId};
use serde::{Deserialize, Serialize};
use wire::{Code, Role};

use super::caller::{Caller, Member};
use super::refusal::Refusal;

/// Who signs the tokens and who is meant to read them: this service, both times.
const SERVICE: &str = "skidway";
/// The type of an access token (RFC 9068), so that no other kind of token can pass for one.
const ACCESS_TOKEN: &str = "at+jwt";
/// How much the clocks of two instances of the service may differ.
const LEEWAY: SignedDuration = SignedDuration::from_secs(5);

/// What a token says.
#[derive(Debug, Serialize, Deserialize)]
struct Claims {
    iss: String,
    aud: String,
    sub: String,
    iat: i64,
    exp: i64,
    jti: TokenId,
    role: Role,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    outfit: Option<OutfitId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mill: Option<MillId>,
}

/// Makes and checks access tokens.
#[derive(Clone)]
pub struct Tokens {
    signing: Arc<EncodingKey>,
    checking: Arc<DecodingKey>,
    clock: Arc<dyn Clock>,
    ids: IdSource,
}

impl std::fmt::Debug for Tokens {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Tokens")
    }
}

impl Tokens {
    /// Tokens signed with the key that grows from this seed.
    ///
    /// # Errors
    ///
    /// When the cryptographic library refuses the seed.
    pub fn new(
        seed: &[u8; 32],
        clock: Arc<dyn Clock>,
        ids: IdSource,
    ) -> Result<Self, aws_lc_rs::error::KeyRejected> {
        // The frame that RFC 8410 puts around a private key of Ed25519.
        let mut private = vec![
            0x30, 0x2e, 0x02, 0x01, 0x00, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x04, 0x22, 0x04, 0x20,
        ];
        private.extend_from_slice(seed);
        let pair = Ed25519KeyPair::from_pkcs8_maybe_unchecked(&private)?;
        Ok(Self {
            signing: Arc::new(EncodingKey::from_ed_der(&private)),
            checking: Arc::new(DecodingKey::from_ed_der(pair.public_key().as_ref())),
            clock,
            ids,
        })
    }

    /// A token for a caller, good until the time that comes with it.
    ///
    /// # Errors
    ///
    /// [`Code::Internal`] when signing fails.
    pub fn grant(&self, caller: &Caller, lifetime: SignedDuration) -> Result<(String, Timestamp), Refusal> {
        let now = self.clock.now();
        let expires = now.checked_add(lifetime).map_err(Refusal::internal)?;
        let (outfit, role, mill) = match caller {
            Caller::Operator { .. } => (None, Role::Operator, None),
            Caller::Member(member) => (Some(member.outfit), member.role, member.mill),
        };
        let claims = Claims {
            iss: SERVICE.to_owned(),
            aud: SERVICE.to_owned(),
            sub: caller.subject().to_owned(),
            iat: now.as_second(),
            exp: expires.as_second(),
            jti: self.ids.make(),
            role,
            outfit,
            mill,
        };
        let header = Header { typ: Some(ACCESS_TOKEN.to_owned()), ..Header::new(Algorithm::EdDSA) };
        let token = jsonwebtoken::encode(&header, &claims, &self.signing).map_err(Refusal::internal)?;
        Ok((token, expires))
    }

    /// Who sent this token.
    ///
    /// # Errors
    ///
    /// [`Code::TokenRefused`] or [`Code::TokenExpired`].
    pub fn check(&self, token: &str) -> Result<Caller, Refusal> {
        let refused = |why: &str| Refusal::new(Code::TokenRefused, format!("the access token {why}"));
        let mut validation = Validation::new(Algorithm::EdDSA);
        validation.set_issuer(&[SERVICE]);
        validation.set_audience(&[SERVICE]);
        validation.set_required_spec_claims(&["iss", "aud", "sub", "exp"]);
        // The library would ask the machine for the time; ours is passed in.
        validation.validate_exp = false;
        let data = jsonwebtoken::decode::<Claims>(token, &self.checking, &validation)
            .map_err(|_| refused("is not one of this service"))?;
        if data.header.typ.as_deref() != Some(ACCESS_TOKEN) {
            return Err(refused("is a token of another kind"));
        }
        let claims = data.claims;
        let expires = Timestamp::from_second(claims.exp).map_err(|_| refused("has no end"))?;
        let too_late = expires.checked_add(LEEWAY).map_err(|_| refused("has no end"))?;
        if self.clock.now() >= too_late {
            return Err(Refusal::new(Code::TokenExpired, format!("the access token expired at {expires}")));
        }
        match (claims.role, claims.outfit, claims.mill) {
            (Role::Operator, None, None) => Ok(Caller::Operator { subject: claims.sub }),
            (role, Some(outfit), mill)
                if role != Role::Operator && (role == Role::Mill) == mill.is_some() =>
            {
                Ok(Caller::Member(Member { outfit, role, subject: claims.sub, mill }))
            }
            _ => Err(refused("contradicts itself")),
        }
    }
}
