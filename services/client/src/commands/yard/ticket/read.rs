//! Reading tickets from files: one object, an array, or one object a line.

use std::fmt;

use scaling::Piece;
use serde::de::{DeserializeOwned, Error, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer};
use serde_json::{Map, Value};
use wire::{Code, FieldProblem, Problem, TicketCreate, TurnFacts, WorkEntry};

/// A ticket as it was found in a file, readable or not.
#[derive(Debug)]
pub(crate) struct Found {
    /// Where, for people: `yard.json, ticket 3`.
    pub(crate) place: String,
    /// The scale book, if it can be read.
    pub(crate) book: Option<String>,
    /// The number in the book, if it can be read.
    pub(crate) number: Option<u64>,
    /// The ticket, or why it cannot be sent.
    pub(crate) ticket: Result<TicketCreate, Box<Problem>>,
}

/// Every ticket in the text of a file, in order.
pub(crate) fn tickets(file: &str, text: &str) -> Vec<Found> {
    let text = text.trim_start_matches('\u{feff}');
    match serde_json::from_str::<Strict>(text) {
        Ok(Strict(Value::Array(tickets))) => (1_usize..)
            .zip(tickets)
            .map(|(number, ticket)| found(format!("{file}, ticket {number}"), Ok(ticket)))
            .collect(),
        Ok(Strict(ticket)) => vec![found(file.to_owned(), Ok(ticket))],
        // A single text that is broken, such as an array cut off, is told once and not line by line.
        Err(error) if text.trim_start().starts_with('[') || !is_one_a_line(text) => {
            vec![found(file.to_owned(), Err(error))]
        }
        Err(_) => (1_usize..)
            .zip(text.lines())
            .filter(|(_, line)| !line.trim().is_empty())
            .map(|(number, line)| {
                let read = serde_json::from_str::<Strict>(line).map(|Strict(ticket)| ticket);
                found(format!("{file}, line {number}"), read)
            })
            .collect(),
    }
}

/// Whether some line is a whole JSON text by itself, as in a file of one object a line.
fn is_one_a_line(text: &str) -> bool {
    let is_object = |line: &str| matches!(serde_json::from_str(line), Ok(Strict(Value::Object(_))));
    text.lines().filter(|line| line.trim_start().starts_with('{')).any(is_object)
}

fn found(place: String, read: Result<Value, serde_json::Error>) -> Found {
    let value = match read {
        Ok(value) => value,
        Err(error) => {
            let code = if error.is_data() { Code::WrongForm } else { Code::NotJson };
            let problem = Problem::new(code, error.to_string());
            return Found { place, book: None, number: None, ticket: Err(Box::new(problem)) };
        }
    };
    if !value.is_object() {
        // An array would be read by the places of its items: a guess at what they are.
        let problem = Problem::new(Code::WrongForm, "a ticket is a JSON object, and this is none");
        return Found { place, book: None, number: None, ticket: Err(Box::new(problem)) };
    }
    Found {
        place,
        book: value.get("book").and_then(Value::as_str).map(str::to_owned),
        number: value.get("number").and_then(Value::as_u64),
        ticket: serde_json::from_value(value.clone()).map_err(|error| wrong_form(&value, &error)),
    }
}

/// Says which parts of a ticket do not have their form.
fn wrong_form(ticket: &Value, error: &serde_json::Error) -> Box<Problem> {
    let mut parts = Vec::new();
    parts.extend(wrong_items::<Piece>(ticket, "pieces"));
    parts.extend(wrong_items::<WorkEntry>(ticket, "work"));
    if let Some(turn) = ticket.get("turn").filter(|turn| !turn.is_null()) {
        parts.extend(wrong::<TurnFacts>(turn, "#/turn".to_owned()));
    }
    Box::new(Problem::new(Code::WrongForm, error.to_string()).at(parts))
}

fn wrong_items<T: DeserializeOwned>(ticket: &Value, member: &str) -> Vec<FieldProblem> {
    let items = ticket.get(member).and_then(Value::as_array).into_iter().flatten();
    items.enumerate().filter_map(|(at, item)| wrong::<T>(item, format!("#/{member}/{at}"))).collect()
}

fn wrong<T: DeserializeOwned>(part: &Value, pointer: String) -> Option<FieldProblem> {
    let error = T::deserialize(part).err()?;
    Some(FieldProblem { pointer, detail: error.to_string() })
}

/// A JSON text in which no member is given twice: of two numbers for one ticket, neither may be guessed.
struct Strict(Value);

impl<'de> Deserialize<'de> for Strict {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(StrictVisitor).map(Self)
    }
}

struct StrictVisitor;

