//! Published roots of Merkle trees, and hashes of a leaf and a node.

use seal::{Frontier, Hash, root};

use super::{cell, count, leaves, rows};

#[test]
fn every_published_root() {
    let leaves = leaves();
    let rows = rows("roots.csv");
    assert_eq!(rows.len(), leaves.len() + 1);
    for row in rows {
        let size = count(&row, 0);
        assert_eq!(root(&leaves[..size]).to_string(), cell(&row, 1), "{size} leaves");
        let mut frontier = Frontier::default();
        leaves[..size].iter().for_each(|leaf| frontier.append(*leaf));
        assert_eq!(frontier.root().to_string(), cell(&row, 1), "{size} leaves by the right edge");
    }
}

/// From the hasher tests of transparency-dev/merkle.
#[test]
fn a_leaf_and_a_node_are_hashed_apart() {
    let leaf = "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56";
    assert_eq!(Hash::of_leaf(b"L123456").to_string(), leaf);
    // The published node is over two texts of four letters; hashes have 32 bytes, so it is made by hand here.
    let node = "aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb";
    let digest: [u8; 32] = sha2::Digest::finalize(sha2::Digest::chain_update(
        <sha2::Sha256 as sha2::Digest>::new(),
        b"\x01N123N456",
    ))
    .into();
    assert_eq!(Hash::from_bytes(digest).to_string(), node);
    // And of_node puts the same byte before two hashes.
    let (left, right) = (Hash::of_leaf(b"l"), Hash::of_leaf(b"r"));
    let bytes = [[1].as_slice(), left.bytes(), right.bytes()].concat();
    let by_hand: [u8; 32] = <sha2::Sha256 as sha2::Digest>::digest(bytes).into();
    assert_eq!(Hash::of_node(left, right), Hash::from_bytes(by_hand));
}
