//! The journal as comma-separated values (RFC 4180): a head, then a row for each posting.

use csv::{Terminator, WriterBuilder};
use kernel::{Money, MoneyError};

use super::Handover;
use crate::books::account_titles::account_title;
use crate::books::names::Names;
use crate::http::refusal::Refusal;

/// The columns. Debit and credit are plain numbers, never below zero; the one that a posting has not is blank.
const HEAD: [&str; 10] = [
    "entry",
    "dated",
    "says",
    "posting",
    "account",
    "debit",
    "credit",
    "currency",
    "recorded_by",
    "recorded_at",
];

/// The journal as rows, lines ended by CR and LF.
///
/// # Errors
///
/// [`wire::Code::TooLarge`] for the one amount that has no opposite.
pub fn comma_separated(journal: &Handover<'_>, names: &Names) -> Result<String, Refusal> {
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(HEAD).map_err(Refusal::internal)?;
    for entry in journal.entries {
        for (position, (account, minor)) in (1_u32..).zip(&entry.postings) {
            let (debit, credit) = sides(journal.money(*minor))?;
            let cells = [
                entry.id.to_string(),
                entry.dated.to_string(),
                entry.says.clone(),
                position.to_string(),
                account_title(*account, names),
                debit,
                credit,
                journal.currency.to_string(),
                entry.made.by.clone(),
                entry.made.at.to_string(),
            ];
            writer.write_record(cells.map(harmless)).map_err(Refusal::internal)?;
        }
    }
    let bytes = writer.into_inner().map_err(|error| Refusal::internal(error.to_string()))?;
    String::from_utf8(bytes).map_err(Refusal::internal)
}

/// The amount in the column of its side.
fn sides(amount: Money) -> Result<(String, String), MoneyError> {
    if amount.minor() < 0 {
        Ok((String::new(), amount.negated()?.amount_text()))
    } else {
        Ok((amount.amount_text(), String::new()))
    }
}

/// A cell that no spreadsheet takes for a formula: one that begins like a formula gets an apostrophe before it, which
/// spreadsheets take for "this is text".
fn harmless(cell: String) -> String {
    if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{cell}") } else { cell }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_begins_like_a_formula_is_text() {
        for cell in ["=1+1", "+1", "-1", "@sum", "\tx", "\rx"] {
            assert_eq!(harmless(cell.to_owned()), format!("'{cell}"));
        }
        for cell in ["", "1.60", "a=b", "'=1", "2026-06-06", " =1"] {
            assert_eq!(harmless(cell.to_owned()), cell);
        }
    }

    #[test]
    fn an_amount_stands_on_one_side_and_is_never_below_zero() {
        let cents = |minor| Money::from_minor(minor, "USD".parse().unwrap());
        assert_eq!(sides(cents(160)).unwrap(), ("1.60".to_owned(), String::new()));
        assert_eq!(sides(cents(-160)).unwrap(), (String::new(), "1.60".to_owned()));
        assert!(sides(cents(i64::MIN)).is_err());
    }
}
