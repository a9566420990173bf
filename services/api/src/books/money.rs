//! Money beside the settlements: amounts as they are sent, their entries in the journal, and their taking back.

use jiff::civil::Date;
use kernel::{JournalEntryId, Money};
use settlement::Amount;
use storage::{Books, JournalEntry, Outfit, Reversed, Stamp};
use wire::{Code, FieldProblem, ReversedView};

use crate::http::refusal::Refusal;
use crate::service::Service;

/// An amount that was sent, in the outfit's currency. `pointer` says where it stands in the request.
///
/// # Errors
///
/// [`Code::WrongForm`] when it has fractions of the currency's smallest unit.
pub fn amount(sent: Amount, outfit: &Outfit, pointer: &str) -> Result<Money, Refusal> {
    sent.in_currency(outfit.currency).map_err(|_| {
        let problem = not_an_amount(sent, outfit, pointer);
        Refusal::new(Code::WrongForm, format!("{pointer}: {}", problem.detail)).at(vec![problem])
    })
}

/// That an amount has fractions of the currency's smallest unit.
pub fn not_an_amount(sent: Amount, outfit: &Outfit, pointer: &str) -> FieldProblem {
    let places = match outfit.currency.places() {
        0 => "without decimals".to_owned(),
        1 => "with at most 1 decimal".to_owned(),
        places => format!("with at most {places} decimals"),
    };
    let detail = format!("{sent} is not an amount of {}: write it {places}", outfit.currency);
    FieldProblem { pointer: pointer.to_owned(), detail }
}

/// The day it is where the outfit is.
pub fn today(outfit: &Outfit, service: &Service) -> Date {
    outfit.time_zone.to_datetime(service.clock.now()).date()
}

/// Writes an entry into the journal. Its id is made here, so that ids ascend in the order in which the books were held.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn book(
    books: &mut Books,
    service: &Service,
    entry: &settlement::JournalEntry,
    (says, dated): (String, Date),
    made: &Stamp,
) -> Result<JournalEntryId, Refusal> {
    let id = service.ids.make();
    let postings = entry.postings().iter().map(|one| (one.account, one.amount.minor())).collect();
    books.add_journal_entry(&JournalEntry { id, dated, says, postings, made: made.clone() }).await?;
    Ok(id)
}

/// That a record was taken back, as the record shows it.
pub fn reversed_view(reversed: Option<Reversed>) -> Option<ReversedView> {
    reversed.map(|one| ReversedView {
        reason: one.reason,
        reversed_by: one.made.by,
        reversed_at: one.made.at,
    })
}
