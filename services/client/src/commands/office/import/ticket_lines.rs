//! Tickets as newline-delimited JSON, one on a line.

use std::fs::File;
use std::io::{self, BufReader, Seek, SeekFrom};
use std::path::Path;

use wire::{Code, Problem};

use super::portion::{Form, Found, Place, Portion, Portions};
use crate::commands::lines::{LONGEST, Line, Lines};

/// So many bytes are sent together at the most.
const TOGETHER: usize = 4 * 1024 * 1024;

/// The lines of a file from a place on.
pub(super) struct TicketLines {
    lines: Lines<BufReader<File>>,
}

impl TicketLines {
    /// Opens a file at a place.
    pub(super) fn open(file: &Path, from: Place) -> io::Result<Self> {
        let mut input = File::open(file)?;
        input.seek(SeekFrom::Start(from.byte))?;
        Ok(Self { lines: Lines::from_place(BufReader::new(input), from.row, from.byte) })
    }
}

impl Portions for TicketLines {
    fn next(&mut self, most: usize) -> io::Result<Option<Portion>> {
        let mut portion = Portion {
            form: Form::Lines,
            head: Vec::new(),
            tickets: Vec::new(),
            unsendable: Vec::new(),
            end: Place::default(),
        };
        let mut bytes = 0;
        while portion.tickets.len() + portion.unsendable.len() < most && bytes < TOGETHER {
            let Some((row, line)) = self.lines.next()? else { break };
            let sent_row = u64::try_from(portion.tickets.len()).unwrap_or(u64::MAX).saturating_add(1);
            let found = |text: Vec<u8>| Found { row, sent_row, text };
            match line {
                Line::Text(text) => {
                    let mut text = text.trim_end_matches('\r').to_owned().into_bytes();
                    text.push(b'\n');
                    bytes += text.len();
                    portion.tickets.push(found(text));
                }
                Line::TooLong => {
                    let says = format!("the line has more than {LONGEST} bytes");
                    portion.unsendable.push((found(Vec::new()), Problem::new(Code::BodyTooLarge, says)));
                }
                Line::NotUtf8 => {
                    let problem = Problem::new(Code::NotJson, "the line is not UTF-8");
                    portion.unsendable.push((found(Vec::new()), problem));
                }
            }
        }
        let (row, byte) = self.lines.place();
        portion.end = Place { row, byte };
        let nothing = portion.tickets.is_empty() && portion.unsendable.is_empty();
        Ok((!nothing).then_some(portion))
    }
}