impl<'de> Visitor<'de> for StrictVisitor {
    type Value = Value;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("a JSON value")
    }

    fn visit_unit<E: Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Value, E> {
        // No part of a ticket is such a number; it is kept only to be refused at its place.
        Ok(value.into())
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut array = Vec::new();
        while let Some(Strict(item)) = items.next_element()? {
            array.push(item);
        }
        Ok(Value::Array(array))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Value, A::Error> {
        let mut object = Map::new();
        while let Some((name, Strict(value))) = members.next_entry::<String, _>()? {
            if object.contains_key(&name) {
                return Err(A::Error::custom(format_args!("the member `{name}` is given twice")));
            }
            object.insert(name, value);
        }
        Ok(Value::Object(object))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ticket(number: u32) -> String {
        format!(
            r#"{{"book": "A", "number": {number}, "job_id": "0197a000-0000-7000-8000-000000000001",
            "landing_id": "0197a000-0000-7000-8000-000000000002", "scaled_on": "2031-06-03", "scaler": "Ida Berg",
            "pieces": [{{"product": "pole", "species": "cedar", "length_ft": "35"}}]}}"#
        )
    }

    fn numbers(text: &str) -> Vec<Option<u64>> {
        let found = tickets("f", text);
        assert!(found.iter().all(|one| one.ticket.is_ok()), "{found:?}");
        found.into_iter().map(|one| one.number).collect()
    }

    #[test]
    fn one_an_array_or_one_a_line() {
        let (one, two) = (ticket(1), ticket(2));
        assert_eq!(numbers(&one), [Some(1)]);
        assert_eq!(numbers(&format!("\u{feff}[{one},\n{two}]")), [Some(1), Some(2)]);
        let on_lines = format!("{}\r\n\n{}\n", one.replace('\n', " "), two.replace('\n', " "));
        assert_eq!(numbers(&on_lines), [Some(1), Some(2)]);
        assert_eq!(numbers("[]"), []);
    }

    #[test]
    fn a_bad_line_does_not_keep_the_others_back() {
        let one = ticket(1).replace('\n', " ");
        let text = format!("{one}\n{{\"book\": \"A\", \"number\": 2\n{}\n17\n", one.replace("35", "0"));
        let found = tickets("f", &text);
        let codes: Vec<_> = found.iter().map(|one| one.ticket.as_ref().err().map(|why| why.code)).collect();
        assert_eq!(codes, [None, Some(Code::NotJson), Some(Code::WrongForm), Some(Code::WrongForm)]);
        let wrong = found[2].ticket.as_ref().unwrap_err();
        assert_eq!(wrong.errors[0].pointer, "#/pieces/0");
        assert!(wrong.errors[0].detail.starts_with("length_ft: "), "{wrong:?}");
        assert_eq!((found[2].place.as_str(), found[2].number), ("f, line 3", Some(1)));
    }

    #[test]
    fn every_bad_part_is_named() {
        let bad = ticket(1).replace(
            r#""pieces""#,
            r#""work": [{"task": "felling"}], "turn": {"skid_distance_ft": 300}, "pieces""#,
        );
        let found = tickets("f", &bad.replace("cedar", ""));
        let wrong = found[0].ticket.as_ref().unwrap_err();
        let pointers: Vec<_> = wrong.errors.iter().map(|part| part.pointer.as_str()).collect();
        assert_eq!(pointers, ["#/pieces/0", "#/work/0", "#/turn"]);
    }

    #[test]
    fn nothing_is_guessed_from_a_member_given_twice() {
        let twice = ticket(1).replace(r#""number": 1"#, r#""number": 1, "number": 2"#);
        let found = tickets("f", &twice);
        let why = found[0].ticket.as_ref().unwrap_err();
        assert!(why.detail.contains("`number` is given twice"), "{why}");
    }

    #[test]
    fn only_an_object_is_a_ticket() {
        let positional = r#"[["A", 1, "0197a000-0000-7000-8000-000000000001",
            "0197a000-0000-7000-8000-000000000002", "2031-06-03", "Ida Berg", [], null, null, []]]"#;
        for text in [positional, "17", "null"] {
            let found = tickets("f", text);
            assert_eq!(found.len(), 1);
            assert!(found[0].ticket.as_ref().is_err_and(|why| why.detail.contains("object")), "{found:?}");
        }
    }

    #[test]
    fn a_text_cut_off_is_told_once() {
        let cut = format!("[{},\n{}", ticket(1), "{\"book\":");
        assert_eq!(tickets("f", &cut).len(), 1);
        let one = ticket(1).replace('\n', " ");
        assert_eq!(tickets("f", &format!("[\n{one},\n{one}\n")).len(), 1);
    }
}
