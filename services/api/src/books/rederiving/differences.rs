//! The places where what was posted is not what the records come to.

use std::fmt::Display;

use wire::{Difference, TicketReference};

/// How many of them are listed.
const LISTED: usize = 1_000;

/// Those found so far.
#[derive(Debug, Default)]
pub struct Differences {
    /// How many.
    pub count: u64,
    /// The first of them.
    pub listed: Vec<Difference>,
}

impl Differences {
    /// Adds one.
    pub fn add(&mut self, one: Difference) {
        self.count = self.count.saturating_add(1);
        if self.listed.len() < LISTED {
            self.listed.push(one);
        }
    }

    /// Adds one where two values are not the same.
    pub fn compare<T: PartialEq + Display>(&mut self, at: At<'_>, stored: &T, derived: &T) {
        if stored != derived {
            self.add(at.values(Some(stored), Some(derived)));
        }
    }

    /// The same where either side may hold nothing.
    pub fn compare_if_any<T: PartialEq + Display>(
        &mut self,
        at: At<'_>,
        stored: Option<&T>,
        derived: Option<&T>,
    ) {
        if stored != derived {
            self.add(at.values(stored, derived));
        }
    }
}

/// A place, and what is said to stand there.
#[derive(Clone, Debug)]
pub struct At<'a> {
    pointer: String,
    what: String,
    line: Option<i32>,
    ticket: Option<&'a TicketReference>,
    piece: Option<u16>,
}

impl<'a> At<'a> {
    /// A place, told by a pointer, and in words what stands there.
    pub fn new(pointer: impl Into<String>, what: impl Into<String>) -> Self {
        Self { pointer: pointer.into(), what: what.into(), line: None, ticket: None, piece: None }
    }

    /// On a line of the settlement.
    pub fn line(number: i32, member: &str, what: &str) -> Self {
        let pointer = format!("/lines/{number}/{member}");
        let place = Self::new(pointer.trim_end_matches('/'), format!("line {number}, {what}"));
        Self { line: Some(number), ..place }
    }

    /// On a line of the draft.
    pub fn drafted(number: i32, member: &str, what: &str) -> Self {
        let pointer = format!("/draft/lines/{number}/{member}");
        let what = format!("line {number} as drafted, {what}");
        let place = Self::new(pointer.trim_end_matches('/'), what);
        Self { line: Some(number), ..place }
    }

    /// On a ticket.
    #[must_use]
    pub fn on(self, ticket: &'a TicketReference) -> Self {
        let what = format!("ticket {} {}, {}", ticket.book, ticket.number, self.what);
        Self { ticket: Some(ticket), what, ..self }
    }

    /// On one of its pieces.
    #[must_use]
    pub fn piece(self, number: u16) -> Self {
        Self { piece: Some(number), ..self }
    }

    /// What the books hold there, and what it ought to be.
    pub fn values(self, stored: Option<&impl Display>, derived: Option<&impl Display>) -> Difference {
        let (stored, derived) = (stored.map(ToString::to_string), derived.map(ToString::to_string));
        let says = match (&stored, &derived) {
            (Some(stored), Some(derived)) => {
                format!("{}: the books hold {stored}; it comes to {derived}", self.what)
            }
            (Some(stored), None) => format!("{}: the books hold {stored}; it comes to nothing", self.what),
            (None, Some(derived)) => format!("{}: the books hold nothing; it comes to {derived}", self.what),
            (None, None) => self.what.clone(),
        };
        self.told(stored, derived, says)
    }

    /// What is wrong there, in words alone.
    pub fn says(self, says: impl Display) -> Difference {
        let says = format!("{}: {says}", self.what);
        self.told(None, None, says)
    }

    fn told(self, stored: Option<String>, derived: Option<String>, says: String) -> Difference {
        Difference {
            pointer: self.pointer,
            line_number: self.line,
            ticket: self.ticket.cloned(),
            piece: self.piece,
            stored,
            derived,
            says,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_the_same_is_no_difference() {
        let mut found = Differences::default();
        found.compare(At::line(3, "amount", "amount"), &"2.40", &"2.40");
        found.compare_if_any(At::line(3, "amount", "amount"), None::<&u8>, None);
        assert_eq!(found.count, 0);
        found.compare(At::line(3, "amount", "amount"), &"3.40", &"2.40");
        let one = &found.listed[0];
        assert_eq!((one.pointer.as_str(), one.line_number), ("/lines/3/amount", Some(3)));
        assert_eq!(one.says, "line 3, amount: the books hold 3.40; it comes to 2.40");
    }

    #[test]
    fn a_thousand_are_listed_and_all_are_counted() {
        let mut found = Differences::default();
        for _ in 0..1_500 {
            found.add(At::new("/journal", "the journal").says("is not there"));
        }
        assert_eq!((found.count, found.listed.len()), (1_500, 1_000));
    }
}
