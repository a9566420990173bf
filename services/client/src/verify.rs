//! Verifies seals and proofs, from what was saved of them alone: no service is asked, and none is believed.
//!
//! ```
//! use client::verify::{Given, verify};
//! # fn example(seal: seal::Seal, kept: seal::Seal, proof: wire::SealConsistency) {
//! let report = verify(&Given { kept: Some(kept), consistency: Some(proof), ..Given::of(seal) });
//! if report.holds() {
//!     println!("nothing before the kept seal was changed, removed or slipped in");
//! }
//! # }
//! ```

mod document;
mod records;
mod report;

pub use records::RecordsRead;
pub use report::{Claim, Report};

use seal::{Hash, PublicKey, Seal, inexact_number, verify_consistency, verify_inclusion};
use serde_json::Value;
use wire::{SealConsistency, SealInclusion};

use crate::text::count;

/// What there is to verify.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// The seal that everything is held against.
    pub seal: Seal,
    /// The outfit's key, got on another way than the seal.
    pub known_key: Option<PublicKey>,
    /// A seal that was kept from before.
    pub kept: Option<Seal>,
    /// The proof from the kept seal to the seal.
    pub consistency: Option<SealConsistency>,
    /// Proofs of records, each with a name to speak of it by.
    pub inclusions: Vec<(String, SealInclusion)>,
    /// What was read of all the records.
    pub records: Option<RecordsRead>,
}

impl Given {
    /// A seal by itself.
    #[must_use]
    pub const fn of(seal: Seal) -> Self {
        Self { seal, known_key: None, kept: None, consistency: None, inclusions: Vec::new(), records: None }
    }
}

/// What is shown by what is given, and what is not.
#[must_use]
pub fn verify(given: &Given) -> Report {
    let mut report = Report::default();
    signature(given, &mut report);
    if let Some(kept) = &given.kept {
        against_kept(given, kept, &mut report);
    }
    for (name, proof) in &given.inclusions {
        report.claim(inclusion(&given.seal, name, proof));
    }
    if let Some(records) = &given.records {
        records.claim(&given.seal, &mut report);
    }
    limits(given, &mut report);
    report
}

/// A seal in words.
fn named(seal: &Seal) -> String {
    let stated = &seal.statement;
    format!("the seal of {} over {}", stated.made_at, count(stated.tree_size, "record", "records"))
}

fn signature(given: &Given, report: &mut Report) {
    let (seal, key) = (&given.seal, given.seal.statement.public_key);
    let name = named(seal);
    report.claim(if seal.is_signed() {
        Claim::shown(format!("{name} was signed with the key {key}"))
    } else {
        Claim::refuted(format!(
            "{name}: its signature was not made with the key it names over what it states"
        ))
    });
    match given.known_key {
        Some(known) if known == key => report.claim(Claim::shown("that is the key you named".to_owned())),
        Some(known) => report.claim(Claim::refuted(format!("that is not the key you named, {known}"))),
        None => report
            .note("whose key that is: hold it against one you got on another way, and name that".to_owned()),
    }
}

fn against_kept(given: &Given, kept: &Seal, report: &mut Report) {
    let (old, new) = (&kept.statement, &given.seal.statement);
    let name = named(kept);
    if !kept.is_signed() {
        report.claim(Claim::refuted(format!("the kept one, {name}, is not signed with the key it names")));
    }
    if old.outfit_id != new.outfit_id {
        report.claim(Claim::refuted("the kept seal is of another outfit's books".to_owned()));
    }
    if old.public_key != new.public_key {
        report.note("why the two seals are signed with different keys: the outfit has to say".to_owned());
    }
    let whole = "nothing that it covers was changed or removed, and nothing was slipped in among it";
    let beginning = |proven: bool, by: &str, why: String| {
        if proven {
            Claim::shown(format!("by {by}, {name}, which was kept, is the beginning of it: {whole}"))
        } else {
            Claim::refuted(format!("{name}, which was kept, is not the beginning of it: {why}"))
        }
    };
    let same_size = old.tree_size == new.tree_size;
    let path = match &given.consistency {
        Some(proof) => Some(proof.path.as_slice()),
        None if same_size || old.tree_size == 0 => Some([].as_slice()),
        None => None,
    };
    if let Some(path) = path {
        let proven = verify_consistency(old.tree(), new.tree(), path);
        let why = proven.map_or_else(|error| error.to_string(), |()| String::new());
        report.claim(beginning(proven.is_ok(), "the proof", why));
    } else if given.records.is_none() {
        let says =
            format!("{name}, which was kept, is held against nothing: give the proof, or all the records");
        report.claim(Claim::refuted(says));
    }
    if let Some(records) = &given.records {
        let proven = records.root_at_kept() == Some(old.root_hash);
        let why = "the records up to there make up another root".to_owned();
        report.claim(beginning(proven, "the records", why));
        records.claim_dates(report);
    }
}

fn inclusion(seal: &Seal, file: &str, proof: &SealInclusion) -> Claim {
    let refuted = |why: String| Claim::refuted(format!("{file} does not prove its record sealed: {why}"));
    let leaf = Hash::of_leaf(proof.document.as_bytes());
    let Ok(document) = serde_json::from_str::<Value>(&proof.document) else {
        return refuted("the document is no JSON".to_owned());
    };
    if let Some(place) = inexact_number(&document) {
        return refuted(format!("the document holds at {place} a number that is not exact"));
    }
    let name = document::name(&document);
    let tree = seal.statement.tree();
    match verify_inclusion(tree, proof.position, leaf, &proof.path) {
        Ok(()) => {
            let place = proof.position.saturating_add(1);
            Claim::shown(format!("{name}, as {file} has it, is record {place} of {}", tree.size))
        }
        Err(error) if leaf != proof.leaf_hash => refuted(format!("{name} is not what was sealed ({error})")),
        Err(error) => refuted(error.to_string()),
    }
}

/// What nobody should take for shown.
fn limits(given: &Given, report: &mut Report) {
    if given.kept.is_none() {
        report.note(
            "that nothing was changed before this seal: only a seal kept from before shows that".to_owned(),
        );
    }
    if given.inclusions.is_empty() && given.records.is_none() {
        report
            .note("what the sealed records say: that takes a record's proof, or all the records".to_owned());
    }
    report.note(
        "that the records were true when they were accepted: a seal only shows what was written".to_owned(),
    );
}
