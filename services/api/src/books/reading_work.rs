//! Who did what to which pieces: from the entries as they were sent to entries with every piece spelled out.

use std::collections::{BTreeMap, BTreeSet};

use kernel::{CrewId, Fixed};
use settlement::Task;
use storage::Work;
use wire::{TicketCreate, WorkEntry};

use super::reading_ticket::Contradictions;

/// Spells out which pieces every entry is for. A piece that more than one crew did a task to is paid in parts, so each
/// of their entries must say its parts: it would be paid twice otherwise.
pub(super) fn work(sent: &TicketCreate, problems: &mut Contradictions<'_>) -> Vec<Work> {
    let count = u16::try_from(sent.pieces.len()).unwrap_or(u16::MAX);
    let mut named: BTreeMap<Task, BTreeSet<u16>> = BTreeMap::new();
    for (at, entry) in sent.work.iter().enumerate() {
        if entry.parts.is_some_and(|parts| parts <= Fixed::ZERO) {
            problems
                .add(&format!("/work/{at}/parts"), "a part is above zero; leave out a crew that has none");
        }
        for (place, piece) in entry.pieces.iter().flatten().enumerate() {
            if *piece == 0 || *piece > count {
                problems.add(
                    &format!("/work/{at}/pieces/{place}"),
                    format!("the ticket has no piece {piece}; they are numbered 1 to {count}"),
                );
            } else {
                named.entry(entry.task).or_default().insert(*piece);
            }
        }
    }
    let mut taken = Taken::default();
    let mut resolved = Vec::with_capacity(sent.work.len());
    for (at, entry) in sent.work.iter().enumerate() {
        let pieces: Vec<u16> = match &entry.pieces {
            Some(pieces) => {
                taken.named(at, entry, pieces, problems);
                pieces.clone()
            }
            None => {
                taken.rest(at, entry, problems);
                let others = named.get(&entry.task);
                (1..=count).filter(|piece| !others.is_some_and(|named| named.contains(piece))).collect()
            }
        };
        if pieces.is_empty() && count > 0 {
            problems.add(&format!("/work/{at}"), format!("no piece is left for {}", entry.task));
        }
        if !pieces.is_empty() {
            resolved.push(Work { task: entry.task, crew: entry.crew_id, pieces, parts: entry.parts });
        }
    }
    resolved
}

/// Who has which pieces so far, and whether everyone who has one said his parts.
#[derive(Default)]
struct Taken {
    pieces: BTreeMap<(Task, u16), Holders>,
    rest: BTreeMap<Task, Holders>,
}

#[derive(Default)]
struct Holders {
    crews: BTreeSet<CrewId>,
    all_in_parts: bool,
}

impl Holders {
    /// Whether an entry may be one of the holders beside those who are.
    fn admit(&mut self, entry: &WorkEntry) -> Admission {
        let first = self.crews.is_empty();
        let again = !self.crews.insert(entry.crew_id);
        let in_parts = entry.parts.is_some();
        let all_in_parts = in_parts && (first || self.all_in_parts);
        self.all_in_parts = all_in_parts;
        match (first, again) {
            (true, _) => Admission::Fine,
            (false, true) => Admission::Again,
            (false, false) if all_in_parts => Admission::Fine,
            (false, false) => Admission::WithoutParts,
        }
    }
}

enum Admission {
    Fine,
    /// The same crew a second time.
    Again,
    /// Another crew, and not every entry says its parts.
    WithoutParts,
}

impl Taken {
    fn named(&mut self, at: usize, entry: &WorkEntry, pieces: &[u16], problems: &mut Contradictions<'_>) {
        for (place, piece) in pieces.iter().enumerate() {
            let (task, pointer) = (entry.task, format!("/work/{at}/pieces/{place}"));
            match self.pieces.entry((task, *piece)).or_default().admit(entry) {
                Admission::Fine => {}
                Admission::Again => {
                    problems.add(&pointer, format!("{task} is named twice for piece {piece}"))
                }
                Admission::WithoutParts => problems.add(
                    &pointer,
                    format!(
                        "{task} is named twice for piece {piece}: where crews worked a piece together, write \
                         \"parts\" in the entry of each"
                    ),
                ),
            }
        }
    }

    fn rest(&mut self, at: usize, entry: &WorkEntry, problems: &mut Contradictions<'_>) {
        let (task, pointer) = (entry.task, format!("/work/{at}"));
        match self.rest.entry(task).or_default().admit(entry) {
            Admission::Fine => {}
            Admission::Again => {
                problems.add(&pointer, format!("two entries of a crew claim the rest of the pieces for {task}"));
            }
            Admission::WithoutParts => problems.add(
                &pointer,
                format!(
                    "two entries claim the rest of the pieces for {task}: where crews worked them together, write \
                     \"parts\" in the entry of each"
                ),
            ),
        }
    }
}
