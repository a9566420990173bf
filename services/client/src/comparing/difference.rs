//! One thing before and after.

use std::collections::BTreeMap;

use serde::Serialize;

/// Something that is new, gone or changed.
///
/// ```
/// use client::comparing::Difference;
/// let changed = Difference::Changed { before: 1, after: 2 };
/// assert_eq!((changed.before(), changed.after()), (Some(&1), Some(&2)));
/// assert_eq!(serde_json::to_string(&Difference::New { after: 3 })?, r#"{"what":"new","after":3}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Difference<T> {
    /// It was not there before.
    New {
        /// As it is.
        after: T,
    },
    /// It is there no more.
    Gone {
        /// As it was.
        before: T,
    },
    /// It was there, and is another now.
    Changed {
        /// As it was.
        before: T,
        /// As it is.
        after: T,
    },
}

impl<T> Difference<T> {
    /// As it was; none for what is new.
    #[must_use]
    pub const fn before(&self) -> Option<&T> {
        match self {
            Self::New { .. } => None,
            Self::Gone { before } | Self::Changed { before, .. } => Some(before),
        }
    }

    /// As it is; none for what is gone.
    #[must_use]
    pub const fn after(&self) -> Option<&T> {
        match self {
            Self::Gone { .. } => None,
            Self::New { after } | Self::Changed { after, .. } => Some(after),
        }
    }
}

/// The difference between two of what is always there.
pub(super) fn of<T: PartialEq + Clone>(before: &T, after: &T) -> Option<Difference<T>> {
    (before != after).then(|| Difference::Changed { before: before.clone(), after: after.clone() })
}

/// Things by their key; of several with one key, the first is paired with the first, the second with the second.
fn by_key<T, K: Ord + Clone>(items: &[T], key: impl Fn(&T) -> K) -> BTreeMap<(K, usize), &T> {
    let mut seen = BTreeMap::<K, usize>::new();
    items
        .iter()
        .map(|item| {
            let key = key(item);
            let nth = seen.entry(key.clone()).or_default();
            *nth += 1;
            ((key, *nth), item)
        })
        .collect()
}

/// What is new, gone or changed, in the order of the keys.
pub(super) fn all<T: Clone, K: Ord + Clone>(
    before: &[T],
    after: &[T],
    key: impl Fn(&T) -> K + Copy,
    same: impl Fn(&T, &T) -> bool,
) -> Vec<Difference<T>> {
    let (before, after) = (by_key(before, key), by_key(after, key));
    let mut found = BTreeMap::new();
    for (key, old) in &before {
        match after.get(key) {
            None => found.insert(key, Difference::Gone { before: (*old).clone() }),
            Some(new) if same(old, new) => None,
            Some(new) => {
                found.insert(key, Difference::Changed { before: (*old).clone(), after: (*new).clone() })
            }
        };
    }
    for (key, new) in after.iter().filter(|(key, _)| !before.contains_key(key)) {
        found.insert(key, Difference::New { after: (*new).clone() });
    }
    found.into_values().collect()
}

/// The things before with their differences, in no order.
pub(super) fn applied<T: Clone + PartialEq>(changes: &[Difference<T>], before: &[T]) -> Vec<T> {
    let mut left: Vec<T> = before.to_vec();
    for old in changes.iter().filter_map(Difference::before) {
        if let Some(at) = left.iter().position(|item| item == old) {
            left.swap_remove(at);
        }
    }
    left.extend(changes.iter().filter_map(Difference::after).cloned());
    left
}
