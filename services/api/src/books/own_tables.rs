//! The outfit's own tables: from what was sent to a table, and from a table's id to the terms that hold it whole.

use scaling::{Fall, LogTable, Practice, SentPractice, TableFault, TableRefused, TableSheet};
use storage::Books;
use wire::{Code, FieldProblem, LogTableCreate, TableCells};

use crate::http::refusal::Refusal;

/// How many faults a refusal lists. A table can have thousands, and whoever mends it begins at the first.
const LISTED: usize = 100;

/// Reads the table that was sent.
///
/// # Errors
///
/// [`Code::TableFaulty`] and [`Code::FallsNotAcknowledged`], each with its places; [`Code::WrongForm`] for a text that
/// is no comma-separated values.
pub fn table(sent: &LogTableCreate) -> Result<LogTable, Refusal> {
    let read = LogTable::read(sent.heading.clone(), &sheet(&sent.cells)?, sent.acknowledged_falls);
    read.map_err(|refused| match refused {
        TableRefused::Faults(faults) => {
            let detail = in_all("the table has", faults.len(), "fault");
            let errors = faults.iter().map(|fault| (fault_pointer(&sent.cells, fault), fault.to_string()));
            refusal(Code::TableFaulty, detail, errors)
        }
        TableRefused::Falls(falls) => {
            let detail = in_all("the volume falls as the log grows in", falls.len(), "place");
            let pointer = cells_pointer(&sent.cells);
            let errors = falls.iter().map(|fall: &Fall| (pointer.to_owned(), fall.to_string()));
            refusal(Code::FallsNotAcknowledged, detail, errors)
        }
    })
}

/// The figures that were sent, in rows.
///
/// # Errors
///
/// [`Code::WrongForm`] for a text that is no comma-separated values.
pub fn sheet(cells: &TableCells) -> Result<TableSheet, Refusal> {
    let text = match cells {
        TableCells::Listed(sheet) => return Ok(sheet.clone()),
        TableCells::Csv(text) => text,
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let rows: Result<Vec<Vec<String>>, csv::Error> =
        reader.records().map(|row| Ok(row?.iter().map(str::to_owned).collect())).collect();
    rows.map(TableSheet::from_block).map_err(|error| {
        let detail = format!("this cannot be read as comma-separated values: {error}");
        refusal(Code::WrongForm, detail.clone(), [(CSV.to_owned(), detail)])
    })
}

fn in_all(begins: &str, count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    let some =
        if count > LISTED { format!(", of which the first {LISTED} are listed") } else { String::new() };
    format!("{begins} {count} {what}{plural}{some}")
}

fn refusal(code: Code, detail: String, errors: impl IntoIterator<Item = (String, String)>) -> Refusal {
    let errors = errors.into_iter().take(LISTED);
    Refusal::new(code, detail).at(errors.map(|(pointer, detail)| FieldProblem { pointer, detail }).collect())
}

const CSV: &str = "#/cells/csv";
const LISTED_CELLS: &str = "#/cells/listed";

const fn cells_pointer(cells: &TableCells) -> &'static str {
    match cells {
        TableCells::Listed(_) => LISTED_CELLS,
        TableCells::Csv(_) => CSV,
    }
}

/// Where a fault is in what was sent. A text of comma-separated values is one member; its faults name row and column
/// in words.
fn fault_pointer(cells: &TableCells, fault: &TableFault) -> String {
    let base = cells_pointer(cells);
    let index = |place: usize| place.saturating_sub(1);
    match (cells, fault, fault.place()) {
        (_, TableFault::UnitOfOtherSystem, _) => "#/heading/unit".to_owned(),
        (TableCells::Csv(_), ..) | (_, _, (None, None)) => base.to_owned(),
        (_, TableFault::RaggedRow { .. }, (Some(row), _)) => format!("{base}/rows/{}/volumes", index(row)),
        (_, _, (Some(row), Some(column))) => format!("{base}/rows/{}/volumes/{}", index(row), index(column)),
        (_, _, (Some(row), None)) => format!("{base}/rows/{}/diameter", index(row)),
        (_, _, (None, Some(column))) => format!("{base}/lengths/{}", index(column)),
    }
}

/// The practice that was sent, with the table it names as the books have it.
///
/// # Errors
///
/// [`Code::NamesMissingRecord`] for a table that is not in the outfit's books, [`Code::TermsClash`] for terms that do
/// not go with it; whatever the books answer.
pub async fn practice(books: &mut Books, sent: &SentPractice, prefix: &str) -> Result<Practice, Refusal> {
    let filed = match sent.table_id() {
        None => None,
        Some(id) => {
            let found = books.log_table(id).await?;
            let missing = || Refusal::new(Code::NamesMissingRecord, format!("there is no log table {id}"));
            Some(found.ok_or_else(missing)?.table)
        }
    };
    sent.settled(filed).map_err(|problem| {
        let pointer = format!("#{prefix}/practice/log");
        let detail = "the practice does not go with the table it names".to_owned();
        refusal(Code::TermsClash, detail, [(pointer, problem.to_string())])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> Vec<String> {
        let sheet = sheet(&TableCells::Csv(text.to_owned())).unwrap();
        let line = |first: &str, cells: &[String]| format!("{first}|{}", cells.join("|"));
        let top = line("", &sheet.lengths);
        [top].into_iter().chain(sheet.rows.iter().map(|row| line(&row.diameter, &row.volumes))).collect()
    }

    #[test]
    fn comma_separated_values_are_read_as_the_standard_has_them() {
        let plain = ["|8|10", "6|5|10"];
        for text in [
            "in,8,10\r\n6,5,10\r\n",
            "in,8,10\n6,5,10",
            "\u{feff}in,8,10\n6,5,10\n",
            "\"inches, feet\",\"8\",10\n\"6\",5,\"10\"\n",
            " in , 8 , 10 \n\n 6 , 5 , 10 \n",
        ] {
            assert_eq!(rows(text), plain, "{text:?}");
        }
        assert_eq!(rows("in,8,10\n6,,10\n7,5\n"), ["|8|10", "6||10", "7|5"]);
        assert_eq!(rows(""), ["|"]);
    }
}
