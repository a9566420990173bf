//! A ticket while it is being entered: the sticks that were added, and what is filled in.

use serde_json::{Map, Value, json};
use settlement::Task;
use wire::{TicketCreate, TicketView};

use super::choices::Choices;
use super::fields;
use super::values::Values;

/// The tasks that crews are named for; what was delivered is said by the mill.
pub const TASKS: [Task; 8] = [
    Task::Felling,
    Task::Bucking,
    Task::Peeling,
    Task::Scoring,
    Task::Hewing,
    Task::Skidding,
    Task::Loading,
    Task::Hauling,
];

/// What is wrong with a field, or with the whole where no field is named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// The field's name.
    pub field: Option<String>,
    /// What is wrong, and what to do.
    pub says: String,
}

impl Wrong {
    /// What is wrong with a field.
    #[must_use]
    pub fn at(field: &str, says: impl Into<String>) -> Self {
        Self { field: Some(field.to_owned()), says: says.into() }
    }
}

/// A ticket while it is being entered.
#[derive(Clone, Debug, Default)]
pub struct Draft {
    /// What is filled in.
    pub values: Values,
    /// The documents of the sticks that were added, in order.
    pub sticks: Vec<Value>,
}

impl Draft {
    /// The draft that a form carries.
    ///
    /// # Errors
    ///
    /// When the sticks it carries are not what the page put there.
    pub fn read(sent: Vec<(String, String)>) -> Result<Self, serde_json::Error> {
        let values = Values::new(sent);
        let sticks = values.filled("sticks").map_or(Ok(Vec::new()), serde_json::from_str)?;
        Ok(Self { values, sticks })
    }

    /// The draft of a ticket that is to be corrected, under the next number of its book.
    #[must_use]
    pub fn of(view: &TicketView, choices: &Choices) -> Self {
        let ticket = &view.ticket;
        let mut draft = Self::default();
        let mut set = |name: &str, value: &str| draft.values.set(name, value);
        set("book", ticket.book.as_str());
        set("number", &choices.next_number(ticket.book.as_str()).to_string());
        set("landing_id", &ticket.landing_id.to_string());
        set("scaled_on", &ticket.scaled_on.to_string());
        set("scaler", ticket.scaler.as_str());
        set("corrects", &view.ticket_id.to_string());
        set("delivered_to", &ticket.delivered_to.map(|mill| mill.to_string()).unwrap_or_default());
        set("remarks", ticket.remarks.as_ref().map_or("", |remarks| remarks.as_str()));
        set("measured_at", &ticket.measured_at.map(|when| when.to_string()).unwrap_or_default());
        if let Some(turn) = &ticket.turn {
            set("turn", "yes");
            set("moved_by", turn.moved_by.as_ref().map_or("", |means| means.as_str()));
            set("skid_distance_ft", &turn.skid_distance_ft.map(|feet| feet.to_string()).unwrap_or_default());
            set(
                "haul_distance_mi",
                &turn.haul_distance_mi.map(|miles| miles.to_string()).unwrap_or_default(),
            );
        }
        draft.work(ticket);
        draft.sticks = ticket.pieces.iter().filter_map(|piece| serde_json::to_value(piece).ok()).collect();
        if let Some(Value::Object(last)) = draft.sticks.last() {
            draft.values.set("species", last.get("species").and_then(Value::as_str).unwrap_or_default());
        }
        draft
    }

    /// One crew for a task and for all pieces has a field of its own; whatever is more has a row.
    fn work(&mut self, ticket: &TicketCreate) {
        let every = (1..=ticket.pieces.len()).collect::<Vec<_>>();
        let mut rows = 0;
        for entry in &ticket.work {
            let field = format!("crew_{}", entry.task.name());
            let whole = entry.pieces.as_ref().is_none_or(|pieces| {
                pieces.iter().map(|piece| usize::from(*piece)).eq(every.iter().copied())
            });
            let alone = ticket.work.iter().filter(|other| other.task == entry.task).count() == 1;
            if whole && alone && entry.parts.is_none() && TASKS.contains(&entry.task) {
                self.values.set(&field, &entry.crew_id.to_string());
                continue;
            }
            rows += 1;
            let pieces = entry.pieces.iter().flatten().map(u16::to_string).collect::<Vec<_>>().join(", ");
            self.values.set(&format!("w{rows}_task"), entry.task.name());
            self.values.set(&format!("w{rows}_crew"), &entry.crew_id.to_string());
            self.values.set(&format!("w{rows}_pieces"), &pieces);
            self.values.set(
                &format!("w{rows}_parts"),
                &entry.parts.map(|parts| parts.to_string()).unwrap_or_default(),
            );
        }
        self.values.set("work_rows", &rows.max(1).to_string());
    }

    /// How many rows the form has for crews that shared the work.
    #[must_use]
    pub fn work_rows(&self) -> usize {
        self.values.get("work_rows").parse().unwrap_or(1).clamp(1, 40)
    }

    /// The entry that is being changed, by its place from 1.
    #[must_use]
    pub fn editing(&self) -> Option<usize> {
        self.values.get("editing").parse().ok().filter(|place| (1..=self.sticks.len()).contains(place))
    }

    /// Adds the stick that is filled in, or puts it in the place of the one that is being changed.
    ///
    /// # Errors
    ///
    /// What is wrong with it; then everything stands as it was.
    pub fn add(&mut self) -> Result<(), Wrong> {
        let document = fields::document(&self.values);
        if let Err(error) = serde_json::from_value::<scaling::Piece>(document.clone()) {
            let says = error.to_string();
            return Err(Wrong { field: fields::blamed(&says).map(str::to_owned), says });
        }
        let place = self.editing().and_then(|place| place.checked_sub(1));
        match place.and_then(|place| self.sticks.get_mut(place)) {
            Some(stick) => *stick = document,
            None => self.sticks.push(document),
        }
        self.values.set("editing", "");
        fields::clear(&mut self.values);
        Ok(())
    }

