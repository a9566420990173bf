//! From rows to tickets as they would be sent in JSON.

use std::collections::BTreeMap;

use csv::{ReaderBuilder, StringRecord};
use serde_json::{Value, json};
use settlement::Task;
use wire::{Code, FieldProblem, Problem};

use super::cells::Cells;
use super::columns::{Column, NEEDED, Step};
use crate::http::refusal::Refusal;

/// A ticket as it stands on the sheet: in the form of JSON, but with names where ids belong.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetTicket {
    /// The ticket: `job`, `landing` and `delivered_to` are names or ids.
    pub content: Value,
    /// Which crew, by name or id, did which task to which pieces, from 1.
    pub work: BTreeMap<(Task, String), Vec<usize>>,
    /// Where its parts stand.
    pub cells: Cells,
    /// What is wrong with it already.
    pub problems: Vec<FieldProblem>,
}

/// The head of a sheet: what each column is.
type Head = Vec<Column>;

/// Reads a sheet. A row with neither book nor number goes on with the ticket above it; so does one with the same.
///
/// # Errors
///
/// [`Code::SheetUnreadable`] when it is no CSV, or its columns are not those of tickets. What is wrong with one ticket
/// alone stands with that ticket.
pub fn read(sheet: &[u8]) -> Result<Vec<SheetTicket>, Refusal> {
    let text = std::str::from_utf8(sheet).map_err(|broken| {
        let detail = format!("it is not text in UTF-8: it breaks off after {} bytes", broken.valid_up_to());
        unreadable(vec![("#row=1".to_owned(), detail)])
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = ReaderBuilder::new().from_reader(text.as_bytes());
    let head = reader.headers().map_err(|error| broken(&error))?;
    let head = read_head(head)?;
    let mut tickets: Vec<SheetTicket> = Vec::new();
    for row in reader.records() {
        let row = row.map_err(|error| broken(&error))?;
        // Lines and rows part ways where a cell holds a line end; rows are what a spreadsheet shows.
        let number = row.position().map_or(0, csv::Position::record).saturating_add(1);
        if row.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        add_row(&head, &row, number, &mut tickets);
    }
    Ok(tickets)
}

fn unreadable(faults: Vec<(String, String)>) -> Refusal {
    let detail = faults.first().map(|(_, says)| says.clone()).unwrap_or_default();
    let errors = faults.into_iter().map(|(pointer, detail)| FieldProblem { pointer, detail });
    Refusal::new(Code::SheetUnreadable, detail).at(errors.collect())
}

fn broken(error: &csv::Error) -> Refusal {
    let row = error.position().map_or(1, |position| position.record().saturating_add(1));
    let detail = match error.kind() {
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            format!("row {row} has {len} cells where the head has {expected_len}")
        }
        _ => format!("row {row} is no row of comma-separated values"),
    };
    unreadable(vec![(format!("#row={row}"), detail)])
}

fn read_head(head: &StringRecord) -> Result<Head, Refusal> {
    let mut columns = Vec::new();
    let mut faults = Vec::new();
    for (place, title) in (1_usize..).zip(head) {
        let title = title.trim();
        match Column::titled(title) {
            Some(column) if columns.contains(&column) => {
                faults.push((format!("#cell=1,{place}"), format!("the column {title} stands twice")));
            }
            Some(column) => columns.push(column),
            None => faults.push((
                format!("#cell=1,{place}"),
                format!("there is no column \"{}\"", title.chars().take(60).collect::<String>()),
            )),
        }
    }
    for needed in NEEDED {
        if !head.iter().any(|title| title.trim() == needed) {
            faults.push(("#row=1".to_owned(), format!("the column {needed} is missing")));
        }
    }
    if faults.is_empty() { Ok(columns) } else { Err(unreadable(faults)) }
}

/// What a cell says: blanks around it do not count, nor does the apostrophe that keeps a text from being taken for a
/// formula.
fn said(cell: &str) -> &str {
    let cell = cell.trim();
    match cell.strip_prefix('\'') {
        Some(guarded) if guarded.starts_with(['=', '+', '-', '@', '\t', '\r']) => guarded,
        _ => cell,
    }
}

fn add_row(head: &Head, row: &StringRecord, number: u64, tickets: &mut Vec<SheetTicket>) {
    let cells: Vec<_> = (1_usize..).zip(head).zip(row.iter().map(said)).collect();
    let named = |title: &str| {
        let column = Column::titled(title);
        cells.iter().find(|((_, one), _)| column.as_ref() == Some(one)).map_or("", |(_, cell)| *cell)
    };
    let (book, in_book) = (named("book"), named("number"));
    let goes_on = tickets.last().is_some_and(|above| {
        (book.is_empty() && in_book.is_empty())
            || (above.says("book") == book && above.says("number") == in_book)
    });
    if !goes_on {
        tickets.push(SheetTicket::on_row(number));
    }
    let Some(ticket) = tickets.last_mut() else { return };
    let piece = ticket.begin_piece(number);
    for ((place, column), cell) in cells {
        if !cell.is_empty() {
            ticket.add(column, cell, piece, (number, place));
        }
    }
}

impl SheetTicket {
    fn on_row(row: u64) -> Self {
        let (content, cells) = (json!({"pieces": []}), Cells::from_row(row));
        Self { content, work: BTreeMap::new(), cells, problems: Vec::new() }
    }

    /// What a member that is text says.
    pub fn says(&self, member: &str) -> &str {
        self.content.get(member).and_then(Value::as_str).unwrap_or_default()
    }

    fn pieces(&mut self) -> Option<&mut Vec<Value>> {
        self.content.get_mut("pieces").and_then(Value::as_array_mut)
    }

    /// Adds a piece; answers its place, from 0.
    fn begin_piece(&mut self, row: u64) -> usize {
        self.cells.add_piece(row);
        let Some(pieces) = self.pieces() else { return 0 };
        pieces.push(json!({}));
        pieces.len().saturating_sub(1)
    }

    fn add(&mut self, column: &Column, cell: &str, piece: usize, (row, place): (u64, usize)) {
        match column {
            Column::Ticket(steps) => {
                let part = pointer("", steps);
                if self.content.pointer(&part).is_some_and(|above| above.as_str() != Some(cell)) {
                    let detail = "this is not what a row above says of the same ticket".to_owned();
                    self.problems.push(FieldProblem { pointer: format!("#cell={row},{place}"), detail });
                    return;
                }
                put(&mut self.content, steps, cell);
                self.cells.add(part, row, place);
            }
            Column::Crew(task) => {
                let pieces = self.work.entry((*task, cell.to_owned())).or_default();
                pieces.push(piece.saturating_add(1));
                self.cells.add(format!("/crew/{}/{cell}", task.name()), row, place);
            }
            Column::Piece(steps) => {
                if let Some(whole) = self.pieces().and_then(|pieces| pieces.get_mut(piece)) {
                    put(whole, steps, cell);
                }
                self.cells.add(pointer(&format!("/pieces/{piece}"), steps), row, place);
            }
        }
    }

    /// That it is refused, for what is wrong with it already.
    #[must_use]
    pub fn refused(&self, code: Code) -> Option<Box<Problem>> {
        let first = self.problems.first()?;
        Some(Box::new(Problem::new(code, first.detail.clone()).at(self.problems.clone())))
    }
}

fn pointer(whole: &str, steps: &[Step]) -> String {
    steps.iter().fold(whole.to_owned(), |pointer, step| match step {
        Step::Member(name) => format!("{pointer}/{name}"),
        Step::Item(place) => format!("{pointer}/{place}"),
    })
}

/// Puts a text where the steps lead, and makes on the way what is not there yet.
fn put(whole: &mut Value, steps: &[Step], text: &str) {
    match steps.split_first() {
        None => *whole = Value::from(text),
        Some((Step::Member(name), rest)) => {
            if !whole.is_object() {
                *whole = json!({});
            }
            if let Value::Object(members) = whole {
                put(members.entry(name.clone()).or_insert(Value::Null), rest, text);
            }
        }
        Some((Step::Item(place), rest)) => {
            if !whole.is_array() {
                *whole = json!([]);
            }
            if let Value::Array(items) = whole {
                if items.len() <= *place {
                    items.resize(place.saturating_add(1), Value::Null);
                }
                if let Some(item) = items.get_mut(*place) {
                    put(item, rest, text);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str =
        "book,number,job,landing,scaled_on,scaler,crew.felling,product,small_diameter_in.1,length_ft";

    fn tickets(rows: &str) -> Vec<SheetTicket> {
        read(format!("{HEAD}\r\n{rows}").as_bytes()).unwrap()
    }

    #[test]
    fn rows_of_one_number_are_one_ticket() {
        let read = tickets(
            "A,7,Bend,Upper,2026-06-03,R. Hale,North,log,16,16\r\nA,7,,,,,South,log,12,14\r\n\r\n\
             ,,,,,,North,log,9,12\r\nA,8,Bend,Upper,2026-06-03,R. Hale,,tie,,8\r\n",
        );
        assert_eq!(read.len(), 2);
        let first = &read[0];
        assert_eq!(first.content["pieces"].as_array().map(Vec::len), Some(3));
        assert_eq!(first.content["pieces"][1]["small_diameter_in"], json!(["12"]));
        assert_eq!(first.work[&(Task::Felling, "North".to_owned())], [1, 3]);
        assert_eq!(first.work[&(Task::Felling, "South".to_owned())], [2]);
        assert!(read[1].work.is_empty() && read[1].cells.first_row() == 5, "{:?}", read[1].cells);
    }

    #[test]
    fn what_the_rows_of_a_ticket_disagree_on_is_told_by_its_cell() {
        let read = tickets(
            "A,7,Bend,Upper,2026-06-03,R. Hale,,log,16,16\nA,7,Bend,Lower,2026-06-03,R. Hale,,log,12,14\n",
        );
        assert_eq!(read[0].problems.len(), 1);
        assert_eq!(read[0].problems[0].pointer, "#cell=3,4");
        assert_eq!(read[0].content["landing"], "Upper");
    }

    #[test]
    fn a_sheet_that_is_none_says_where() {
        let faults = |sheet: &str| {
            let refusal = read(sheet.as_bytes()).unwrap_err();
            assert_eq!(refusal.problem.code, Code::SheetUnreadable);
            refusal.problem.errors.iter().map(|error| error.pointer.clone()).collect::<Vec<_>>()
        };
        assert_eq!(faults(&format!("{HEAD},lenght_ft,book\n")), ["#cell=1,11", "#cell=1,12"]);
        assert_eq!(faults(&HEAD.replace("book,", "")), ["#row=1"]);
        assert_eq!(faults(&format!("{HEAD}\nA,7\n")), ["#row=2"]);
        assert_eq!(faults(""), ["#row=1"; 7]);
        assert!(read(b"\xff\xfe").is_err());
    }

    #[test]
    fn an_apostrophe_before_a_formula_sign_is_no_part_of_the_text() {
        for (cell, says) in
            [("'-12", "-12"), ("'=A1", "=A1"), ("'tis", "'tis"), (" 16 ", "16"), ("'", "'"), ("-1", "-1")]
        {
            assert_eq!(said(cell), says);
        }
    }
}
