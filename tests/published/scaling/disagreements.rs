//! Where print disagrees with itself or with the rule: a short list, kept by hand. A disagreement that is not
//! on it fails, and so does one that is on it and no longer there.

use std::collections::BTreeMap;

use super::data;

/// What was printed and what the crate makes of it, by the place in print.
#[derive(Debug, PartialEq, Eq)]
pub struct Disagreement {
    pub printed: String,
    pub ours: String,
}

/// The list, by place in print.
pub fn known(file: &str) -> BTreeMap<String, Disagreement> {
    data::rows("known_disagreements.csv")
        .iter()
        .filter(|row| &row[0] == file)
        .map(|row| {
            assert!(!row[4].is_empty(), "{} has no reason", &row[1]);
            (row[1].to_owned(), Disagreement { printed: row[2].to_owned(), ours: row[3].to_owned() })
        })
        .collect()
}

/// Holds what was found against the list.
pub fn settle(file: &str, found: &BTreeMap<String, Disagreement>) {
    let known = known(file);
    let new: Vec<_> = found.iter().filter(|(place, figures)| known.get(*place) != Some(figures)).collect();
    let gone: Vec<_> = known.keys().filter(|place| !found.contains_key(*place)).collect();
    assert!(new.is_empty(), "new disagreements with {file}: {new:#?}");
    assert!(gone.is_empty(), "on the list of disagreements with {file} but not found: {gone:#?}");
}
