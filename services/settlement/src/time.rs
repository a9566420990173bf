//! From paid time and rates to quantities: hours, or days with any hours in them.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use kernel::{Fixed, NumberError, TimeEntryId, WorkerId};

use crate::{DayHours, Rate, RateUnit, Rates, Task};

/// Hours that a member of a crew is paid for by time.
///
/// ```
/// let time = settlement::TimeFacts {
///     entry: "0197a000-0000-7000-8000-000000000001".parse()?,
///     worker: "0197a000-0000-7000-8000-000000000002".parse()?,
///     day: jiff::civil::date(2031, 6, 3),
///     task: settlement::Task::Skidding,
///     hours: serde_json::from_str("\"8.5\"")?,
/// };
/// assert_eq!(time.hours.to_string(), "8.5");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TimeFacts {
    /// The entry.
    pub entry: TimeEntryId,
    /// Who worked.
    pub worker: WorkerId,
    /// The day.
    pub day: Date,
    /// What was done.
    pub task: Task,
    /// How long.
    pub hours: DayHours,
}

/// What one worker's time comes to under one rate.
///
/// ```
/// let none = settlement::AccruedTime::default();
/// assert!(none.accruals.is_empty() && none.unpriced.is_empty());
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimeAccrual {
    /// The rate's position in the terms, from 0.
    pub rate: usize,
    /// The worker.
    pub worker: WorkerId,
    /// How many hours, or days.
    pub quantity: Fixed,
    /// The entries it is the sum of, in order of their ids.
    pub entries: Vec<TimeEntryId>,
}

/// What time comes to under the rates of one contract's terms.
///
/// ```
/// assert_eq!(settlement::AccruedTime::default(), settlement::AccruedTime::default());
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AccruedTime {
    /// One for each rate and worker, in that order.
    pub accruals: Vec<TimeAccrual>,
    /// The entries that no rate puts a price on, in order of their ids.
    pub unpriced: Vec<TimeEntryId>,
}

/// Counts up paid time by the rates of one contract's terms: hours for a rate by the hour; for a rate by the day, one
/// day for each day on which the worker has any hours for the task, in however many entries.
///
/// # Errors
///
/// [`NumberError::TooLarge`] for a sum that cannot be held.
///
/// ```
/// use settlement::{Rates, Task, TimeFacts, accrue_time};
/// let rates: Rates = serde_json::from_str(
///     r#"[{"name": "team and driver", "task": "skidding", "unit": "day", "price": "4.50"}]"#,
/// )?;
/// let worker = "0197a000-0000-7000-8000-000000000001".parse()?;
/// let entry = |id: &str, day, task| -> Result<_, Box<dyn std::error::Error>> {
///     Ok(TimeFacts { entry: id.parse()?, worker, day, task, hours: serde_json::from_str("\"4\"")? })
/// };
/// let (tuesday, wednesday) = (jiff::civil::date(2031, 6, 3), jiff::civil::date(2031, 6, 4));
/// let time = [
///     entry("0197a000-0000-7000-8000-000000000002", tuesday, Task::Skidding)?,
///     entry("0197a000-0000-7000-8000-000000000003", tuesday, Task::Skidding)?,
///     entry("0197a000-0000-7000-8000-000000000004", wednesday, Task::Skidding)?,
///     entry("0197a000-0000-7000-8000-000000000005", wednesday, Task::Loading)?,
/// ];
/// let accrued = accrue_time(&rates, &time)?;
/// assert_eq!(accrued.accruals[0].quantity, "2".parse()?);
/// assert_eq!(accrued.accruals[0].entries.len(), 3);
/// assert_eq!(accrued.unpriced, [time[3].entry]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn accrue_time(rates: &Rates, time: &[TimeFacts]) -> Result<AccruedTime, NumberError> {
    let mut by_rate: BTreeMap<(usize, WorkerId), BTreeMap<TimeEntryId, TimeFacts>> = BTreeMap::new();
    let mut unpriced = BTreeSet::new();
    for facts in time {
        let found = rates.as_slice().iter().position(|rate| rate.is_by_time() && rate.task() == facts.task);
        match found {
            Some(rate) => {
                by_rate.entry((rate, facts.worker)).or_default().insert(facts.entry, *facts);
            }
            None => {
                unpriced.insert(facts.entry);
            }
        }
    }
    let mut accruals = Vec::with_capacity(by_rate.len());
    for ((rate, worker), entries) in by_rate {
        let quantity = quantity(rates.get(rate).map(Rate::unit), entries.values())?;
        accruals.push(TimeAccrual { rate, worker, quantity, entries: entries.into_keys().collect() });
    }
    Ok(AccruedTime { accruals, unpriced: unpriced.into_iter().collect() })
}

fn quantity<'a>(
    unit: Option<RateUnit>,
    entries: impl Iterator<Item = &'a TimeFacts>,
) -> Result<Fixed, NumberError> {
    if unit == Some(RateUnit::Day) {
        let days: BTreeSet<Date> = entries.map(|facts| facts.day).collect();
        return Fixed::whole(i64::try_from(days.len()).map_err(|_| NumberError::TooLarge)?);
    }
    let mut hours = Fixed::ZERO;
    for facts in entries {
        hours = hours.plus(facts.hours.fixed())?;
    }
    Ok(hours)
}
