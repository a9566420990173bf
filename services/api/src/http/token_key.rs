//! The keys of access tokens: pairs of Ed25519, named by their thumbprint (RFC 7638), published as RFC 8037 says.

use jsonwebtoken::jwk::{AlgorithmParameters, Jwk, ThumbprintHash};
use jsonwebtoken::{Algorithm, DecodingKey, EncodingKey};
use wire::TokenKey;

/// Why a key could not be made of a seed.
pub type KeyError = jsonwebtoken::errors::Error;

/// The frame that RFC 8410 puts around a private key of Ed25519.
const FRAME: [u8; 16] =
    [0x30, 0x2e, 0x02, 0x01, 0x00, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x04, 0x22, 0x04, 0x20];

/// The key that grows from a seed.
#[must_use]
pub fn signing_key(seed: &[u8; 32]) -> EncodingKey {
    EncodingKey::from_ed_der(&[FRAME.as_slice(), seed.as_slice()].concat())
}

/// The public half of a key.
#[derive(Clone)]
pub struct PublicKey {
    id: String,
    x: String,
    checking: DecodingKey,
}

impl std::fmt::Debug for PublicKey {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("PublicKey").field("id", &self.id).finish_non_exhaustive()
    }
}

impl PublicKey {
    /// The public half of this key.
    ///
    /// # Errors
    ///
    /// When the cryptographic library refuses the key.
    pub fn of(signing: &EncodingKey) -> Result<Self, KeyError> {
        let jwk = Jwk::from_encoding_key(signing, Algorithm::EdDSA)?;
        let AlgorithmParameters::OctetKeyPair(pair) = &jwk.algorithm else {
            return Err(jsonwebtoken::errors::ErrorKind::InvalidEddsaKey.into());
        };
        Ok(Self {
            id: jwk.thumbprint(ThumbprintHash::SHA256)?,
            x: pair.x.clone(),
            checking: DecodingKey::from_jwk(&jwk)?,
        })
    }

    /// Its thumbprint, which the header of a token names.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// What checks a signature.
    #[must_use]
    pub fn checking(&self) -> &DecodingKey {
        &self.checking
    }

    /// The key as it is published.
    #[must_use]
    pub fn view(&self) -> TokenKey {
        TokenKey {
            kty: "OKP".to_owned(),
            crv: "Ed25519".to_owned(),
            alg: "EdDSA".to_owned(),
            used_for: "sig".to_owned(),
            kid: self.id.clone(),
            x: self.x.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 8037, appendix A.1 to A.3: a private key, its public half and the thumbprint of that.
    #[test]
    fn the_published_key_has_the_published_thumbprint() {
        let seed = [
            0x9d, 0x61, 0xb1, 0x9d, 0xef, 0xfd, 0x5a, 0x60, 0xba, 0x84, 0x4a, 0xf4, 0x92, 0xec, 0x2c, 0xc4,
            0x44, 0x49, 0xc5, 0x69, 0x7b, 0x32, 0x69, 0x19, 0x70, 0x3b, 0xac, 0x03, 0x1c, 0xae, 0x7f, 0x60,
        ];
        let key = PublicKey::of(&signing_key(&seed)).unwrap();
        assert_eq!(key.view().x, "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo");
        assert_eq!(key.id(), "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k");
    }
}
