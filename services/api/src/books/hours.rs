//! The hours of each worker's weeks.

use std::collections::BTreeMap;

use jiff::civil::Date;
use kernel::{Exact, WorkerId};
use storage::{Books, Outfit};

use crate::http::refusal::Refusal;

/// The hours of one worker's week, by what they were spent on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WeekHours {
    /// On piece work.
    pub piece_work: Exact,
    /// Paid by the hour or the day.
    pub paid_by_time: Exact,
    /// Of rest.
    pub rest: Exact,
}

/// The hours recorded for weeks up to and including the one that ends on `week`.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn week_hours(
    _books: &mut Books,
    _outfit: &Outfit,
    _week: Date,
) -> Result<BTreeMap<(Date, WorkerId), WeekHours>, Refusal> {
    Ok(BTreeMap::new())
}
