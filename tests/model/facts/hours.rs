//! Hours as they were filed.

use crate::facts::calendar::Day;
use crate::facts::record::{Record, Task};

/// What hours were spent on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeUse {
    PieceWork,
    Rest,
    Paid { crew: usize, task: Task },
}

/// Hours of a worker on a day. Entries are named by their place in the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimeEntry {
    pub worker: usize,
    pub day: Day,
    /// In hundredths; none says that the entry it corrects should not have been there.
    pub hundredths: Option<i64>,
    pub what_for: TimeUse,
    pub corrects: Option<usize>,
}

/// A day's or a week's hours, in hundredths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hours {
    pub piece_work: i64,
    pub paid: i64,
    pub rest: i64,
}

impl Hours {
    pub fn all(self) -> i64 {
        self.piece_work + self.paid + self.rest
    }
}

impl Record {
    /// The place of the entry that took another's place.
    pub fn time_corrected_by(&self, entry: usize) -> Option<usize> {
        self.time.iter().position(|other| other.corrects == Some(entry))
    }

    /// The entries that count, with their places and hours.
    pub fn standing_time(&self) -> Vec<(usize, &TimeEntry, i64)> {
        let entries = self.time.iter().enumerate();
        let counting = entries.filter_map(|(place, entry)| Some((place, entry, entry.hundredths?)));
        counting.filter(|(place, ..)| self.time_corrected_by(*place).is_none()).collect()
    }

    /// What a worker did from one day to another.
    pub fn hours(&self, worker: usize, from: Day, to: Day) -> Hours {
        let mut hours = Hours::default();
        for (_, entry, hundredths) in self.standing_time() {
            if entry.worker == worker && (from..=to).contains(&entry.day) {
                match entry.what_for {
                    TimeUse::PieceWork => hours.piece_work += hundredths,
                    TimeUse::Paid { .. } => hours.paid += hundredths,
                    TimeUse::Rest => hours.rest += hundredths,
                }
            }
        }
        hours
    }
}
