//! The journal as comma-separated values (RFC 4180): a head, then a row for each posting.

use kernel::{Money, MoneyError};
use wire::{Cell, CellValue};

use super::Handover;
use crate::books::account_titles::account_title;
use crate::books::names::Names;
use crate::http::comma_separated::written;
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
    let mut rows = Vec::new();
    for entry in journal.entries {
        for (position, (account, minor)) in (1_u32..).zip(&entry.postings) {
            let (debit, credit) = sides(journal.money(*minor))?;
            rows.push(vec![
                Cell::text(entry.id.to_string()),
                entry.dated.cell(),
                entry.says.cell(),
                position.cell(),
                account_title(*account, names).cell(),
                Cell::number(debit),
                Cell::number(credit),
                journal.currency.cell(),
                entry.made.by.cell(),
                entry.made.at.cell(),
            ]);
        }
    }
    written(&HEAD, rows)
}

/// The amount in the column of its side.
fn sides(amount: Money) -> Result<(String, String), MoneyError> {
    if amount.minor() < 0 {
        Ok((String::new(), amount.negated()?.amount_text()))
    } else {
        Ok((amount.amount_text(), String::new()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_amount_stands_on_one_side_and_is_never_below_zero() {
        let cents = |minor| Money::from_minor(minor, "USD".parse().unwrap());
        assert_eq!(sides(cents(160)).unwrap(), ("1.60".to_owned(), String::new()));
        assert_eq!(sides(cents(-160)).unwrap(), (String::new(), "1.60".to_owned()));
        assert!(sides(cents(i64::MIN)).is_err());
    }
}
