//! Lines of the input, each in bounded memory however long it is.

use std::io::{self, BufRead};

/// The longest line that is read, in bytes.
pub(crate) const LONGEST: usize = 1024 * 1024;

/// A line as it came.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Line {
    /// Its text, without the line break.
    Text(String),
    /// More than [`LONGEST`] bytes; they were passed over.
    TooLong,
    /// Bytes that are no UTF-8.
    NotUtf8,
}

/// Reads lines, passing over blank ones and counting all of them from 1.
pub(crate) struct Lines<R> {
    input: R,
    number: u64,
    offset: u64,
    bytes: Vec<u8>,
}

impl<R: BufRead> Lines<R> {
    /// The lines of `input`.
    pub(crate) const fn new(input: R) -> Self {
        Self::from_place(input, 0, 0)
    }

    /// The lines of `input`, which begins after this many lines and bytes of something longer.
    pub(crate) const fn from_place(input: R, lines: u64, bytes: u64) -> Self {
        Self { input, number: lines, offset: bytes, bytes: Vec::new() }
    }

    /// How many lines and bytes have been read, those before the beginning among them.
    pub(crate) const fn place(&self) -> (u64, u64) {
        (self.number, self.offset)
    }

    /// The next line that is not blank, with its number.
    pub(crate) fn next(&mut self) -> io::Result<Option<(u64, Line)>> {
        loop {
            let Some(whole) = self.read_line()? else { return Ok(None) };
            self.number += 1;
            if !whole {
                return Ok(Some((self.number, Line::TooLong)));
            }
            let bytes = self.bytes.as_slice();
            // Some editors begin a file with a byte order mark.
            let bytes =
                if self.number == 1 { bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes) } else { bytes };
            match std::str::from_utf8(bytes) {
                Err(_) => return Ok(Some((self.number, Line::NotUtf8))),
                Ok(text) if text.trim().is_empty() => {}
                Ok(text) => return Ok(Some((self.number, Line::Text(text.to_owned())))),
            }
        }
    }

    /// Reads up to the next line break; none at the end, `false` for a line that is too long.
    fn read_line(&mut self) -> io::Result<Option<bool>> {
        self.bytes.clear();
        let (mut begun, mut whole) = (false, true);
        loop {
            let (used, ended) = {
                let piece = match self.input.fill_buf() {
                    Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                    read => read?,
                };
                if piece.is_empty() {
                    return Ok(begun.then_some(whole));
                }
                let end = piece.iter().position(|byte| *byte == b'\n');
                let text = piece.get(..end.unwrap_or(piece.len())).unwrap_or(piece);
                whole = whole && self.bytes.len() + text.len() <= LONGEST;
                if whole {
                    self.bytes.extend_from_slice(text);
                }
                (text.len() + usize::from(end.is_some()), end.is_some())
            };
            begun = true;
            self.offset = self.offset.saturating_add(u64::try_from(used).unwrap_or(u64::MAX));
            self.input.consume(used);
            if ended {
                return Ok(Some(whole));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::io::BufReader;

    use super::*;

    /// Every line, read through a buffer of a few bytes so that lines fall across its ends.
    fn all(input: &[u8]) -> Vec<(u64, Line)> {
        let mut lines = Lines::new(BufReader::with_capacity(7, input));
        std::iter::from_fn(|| lines.next().unwrap()).collect()
    }

    fn text(text: &str) -> Line {
        Line::Text(text.to_owned())
    }

    #[test]
    fn lines_are_counted_and_blank_ones_passed_over() {
        assert_eq!(all(b""), []);
        assert_eq!(all(b"\n  \n"), []);
        assert_eq!(
            all(b"one\n\ntwo of them\r\nend"),
            [(1, text("one")), (3, text("two of them\r")), (4, text("end"))]
        );
    }

    #[test]
    fn what_is_no_utf_8_is_told_and_a_byte_order_mark_is_dropped() {
        assert_eq!(
            all(b"\xEF\xBB\xBFone\n\xFF\xFE\ntwo"),
            [(1, text("one")), (2, Line::NotUtf8), (3, text("two"))]
        );
    }

    #[test]
    fn the_longest_line_is_read_and_a_longer_one_is_not() {
        let longest = vec![b'x'; LONGEST];
        let mut input = longest.clone();
        input.push(b'\n');
        input.extend_from_slice(&longest);
        input.extend_from_slice(b"x\nafter");
        let read = all(&input);
        assert!(matches!(&read[0], (1, Line::Text(text)) if text.len() == LONGEST));
        assert_eq!(read[1..], [(2, Line::TooLong), (3, text("after"))]);
    }
}
