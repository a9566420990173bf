//! Fingerprints: SHA-256 of what was said, to tell a repeat from something else.

use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::http::refusal::Refusal;

/// What most tickets have room in.
const MOST_HAVE: usize = 8 * 1024;

/// The SHA-256 of a value's JSON. The types that are fingerprinted write the same value in the same way every time:
/// fixed order of members, numbers in their shortest form.
///
/// # Errors
///
/// [`wire::Code::Internal`] when the value has no JSON form.
pub fn fingerprint(value: &impl Serialize) -> Result<[u8; 32], Refusal> {
    let mut bytes = Vec::with_capacity(MOST_HAVE);
    serde_json::to_writer(&mut bytes, value).map_err(Refusal::internal)?;
    Ok(Sha256::digest(&bytes).into())
}
