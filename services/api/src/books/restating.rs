//! Which weeks a settlement states again.
//!
//! A posted week comes to what was settled of it as long as nothing that it is worked out from has changed. So there are only
//! two kinds of weeks to state: those after the latest posting, and posted ones of which the books say that something
//! changed since (`late_change`). Stating every other week too comes to the same lines, and takes the longer the more lies
//! behind.

use jiff::civil::{Date, Weekday};
use settlement::{Week, week_ending};
use storage::{Books, Days, Outfit};

use crate::http::refusal::Refusal;

/// How far back a settlement looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Over the weeks that were not posted, and those that something changed in since.
    Changed,
    /// Over everything.
    WholeHistory,
}

/// The days that are to be stated, in whole weeks: apart from each other, in their order, the last ending with `week`.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn days_to_state(
    books: &mut Books,
    outfit: &Outfit,
    week: Date,
    reach: Reach,
) -> Result<Vec<Days>, Refusal> {
    let latest = match reach {
        Reach::Changed => books.latest_posted_week().await?,
        Reach::WholeHistory => None,
    };
    let Some(latest) = latest else { return Ok(vec![(None, week)]) };
    let mut weeks: Vec<(Date, Date)> = books
        .late_changes()
        .await?
        .into_iter()
        .map(|(from, to)| (first_day(from, outfit.week_ends_on), week_ending(to, outfit.week_ends_on)))
        .collect();
    weeks.push((latest.saturating_add(jiff::Span::new().days(1)), week));
    Ok(joined(weeks).into_iter().map(|(from, to)| (Some(from), to)).collect())
}

/// Whether a week is among the days.
#[must_use]
pub fn states(days: &[Days], week: Date) -> bool {
    days.iter().any(|(from, to)| from.is_none_or(|from| from <= week) && week <= *to)
}

fn first_day(day: Date, ends_on: Weekday) -> Date {
    Week::containing(day, ends_on).first_day()
}

/// Days that overlap or follow each other, made one.
fn joined(mut weeks: Vec<(Date, Date)>) -> Vec<(Date, Date)> {
    weeks.sort_unstable();
    let mut apart: Vec<(Date, Date)> = Vec::with_capacity(weeks.len());
    for (from, to) in weeks {
        match apart.last_mut() {
            Some((_, end)) if from <= end.saturating_add(jiff::Span::new().days(1)) => *end = to.max(*end),
            _ => apart.push((from, to)),
        }
    }
    apart
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::joined;

    #[test]
    fn weeks_that_overlap_or_follow_each_other_are_stated_once() {
        let june = |first, last| (date(2031, 6, first), date(2031, 6, last));
        let weeks = vec![june(22, 28), june(1, 7), june(1, 7), june(8, 14)];
        assert_eq!(joined(weeks), [june(1, 14), june(22, 28)]);
        assert_eq!(joined(vec![june(1, 28), june(8, 14)]), [june(1, 28)]);
    }
}
