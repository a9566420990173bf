//! Rows as comma-separated values (RFC 4180): a head, then the rows, lines ended by CR and LF.

use csv::{Terminator, WriterBuilder};
use wire::{Cell, Columns};

use super::refusal::Refusal;

/// The media type with its parameters: the first row is a head (RFC 4180, section 3).
pub const CONTENT_TYPE: &str = "text/csv; charset=utf-8; header=present";

/// A view as text under its named columns.
///
/// # Errors
///
/// [`wire::Code::Internal`] when a row has not the columns of the head.
pub fn comma_separated<V: Columns>(view: &V) -> Result<String, Refusal> {
    written(V::NAMES, view.rows())
}

/// Rows under named columns.
///
/// # Errors
///
/// [`wire::Code::Internal`] when a row has not the columns of the head.
pub fn written(names: &[&str], rows: impl IntoIterator<Item = Vec<Cell>>) -> Result<String, Refusal> {
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(names).map_err(Refusal::internal)?;
    for row in rows {
        writer.write_record(row.iter().map(Cell::written)).map_err(Refusal::internal)?;
    }
    let bytes = writer.into_inner().map_err(|error| Refusal::internal(error.to_string()))?;
    String::from_utf8(bytes).map_err(Refusal::internal)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(cells: &[Cell]) -> String {
        let names: Vec<_> = cells.iter().map(|_| "head").collect();
        let text = written(&names, [cells.to_vec()]).unwrap();
        text.split_once("\r\n").unwrap().1.to_owned()
    }

    /// What a field may hold and how it is then written: RFC 4180, section 2; the rows are our own.
    #[test]
    fn fields_are_written_as_the_standard_says() {
        let text = |text: &str| Cell::text(text);
        for (cells, written) in [
            (vec![text("North landing"), text("A")], "North landing,A\r\n"),
            (vec![text("Smith, sawyer"), text("A")], "\"Smith, sawyer\",A\r\n"),
            (vec![text("called \"Slim\""), text("A")], "\"called \"\"Slim\"\"\",A\r\n"),
            (vec![text("two\nlines"), text("A")], "\"two\nlines\",A\r\n"),
            (vec![text("two\r\nlines"), text("A")], "\"two\r\nlines\",A\r\n"),
            (vec![text(""), Cell::blank()], ",\r\n"),
            (vec![text(" kept "), text("A")], " kept ,A\r\n"),
            (vec![text("\u{00e9}pinette \u{1f332}"), text("A")], "\u{00e9}pinette \u{1f332},A\r\n"),
            (vec![text("{\"a\": 1}"), text("A")], "\"{\"\"a\"\": 1}\",A\r\n"),
            (vec![text("=1+1"), Cell::number("-12.50")], "'=1+1,-12.50\r\n"),
            (vec![text("@sum, all"), Cell::number("1250")], "\"'@sum, all\",1250\r\n"),
            (vec![text("\tx"), Cell::number("0")], "'\tx,0\r\n"),
        ] {
            assert_eq!(one(&cells), written);
        }
    }

    /// Whatever was written is read again by a reader of the standard, the guard being part of the text.
    #[test]
    fn it_is_read_again() {
        let rows = [["a,b", "\"", "\r\n", "'", "=x"], ["", " ", "-1", "\u{feff}", "end"]];
        let cells = rows.map(|row| row.map(Cell::text).to_vec());
        let text = written(&["1", "2", "3", "4", "5"], cells).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let read: Vec<Vec<String>> =
            reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect();
        assert_eq!(read, [["a,b", "\"", "\r\n", "'", "'=x"], ["", " ", "'-1", "\u{feff}", "end"]]);
    }

    #[test]
    fn a_row_without_its_columns_is_a_fault() {
        assert!(written(&["one", "two"], [vec![Cell::blank()]]).is_err());
    }
}
