//! What the scale is held against from outside: what mills sawed, and what cruises expected.

pub mod cruising;
pub mod cut_out;
pub mod logs_by_rule;
pub mod overrun;

use audit::StatisticError;
use jiff::Timestamp;
use storage::Reversed;
use wire::{Code, WithdrawnView};

use crate::http::refusal::Refusal;

impl From<StatisticError> for Refusal {
    fn from(error: StatisticError) -> Self {
        match error {
            StatisticError::TooLarge => Self::new(Code::TooLarge, error.to_string()),
            other => Self::internal(other),
        }
    }
}

/// That a record was taken back, as it is shown.
#[must_use]
pub fn withdrawn_view(withdrawn: Reversed) -> WithdrawnView {
    WithdrawnView { reason: withdrawn.reason, made_by: withdrawn.made.by, made_at: withdrawn.made.at }
}

/// A record that was taken back before.
#[must_use]
pub fn withdrawn_already(before: &Reversed) -> Refusal {
    let (by, at, reason): (&str, Timestamp, &str) = (&before.made.by, before.made.at, &before.reason);
    Refusal::new(Code::ReversedAlready, format!("{by} took it back on {at}: {reason}"))
}
