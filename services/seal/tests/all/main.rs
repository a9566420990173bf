//! Laws of trees and proofs on random trees, an implementation by somebody else beside ours, and documents that must
//! never come out otherwise. The published vectors are in `tests/published/seal` of the workspace.
#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::arithmetic_side_effects,
    reason = "a test may stop where it stands"
)]

mod documents;
mod laws;
mod oracle;
