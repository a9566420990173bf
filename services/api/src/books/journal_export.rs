//! The journal handed over to other tools: as rows for spreadsheets, and as plain-text double entry.

mod comma_separated;
mod plain_text;

pub use comma_separated::comma_separated;
pub use plain_text::plain_text;

use jiff::civil::Date;
use kernel::{Currency, Money};
use storage::JournalEntry;

/// A journal, or a part of it, on its way out.
#[derive(Clone, Copy, Debug)]
pub struct Handover<'a> {
    /// Whose books these are.
    pub outfit_name: &'a str,
    /// What its amounts are in.
    pub currency: Currency,
    /// The first day asked for; none for the beginning.
    pub from: Option<Date>,
    /// The last day asked for; none for the end.
    pub to: Option<Date>,
    /// The entries, in the order of their days.
    pub entries: &'a [JournalEntry],
}

impl Handover<'_> {
    fn money(&self, minor: i64) -> Money {
        Money::from_minor(minor, self.currency)
    }
}
