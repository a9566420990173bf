//! The outfit's own key, that its seals are signed with.
//!
//! It is made with the first seal. Its seed lies in the database, sealed as the secrets of events are. When
//! `SKIDWAY_SECRETS_KEY` changed and the seed cannot be opened any more, a new key is made: no week waits for that. The
//! old key cannot sign the new one over, since nobody has it; what joins the seals before and after is the proof of
//! consistency, which needs no key.

use kernel::{OutfitId, SealKeyId};
use seal::SigningKey;
use storage::{Books, KeptSeal, SealKey, Stamp};

use crate::events::secrets::Use;
use crate::http::refusal::Refusal;
use crate::service::Service;

fn place(outfit: OutfitId, key: SealKeyId) -> String {
    format!("{outfit}/seal key {key}")
}

/// The key to sign with: the newest that can be opened, or a new one. The books must be closed to others.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn to_sign_with(
    books: &mut Books,
    service: &Service,
    made: &Stamp,
) -> Result<(SealKeyId, SigningKey), Refusal> {
    let known = books.seal_keys().await?;
    if let Some(found) = known.iter().rev().find_map(|key| Some((key.id, opened(books, service, key)?))) {
        return Ok(found);
    }
    if !known.is_empty() {
        tracing::warn!("no seal key can be opened with the service's secrets key; a new one is made");
    }
    let (id, seed) = (service.ids.make(), service.secrets.random());
    let key = SigningKey::from_seed(&seed).map_err(Refusal::internal)?;
    let place = place(books.outfit(), id);
    let sealed_seed = service.secrets.seal_bytes(Use::Seals, &seed, &place).map_err(Refusal::internal)?;
    books.add_seal_key(&SealKey { id, public: key.public(), sealed_seed, made: made.clone() }).await?;
    Ok((id, key))
}

/// The private half, if it can be opened and belongs to the public one.
fn opened(books: &Books, service: &Service, key: &SealKey) -> Option<SigningKey> {
    let place = place(books.outfit(), key.id);
    let seed = service.secrets.open_bytes(Use::Seals, &key.sealed_seed, &place)?;
    let signing = SigningKey::from_seed(&seed.try_into().ok()?).ok()?;
    (signing.public() == key.public).then_some(signing)
}

/// A seal as it is handed out. None where its key is not there, which the database would not have kept.
#[must_use]
pub fn handed_out(outfit: OutfitId, kept: &KeptSeal, keys: &[SealKey]) -> Option<seal::Seal> {
    let key = keys.iter().find(|key| key.id == kept.key)?;
    Some(seal::Seal {
        statement: seal::Statement {
            kind: seal::SealKind::Seal,
            form: seal::SealForm,
            outfit_id: outfit,
            seal_id: kept.id,
            tree_size: kept.size,
            root_hash: kept.root,
            settlement_id: kept.settlement,
            seal_key_id: kept.key,
            public_key: key.public,
            made_by: kept.made.by.clone(),
            made_at: kept.made.at,
        },
        signature: kept.signature,
    })
}
