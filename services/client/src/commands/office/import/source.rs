//! A file of tickets before it is sent: what it is, how much there is of it, and by what it is known.

use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::Path;

use anyhow::{Context, ensure};
use sha2::{Digest, Sha256};

use super::portion::{Form, Place, Portions};
use super::sheet::{self, Sheet};
use super::ticket_lines::TicketLines;
use crate::commands::lines::Lines;

/// What a file holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Survey {
    /// How it is written.
    pub(super) form: Form,
    /// How many rows, the one with the columns' names among them.
    pub(super) rows: u64,
    /// The SHA-256 of all of it.
    pub(super) fingerprint: String,
}

/// Checks that a file can be read again and again: a pipe cannot.
pub(super) fn openable(file: &Path) -> anyhow::Result<()> {
    let shown = file.display();
    let found = std::fs::metadata(file).with_context(|| format!("{shown} cannot be read"))?;
    ensure!(
        found.is_file(),
        "{shown} is no file: save what is to be imported to one, so that it can be resumed"
    );
    File::open(file).with_context(|| format!("{shown} cannot be read"))?;
    Ok(())
}

/// Reads all of a file once, in little memory.
pub(super) fn survey(file: &Path) -> io::Result<Survey> {
    let is_sheet = file.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("csv"));
    let (form, rows) = if is_sheet { (Form::Sheet, rows(file)?) } else { (Form::Lines, lines(file)?) };
    let (mut input, mut hash) = (File::open(file)?, Sha256::new());
    let mut piece = vec![0; 64 * 1024];
    loop {
        let read = input.read(&mut piece)?;
        if read == 0 {
            break;
        }
        hash.update(piece.get(..read).unwrap_or_default());
    }
    Ok(Survey { form, rows, fingerprint: kernel::hexadecimal(&hash.finalize()) })
}

fn lines(file: &Path) -> io::Result<u64> {
    let mut lines = Lines::new(BufReader::new(File::open(file)?));
    while lines.next()?.is_some() {}
    Ok(lines.place().0)
}

fn rows(file: &Path) -> io::Result<u64> {
    let mut reader = sheet::reader(file)?;
    let (mut record, mut rows) = (csv::ByteRecord::new(), 0_u64);
    while reader.read_byte_record(&mut record).map_err(io::Error::other)? {
        rows = rows.saturating_add(1);
    }
    Ok(rows)
}

/// Opens a file at a place.
pub(super) fn open(file: &Path, form: Form, from: Place) -> io::Result<Box<dyn Portions>> {
    Ok(match form {
        Form::Lines => Box::new(TicketLines::open(file, from)?),
        Form::Sheet => Box::new(Sheet::open(file, from)?),
    })
}
