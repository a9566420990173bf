//! Fingerprints: SHA-256 of what was said, to tell a repeat from something else.

use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::http::refusal::Refusal;

/// The SHA-256 of a value's JSON. The types that are fingerprinted write the same value in the same way every time:
/// fixed order of members, numbers in their shortest form.
///
/// # Errors
///
/// [`wire::Code::Internal`] when the value has no JSON form.
pub fn fingerprint(value: &impl Serialize) -> Result<[u8; 32], Refusal> {
    let bytes = serde_json::to_vec(value).map_err(Refusal::internal)?;
    Ok(Sha256::digest(&bytes).into())
}
