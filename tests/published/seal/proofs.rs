//! Published paths of inclusion and consistency.

use seal::{Hash, Tree, consistency_path, inclusion_path, root, verify_consistency, verify_inclusion};

use super::{cell, count, leaves, rows};

fn tree(leaves: &[Hash]) -> Tree {
    Tree { size: leaves.len().try_into().expect("few"), root: root(leaves) }
}

/// Whether the hashes are the published ones, of which some stand by their first digits.
fn are(path: &[Hash], published: &str) -> bool {
    let digits: Vec<_> = published.split(' ').collect();
    path.len() == digits.len()
        && path.iter().zip(digits).all(|(hash, digits)| hash.to_string().starts_with(digits))
}

#[test]
fn every_published_proof_of_inclusion() {
    let leaves = leaves();
    for row in rows("inclusion.csv") {
        let (position, size) = (count(&row, 0), count(&row, 1));
        let path = inclusion_path(&leaves[..size], position).expect("it is in the tree");
        assert!(are(&path, cell(&row, 2)), "leaf {position} of {size}: {path:?}");
        let place = position.try_into().expect("few");
        assert_eq!(verify_inclusion(tree(&leaves[..size]), place, leaves[position], &path), Ok(()));
    }
}

#[test]
fn every_published_proof_of_consistency() {
    let leaves = leaves();
    for row in rows("consistency.csv") {
        let (from, to) = (count(&row, 0), count(&row, 1));
        let path = consistency_path(&leaves[..to], from).expect("it is a beginning");
        assert!(are(&path, cell(&row, 2)), "{from} to {to}: {path:?}");
        assert_eq!(verify_consistency(tree(&leaves[..from]), tree(&leaves[..to]), &path), Ok(()));
    }
}
