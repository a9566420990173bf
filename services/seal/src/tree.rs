//! The Merkle tree over leaf hashes: its root, and the paths that prove something of it (RFC 9162, section 2.1).
//!
//! The tree over `n` leaves is split at the largest power of two below `n`; each side is a tree of its own.

use crate::Hash;

/// The size of the left side of a tree of two leaves or more: the largest power of two below its size.
const fn left_of(size: usize) -> usize {
    match size.checked_next_power_of_two() {
        Some(power) => power / 2,
        // Past the last power of two there is.
        None => 1 << (usize::BITS - 1),
    }
}

/// The two sides of a tree of two leaves or more.
fn sides(leaves: &[Hash]) -> Option<(&[Hash], &[Hash])> {
    if leaves.len() < 2 { None } else { leaves.split_at_checked(left_of(leaves.len())) }
}

/// The root of the tree over these leaves (RFC 9162, section 2.1.1).
///
/// ```
/// use seal::{Hash, root};
/// let (a, b, c) = (Hash::of_leaf(b"a"), Hash::of_leaf(b"b"), Hash::of_leaf(b"c"));
/// assert_eq!(root(&[a, b, c]), Hash::of_node(Hash::of_node(a, b), c));
/// assert_eq!(root(&[]), Hash::of_nothing());
/// ```
#[must_use]
pub fn root(leaves: &[Hash]) -> Hash {
    match (sides(leaves), leaves) {
        (Some((left, right)), _) => Hash::of_node(root(left), root(right)),
        (None, [one, ..]) => *one,
        (None, []) => Hash::of_nothing(),
    }
}

/// The hashes that lead from the leaf at `position`, counted from 0, to the root: the nearest first (RFC 9162,
/// section 2.1.3.1). None where the tree has no such leaf.
///
/// ```
/// use seal::{Hash, inclusion_path};
/// let (a, b) = (Hash::of_leaf(b"a"), Hash::of_leaf(b"b"));
/// assert_eq!(inclusion_path(&[a, b], 0), Some(vec![b]));
/// assert_eq!(inclusion_path(&[a, b], 2), None);
/// ```
#[must_use]
pub fn inclusion_path(leaves: &[Hash], position: usize) -> Option<Vec<Hash>> {
    if position >= leaves.len() {
        return None;
    }
    let Some((left, right)) = sides(leaves) else { return Some(Vec::new()) };
    let (within, beside) = match position.checked_sub(left.len()) {
        None => (inclusion_path(left, position), root(right)),
        Some(further) => (inclusion_path(right, further), root(left)),
    };
    let mut path = within?;
    path.push(beside);
    Some(path)
}

/// The hashes that prove that the tree over the first `from` leaves is the beginning of the tree over all of them
/// (RFC 9162, section 2.1.4.1). None where the tree is smaller than that. Nothing is needed, and the path is empty,
/// from an empty tree and from one of the same size.
///
/// ```
/// use seal::{Hash, consistency_path};
/// let (a, b) = (Hash::of_leaf(b"a"), Hash::of_leaf(b"b"));
/// assert_eq!(consistency_path(&[a, b], 1), Some(vec![b]));
/// assert_eq!(consistency_path(&[a, b], 2), Some(vec![]));
/// assert_eq!(consistency_path(&[a, b], 3), None);
/// ```
#[must_use]
pub fn consistency_path(leaves: &[Hash], from: usize) -> Option<Vec<Hash>> {
    match from {
        0 => Some(Vec::new()),
        _ => subpath(leaves, from, true),
    }
}

/// SUBPROOF of the RFC: `known` says whether `leaves` begin where the old tree does, so that its root is known.
fn subpath(leaves: &[Hash], from: usize, known: bool) -> Option<Vec<Hash>> {
    if from == leaves.len() {
        return Some(if known { Vec::new() } else { vec![root(leaves)] });
    }
    let (left, right) = sides(leaves)?;
    let (within, beside) = match from.checked_sub(left.len()) {
        None | Some(0) => (subpath(left, from, known), root(right)),
        Some(further) => (subpath(right, further, false), root(left)),
    };
    let mut path = within?;
    path.push(beside);
    Some(path)
}
