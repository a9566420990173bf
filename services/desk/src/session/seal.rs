//! Sealing sessions: what lies in a cookie can be read and made by the desk alone.

use std::sync::Arc;

use aws_lc_rs::aead::{AES_256_GCM, Aad, LessSafeKey, NONCE_LEN, Nonce, UnboundKey};
use aws_lc_rs::error::Unspecified;
use aws_lc_rs::hkdf::{HKDF_SHA256, Salt};
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use kernel::Entropy;

/// What is sealed beside the session, so that nothing else that is sealed is ever taken for one.
const NAME: &str = "desk session 1";

/// The key that sessions are sealed with (AES-256-GCM, grown by HKDF).
#[derive(Clone)]
pub struct SessionKey {
    key: Arc<LessSafeKey>,
    entropy: Arc<dyn Entropy>,
}

impl std::fmt::Debug for SessionKey {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("SessionKey")
    }
}

impl SessionKey {
    /// A key that grows from `seed`; other keys may grow from the same seed, since the name of the use goes into each.
    ///
    /// # Errors
    ///
    /// When the cryptographic library refuses.
    pub fn new(seed: &[u8; 32], entropy: Arc<dyn Entropy>) -> Result<Self, Unspecified> {
        let grown = Salt::new(HKDF_SHA256, b"skidway").extract(seed);
        let key = UnboundKey::from(grown.expand(&[NAME.as_bytes()], &AES_256_GCM)?);
        Ok(Self { key: Arc::new(LessSafeKey::new(key)), entropy })
    }

    /// Seals a text for a cookie.
    ///
    /// # Errors
    ///
    /// When the cryptographic library refuses.
    pub fn seal(&self, text: &str) -> Result<String, Unspecified> {
        let mut nonce = [0; NONCE_LEN];
        self.entropy.fill(&mut nonce);
        let mut bytes = text.as_bytes().to_vec();
        let unique = Nonce::assume_unique_for_key(nonce);
        self.key.seal_in_place_append_tag(unique, Aad::from(NAME), &mut bytes)?;
        Ok(BASE64_URL_SAFE_NO_PAD.encode([nonce.as_slice(), &bytes].concat()))
    }

    /// Opens what [`SessionKey::seal`] sealed; none when it was sealed with another key, or changed.
    #[must_use]
    pub fn open(&self, sealed: &str) -> Option<String> {
        let sealed = BASE64_URL_SAFE_NO_PAD.decode(sealed).ok()?;
        let (nonce, bytes) = sealed.split_first_chunk::<NONCE_LEN>()?;
        let mut bytes = bytes.to_vec();
        let nonce = Nonce::assume_unique_for_key(*nonce);
        let opened = self.key.open_in_place(nonce, Aad::from(NAME), &mut bytes).ok()?;
        String::from_utf8(opened.to_vec()).ok()
    }
}

#[cfg(test)]
mod tests {
    use kernel::SystemEntropy;

    use super::*;

    #[test]
    fn only_the_same_key_opens_what_was_not_changed() {
        let key = |seed: u8| SessionKey::new(&[seed; 32], Arc::new(SystemEntropy)).unwrap();
        let sealed = key(1).seal("Ida").unwrap();
        assert_eq!(key(1).open(&sealed).as_deref(), Some("Ida"));
        assert_eq!(key(2).open(&sealed), None);
        assert_ne!(sealed, key(1).seal("Ida").unwrap(), "the same session never looks the same twice");
        for place in 0..sealed.len() {
            let mut changed = sealed.clone().into_bytes();
            changed[place] = if changed[place] == b'A' { b'B' } else { b'A' };
            assert_eq!(key(1).open(&String::from_utf8(changed).unwrap()), None, "{place}");
        }
        assert_eq!(key(1).open(""), None);
        assert_eq!(key(1).open("A"), None);
    }
}
