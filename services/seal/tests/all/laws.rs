//! Every proof of a random tree holds; no proof with anything changed does.

use proptest::prelude::*;
use seal::{
    Frontier, Hash, Tree, consistency_path, inclusion_path, root, verify_consistency, verify_inclusion,
};

fn leaves(size: usize) -> Vec<Hash> {
    (0..size).map(|leaf| Hash::of_leaf(&leaf.to_be_bytes())).collect()
}

fn tree(leaves: &[Hash]) -> Tree {
    Tree { size: leaves.len().try_into().unwrap(), root: root(leaves) }
}

fn flipped(hash: Hash, bit: usize) -> Hash {
    let mut bytes = *hash.bytes();
    bytes[bit / 8 % 32] ^= 1 << (bit % 8);
    Hash::from_bytes(bytes)
}

/// The path with one thing changed, in every way there is of that kind.
fn changed(path: &[Hash], bit: usize) -> Vec<Vec<Hash>> {
    let mut all = vec![[path, &[Hash::of_nothing()]].concat(), [&[Hash::of_nothing()], path].concat()];
    for place in 0..path.len() {
        let mut one = path.to_vec();
        one[place] = flipped(one[place], bit);
        all.push(one);
        let mut shorter = path.to_vec();
        shorter.remove(place);
        all.push(shorter);
        if place > 0 {
            let mut swapped = path.to_vec();
            swapped.swap(place - 1, place);
            all.push(swapped);
        }
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn the_right_edge_has_the_root_of_the_whole(size in 0_usize..300) {
        let leaves = leaves(size);
        let mut frontier = Frontier::default();
        for (known, leaf) in leaves.iter().enumerate() {
            prop_assert_eq!(frontier.root(), root(&leaves[..known]));
            // As it is kept and read again.
            frontier = Frontier::from_parts(frontier.size(), frontier.peaks().to_vec()).unwrap();
            frontier.append(*leaf);
        }
        prop_assert_eq!(frontier.root(), root(&leaves));
    }

    #[test]
    fn inclusion_is_proven_for_what_is_there_alone(size in 1_usize..200, at in any::<u64>(), bit in 0_usize..256) {
        let leaves = leaves(size);
        let whole = tree(&leaves);
        let position = at % whole.size;
        let place = usize::try_from(position).unwrap();
        let path = inclusion_path(&leaves, place).unwrap();
        prop_assert_eq!(verify_inclusion(whole, position, leaves[place], &path), Ok(()));
        prop_assert!(verify_inclusion(whole, position, flipped(leaves[place], bit), &path).is_err());
        for wrong in (0..whole.size + 2).filter(|wrong| *wrong != position) {
            prop_assert!(verify_inclusion(whole, wrong, leaves[place], &path).is_err(), "at {wrong}");
        }
        for path in changed(&path, bit) {
            prop_assert!(verify_inclusion(whole, position, leaves[place], &path).is_err());
        }
        let other = Tree { root: flipped(whole.root, bit), ..whole };
        prop_assert!(verify_inclusion(other, position, leaves[place], &path).is_err());
        // In a tree of another size the way to the root is another one, or its root is.
        for size in [whole.size - 1, whole.size + 1] {
            let other = Tree { size, root: root(&self::leaves(usize::try_from(size).unwrap())) };
            prop_assert!(verify_inclusion(other, position, leaves[place], &path).is_err());
        }
    }

    #[test]
    fn consistency_is_proven_for_beginnings_alone(to in 1_usize..200, at in any::<usize>(), bit in 0_usize..256) {
        let leaves = leaves(to);
        let from = at % (to + 1);
        let (old, new) = (tree(&leaves[..from]), tree(&leaves));
        let path = consistency_path(&leaves, from).unwrap();
        prop_assert_eq!(verify_consistency(old, new, &path), Ok(()));
        for path in changed(&path, bit) {
            prop_assert!(verify_consistency(old, new, &path).is_err());
        }
        let other = |tree: Tree| Tree { root: flipped(tree.root, bit), ..tree };
        prop_assert!(verify_consistency(other(old), new, &path).is_err());
        if from > 0 {
            prop_assert!(verify_consistency(old, other(new), &path).is_err());
        }
        if from < to {
            prop_assert!(verify_consistency(new, old, &path).is_err(), "backwards");
        }
    }

    /// What a seal is for: books in which anything before the kept seal was changed, removed or slipped in cannot prove
    /// that they go on from it, whatever path they show.
    #[test]
    fn books_that_were_changed_do_not_go_on_from_the_kept_tree(
        from in 1_usize..60, more in 1_usize..60, at in any::<usize>(), kind in 0_u8..3,
    ) {
        let honest = leaves(from + more);
        let kept = tree(&honest[..from]);
        let (mut forged, place) = (honest.clone(), at % from);
        match kind {
            0 => forged[place] = Hash::of_leaf(b"changed"),
            1 => drop(forged.remove(place)),
            _ => forged.insert(place, Hash::of_leaf(b"slipped in")),
        }
        let now = tree(&forged);
        let paths = [consistency_path(&forged, from), consistency_path(&honest, from), Some(Vec::new())];
        for path in paths.into_iter().flatten() {
            prop_assert!(verify_consistency(kept, now, &path).is_err());
        }
    }
}

#[test]
fn an_empty_tree_is_the_beginning_of_any() {
    let (none, some) = (tree(&[]), tree(&leaves(3)));
    assert_eq!(verify_consistency(none, some, &[]), Ok(()));
    assert_eq!(verify_consistency(none, none, &[]), Ok(()));
    assert!(verify_consistency(Tree { root: some.root, size: 0 }, some, &[]).is_err());
    assert!(verify_consistency(none, some, &[Hash::of_nothing()]).is_err());
    assert!(verify_inclusion(none, 0, Hash::of_nothing(), &[]).is_err());
}

#[test]
fn a_huge_tree_is_no_trouble() {
    let claimed = Tree { size: u64::MAX, root: Hash::of_nothing() };
    assert!(verify_inclusion(claimed, u64::MAX - 1, Hash::of_nothing(), &[Hash::of_nothing(); 64]).is_err());
    assert!(verify_inclusion(claimed, 0, Hash::of_nothing(), &vec![Hash::of_nothing(); 1000]).is_err());
    let old = Tree { size: u64::MAX - 1, root: Hash::of_nothing() };
    assert!(verify_consistency(old, claimed, &[Hash::of_nothing(); 70]).is_err());
}
