//! A tree that only grows, by its right edge alone.

use crate::Hash;

/// What is kept of a tree to make it grow: its size, and the roots of the full trees it is made of, the largest first.
/// A tree of a million leaves is kept in at most twenty hashes.
///
/// ```
/// use seal::{Frontier, Hash, root};
/// let leaves: Vec<Hash> = (0..11_u8).map(|leaf| Hash::of_leaf(&[leaf])).collect();
/// let mut frontier = Frontier::default();
/// for leaf in &leaves {
///     frontier.append(*leaf);
/// }
/// assert_eq!((frontier.size(), frontier.peaks().len()), (11, 3)); // 8 + 2 + 1
/// assert_eq!(frontier.root(), root(&leaves));
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Frontier {
    size: u64,
    peaks: Vec<Hash>,
}

/// Hashes that are not the peaks of a tree of that size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a tree of {size} leaves has {} peaks, not {peaks}", size.count_ones())]
pub struct FrontierError {
    size: u64,
    peaks: usize,
}

impl Frontier {
    /// Takes hashes to be the peaks of a tree of so many leaves.
    ///
    /// # Errors
    ///
    /// [`FrontierError`] when it has more of them, or fewer. Whether they are the right ones says the root.
    ///
    /// ```
    /// use seal::{Frontier, Hash};
    /// assert!(Frontier::from_parts(1, vec![Hash::of_leaf(b"a")]).is_ok());
    /// assert!(Frontier::from_parts(3, vec![Hash::of_leaf(b"a")]).is_err());
    /// ```
    pub fn from_parts(size: u64, peaks: Vec<Hash>) -> Result<Self, FrontierError> {
        let expected = usize::try_from(size.count_ones());
        if expected != Ok(peaks.len()) {
            return Err(FrontierError { size, peaks: peaks.len() });
        }
        Ok(Self { size, peaks })
    }

    /// How many leaves the tree has.
    #[must_use]
    pub const fn size(&self) -> u64 {
        self.size
    }

    /// The roots of the full trees, the largest first.
    #[must_use]
    pub fn peaks(&self) -> &[Hash] {
        &self.peaks
    }

    /// Adds a leaf at the right edge.
    pub fn append(&mut self, leaf: Hash) {
        let mut full = leaf;
        // Each full tree of the same size before it makes one of twice the size with it.
        for _ in 0..self.size.trailing_ones() {
            if let Some(left) = self.peaks.pop() {
                full = Hash::of_node(left, full);
            }
        }
        self.peaks.push(full);
        self.size = self.size.saturating_add(1);
    }

    /// The root of the tree as it is now.
    #[must_use]
    pub fn root(&self) -> Hash {
        let mut smaller_first = self.peaks.iter().rev().copied();
        let Some(last) = smaller_first.next() else { return Hash::of_nothing() };
        smaller_first.fold(last, |right, left| Hash::of_node(left, right))
    }
}