    /// Takes a stick into the form to be changed; it stays on the ticket until it is put back.
    pub fn edit(&mut self, place: usize) {
        if let Some(stick) = place.checked_sub(1).and_then(|place| self.sticks.get(place)) {
            fields::fill(&mut self.values, stick);
            self.values.set("editing", &place.to_string());
        }
    }

    /// Takes a stick off the ticket.
    pub fn drop_stick(&mut self, place: usize) {
        if (1..=self.sticks.len()).contains(&place) {
            drop(self.sticks.remove(place - 1));
            self.values.set("editing", "");
        }
    }

    /// The document of the ticket.
    #[must_use]
    pub fn document(&self, choices: &Choices) -> Value {
        let mut ticket = Map::new();
        let mut set = |name: &str, value: Value| drop(ticket.insert(name.to_owned(), value));
        let said = |name: &str| self.values.filled(name);
        set("book", json!(self.values.get("book")));
        set("number", self.values.get("number").parse::<u32>().map_or(Value::Null, |number| json!(number)));
        set("job_id", json!(choices.job_of(self.values.get("landing_id"))));
        set("landing_id", json!(self.values.get("landing_id")));
        set("scaled_on", json!(self.values.get("scaled_on")));
        set("scaler", json!(self.values.get("scaler")));
        set("work", Value::Array(self.work_entries()));
        let turn: Map<_, _> = ["moved_by", "skid_distance_ft", "haul_distance_mi"]
            .iter()
            .filter_map(|name| Some(((*name).to_owned(), json!(said(name)?))))
            .collect();
        if !turn.is_empty() || said("turn").is_some() {
            set("turn", Value::Object(turn));
        }
        for name in ["delivered_to", "remarks", "measured_at"] {
            if let Some(text) = said(name) {
                set(name, json!(text));
            }
        }
        set("pieces", Value::Array(self.sticks.clone()));
        Value::Object(ticket)
    }

    /// Who did what to which sticks, as the ticket's document says it.
    #[must_use]
    pub fn work_entries(&self) -> Vec<Value> {
        let by_task = TASKS.iter().filter_map(|task| {
            let crew = self.values.filled(&format!("crew_{}", task.name()))?;
            Some(json!({"task": task.name(), "crew_id": crew}))
        });
        let by_row = (1..=self.work_rows()).filter_map(|row| {
            let said = |name: &str| self.values.filled(&format!("w{row}_{name}"));
            let mut entry = Map::new();
            drop(entry.insert("task".to_owned(), json!(said("task")?)));
            drop(entry.insert("crew_id".to_owned(), json!(said("crew")?)));
            if let Some(pieces) = said("pieces") {
                drop(entry.insert("pieces".to_owned(), json!(numbers(pieces))));
            }
            if let Some(parts) = said("parts") {
                drop(entry.insert("parts".to_owned(), json!(parts)));
            }
            Some(Value::Object(entry))
        });
        by_task.chain(by_row).collect()
    }

    /// The ticket, once nothing is missing.
    ///
    /// # Errors
    ///
    /// Everything that is wrong with the form.
    pub fn ticket(&self, choices: &Choices) -> Result<TicketCreate, Vec<Wrong>> {
        let mut wrong = Vec::new();
        for (field, says) in [
            ("book", "Write which scale book it is."),
            ("number", "Write the number in the book."),
            ("landing_id", "Choose the landing."),
            ("scaled_on", "Write the day it was scaled."),
            ("scaler", "Write who scaled it."),
        ] {
            if self.values.get(field).is_empty() {
                wrong.push(Wrong::at(field, says));
            }
        }
        if self.values.filled("number").is_some_and(|number| number.parse::<u32>().is_err()) {
            wrong.push(Wrong::at("number", "The number is digits only."));
        }
        if fields::begun(&self.values) {
            wrong.push(Wrong::at(
                "small_1",
                "A stick is filled in and not added yet: add it, or empty its fields.",
            ));
        }
        if self.sticks.is_empty() {
            wrong.push(Wrong { field: None, says: "There is no stick on the ticket yet.".to_owned() });
        }
        if self.values.filled("corrects").is_some() && self.values.filled("reason").is_none() {
            wrong.push(Wrong::at("reason", "Write what was wrong with the ticket."));
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        serde_json::from_value(self.document(choices))
            .map_err(|error| vec![Wrong { field: None, says: error.to_string() }])
    }
}

/// Numbers of pieces as people write them: `1-3, 7`. What is no number stands for a piece that is on no ticket, so that
/// the service refuses it by name.
#[must_use]
pub fn numbers(text: &str) -> Vec<u16> {
    let one = |text: &str| text.trim().parse::<u16>().unwrap_or(0);
    let run = |part: &str| match part.split_once('-') {
        Some((first, last)) => (one(first)..=one(last)).take(2_000).collect::<Vec<_>>(),
        None => vec![one(part)],
    };
    text.split([',', ';']).filter(|part| !part.trim().is_empty()).flat_map(run).collect()
}

#[cfg(test)]
mod tests {
    use super::numbers;

    #[test]
    fn pieces_are_written_as_people_write_them() {
        assert_eq!(numbers("1-3, 7"), [1, 2, 3, 7]);
        assert_eq!(numbers(" 4 "), [4]);
        assert_eq!(numbers("all"), [0]);
        assert_eq!(numbers(""), [0; 0]);
    }
}
