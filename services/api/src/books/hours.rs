//! The hours of each worker's weeks.

use std::collections::BTreeMap;

use jiff::civil::Date;
use kernel::{Exact, WorkerId};
use settlement::week_ending;
use storage::{Books, Days, Outfit, WorkedDay};

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

impl WeekHours {
    const NONE: Self = Self { piece_work: Exact::ZERO, paid_by_time: Exact::ZERO, rest: Exact::ZERO };
}

/// The hours recorded for the weeks that some days are of.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn week_hours(
    books: &mut Books,
    outfit: &Outfit,
    days: &[Days],
) -> Result<BTreeMap<(Date, WorkerId), WeekHours>, Refusal> {
    let mut worked = Vec::new();
    for (from, to) in days.iter().copied() {
        worked.extend(books.hours_by_day(from, to).await?);
    }
    by_week(&worked, outfit)
}

/// Days added up to weeks.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn by_week(
    days: &[WorkedDay],
    outfit: &Outfit,
) -> Result<BTreeMap<(Date, WorkerId), WeekHours>, Refusal> {
    let mut weeks: BTreeMap<(Date, WorkerId), WeekHours> = BTreeMap::new();
    for day in days {
        let key = (week_ending(day.day, outfit.week_ends_on), day.worker);
        let hours = weeks.entry(key).or_insert(WeekHours::NONE);
        hours.piece_work = hours.piece_work.plus(day.piece_work.exact())?;
        hours.paid_by_time = hours.paid_by_time.plus(day.paid.exact())?;
        hours.rest = hours.rest.plus(day.rest.exact())?;
    }
    Ok(weeks)
}
