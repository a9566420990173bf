//! An open implementation by somebody else (the library ct-merkle), beside ours.

use ct_merkle::mem_backed_tree::MemoryBackedTree;
use ct_merkle::{ConsistencyProof, InclusionProof, RootHash};
use seal::{Hash, Tree, consistency_path, inclusion_path, root, verify_consistency, verify_inclusion};
use sha2::Sha256;

fn hashes(bytes: &[u8]) -> Vec<Hash> {
    bytes.chunks_exact(32).map(|hash| Hash::from_bytes(hash.try_into().unwrap())).collect()
}

fn bytes(path: &[Hash]) -> Vec<u8> {
    path.iter().flat_map(|hash| *hash.bytes()).collect()
}

#[test]
fn roots_and_proofs_are_the_same() {
    let mut theirs = MemoryBackedTree::<Sha256, Vec<u8>>::new();
    let mut ours = Vec::new();
    let mut before: Vec<RootHash<Sha256>> = vec![theirs.root()];
    for leaf in 0..70_u64 {
        theirs.push(leaf.to_be_bytes().to_vec());
        ours.push(Hash::of_leaf(&leaf.to_be_bytes()));
        let whole = Tree { size: leaf + 1, root: root(&ours) };
        assert_eq!(theirs.root().as_bytes().as_slice(), whole.root.bytes());
        for position in 0..ours.len() {
            let path = inclusion_path(&ours, position).unwrap();
            let proof = theirs.prove_inclusion(position);
            assert_eq!(hashes(proof.as_bytes()), path, "{position} of {}", whole.size);
            // And each takes the other's.
            let place = u64::try_from(position).unwrap();
            let item = place.to_be_bytes().to_vec();
            let proof = InclusionProof::try_from_bytes(bytes(&path)).unwrap();
            assert!(theirs.root().verify_inclusion(&item, place, &proof).is_ok());
            assert_eq!(verify_inclusion(whole, place, ours[position], &path), Ok(()));
        }
        for from in 1..ours.len() {
            let path = consistency_path(&ours, from).unwrap();
            let proof = theirs.prove_consistency(ours.len() - from);
            assert_eq!(hashes(proof.as_bytes()), path, "{from} to {}", whole.size);
            let proof = ConsistencyProof::try_from_bytes(bytes(&path)).unwrap();
            assert!(theirs.root().verify_consistency(&before[from], &proof).is_ok());
            let old = Tree { size: from.try_into().unwrap(), root: root(&ours[..from]) };
            assert_eq!(verify_consistency(old, whole, &path), Ok(()));
        }
        before.push(theirs.root());
    }
}
