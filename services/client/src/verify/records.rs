//! All the records of a seal, read line by line: what root they make up, on the way and at the end.

use std::io::{self, BufRead};

use jiff::{SignedDuration, Timestamp};
use seal::{Frontier, Hash, Seal, inexact_number};
use serde_json::Value;

use super::report::{Claim, Report};
use super::{document, named};

/// How far the clocks of two instances of the service may be apart.
const CLOCKS_APART: SignedDuration = SignedDuration::from_mins(1);
/// How many oddities are told one by one.
const MOST: usize = 20;

/// What was read of a file with one document a line. The documents themselves are not held.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RecordsRead {
    frontier: Frontier,
    /// Where the kept seal ends, and the root up to there once it was reached.
    kept: Option<(u64, Timestamp)>,
    root_at_kept: Option<Hash>,
    odd: Vec<String>,
    early: Vec<String>,
}

impl RecordsRead {
    /// Reads them; each line is hashed exactly as it is. `kept` says where to look at the root on the way.
    ///
    /// # Errors
    ///
    /// When reading fails.
    pub fn read(mut lines: impl BufRead, kept: Option<&Seal>) -> io::Result<Self> {
        let kept = kept.map(|seal| (seal.statement.tree_size, seal.statement.made_at));
        let mut read = Self { kept, ..Self::default() };
        read.look_at_kept();
        let mut line = Vec::new();
        while lines.read_until(b'\n', &mut line)? > 0 {
            if line.last() == Some(&b'\n') {
                line.pop();
            }
            read.look(&line);
            read.frontier.append(Hash::of_leaf(&line));
            read.look_at_kept();
            line.clear();
        }
        Ok(read)
    }

    fn look_at_kept(&mut self) {
        if self.kept.is_some_and(|(size, _)| size == self.frontier.size()) {
            self.root_at_kept = Some(self.frontier.root());
        }
    }

    /// Looks at what a line says, which the hashes do not.
    fn look(&mut self, line: &[u8]) {
        let number = self.frontier.size().saturating_add(1);
        let document: Value = match serde_json::from_slice(line) {
            Ok(Value::Null) => {
                return self.odd.push(format!("line {number}: the service has lost this record"));
            }
            Ok(document) => document,
            Err(_) => return self.odd.push(format!("line {number} is no JSON")),
        };
        if let Some(place) = inexact_number(&document) {
            self.odd.push(format!("line {number} holds at {place} a number that is not exact"));
        }
        let (Some((size, sealed)), Some(at)) = (self.kept, document::entered_at(&document)) else { return };
        if self.frontier.size() >= size && sealed.duration_since(at) > CLOCKS_APART {
            self.early
                .push(format!("line {number}, {}, says that it came in at {at}", document::name(&document)));
        }
    }

    /// The root of the records up to where the kept seal ends; none where there are not so many.
    pub(super) const fn root_at_kept(&self) -> Option<Hash> {
        self.root_at_kept
    }

    /// Claims that these are the records of the seal.
    pub(super) fn claim(&self, seal: &Seal, report: &mut Report) {
        let (size, stated) = (self.frontier.size(), seal.statement.tree());
        let name = named(seal);
        report.claim(if size != stated.size {
            Claim::refuted(format!("there are {size} records, and {name} covers {}", stated.size))
        } else if self.frontier.root() == stated.root {
            Claim::shown(format!("the {size} records that were given are exactly those of {name}"))
        } else {
            Claim::refuted(format!(
                "the records that were given are not those of {name}: they make up another root"
            ))
        });
        refute(&self.odd, report);
    }

    /// Claims that what came after the kept seal does not say that it was there before.
    pub(super) fn claim_dates(&self, report: &mut Report) {
        let after =
            |line: &String| format!("{line}, and the seal that was kept, made later, does not cover it");
        refute(&self.early.iter().map(after).collect::<Vec<_>>(), report);
    }
}

fn refute(faults: &[String], report: &mut Report) {
    faults.iter().take(MOST).for_each(|fault| report.claim(Claim::refuted(fault.clone())));
    let more = faults.len().saturating_sub(MOST);
    if more > 0 {
        report.claim(Claim::refuted(format!("{more} more lines like these")));
    }
}
