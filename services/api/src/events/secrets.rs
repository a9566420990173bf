//! Secrets that things are signed with: made, sealed for the database, opened for signing. Deliveries have theirs here;
//! the seeds of outfits' seal keys come from `books/seal_key.rs`.
//!
//! A secret has to be known to sign with it, so it is kept, sealed with AES-256-GCM under a key that only the service
//! has. That protects the secrets in a copy of the database, such as a backup or a replica. It does not protect them
//! from whoever has both the database and the service's key.

use std::sync::Arc;

use aws_lc_rs::aead::{AES_256_GCM, Aad, LessSafeKey, NONCE_LEN, Nonce, UnboundKey};
use aws_lc_rs::error::Unspecified;
use aws_lc_rs::hkdf::{HKDF_SHA256, Salt};
use client::events::Secret;
use jiff::{SignedDuration, Timestamp};
use kernel::{Entropy, EventSubscriptionId, OutfitId, SigningSecretId};
use storage::SealedSecret;

/// How many bytes a new secret has (Standard Webhooks 1.0.0 asks for 24 to 64).
const LENGTH: usize = 32;
/// How a sealed secret is laid out: this byte, the nonce, what is sealed, the tag.
const LAYOUT: u8 = 1;

/// Seals and opens secrets.
#[derive(Clone)]
pub struct SecretBox {
    deliveries: Arc<LessSafeKey>,
    seals: Arc<LessSafeKey>,
    entropy: Arc<dyn Entropy>,
}

impl std::fmt::Debug for SecretBox {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("SecretBox")
    }
}

/// What a secret is for. Each use has a key of its own in the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// It signs deliveries of events.
    Deliveries,
    /// An outfit's seal key grows from it.
    Seals,
}

/// Whose secret it is. A sealed secret opens in its own place only.
#[derive(Clone, Copy, Debug)]
pub struct Owner {
    /// The outfit.
    pub outfit: OutfitId,
    /// The subscription.
    pub subscription: EventSubscriptionId,
    /// The secret.
    pub secret: SigningSecretId,
}

impl Owner {
    fn text(self) -> String {
        format!("{}/{}/{}", self.outfit, self.subscription, self.secret)
    }
}

impl SecretBox {
    /// A box whose key grows from `seed` (HKDF, RFC 5869). The same seed may grow other keys: the name of the use goes
    /// into each.
    ///
    /// # Errors
    ///
    /// When the cryptographic library refuses.
    pub fn new(seed: &[u8; 32], entropy: Arc<dyn Entropy>) -> Result<Self, Unspecified> {
        let grown = Salt::new(HKDF_SHA256, b"skidway").extract(seed);
        let key = |name: &[u8]| -> Result<_, Unspecified> {
            let key = UnboundKey::from(grown.expand(&[name], &AES_256_GCM)?);
            Ok(Arc::new(LessSafeKey::new(key)))
        };
        let (deliveries, seals) = (key(b"secrets of event subscriptions")?, key(b"seeds of seal keys")?);
        Ok(Self { deliveries, seals, entropy })
    }

    const fn key(&self, of: Use) -> &Arc<LessSafeKey> {
        match of {
            Use::Deliveries => &self.deliveries,
            Use::Seals => &self.seals,
        }
    }

    /// Random bytes to make a secret of.
    #[must_use]
    pub fn random(&self) -> [u8; LENGTH] {
        let mut bytes = [0; LENGTH];
        self.entropy.fill(&mut bytes);
        bytes
    }

    /// Seals the bytes of a secret for one use and one place in the database.
    ///
    /// # Errors
    ///
    /// When the cryptographic library refuses.
    pub fn seal_bytes(&self, of: Use, secret: &[u8], place: &str) -> Result<Vec<u8>, Unspecified> {
        let mut nonce = [0; NONCE_LEN];
        self.entropy.fill(&mut nonce);
        let mut bytes = secret.to_vec();
        let unique = Nonce::assume_unique_for_key(nonce);
        self.key(of).seal_in_place_append_tag(unique, Aad::from(place), &mut bytes)?;
        Ok([[LAYOUT].as_slice(), &nonce, &bytes].concat())
    }

    /// Opens what [`SecretBox::seal_bytes`] sealed; none when it was sealed under another key, for another use or
    /// place, or was changed.
    #[must_use]
    pub fn open_bytes(&self, of: Use, sealed: &[u8], place: &str) -> Option<Vec<u8>> {
        let rest = sealed.strip_prefix(&[LAYOUT])?;
        let (nonce, bytes) = rest.split_first_chunk::<NONCE_LEN>()?;
        let mut bytes = bytes.to_vec();
        let nonce = Nonce::assume_unique_for_key(*nonce);
        let opened = self.key(of).open_in_place(nonce, Aad::from(place), &mut bytes).ok()?;
        Some(opened.to_vec())
    }

