//! Proofs about trees, and whether they hold (RFC 9162, sections 2.1.3.2 and 2.1.4.2).

use crate::Hash;

/// A tree, as far as proofs know it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tree {
    /// How many leaves it has.
    pub size: u64,
    /// Its root.
    pub root: Hash,
}

/// Why a proof proves nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ProofError {
    /// The position is not in the tree.
    #[error("position {position} is not in a tree of {size} records")]
    OutsideTheTree {
        /// The position, from 0.
        position: u64,
        /// The size of the tree.
        size: u64,
    },
    /// The tree that is to be the later one is smaller.
    #[error("the later tree has {to} records, fewer than the {from} of the earlier one")]
    Shrunk {
        /// The size of the earlier tree.
        from: u64,
        /// The size of the later tree.
        to: u64,
    },
    /// The path has more hashes than lead to the root, or fewer.
    #[error("the path has {0} hashes, which is not how many lead to the root")]
    WrongLength(usize),
    /// The path leads to another root than the tree's.
    #[error("the path leads to another root")]
    OtherRoot,
    /// The path leads to another root than the earlier tree's: it is not the beginning of the later one.
    #[error("the earlier tree is not the beginning of the later one")]
    NotTheBeginning,
}

/// The way up from a leaf: `place` counts nodes of one level, `last` is the rightmost of them.
struct Climb {
    place: u64,
    last: u64,
}

impl Climb {
    /// Whether the node beside is on the left.
    const fn beside_is_left(&self) -> bool {
        self.place & 1 == 1 || self.place == self.last
    }

    fn up(&mut self) {
        self.place >>= 1;
        self.last >>= 1;
    }

    /// Goes up through the levels on which a rightmost node stands alone.
    fn skip_lonely(&mut self) {
        while self.place & 1 == 0 && self.place != 0 {
            self.up();
        }
    }
}

/// Checks that the leaf with this hash is in the tree at `position`, counted from 0.
///
/// # Errors
///
/// [`ProofError`] when it is not proven.
///
/// ```
/// use seal::{Hash, Tree, inclusion_path, root, verify_inclusion};
/// let leaves: Vec<Hash> = (0..5_u8).map(|leaf| Hash::of_leaf(&[leaf])).collect();
/// let tree = Tree { size: 5, root: root(&leaves) };
/// let path = inclusion_path(&leaves, 3).unwrap_or_default();
/// assert_eq!(verify_inclusion(tree, 3, Hash::of_leaf(&[3]), &path), Ok(()));
/// assert!(verify_inclusion(tree, 2, Hash::of_leaf(&[3]), &path).is_err());
/// ```
pub fn verify_inclusion(tree: Tree, position: u64, leaf: Hash, path: &[Hash]) -> Result<(), ProofError> {
    if position >= tree.size {
        return Err(ProofError::OutsideTheTree { position, size: tree.size });
    }
    let mut climb = Climb { place: position, last: tree.size.saturating_sub(1) };
    let mut reached = leaf;
    for beside in path {
        if climb.last == 0 {
            return Err(ProofError::WrongLength(path.len()));
        }
        if climb.beside_is_left() {
            reached = Hash::of_node(*beside, reached);
            climb.skip_lonely();
        } else {
            reached = Hash::of_node(reached, *beside);
        }
        climb.up();
    }
    match (climb.last, reached == tree.root) {
        (0, true) => Ok(()),
        (0, false) => Err(ProofError::OtherRoot),
        _ => Err(ProofError::WrongLength(path.len())),
    }
}

/// Checks that the tree `from` is the beginning of the tree `to`: nothing in it was changed, removed or slipped in.
///
/// # Errors
///
/// [`ProofError`] when it is not proven.
///
/// ```
/// use seal::{Hash, Tree, consistency_path, root, verify_consistency};
/// let leaves: Vec<Hash> = (0..5_u8).map(|leaf| Hash::of_leaf(&[leaf])).collect();
/// let (old, new) = (Tree { size: 3, root: root(&leaves[..3]) }, Tree { size: 5, root: root(&leaves) });
/// let path = consistency_path(&leaves, 3).unwrap_or_default();
/// assert_eq!(verify_consistency(old, new, &path), Ok(()));
/// let other = Tree { root: Hash::of_nothing(), ..old };
/// assert!(verify_consistency(other, new, &path).is_err());
/// ```
pub fn verify_consistency(from: Tree, to: Tree, path: &[Hash]) -> Result<(), ProofError> {
    if from.size > to.size {
        return Err(ProofError::Shrunk { from: from.size, to: to.size });
    }
    if from.size == 0 || from.size == to.size {
        // The path has nothing to show: the roots say it themselves.
        let known = if from.size == 0 { Hash::of_nothing() } else { to.root };
        return match (path.is_empty(), from.root == known) {
            (true, true) => Ok(()),
            (true, false) => Err(ProofError::NotTheBeginning),
            (false, _) => Err(ProofError::WrongLength(path.len())),
        };
    }
    // A full tree is a node of the later one, which need not be sent.
    let whole = from.size.is_power_of_two().then_some(from.root);
    let mut hashes = whole.into_iter().chain(path.iter().copied());
    let Some(first) = hashes.next() else { return Err(ProofError::WrongLength(0)) };
    let mut climb = Climb { place: from.size.saturating_sub(1), last: to.size.saturating_sub(1) };
    while climb.place & 1 == 1 {
        climb.up();
    }
    let (mut old, mut new) = (first, first);
    for beside in hashes {
        if climb.last == 0 {
            return Err(ProofError::WrongLength(path.len()));
        }
        if climb.beside_is_left() {
            old = Hash::of_node(beside, old);
            new = Hash::of_node(beside, new);
            climb.skip_lonely();
        } else {
            new = Hash::of_node(new, beside);
        }
        climb.up();
    }
    match (climb.last, old == from.root, new == to.root) {
        (0, true, true) => Ok(()),
        (0, false, _) => Err(ProofError::NotTheBeginning),
        (0, true, false) => Err(ProofError::OtherRoot),
        _ => Err(ProofError::WrongLength(path.len())),
    }
}
