//! Access tokens: JSON Web Tokens signed with Ed25519 (RFC 8037), with the claims of RFC 9068, checked as RFC 8725
//! advises.

use std::sync::Arc;

use aws_lc_rs::hmac;
use jiff::{SignedDuration, Timestamp};
use jsonwebtoken::{Algorithm, EncodingKey, Header, Validation};
use kernel::{Clock, GrantId, IdSource, MillId, OutfitId, TokenId};
use serde::{Deserialize, Serialize};
use wire::{Code, Role, TokenKeys};

use super::caller::{Caller, Member};
use super::known_tokens::{KnownToken, KnownTokens};
use super::refusal::Refusal;
use super::token_key::{KeyError, PublicKey, signing_key};

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
    /// Which program asked for it; this service knows of no other than its own.
    client_id: String,
    iat: i64,
    exp: i64,
    jti: TokenId,
    role: Role,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    outfit: Option<OutfitId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mill: Option<MillId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    grant: Option<GrantId>,
}

/// Makes and checks access tokens.
#[derive(Clone)]
pub struct Tokens {
    signing: Arc<EncodingKey>,
    /// The key that signs, then those that have signed before.
    keys: Arc<Vec<PublicKey>>,
    deriving: Arc<hmac::Key>,
    /// Tokens whose signature was good, so that it is checked once and not with every request.
    known: Arc<KnownTokens>,
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
    pub fn new(seed: &[u8; 32], clock: Arc<dyn Clock>, ids: IdSource) -> Result<Self, KeyError> {
        let signing = signing_key(seed);
        let keys = vec![PublicKey::of(&signing)?];
        // A key of its own for each use: this one never signs a token.
        let root = hmac::Key::new(hmac::HMAC_SHA256, seed);
        let deriving = hmac::sign(&root, b"skidway: refresh tokens that follow one another");
        let deriving = hmac::Key::new(hmac::HMAC_SHA256, deriving.as_ref());
        Ok(Self {
            signing: Arc::new(signing),
            keys: Arc::new(keys),
            deriving: Arc::new(deriving),
            known: Arc::default(),
            clock,
            ids,
        })
    }

    /// The same, still taking tokens that were signed with the keys of these seeds.
    ///
    /// # Errors
    ///
    /// When the cryptographic library refuses a seed.
    pub fn still_taking(mut self, retired: &[[u8; 32]]) -> Result<Self, KeyError> {
        let mut keys = self.keys.to_vec();
        for seed in retired {
            let key = PublicKey::of(&signing_key(seed))?;
            if !keys.iter().any(|known| known.id() == key.id()) {
                keys.push(key);
            }
        }
        self.keys = Arc::new(keys);
        Ok(self)
    }

    /// The public keys, for whoever wants to check tokens.
    #[must_use]
    pub fn published(&self) -> TokenKeys {
        TokenKeys { keys: self.keys.iter().map(PublicKey::view).collect() }
    }

    /// The bytes of the refresh token that follows this one. The same every time, and nobody without the key finds it.
    #[must_use]
    pub fn successor(&self, refresh_token: &str) -> [u8; 32] {
        let tag = hmac::sign(&self.deriving, refresh_token.as_bytes());
        let mut bytes = [0; 32];
        bytes.iter_mut().zip(tag.as_ref()).for_each(|(to, from)| *to = *from);
        bytes
    }

    /// A token for a caller, good until the time that comes with it.
    ///
    /// # Errors
    ///
    /// [`Code::Internal`] when signing fails.
    pub fn grant(&self, caller: &Caller, lifetime: SignedDuration) -> Result<(String, Timestamp), Refusal> {
        let now = self.clock.now();
        let expires = now.checked_add(lifetime).map_err(Refusal::internal)?;
        let (outfit, role, mill, grant) = match caller {
            Caller::Operator { .. } => (None, Role::Operator, None, None),
            Caller::Member(member) => (Some(member.outfit), member.role, member.mill, member.grant),
        };
        let claims = Claims {
            iss: SERVICE.to_owned(),
            aud: SERVICE.to_owned(),
            sub: caller.subject().to_owned(),
            client_id: SERVICE.to_owned(),
            iat: now.as_second(),
            exp: expires.as_second(),
            jti: self.ids.make(),
            role,
            outfit,
            mill,
            grant,
        };
        let kid = self.keys.first().map(|key| key.id().to_owned());
        let header = Header { typ: Some(ACCESS_TOKEN.to_owned()), kid, ..Header::new(Algorithm::EdDSA) };
        let token = jsonwebtoken::encode(&header, &claims, &self.signing).map_err(Refusal::internal)?;
        Ok((token, expires))
    }

    /// Who sent this token. Whether what gave it access still stands is asked when the books are opened.
    ///
    /// # Errors
    ///
    /// [`Code::TokenRefused`] or [`Code::TokenExpired`].
    pub fn check(&self, token: &str) -> Result<Caller, Refusal> {
        let known = match self.known.recall(token) {
            Some(known) => known,
            None => self.known.remember(token, self.read(token)?),
        };
        let too_late = known.expires.checked_add(LEEWAY).map_err(|_| refused("has no end"))?;
        if self.clock.now() >= too_late {
            let says = format!("the access token expired at {}", known.expires);
            return Err(Refusal::new(Code::TokenExpired, says));
        }
        Ok(known.caller)
    }

    /// What a token says, when it is one of this service; it may have expired.
    fn read(&self, token: &str) -> Result<KnownToken, Refusal> {
        // The header is not trusted before it is checked: it only says which of our own keys to check with.
        let header = jsonwebtoken::decode_header(token).map_err(|_| refused("is not one of this service"))?;
        let key = header.kid.and_then(|kid| self.keys.iter().find(|key| key.id() == kid));
        let key = key.ok_or_else(|| refused("names no key of this service"))?;
        let mut validation = Validation::new(Algorithm::EdDSA);
        validation.set_issuer(&[SERVICE]);
        validation.set_audience(&[SERVICE]);
        validation.set_required_spec_claims(&["iss", "aud", "sub", "exp"]);
        // The library would ask the machine for the time; ours is passed in.
        validation.validate_exp = false;
        let data = jsonwebtoken::decode::<Claims>(token, key.checking(), &validation)
            .map_err(|_| refused("is not one of this service"))?;
        if data.header.typ.as_deref() != Some(ACCESS_TOKEN) {
            return Err(refused("is a token of another kind"));
        }
        let claims = data.claims;
        let expires = Timestamp::from_second(claims.exp).map_err(|_| refused("has no end"))?;
        let caller = match (claims.role, claims.outfit, claims.mill) {
            (Role::Operator, None, None) if claims.grant.is_none() => {
                Caller::Operator { subject: claims.sub }
            }
            (role, Some(outfit), mill)
                if role != Role::Operator && (role == Role::Mill) == mill.is_some() =>
            {
                Caller::Member(Member { outfit, role, subject: claims.sub, mill, grant: claims.grant })
            }
            _ => return Err(refused("contradicts itself")),
        };
        Ok(KnownToken { caller, expires })
    }
}

fn refused(why: &str) -> Refusal {
    Refusal::new(Code::TokenRefused, format!("the access token {why}"))
}