    /// A new secret.
    ///
    /// # Errors
    ///
    /// Never, as long as 32 bytes are enough for a secret.
    pub fn make(&self) -> Result<Secret, client::events::SecretError> {
        Secret::from_bytes(&self.random())
    }

    /// Seals a secret.
    ///
    /// # Errors
    ///
    /// When the cryptographic library refuses.
    pub fn seal(&self, secret: &Secret, owner: Owner) -> Result<Vec<u8>, Unspecified> {
        self.seal_bytes(Use::Deliveries, secret.bytes(), &owner.text())
    }

    /// Opens a sealed secret; none when it was sealed under another key, for another owner, or was changed.
    #[must_use]
    pub fn open(&self, sealed: &[u8], owner: Owner) -> Option<Secret> {
        Secret::from_bytes(&self.open_bytes(Use::Deliveries, sealed, &owner.text())?).ok()
    }
}

/// The secrets that sign at a moment, out of all of a subscription's, newest first; each with when it stops. The newest
/// signs until there is a newer one, and then for as long as that one lets it.
#[must_use]
pub fn signing(all: &[SealedSecret], now: Timestamp) -> Vec<(&SealedSecret, Option<Timestamp>)> {
    let newest = all.first().map(|newest| (newest, None));
    let older = all.iter().zip(all.iter().skip(1)).filter_map(|(newer, older)| {
        let overlap = SignedDuration::from_hours(newer.overlap_hours.into());
        let until = newer.made.at.checked_add(overlap).ok()?;
        (now < until).then_some((older, Some(until)))
    });
    newest.into_iter().chain(older).collect()
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU8, Ordering};

    use storage::Stamp;

    use super::*;

    struct Counting(AtomicU8);

    impl Entropy for Counting {
        fn fill(&self, bytes: &mut [u8]) {
            bytes.fill_with(|| self.0.fetch_add(1, Ordering::Relaxed));
        }
    }

    fn secrets(seed: u8) -> SecretBox {
        SecretBox::new(&[seed; 32], Arc::new(Counting(AtomicU8::new(0)))).unwrap()
    }

    fn owner(last: u8) -> Owner {
        let id = |last: u8| format!("0197a000-0000-7000-8000-0000000000{last:02x}");
        Owner {
            outfit: id(1).parse().unwrap(),
            subscription: id(2).parse().unwrap(),
            secret: id(last).parse().unwrap(),
        }
    }

    #[test]
    fn a_secret_opens_in_its_own_place_only() {
        let own = secrets(7);
        let secret = own.make().unwrap();
        let sealed = own.seal(&secret, owner(3)).unwrap();
        assert_eq!(own.open(&sealed, owner(3)), Some(secret.clone()));
        assert_eq!(own.open(&sealed, owner(4)), None, "another owner");
        assert_eq!(secrets(8).open(&sealed, owner(3)), None, "another key");
        for place in 0..sealed.len() {
            let mut changed = sealed.clone();
            changed[place] ^= 1;
            assert_eq!(own.open(&changed, owner(3)), None, "changed at {place}");
            assert_eq!(own.open(&sealed[..place], owner(3)), None, "cut at {place}");
        }
        assert_ne!(own.seal(&secret, owner(3)).unwrap(), sealed, "no nonce is used twice");
        let place = owner(3).text();
        assert_eq!(own.open_bytes(Use::Deliveries, &sealed, &place).as_deref(), Some(secret.bytes()));
        assert_eq!(own.open_bytes(Use::Seals, &sealed, &place), None, "another use");
        assert!(!sealed.windows(8).any(|part| secret.bytes().windows(8).any(|other| part == other)));
    }

    #[test]
    fn the_secret_before_signs_for_as_long_as_the_newer_lets_it() {
        let made = |id: u8, hour: i64, overlap_hours: u16| SealedSecret {
            id: owner(id).secret,
            subscription: owner(id).subscription,
            sealed: Vec::new(),
            overlap_hours,
            made: Stamp { at: Timestamp::from_second(hour * 3600).unwrap(), by: String::new() },
        };
        let all = [made(5, 30, 0), made(4, 20, 24), made(3, 0, 24)];
        let at = |hour: i64| {
            let signing = signing(&all, Timestamp::from_second(hour * 3600).unwrap());
            signing.iter().map(|(one, _)| one.id).collect::<Vec<_>>()
        };
        assert_eq!(at(30), [owner(5).secret, owner(3).secret]);
        assert_eq!(at(43), [owner(5).secret, owner(3).secret]);
        assert_eq!(at(44), [owner(5).secret]);
        assert!(signing(&[], Timestamp::UNIX_EPOCH).is_empty());
    }
}
