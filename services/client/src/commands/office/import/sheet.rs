//! Tickets as comma-separated values, one row a piece.

use std::fs::File;
use std::io;
use std::path::Path;

use csv::{ByteRecord, Position, Reader, ReaderBuilder, Terminator, WriterBuilder};

use super::portion::{Form, Found, Place, Portion, Portions};

/// So many bytes are sent together at the most; the service takes twice as much.
const TOGETHER: usize = 4 * 1024 * 1024;

/// The rows of a sheet from a place on.
pub(super) struct Sheet {
    reader: Reader<File>,
    head: Vec<u8>,
    /// Where the columns with the book and the number are.
    identity: [Option<usize>; 2],
    row: u64,
    /// A row that was read and belongs to the next portion.
    ahead: Option<ByteRecord>,
}

/// A reader that leaves it to the service to say which rows are wrong.
pub(super) fn reader(file: &Path) -> io::Result<Reader<File>> {
    Ok(ReaderBuilder::new().flexible(true).has_headers(false).from_reader(File::open(file)?))
}

fn written(record: &ByteRecord) -> io::Result<Vec<u8>> {
    let mut writer =
        WriterBuilder::new().flexible(true).terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    writer.write_byte_record(record).map_err(io::Error::other)?;
    writer.into_inner().map_err(|error| io::Error::other(error.to_string()))
}

impl Sheet {
    /// Opens a sheet at a place; its head is read in any case.
    pub(super) fn open(file: &Path, from: Place) -> io::Result<Self> {
        let mut reader = reader(file)?;
        let mut head = ByteRecord::new();
        let any = reader.read_byte_record(&mut head).map_err(io::Error::other)?;
        // Spreadsheets begin a file with a byte order mark.
        let first = head.get(0).map(|cell| cell.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(cell).to_vec());
        let cells: Vec<Vec<u8>> = first.into_iter().chain(head.iter().skip(1).map(<[u8]>::to_vec)).collect();
        let column = |name: &[u8]| cells.iter().position(|cell| cell.trim_ascii() == name);
        let identity = [column(b"book"), column(b"number")];
        let head = if any { written(&ByteRecord::from(cells))? } else { Vec::new() };
        let mut row = u64::from(any);
        if from.byte > 0 {
            let mut position = Position::new();
            position.set_byte(from.byte);
            reader.seek(position).map_err(io::Error::other)?;
            row = from.row;
        }
        Ok(Self { reader, head, identity, row, ahead: None })
    }

    fn read(&mut self) -> io::Result<Option<ByteRecord>> {
        if let Some(record) = self.ahead.take() {
            return Ok(Some(record));
        }
        let mut record = ByteRecord::new();
        let any = self.reader.read_byte_record(&mut record).map_err(io::Error::other)?;
        Ok(any.then_some(record))
    }

    fn identity(&self, record: &ByteRecord) -> [Vec<u8>; 2] {
        self.identity.map(|column| {
            let cell = column.and_then(|column| record.get(column)).unwrap_or_default();
            cell.trim_ascii().to_vec()
        })
    }

    /// How far it is read: up to a row that was read ahead.
    fn place(&self) -> Place {
        let ahead = self.ahead.as_ref().and_then(|record| record.position().map(Position::byte));
        Place { row: self.row, byte: ahead.unwrap_or_else(|| self.reader.position().byte()) }
    }
}

impl Portions for Sheet {
    fn next(&mut self, most: usize) -> io::Result<Option<Portion>> {
        let mut tickets: Vec<Found> = Vec::new();
        let (mut current, mut sent_row, mut bytes) = ([Vec::new(), Vec::new()], 1, self.head.len());
        while let Some(record) = self.read()? {
            let identity = self.identity(&record);
            let goes_on = identity.iter().all(Vec::is_empty) || identity == current;
            let begins = tickets.is_empty() || !goes_on;
            if begins && (tickets.len() >= most || bytes >= TOGETHER) {
                self.ahead = Some(record);
                break;
            }
            self.row = self.row.saturating_add(1);
            sent_row += 1;
            let text = written(&record)?;
            bytes += text.len();
            if begins {
                current = identity;
                tickets.push(Found { row: self.row, sent_row, text });
            } else if let Some(last) = tickets.last_mut() {
                last.text.extend(text);
            }
        }
        let (head, end) = (self.head.clone(), self.place());
        let portion = Portion { form: Form::Sheet, head, tickets, unsendable: Vec::new(), end };
        Ok((!portion.tickets.is_empty()).then_some(portion))
    }
}
