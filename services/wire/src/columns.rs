//! Views as rows of a table: named columns, each cell a text or a number, for whoever reads with a spreadsheet.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{Currency, Exact, Fixed, Money};

/// What stands in one column of one row.
///
/// ```
/// use wire::Cell;
/// // A reversal is a number and stays one; a name that begins like a formula is text, and is made to look like it.
/// assert_eq!(Cell::number("-12.50").written(), "-12.50");
/// assert_eq!(Cell::text("-12.50").written(), "'-12.50");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    text: String,
    is_number: bool,
}

impl Cell {
    /// Nothing.
    #[must_use]
    pub const fn blank() -> Self {
        Self { text: String::new(), is_number: false }
    }

    /// Whatever somebody wrote.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        Self { text: text.into(), is_number: false }
    }

    /// A decimal number: a sign where it is below zero, digits, and a point with digits after it where there are any.
    /// What is not of this form is taken for text.
    ///
    /// ```
    /// use wire::Cell;
    /// assert_eq!(Cell::number("=1+1").written(), "'=1+1");
    /// ```
    #[must_use]
    pub fn number(text: impl Into<String>) -> Self {
        let text = text.into();
        let is_number = is_decimal(&text);
        Self { text, is_number }
    }

    /// The cell as it is written. A text that a spreadsheet would take for a formula gets an apostrophe before it, which
    /// spreadsheets take for "this is text" (OWASP ASVS 5.0, 1.2.10); a number is left alone.
    #[must_use]
    pub fn written(&self) -> String {
        const BEGINS_A_FORMULA: [char; 7] = ['=', '+', '-', '@', '\t', '\r', '\0'];
        if !self.is_number && self.text.starts_with(BEGINS_A_FORMULA) {
            format!("'{}", self.text)
        } else {
            self.text.clone()
        }
    }
}

fn is_decimal(text: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let above_zero = text.strip_prefix('-').unwrap_or(text);
    match above_zero.split_once('.') {
        None => digits(above_zero),
        Some((whole, part)) => digits(whole) && digits(part),
    }
}

/// What can stand in a cell.
pub trait CellValue {
    /// The cell.
    fn cell(&self) -> Cell;
}

impl CellValue for String {
    fn cell(&self) -> Cell {
        Cell::text(self.as_str())
    }
}

impl CellValue for &str {
    fn cell(&self) -> Cell {
        Cell::text(*self)
    }
}

impl<T: CellValue> CellValue for Option<T> {
    fn cell(&self) -> Cell {
        self.as_ref().map_or(Cell::blank(), CellValue::cell)
    }
}

/// The amount alone; the currency is for a column of its own.
impl CellValue for Money {
    fn cell(&self) -> Cell {
        Cell::number(self.amount_text())
    }
}

macro_rules! written_as {
    ($kind:ident: $($type:ty),+ $(,)?) => {$(
        impl CellValue for $type {
            fn cell(&self) -> Cell {
                Cell::$kind(self.to_string())
            }
        }
    )+};
}

written_as!(number: i32, i64, u16, u32, u64, usize, Fixed, Exact, settlement::DayHours, settlement::HourlyRate, settlement::Hours);
written_as!(text: bool, Currency, Date, Timestamp);
written_as!(text: uuid::Uuid, kernel::AccountId, kernel::GrantId, kernel::AdvanceId, kernel::AuditEntryId, kernel::ChargeId, kernel::CheckScaleId, kernel::ContractId, kernel::CrewId, kernel::EventId, kernel::EventSubscriptionId, kernel::JobId,
    kernel::JournalEntryId, kernel::LandingId, kernel::LogTableId, kernel::MillId, kernel::PaymentId,
    kernel::ReleaseId, kernel::ScalerCertificateId, kernel::SealId, kernel::SealKeyId, kernel::SettlementId, kernel::ShareSetId, kernel::StatementId, kernel::TermsId,
    kernel::TicketId, kernel::TimeEntryId, kernel::TurnCountId, kernel::VoidedNumbersId,
    kernel::WageTermsId, kernel::WorkerId);
written_as!(text: kernel::CruiseId, kernel::MillTallyId);

/// A view that can be shown as rows under named columns.
pub trait Columns {
    /// What the columns are called, in their order; as the members of the view wherever they are the same thing.
    const NAMES: &'static [&'static str];

    /// The rows: one for most views, one for each part of a view that is a list of parts. Every row has a cell for every
    /// column.
    fn rows(&self) -> Vec<Vec<Cell>>;
}

/// Declares the columns of a view, each with what stands in it.
///
/// `columns!(View: view { "name" => expression, … })` has one row for each view; with `for part in expression` before
/// the braces, one for each part, and one with blanks for a view without parts (`part` is an `Option`).
macro_rules! columns {
    ($view:ty: $one:ident { $($name:literal => $value:expr,)+ }) => {
        impl $crate::Columns for $view {
            const NAMES: &'static [&'static str] = &[$($name,)+];

            fn rows(&self) -> Vec<Vec<$crate::Cell>> {
                let $one = self;
                vec![vec![$($crate::CellValue::cell(&$value),)+]]
            }
        }
    };
    ($view:ty: $one:ident for $part:ident in $parts:expr, { $($name:literal => $value:expr,)+ }) => {
        impl $crate::Columns for $view {
            const NAMES: &'static [&'static str] = &[$($name,)+];

            fn rows(&self) -> Vec<Vec<$crate::Cell>> {
                let $one = self;
                $crate::columns::row_for_each($parts, |$part| vec![$($crate::CellValue::cell(&$value),)+])
            }
        }
    };
}

pub(crate) use columns;

/// A row for each part; one row when there is none.
pub(crate) fn row_for_each<P>(
    parts: impl Iterator<Item = P>,
    row: impl Fn(Option<P>) -> Vec<Cell>,
) -> Vec<Vec<Cell>> {
    let rows: Vec<_> = parts.map(|part| row(Some(part))).collect();
    if rows.is_empty() { vec![row(None)] } else { rows }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_that_begin_like_a_formula_are_guarded() {
        for text in ["=1+1", "+1", "-1", "@sum", "\tx", "\rx", "\0x", "-12.50"] {
            assert_eq!(Cell::text(text).written(), format!("'{text}"));
        }
        for text in ["", "1.60", "a=b", "'=1", "2026-06-06", " =1", "\u{ff1d}1"] {
            assert_eq!(Cell::text(text).written(), text);
        }
    }

    #[test]
    fn numbers_are_decimals_and_stay_as_they_are() {
        for number in ["0", "-12.50", "1250", "0.000001", "-1"] {
            assert_eq!(Cell::number(number).written(), number);
        }
        for (no_number, written) in
            [("+1", "'+1"), ("-", "'-"), ("-1+2", "'-1+2"), ("1/3", "1/3"), (".5", ".5")]
        {
            assert_eq!(Cell::number(no_number).written(), written);
            assert!(!Cell::number(no_number).is_number);
        }
        assert_eq!(Money::from_minor(-1250, "USD".parse().unwrap()).cell().written(), "-12.50");
    }
}
