//! Makes a seal over everything that was accepted so far.
//!
//! The books are closed to others meanwhile, so that nothing is under way. What is not sealed yet is added to the leaves:
//! tickets in the order of their ids, then settlements in the order of theirs. Only these are read; what was sealed before
//! is known by its peaks.

use kernel::SettlementId;
use seal::{Frontier, Seal, SealForm, SealKind, Statement};
use storage::{Books, KeptSeal, SealLeaf, SealedRecord, Stamp};

use super::seal_key::{handed_out, to_sign_with};
use super::sealed_documents::read;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// How many records are read at once.
pub const AT_ONCE: u16 = 500;

/// A seal, and whether it was made just now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// The seal.
    pub seal: Seal,
    /// Whether it is new; otherwise nothing had come in since it was made.
    pub new: bool,
}

/// Makes a seal, or answers with the latest one where nothing has come in since. The books must be closed to others.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn seal_books(
    books: &mut Books,
    service: &Service,
    made: Stamp,
    settlement: Option<SettlementId>,
) -> Result<Made, Refusal> {
    let latest = books.latest_seal().await?;
    let mut frontier = right_edge(books, latest.as_ref()).await?;
    add_leaves(books, &mut frontier).await?;
    if let Some(latest) = latest.filter(|latest| latest.size == frontier.size()) {
        let keys = books.seal_keys().await?;
        let seal = handed_out(books.outfit(), &latest, &keys);
        let seal = seal.ok_or_else(|| Refusal::internal("a seal names a key that is not there"))?;
        return Ok(Made { seal, new: false });
    }
    let (key_id, key) = to_sign_with(books, service, &made).await?;
    let statement = Statement {
        kind: SealKind::Seal,
        form: SealForm,
        outfit_id: books.outfit(),
        seal_id: service.ids.make(),
        tree_size: frontier.size(),
        root_hash: frontier.root(),
        settlement_id: settlement,
        seal_key_id: key_id,
        public_key: key.public(),
        made_by: made.by.clone(),
        made_at: made.at,
    };
    let seal = Seal::sign(statement, &key).map_err(Refusal::internal)?;
    let kept = KeptSeal {
        id: seal.statement.seal_id,
        root: frontier.root(),
        size: frontier.size(),
        peaks: frontier.peaks().to_vec(),
        settlement,
        key: key_id,
        signature: seal.signature,
        made,
    };
    books.add_seal(&kept).await?;
    tracing::info!(seal.size = kept.size, "books sealed");
    Ok(Made { seal, new: true })
}

/// The tree as it was left. Where the peaks do not make up the root that was signed, or leaves lie beyond the latest seal,
/// somebody has been at the tables; the tree is then made of the leaves that are there, and the check of a seal finds out
/// what does not fit.
async fn right_edge(books: &mut Books, latest: Option<&KeptSeal>) -> Result<Frontier, Refusal> {
    let known = latest.map_or_else(|| Some(Frontier::default()), KeptSeal::frontier);
    if known.is_none() {
        tracing::error!("the peaks of the latest seal are not those of its root; they are made again");
    }
    let mut frontier = known.unwrap_or_default();
    loop {
        let leaves = books.seal_leaves(frontier.size(), i64::MAX.unsigned_abs(), AT_ONCE).await?;
        if leaves.is_empty() {
            return Ok(frontier);
        }
        leaves.iter().for_each(|leaf| frontier.append(leaf.hash));
    }
}

/// Adds everything that is no leaf yet.
async fn add_leaves(books: &mut Books, frontier: &mut Frontier) -> Result<(), Refusal> {
    let tickets = books.unsealed_tickets().await?.into_iter().map(SealedRecord::Ticket);
    let settlements = books.unsealed_settlements().await?.into_iter().map(SealedRecord::Settlement);
    let new: Vec<_> = tickets.chain(settlements).collect();
    for some in new.chunks(AT_ONCE.into()) {
        let mut found = read(books, some).await?;
        let mut leaves = Vec::with_capacity(some.len());
        for record in some {
            let gone = || Refusal::internal("a record went away while the books were closed");
            let sealable = found.remove(record).ok_or_else(gone)?;
            let hash = sealable.document()?.hash();
            leaves.push(SealLeaf { position: frontier.size(), record: *record, form: sealable.form(), hash });
            frontier.append(hash);
        }
        books.add_seal_leaves(&leaves).await?;
    }
    Ok(())
}
