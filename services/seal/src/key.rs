//! The outfit's key, and signatures made with it: Ed25519 (RFC 8032).

use aws_lc_rs::signature::{ED25519, Ed25519KeyPair, KeyPair, UnparsedPublicKey};

use crate::bytes::bytes;

bytes! {
    /// What signatures are checked with: the public half of an outfit's key.
    PublicKey, 32, "An Ed25519 public key (RFC 8032)"
}

bytes! {
    /// A signature.
    Signature, 64, "An Ed25519 signature (RFC 8032)"
}

impl PublicKey {
    /// Whether `signature` was made over `message` with the private half of this key.
    #[must_use]
    pub fn has_signed(&self, message: &[u8], signature: &Signature) -> bool {
        UnparsedPublicKey::new(&ED25519, self.bytes()).verify(message, signature.bytes()).is_ok()
    }
}

/// A seed that no key can be made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the cryptographic library makes no key of this seed")]
pub struct SeedError;

/// The private half of an outfit's key. Shows nothing of itself.
///
/// ```
/// use seal::SigningKey;
/// // RFC 8032, section 7.1, test 1: the message is empty.
/// let seed = *seal::Hash::bytes(&"9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60".parse()?);
/// let key = SigningKey::from_seed(&seed)?;
/// assert_eq!(
///     key.public().to_string(),
///     "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
/// );
/// let signature = key.sign(b"");
/// assert!(signature.to_string().starts_with("e5564300c360ac729086e2cc806e828a"));
/// assert!(key.public().has_signed(b"", &signature) && !key.public().has_signed(b"x", &signature));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub struct SigningKey {
    pair: Ed25519KeyPair,
    public: PublicKey,
}

impl std::fmt::Debug for SigningKey {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("SigningKey").field("public", &self.public).finish_non_exhaustive()
    }
}

impl SigningKey {
    /// The key that grows from a seed of 32 random bytes; always the same one.
    ///
    /// # Errors
    ///
    /// [`SeedError`] when the cryptographic library refuses.
    pub fn from_seed(seed: &[u8; 32]) -> Result<Self, SeedError> {
        let pair = Ed25519KeyPair::from_seed_unchecked(seed).map_err(|_| SeedError)?;
        let public = pair.public_key().as_ref().try_into().map_err(|_| SeedError)?;
        Ok(Self { pair, public: PublicKey::from_bytes(public) })
    }

    /// The public half.
    #[must_use]
    pub const fn public(&self) -> PublicKey {
        self.public
    }

    /// Signs a message: the same message always gets the same signature.
    ///
    /// # Errors
    ///
    /// Never: signatures of Ed25519 have 64 bytes.
    #[must_use]
    pub fn sign(&self, message: &[u8]) -> Signature {
        let signature = self.pair.sign(message);
        let mut bytes = [0; 64];
        for (byte, signed) in bytes.iter_mut().zip(signature.as_ref()) {
            *byte = *signed;
        }
        Signature::from_bytes(bytes)
    }
}
