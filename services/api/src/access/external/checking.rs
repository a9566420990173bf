//! Checking an identity token (OpenID Connect Core 1.0, section 3.1.3.7) as RFC 8725 advises: the key fixes the
//! algorithm, and what the token says of itself is believed only after its signature was checked.

use jiff::{SignedDuration, Timestamp};
use jsonwebtoken::jwk::{AlgorithmParameters, EllipticCurve, Jwk, KeyAlgorithm, PublicKeyUse};
use jsonwebtoken::{Algorithm, DecodingKey, Validation};
use serde::Deserialize;
use serde_json::Value;
use wire::Code;

use super::ExternalOptions;
use crate::http::refusal::Refusal;

/// How much the issuer's clock and ours may differ.
const LEEWAY: SignedDuration = SignedDuration::from_secs(60);
/// How old a token may be: it is for signing in now, not for keeping.
const OLDEST: SignedDuration = SignedDuration::from_mins(10);

/// A key with the one algorithm that it is for.
#[derive(Clone)]
pub(super) struct IssuerKey {
    key: DecodingKey,
    algorithm: Algorithm,
}

/// A key, and what the issuer calls it.
pub(super) struct NamedKey {
    name: Option<String>,
    key: IssuerKey,
}

/// What a token says that matters here.
#[derive(Deserialize)]
struct Claims {
    sub: String,
    aud: Value,
    #[serde(default)]
    azp: Option<String>,
    exp: i64,
    iat: i64,
    #[serde(default)]
    nbf: Option<i64>,
}

pub(super) fn refused(why: &str) -> Refusal {
    Refusal::new(Code::ExternalSignInRefused, format!("the identity token {why}"))
}

/// A published key that signatures can be checked with; none for one of another kind or for another use.
pub(super) fn usable(published: Value) -> Option<NamedKey> {
    let jwk: Jwk = serde_json::from_value(published).ok()?;
    if !matches!(jwk.common.public_key_use, None | Some(PublicKeyUse::Signature)) {
        return None;
    }
    let algorithm = match (&jwk.algorithm, jwk.common.key_algorithm) {
        (AlgorithmParameters::RSA(_), None | Some(KeyAlgorithm::RS256)) => Algorithm::RS256,
        (AlgorithmParameters::RSA(_), Some(KeyAlgorithm::RS384)) => Algorithm::RS384,
        (AlgorithmParameters::RSA(_), Some(KeyAlgorithm::RS512)) => Algorithm::RS512,
        (AlgorithmParameters::RSA(_), Some(KeyAlgorithm::PS256)) => Algorithm::PS256,
        (AlgorithmParameters::RSA(_), Some(KeyAlgorithm::PS384)) => Algorithm::PS384,
        (AlgorithmParameters::RSA(_), Some(KeyAlgorithm::PS512)) => Algorithm::PS512,
        (AlgorithmParameters::EllipticCurve(key), None | Some(KeyAlgorithm::ES256))
            if key.curve == EllipticCurve::P256 =>
        {
            Algorithm::ES256
        }
        (AlgorithmParameters::EllipticCurve(key), None | Some(KeyAlgorithm::ES384))
            if key.curve == EllipticCurve::P384 =>
        {
            Algorithm::ES384
        }
        (AlgorithmParameters::OctetKeyPair(_), None | Some(KeyAlgorithm::EdDSA)) => Algorithm::EdDSA,
        // A shared secret is nothing to publish; the rest is not known here.
        _ => return None,
    };
    let key = IssuerKey { key: DecodingKey::from_jwk(&jwk).ok()?, algorithm };
    Some(NamedKey { name: jwk.common.key_id, key })
}

/// The key of this name. Without a name, the only one there is.
pub(super) fn find(keys: &[NamedKey], named: Option<&str>) -> Option<IssuerKey> {
    match (named, keys) {
        (Some(name), keys) => keys.iter().find(|key| key.name.as_deref() == Some(name)),
        (None, [only]) => Some(only),
        (None, _) => None,
    }
    .map(|found| found.key.clone())
}

/// The key that a token names, before anything of it is believed.
pub(super) fn named_key(id_token: &str) -> Result<Option<String>, Refusal> {
    let header = jsonwebtoken::decode_header(id_token).map_err(|_| refused("is none that can be read"))?;
    // An access token, ours or anybody's, is no identity token.
    if header.typ.is_some_and(|kind| !kind.eq_ignore_ascii_case("JWT")) {
        return Err(refused("is a token of another kind"));
    }
    Ok(header.kid)
}

/// Whom a token is about, when it is good now.
pub(super) fn subject(
    id_token: &str,
    key: &IssuerKey,
    options: &ExternalOptions,
    now: Timestamp,
) -> Result<String, Refusal> {
    let mut validation = Validation::new(key.algorithm);
    validation.set_issuer(&[&options.issuer]);
    validation.set_audience(&[&options.audience]);
    validation.set_required_spec_claims(&["iss", "aud", "sub", "exp"]);
    // The library would ask the machine for the time; ours is passed in.
    validation.validate_exp = false;
    let data = jsonwebtoken::decode::<Claims>(id_token, &key.key, &validation)
        .map_err(|_| refused("is not one of the issuer's for this service"))?;
    let claims = data.claims;
    let several = claims.aud.as_array().is_some_and(|all| all.len() > 1);
    match claims.azp {
        Some(azp) if azp != options.audience => return Err(refused("was made out to another program")),
        None if several => return Err(refused("does not say which program it was made out to")),
        _ => {}
    }
    check_times(claims.exp, claims.iat, claims.nbf, now)?;
    if claims.sub.is_empty() { Err(refused("is about nobody")) } else { Ok(claims.sub) }
}

fn check_times(exp: i64, iat: i64, nbf: Option<i64>, now: Timestamp) -> Result<(), Refusal> {
    let time = |second| Timestamp::from_second(second).map_err(|_| refused("has a time past all calendars"));
    let (expires, issued) = (time(exp)?, time(iat)?);
    let from = nbf.map_or(Ok(issued), time)?;
    if now.duration_since(expires) >= LEEWAY {
        return Err(refused("has expired"));
    }
    if issued.duration_since(now) > LEEWAY || from.duration_since(now) > LEEWAY {
        return Err(refused("is not good yet"));
    }
    if now.duration_since(issued) > OLDEST {
        return Err(refused("is older than ten minutes"));
    }
    Ok(())
}
