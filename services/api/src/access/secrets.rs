//! Random secrets that are shown once and kept as SHA-256: refresh tokens, keys for machines, enrolment codes.
//!
//! A refresh token or a key names its outfit in clear, so that it can be looked up inside that outfit's books. Each
//! holds 256 random bits, an enrolment code, which people type, 125: nobody finds one by trying, so a fast hash is
//! enough.

use kernel::{Entropy, Id, OutfitId, hexadecimal};
use sha2::{Digest, Sha256};
use wire::Secret;

use crate::http::refusal::Refusal;

/// How a key for a machine begins.
const MACHINE_KEY: &str = "skidway_key_";
/// How a refresh token begins.
const REFRESH_TOKEN: &str = "skidway_refresh_";
/// Digits that are not taken for one another (those of Crockford's base 32).
const DIGITS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// How many of them an enrolment code has.
const CODE: usize = 25;

/// SHA-256 of a text.
#[must_use]
pub fn hash(text: &str) -> [u8; 32] {
    Sha256::digest(text.as_bytes()).into()
}

fn written(prefix: &str, outfit: OutfitId, random: &[u8; 32]) -> String {
    format!("{prefix}{}_{}", outfit.uuid().simple(), hexadecimal(random))
}

/// The outfit that a text of this form names.
fn outfit_of(prefix: &str, text: &str) -> Option<OutfitId> {
    let (outfit, random) = text.strip_prefix(prefix)?.split_once('_')?;
    let digits = |part: &str, length| {
        part.len() == length && part.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
    };
    if digits(outfit, 32) && digits(random, 64) { outfit.parse().ok() } else { None }
}

fn random(entropy: &dyn Entropy) -> [u8; 32] {
    let mut bytes = [0; 32];
    entropy.fill(&mut bytes);
    bytes
}

fn secret(text: String) -> Result<Secret, Refusal> {
    Secret::try_from(text).map_err(Refusal::internal)
}

/// A new key for a machine, and how it ends.
///
/// # Errors
///
/// None in practice.
pub fn machine_key(outfit: OutfitId, entropy: &dyn Entropy) -> Result<(Secret, String), Refusal> {
    let text = written(MACHINE_KEY, outfit, &random(entropy));
    let last_four = text.chars().skip(text.chars().count().saturating_sub(4)).collect();
    Ok((secret(text)?, last_four))
}

/// Whether a text says of itself that it is a key for a machine.
#[must_use]
pub fn is_machine_key(text: &str) -> bool {
    text.starts_with(MACHINE_KEY)
}

/// The outfit that a machine's key names; none when it has not the form of one.
#[must_use]
pub fn outfit_of_machine_key(text: &str) -> Option<OutfitId> {
    outfit_of(MACHINE_KEY, text)
}

/// The first refresh token of somebody who signs in.
///
/// # Errors
///
/// None in practice.
pub fn refresh_token(outfit: OutfitId, entropy: &dyn Entropy) -> Result<Secret, Refusal> {
    secret(written(REFRESH_TOKEN, outfit, &random(entropy)))
}

/// A refresh token of these bytes.
///
/// # Errors
///
/// None in practice.
pub fn refresh_token_of(outfit: OutfitId, bytes: &[u8; 32]) -> Result<Secret, Refusal> {
    secret(written(REFRESH_TOKEN, outfit, bytes))
}

/// The outfit that a refresh token names; none when it has not the form of one.
#[must_use]
pub fn outfit_of_refresh_token(text: &str) -> Option<OutfitId> {
    outfit_of(REFRESH_TOKEN, text)
}

/// A new enrolment code, in groups that can be read out.
///
/// # Errors
///
/// None in practice.
pub fn enrolment_code(entropy: &dyn Entropy) -> Result<Secret, Refusal> {
    let bytes = random(entropy);
    let digits = bytes
        .iter()
        .take(CODE)
        .map(|byte| DIGITS.get(usize::from(byte & 31)).map_or('0', |it| char::from(*it)));
    let mut text = String::new();
    for (place, digit) in digits.enumerate() {
        if place > 0 && place % 5 == 0 {
            text.push('-');
        }
        text.push(digit);
    }
    secret(text)
}

/// SHA-256 of an enrolment code, however it was typed.
#[must_use]
pub fn enrolment_hash(typed: &str) -> [u8; 32] {
    let plain: String = typed
        .chars()
        .filter(|letter| !letter.is_whitespace() && *letter != '-')
        .map(|letter| match letter.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        })
        .collect();
    hash(&plain)
}

#[cfg(test)]
mod tests {
    use kernel::SystemEntropy;

    use super::*;

    fn outfit() -> OutfitId {
        "01977000-0000-7000-8000-000000000002".parse().unwrap()
    }

    #[test]
    fn a_secret_names_its_outfit_and_is_made_once() {
        let (key, last_four) = machine_key(outfit(), &SystemEntropy).unwrap();
        assert!(is_machine_key(key.reveal()) && key.reveal().ends_with(&last_four));
        assert_eq!(outfit_of_machine_key(key.reveal()), Some(outfit()));
        assert_eq!(outfit_of_refresh_token(key.reveal()), None);
        let token = refresh_token(outfit(), &SystemEntropy).unwrap();
        assert_eq!(outfit_of_refresh_token(token.reveal()), Some(outfit()));
        assert_ne!(token, refresh_token(outfit(), &SystemEntropy).unwrap());
        for wrong in [
            "skidway_key_",
            "skidway_key_x_y",
            "skidway_key_é",
            key.reveal().split_at(90).0,
            &format!("{}0", key.reveal()),
        ] {
            assert_eq!(outfit_of_machine_key(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn an_enrolment_code_can_be_typed_carelessly() {
        let code = enrolment_code(&SystemEntropy).unwrap();
        assert_eq!(code.reveal().len(), CODE + 4);
        let typed = code.reveal().to_lowercase().replace('-', " ").replace('0', "o").replace('1', "l");
        assert_eq!(enrolment_hash(&typed), enrolment_hash(code.reveal()));
        assert_ne!(enrolment_hash("7KQ2M"), enrolment_hash("7KQ2N"));
    }
}
