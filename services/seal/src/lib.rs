//! Seals: everything that was accepted up to a moment, as one signed hash. No input or output.
//!
//! Every accepted ticket and every posted settlement is a [`Document`] in canonical form (RFC 8785). The documents, in
//! the order in which they were sealed, are the leaves of a Merkle tree (RFC 9162, section 2.1). A [`Seal`] states the
//! size and the root of that tree, signed with the outfit's own key (Ed25519, RFC 8032). From then on:
//!
//! - [`verify_inclusion`] shows that a record is among those that were sealed, exactly as it is;
//! - [`verify_consistency`] shows that a later seal is over the same records and more: nothing before was changed,
//!   removed or slipped in.
//!
//! ```
//! use seal::{Document, Frontier, Tree, consistency_path, verify_consistency};
//!
//! let ticket = |number: u32| Document::of(&serde_json::json!({"kind": "ticket", "number": number}));
//! let leaves = [ticket(1)?.hash(), ticket(2)?.hash(), ticket(3)?.hash()];
//! let mut frontier = Frontier::default();
//! frontier.append(leaves[0]);
//! frontier.append(leaves[1]);
//! let kept = Tree { size: frontier.size(), root: frontier.root() }; // what somebody wrote down
//! frontier.append(leaves[2]);
//! let later = Tree { size: frontier.size(), root: frontier.root() };
//! let path = consistency_path(&leaves, 2).unwrap_or_default();
//! assert_eq!(verify_consistency(kept, later, &path), Ok(()));
//! # Ok::<(), seal::CanonicalError>(())
//! ```

mod bytes;
mod canonical;
mod frontier;
mod hash;
mod key;
mod proof;
mod record;
mod statement;
mod tree;

pub use bytes::BytesTextError;
pub use canonical::{CanonicalError, canonical, inexact_number};
pub use frontier::{Frontier, FrontierError};
pub use hash::Hash;
pub use key::{PublicKey, SeedError, Signature, SigningKey};
pub use proof::{ProofError, Tree, verify_consistency, verify_inclusion};
pub use record::{
    Document, RecordKind, SETTLEMENT_FORM, SealedDraft, SealedEntry, SealedLine, SealedPosting,
    SealedSettlement, SealedShare, SealedStatement, SealedSupplement, SealedTakeOff, SealedTicket,
    TICKET_FORM,
};
pub use statement::{Seal, SealForm, SealKind, Statement};
pub use tree::{consistency_path, inclusion_path, root};
