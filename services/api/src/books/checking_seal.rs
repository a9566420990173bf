//! Holds the books as they lie now against a seal: every record against its leaf, every leaf against the roots, every
//! root against its signature.

use jiff::SignedDuration;
use kernel::SealId;
use seal::{Frontier, Seal, inexact_number};
use storage::{Books, KeptSeal, SealKey, SealLeaf, SealedRecord};
use wire::{SealFault, SealFinding};

use super::seal_key::handed_out;
use super::sealed_documents::{Sealable, read};
use super::sealing::AT_ONCE;
use crate::http::refusal::Refusal;

/// How far the clocks of two instances may be apart before a record counts as dated before a seal.
const CLOCKS_APART: SignedDuration = SignedDuration::from_mins(1);
/// How many findings are told.
const MOST: usize = 1000;

/// What was found.
#[derive(Debug, Default)]
pub struct Found {
    /// What is wrong.
    pub findings: Vec<SealFinding>,
    /// How much more is.
    pub left_out: u64,
    /// How many records were held against their leaves.
    pub records: u64,
    /// How many seals were held against the leaves.
    pub seals: u64,
}

impl Found {
    fn add(&mut self, finding: SealFinding) {
        if self.findings.len() < MOST {
            self.findings.push(finding);
        } else {
            self.left_out = self.left_out.saturating_add(1);
        }
    }
}

/// Checks everything that a seal covers, and the seals before it.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn check(books: &mut Books, checked: &KeptSeal, keys: &[SealKey]) -> Result<Found, Refusal> {
    let mut found = Found::default();
    let seals = books.seals_up_to(checked.size).await?;
    for one in &seals {
        if !handed_out(books.outfit(), one, keys).as_ref().is_some_and(Seal::is_signed) {
            let says =
                format!("the seal of {}: its signature does not belong to what it states", one.made.at);
            found.add(of_seal(SealFault::SignatureWrong, one.id, says));
        }
    }
    let mut tree = Tree { frontier: Frontier::default(), seals: &seals, passed: 0 };
    tree.pass(&mut found);
    'leaves: while tree.frontier.size() < checked.size {
        let leaves = books.seal_leaves(tree.frontier.size(), checked.size, AT_ONCE).await?;
        let records: Vec<_> = leaves.iter().map(|leaf| leaf.record).collect();
        let mut known = read(books, &records).await?;
        if leaves.is_empty() {
            found.add(gap(tree.frontier.size(), checked.size));
            break;
        }
        for leaf in &leaves {
            if leaf.position != tree.frontier.size() {
                found.add(gap(tree.frontier.size(), leaf.position));
                break 'leaves;
            }
            check_record(leaf, known.remove(&leaf.record), tree.before(), &mut found)?;
            tree.frontier.append(leaf.hash);
            tree.pass(&mut found);
        }
    }
    find_slipped_in(books, checked, &mut found).await?;
    Ok(found)
}

/// The tree as it grows again, and the seals along its way.
struct Tree<'a> {
    frontier: Frontier,
    seals: &'a [KeptSeal],
    passed: usize,
}

impl Tree<'_> {
    /// Holds the root against every seal that was made at this size.
    fn pass(&mut self, found: &mut Found) {
        while let Some(seal) = self.seals.get(self.passed).filter(|seal| seal.size == self.frontier.size()) {
            if self.frontier.root() != seal.root {
                let says = format!(
                    "the seal of {}: its {} leaves make up another root than it states",
                    seal.made.at, seal.size
                );
                found.add(of_seal(SealFault::RootDiffers, seal.id, says));
            }
            found.seals = found.seals.saturating_add(1);
            self.passed = self.passed.saturating_add(1);
        }
    }

    /// The last seal that does not cover the next leaf.
    fn before(&self) -> Option<&KeptSeal> {
        self.passed.checked_sub(1).and_then(|last| self.seals.get(last))
    }
}

fn of_seal(fault: SealFault, seal: SealId, says: String) -> SealFinding {
    SealFinding { fault, says, position: None, ticket_id: None, settlement_id: None, seal_id: Some(seal) }
}

fn gap(from: u64, to: u64) -> SealFinding {
    let says = format!("no leaf lies at position {from}, and none until position {to}");
    let (ticket_id, settlement_id, seal_id) = (None, None, None);
    SealFinding {
        fault: SealFault::LeavesGone,
        says,
        position: Some(from),
        ticket_id,
        settlement_id,
        seal_id,
    }
}

fn of_record(fault: SealFault, record: SealedRecord, position: Option<u64>, says: String) -> SealFinding {
    let (ticket_id, settlement_id) = match record {
        SealedRecord::Ticket(id) => (Some(id), None),
        SealedRecord::Settlement(id) => (None, Some(id)),
    };
    SealFinding { fault, says, position, ticket_id, settlement_id, seal_id: None }
}

fn check_record(
    leaf: &SealLeaf,
    sealable: Option<Sealable>,
    before: Option<&KeptSeal>,
    found: &mut Found,
) -> Result<(), Refusal> {
    found.records = found.records.saturating_add(1);
    let finding = |fault, says| of_record(fault, leaf.record, Some(leaf.position), says);
    let Some(sealable) = sealable else {
        let name = match leaf.record {
            SealedRecord::Ticket(id) => format!("ticket {id}"),
            SealedRecord::Settlement(id) => format!("settlement {id}"),
        };
        found.add(finding(SealFault::RecordGone, format!("{name} was sealed and is not there any more")));
        return Ok(());
    };
    let name = sealable.name();
    if sealable.form() != leaf.form || sealable.document()?.hash() != leaf.hash {
        found.add(finding(SealFault::RecordChanged, format!("{name} is not what was sealed")));
    }
    if let Some(place) = inexact_number(&sealable.json()?) {
        let says = format!("{name} holds at {place} a number that the service never writes");
        found.add(finding(SealFault::RecordOutOfForm, says));
    }
    if let Some(seal) = before.filter(|seal| is_before(&sealable, seal)) {
        let says = slipped_in(&sealable, seal);
        found.add(finding(SealFault::RecordSlippedIn, says));
    }
    Ok(())
}

/// Whether a record that a seal does not cover says that it was there before.
fn is_before(sealable: &Sealable, seal: &KeptSeal) -> bool {
    let apart = seal.made.at.duration_since(sealable.entered_at());
    apart > CLOCKS_APART
}

fn slipped_in(sealable: &Sealable, seal: &KeptSeal) -> String {
    format!(
        "{} says that it came in at {}, and the seal of {} does not cover it",
        sealable.name(),
        sealable.entered_at(),
        seal.made.at
    )
}

/// Records that are no leaves and say that they were there when the seal was made.
async fn find_slipped_in(books: &mut Books, checked: &KeptSeal, found: &mut Found) -> Result<(), Refusal> {
    let tickets = books.unsealed_tickets().await?.into_iter().map(SealedRecord::Ticket);
    let settlements = books.unsealed_settlements().await?.into_iter().map(SealedRecord::Settlement);
    let unsealed: Vec<_> = tickets.chain(settlements).collect();
    for some in unsealed.chunks(AT_ONCE.into()) {
        let known = read(books, some).await?;
        for record in some {
            if let Some(sealable) = known.get(record).filter(|one| is_before(one, checked)) {
                let says = slipped_in(sealable, checked);
                found.add(of_record(SealFault::RecordSlippedIn, *record, None, says));
            }
        }
    }
    Ok(())
}
