//! What lies at the top of the tree, and how migrations are named.

use std::collections::{BTreeMap, BTreeSet};

use crate::repository::{paths, texts};

/// What may lie at the top beside files whose names begin with a dot.
const TOP: [&str; 9] = [
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "README.md",
    "docker-compose.yml",
    "migrations",
    "openapi",
    "services",
    "tests",
];

fn belongs_at_top(name: &str) -> bool {
    TOP.contains(&name) || name.starts_with('.') || name == "LICENSE" || name.starts_with("LICENSE-")
}

#[test]
fn the_top_holds_only_what_was_agreed() {
    let top: BTreeSet<String> =
        paths().iter().filter_map(|path| path.split('/').next().map(str::to_owned)).collect();
    let strangers: Vec<_> = top.iter().filter(|name| !belongs_at_top(name)).collect();
    assert!(strangers.is_empty(), "put these somewhere below: {strangers:?}");
    assert!(!belongs_at_top("notes.txt") && !belongs_at_top("src") && belongs_at_top("LICENSE-MIT"));
}

/// Why a folder's name is no migration's: `YYYY-MM-DD-HHMMSS-NNNN_verb_object`.
fn misnamed(folder: &str, number: usize) -> Option<&'static str> {
    let Some((stamp, name)) = folder.split_once('_') else { return Some("there is no `_` after the number") };
    let parts: Vec<_> = stamp.split('-').collect();
    let widths: Vec<_> = parts.iter().map(|part| part.len()).collect();
    let digits = parts.iter().all(|part| part.chars().all(|letter| letter.is_ascii_digit()));
    if widths != [4, 2, 2, 6, 4] || !digits {
        return Some("the stamp is not YYYY-MM-DD-HHMMSS-NNNN");
    }
    if parts.last().and_then(|last| last.parse().ok()) != Some(number) {
        return Some("the numbers do not run on from 0001");
    }
    let words: Vec<_> = name.split('_').collect();
    let good = |word: &&str| !word.is_empty() && word.chars().all(|letter| letter.is_ascii_lowercase());
    if words.len() < 2 || !words.iter().all(good) {
        return Some("after the number comes verb_object in small letters");
    }
    None
}

#[test]
fn migrations_go_both_ways_and_are_named_by_pattern() {
    let mut folders = BTreeMap::<String, Vec<String>>::new();
    for path in paths().iter().filter_map(|path| path.strip_prefix("migrations/")) {
        match path.split_once('/') {
            Some((folder, file)) => folders.entry(folder.to_owned()).or_default().push(file.to_owned()),
            None => assert_eq!(path, "README.md", "only folders lie under migrations"),
        }
    }
    assert!(!folders.is_empty(), "there are no migrations");
    for (number, (folder, files)) in (1..).zip(&folders) {
        assert_eq!(misnamed(folder, number), None, "{folder}");
        assert_eq!(files.as_slice(), ["down.sql", "up.sql"], "{folder}");
    }
}

#[test]
fn every_migration_says_what_it_is_for() {
    let ups = |path: &str| path.starts_with("migrations/") && path.ends_with("/up.sql");
    for text in texts().iter().filter(|text| ups(&text.path)) {
        assert!(text.content.starts_with("-- "), "{}: begin it with a line `-- …`", text.path);
    }
}

#[test]
fn a_misnamed_migration_is_seen() {
    assert_eq!(misnamed("2031-06-06-000007-0007_create_yard", 7), None);
    for wrong in [
        "2031-06-06-000007_create_yard",
        "2031-06-06-000007-0008_create_yard",
        "2031-6-06-000007-0007_create_yard",
        "2031-06-06-000007-0007_yard",
        "2031-06-06-000007-0007_Create_yard",
        "2031-06-06-000007-0007-create",
    ] {
        assert!(misnamed(wrong, 7).is_some(), "{wrong}");
    }
}
