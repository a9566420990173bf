//! What is sent together.

use std::io;

use client::{Client, ClientError};
use serde::{Deserialize, Serialize};
use wire::{BatchLine, Problem};

/// How far a file was read: whole rows, the one with the columns' names among them, and bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Place {
    /// Rows.
    pub(super) row: u64,
    /// Bytes.
    pub(super) byte: u64,
}

/// A ticket as it stands in the file.
#[derive(Debug)]
pub(super) struct Found {
    /// The row it begins on, in the file.
    pub(super) row: u64,
    /// The row it begins on among what is sent.
    pub(super) sent_row: u64,
    /// Its rows as they are written.
    pub(super) text: Vec<u8>,
}

/// How the tickets of a portion are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// One JSON object a line.
    Lines,
    /// One row a piece.
    Sheet,
}

/// Tickets that are sent together.
#[derive(Debug)]
pub(super) struct Portion {
    /// How they are written.
    pub(super) form: Form,
    /// For a sheet, the row that names its columns.
    pub(super) head: Vec<u8>,
    /// The tickets that are sent.
    pub(super) tickets: Vec<Found>,
    /// Rows that cannot be sent, and why.
    pub(super) unsendable: Vec<(Found, Problem)>,
    /// How far the file is read after it.
    pub(super) end: Place,
}

/// A ticket that was not taken: the place it has in the file, and why.
#[derive(Debug)]
pub(super) struct NotTaken<'a> {
    /// The ticket.
    pub(super) found: &'a Found,
    /// Why.
    pub(super) problem: Problem,
}

/// What became of a portion.
#[derive(Debug, Default)]
pub(super) struct Taken<'a> {
    /// How many are in the books now.
    pub(super) accepted: u64,
    /// How many were there before.
    pub(super) replayed: u64,
    /// Those that were not taken.
    pub(super) refused: Vec<NotTaken<'a>>,
}

impl Portion {
    fn body(&self) -> Vec<u8> {
        let texts = std::iter::once(&self.head).chain(self.tickets.iter().map(|found| &found.text));
        texts.flatten().copied().collect()
    }

    /// Sends it, and tells what became of each ticket.
    pub(super) async fn send(&self, client: &Client) -> Result<Taken<'_>, ClientError> {
        let mut taken = Taken::default();
        taken.refused.extend(
            self.unsendable.iter().map(|(found, problem)| NotTaken { found, problem: problem.clone() }),
        );
        if self.tickets.is_empty() {
            return Ok(taken);
        }
        let answers = match self.form {
            Form::Lines => client.post_ticket_lines(self.body()).await?,
            Form::Sheet => client.post_ticket_sheet(self.sheet()?).await?.tickets,
        };
        for answer in answers {
            match answer {
                BatchLine::Accepted(_) => taken.accepted += 1,
                BatchLine::Replayed(_) => taken.replayed += 1,
                BatchLine::Refused(refused) => {
                    let found = self.tickets.iter().find(|found| found.sent_row == refused.line);
                    // An answer about a row that was not sent could not be told of.
                    let Some(found) = found else { continue };
                    let problem = self.in_file(found, refused.problem);
                    taken.refused.push(NotTaken { found, problem });
                }
                BatchLine::Finished(_) => {}
            }
        }
        taken.refused.sort_by_key(|one| one.found.row);
        Ok(taken)
    }

    fn sheet(&self) -> Result<String, ClientError> {
        String::from_utf8(self.body()).map_err(|_| {
            let says = "the sheet is not UTF-8: save it anew as CSV in UTF-8";
            ClientError::Refused(Box::new(Problem::new(wire::Code::SheetUnreadable, says)))
        })
    }

    /// Cells are named by their rows in what was sent (RFC 7111); here by their rows in the file.
    fn in_file(&self, found: &Found, mut problem: Problem) -> Problem {
        if self.form == Form::Sheet {
            for part in &mut problem.errors {
                let moved = part.pointer.strip_prefix("#cell=").and_then(|cell| {
                    let (row, column) = cell.split_once(',')?;
                    let row = row.parse::<u64>().ok()?.checked_sub(found.sent_row)?.checked_add(found.row)?;
                    Some(format!("#cell={row},{column}"))
                });
                part.pointer = moved.unwrap_or_else(|| std::mem::take(&mut part.pointer));
            }
        }
        problem
    }
}

/// A file that is read in portions.
pub(super) trait Portions {
    /// The next ones, `most` at the most; none at the end.
    fn next(&mut self, most: usize) -> io::Result<Option<Portion>>;
}
