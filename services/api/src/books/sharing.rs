//! How crews share what they earn: their share sets, and the hours that some of them share by.

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use kernel::{CrewId, Fixed, ShareSetId, WorkerId};
use settlement::{HoursError, Share, ShareMethod, SharedDay, parts_by_hours};
use storage::{Books, Days, ShareSet, WorkedDay};
use wire::Code;

use super::names::Names;
use crate::http::refusal::Refusal;

/// Every share set, and the hours of piece work by worker and day.
#[derive(Debug)]
pub struct Sharing {
    sets: Vec<ShareSet>,
    hours: HashMap<(WorkerId, Date), Fixed>,
}

impl Sharing {
    /// Reads them; the hours of some days.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn read(books: &mut Books, days: &[Days]) -> Result<Self, Refusal> {
        let sets = books.share_sets(None).await?;
        let mut hours = Vec::new();
        if sets.iter().any(|set| set.method == ShareMethod::ByHours) {
            for (from, to) in days.iter().copied() {
                hours.extend(books.hours_by_day(from, to).await?);
            }
        }
        Ok(Self::of(sets, hours))
    }

    /// From share sets and the hours of days that were read.
    #[must_use]
    pub fn of(sets: Vec<ShareSet>, hours: Vec<WorkedDay>) -> Self {
        let hours = hours.into_iter().map(|one| ((one.worker, one.day), one.piece_work)).collect();
        Self { sets, hours }
    }

    /// The share set with this id.
    #[must_use]
    pub fn set(&self, id: ShareSetId) -> Option<&ShareSet> {
        self.sets.iter().find(|set| set.id == id)
    }

    /// How a crew divides its pay of a day.
    ///
    /// # Errors
    ///
    /// [`Code::NoShareSet`].
    pub fn on(&self, crew: CrewId, day: Date, names: &Names) -> Result<&ShareSet, Refusal> {
        share_set_on(&self.sets, crew, day).ok_or_else(|| {
            let crew = names.crew(crew);
            let detail = format!("{crew} worked on {day} and has no division of its pay for that day");
            Refusal::new(Code::NoShareSet, detail)
        })
    }

    /// Whether a share set shares by hours.
    #[must_use]
    pub fn is_by_hours(&self, set: ShareSetId) -> bool {
        self.sets.iter().any(|one| one.id == set && one.method == ShareMethod::ByHours)
    }

    /// The members' shares of what was counted on some days.
    ///
    /// # Errors
    ///
    /// [`Code::NoHours`] naming crew and day; [`Code::TooLarge`].
    pub fn shares(
        &self,
        set: &ShareSet,
        days: &[(Date, Fixed)],
        names: &Names,
    ) -> Result<Vec<Share>, Refusal> {
        let workers = set.shares.iter().map(|share| share.worker);
        if set.method != ShareMethod::ByHours {
            let parts = set.shares.iter().map(|share| share.parts.exact());
            return Ok(workers.zip(parts).map(|(worker, parts)| Share { worker, parts }).collect());
        }
        let days: Vec<SharedDay> = by_day(days)?
            .iter()
            .map(|(day, quantity)| {
                let hours = workers.clone().map(|worker| self.hours.get(&(worker, *day)).copied());
                let hours = hours.map(Option::unwrap_or_default).collect();
                SharedDay { day: *day, quantity: *quantity, hours }
            })
            .collect();
        let parts = parts_by_hours(set.shares.len(), &days).map_err(|error| match error {
            HoursError::Number(error) => error.into(),
            HoursError::NoHours(_) => {
                Refusal::new(Code::NoHours, format!("{}: {error}", names.crew(set.crew)))
            }
        })?;
        Ok(workers.zip(parts).map(|(worker, parts)| Share { worker, parts }).collect())
    }
}

/// What was counted on each day, the sign aside: a day can be below zero once a check scale took away what a correction
/// takes away again, and it is still those who worked on it whom it falls to.
fn by_day(days: &[(Date, Fixed)]) -> Result<BTreeMap<Date, Fixed>, Refusal> {
    let mut sums: BTreeMap<Date, Fixed> = BTreeMap::new();
    for (day, quantity) in days {
        let sum = sums.entry(*day).or_insert(Fixed::ZERO);
        *sum = sum.plus(*quantity)?;
    }
    for sum in sums.values_mut().filter(|sum| sum.is_negative()) {
        *sum = Fixed::ZERO.minus(*sum)?;
    }
    Ok(sums)
}

/// How a crew divides its pay of a day: as filed for the latest day on or before it and, among those, the latest filed.
#[must_use]
pub fn share_set_on(sets: &[ShareSet], crew: CrewId, day: Date) -> Option<&ShareSet> {
    sets.iter()
        .filter(|set| set.crew == crew && set.effective_from <= day)
        .max_by_key(|set| (set.effective_from, set.revision))
}
