//! The hashes of the tree.

use sha2::{Digest, Sha256};

use crate::bytes::bytes;

bytes! {
    /// A SHA-256 hash of a leaf, of a node, or of a whole tree.
    ///
    /// ```
    /// use seal::Hash;
    /// // A tree without leaves (RFC 9162, section 2.1.1) is the hash of nothing.
    /// let empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    /// assert_eq!(Hash::of_nothing().to_string(), empty);
    /// assert_eq!(empty.parse::<Hash>()?, Hash::of_nothing());
    /// # Ok::<(), seal::BytesTextError>(())
    /// ```
    Hash, 32, "A SHA-256 hash"
}

/// What goes before a leaf, so that no leaf can be passed off as a node (RFC 9162, section 2.1.1).
const LEAF: [u8; 1] = [0];
/// What goes before a node.
const NODE: [u8; 1] = [1];

impl Hash {
    /// The hash of a tree without leaves.
    #[must_use]
    pub fn of_nothing() -> Self {
        Self::from_bytes(Sha256::digest([]).into())
    }

    /// The hash of a leaf: a document in canonical form.
    ///
    /// ```
    /// // Published with the open logs of certificates (transparency-dev/merkle, rfc6962 hasher test).
    /// let hash = seal::Hash::of_leaf(b"L123456").to_string();
    /// assert_eq!(hash, "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56");
    /// ```
    #[must_use]
    pub fn of_leaf(document: &[u8]) -> Self {
        Self::from_bytes(Sha256::new().chain_update(LEAF).chain_update(document).finalize().into())
    }

    /// The hash of a node over two others, left and right.
    #[must_use]
    pub fn of_node(left: Self, right: Self) -> Self {
        let hash = Sha256::new().chain_update(NODE).chain_update(left.bytes()).chain_update(right.bytes());
        Self::from_bytes(hash.finalize().into())
    }
}
