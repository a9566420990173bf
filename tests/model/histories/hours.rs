//! Steps about hours: made up, and carried out.

use proptest::prelude::*;

use crate::facts::calendar::Day;
use crate::facts::hours::{TimeEntry, TimeUse};
use crate::facts::record::{ShareBy, ShareSet, Task};
use crate::facts::wage_terms::WageTerms;
use crate::histories::carrying_out::{EARLIEST, LATEST, turn_of};
use crate::histories::filing::DAY;
use crate::histories::history::{Checked, History};
use crate::service::outfit::{CREWS, WORKERS};

/// Hours of a day so many days ago.
#[derive(Clone, Debug)]
pub struct Worked {
    pub days_ago: i64,
    pub worker: usize,
    pub hundredths: i64,
    pub what_for: TimeUse,
    /// Hours of the same day that are written down apart.
    pub apart: Option<i64>,
}

pub fn worked() -> impl Strategy<Value = Worked> {
    let tasks = prop_oneof![4 => Just(Task::Felling), 1 => Just(Task::Bucking), 2 => Just(Task::Skidding), 1 => Just(Task::Peeling)];
    let crews = prop_oneof![12 => 0..CREWS - 1, 1 => Just(CREWS - 1)];
    let paid = (crews, tasks).prop_map(|(crew, task)| TimeUse::Paid { crew, task });
    let what_for = prop_oneof![4 => Just(TimeUse::PieceWork), 2 => Just(TimeUse::Rest), 5 => paid];
    let quarters = (1..=48_i64).prop_map(|quarters| quarters * 25);
    let hundredths = prop_oneof![6 => quarters, 2 => 1..=1300_i64, 1 => Just(DAY)];
    let days_ago = prop_oneof![1 => Just(-1_i64), 20 => 0..=4_i64, 6 => 5..=18_i64];
    let apart = prop::option::weighted(0.4, 50..=400_i64);
    (days_ago, 0..WORKERS, hundredths, what_for, apart).prop_map(
        |(days_ago, worker, hundredths, what_for, apart)| Worked {
            days_ago,
            worker,
            hundredths,
            what_for,
            apart,
        },
    )
}

/// Wage terms from the first day; rates are about what these crews earn in an hour.
pub fn wage_terms() -> impl Strategy<Value = WageTerms> {
    let rate = || prop::option::weighted(0.7, 1..20_000_i64);
    let after = prop_oneof![1 => Just(None), 4 => (100..1600_i64).prop_map(Some)];
    (rate(), rate(), any::<bool>(), after, any::<bool>()).prop_map(
        |(guarantee, minimum, rest_apart, overtime_after, to_the_cent)| WageTerms {
            from: Day(EARLIEST),
            guarantee,
            minimum,
            rest_apart,
            overtime_after,
            to_the_cent,
        },
    )
}

impl Worked {
    pub fn entry(&self, today: Day) -> TimeEntry {
        let day = Day((today.0 - self.days_ago).max(EARLIEST));
        let (worker, hundredths, what_for) = (self.worker, Some(self.hundredths), self.what_for);
        TimeEntry { worker, day, hundredths, what_for, corrects: None }
    }
}

impl History {
    /// Files hours; paid ones rather for somebody who belongs to the crew, if there is anybody.
    pub fn work(&mut self, worked: &Worked) -> Checked {
        let entry = self.by_a_member(worked.entry(self.today()));
        self.time(&entry)?;
        if worked.apart.is_some() {
            self.time(&TimeEntry { hundredths: worked.apart, ..entry })?;
        }
        // Mostly somebody sees at once that nothing pays for it.
        if worked.hundredths % 9 == 0 { Ok(()) } else { self.take_back_unpriced(LATEST) }
    }

    fn by_a_member(&self, entry: TimeEntry) -> TimeEntry {
        let TimeUse::Paid { crew, .. } = entry.what_for else { return entry };
        let Some(set) = self.record.shares_on(crew, entry.day) else { return entry };
        let members = &self.record.share_sets[set].shares;
        // One in so many is filed for whoever it is, and refused unless he belongs to the crew.
        match turn_of(entry.worker, members.len() + 1) {
            Some(which) if which < members.len() => TimeEntry { worker: members[which].0, ..entry },
            _ => entry,
        }
    }

    pub fn correct_time(&mut self, which: usize, by: Option<&Worked>, copied: bool) -> Checked {
        let Some(which) = turn_of(which, self.record.time.len()) else { return Ok(()) };
        let wrong = self.record.time[which].clone();
        let right = match by {
            Some(_) if copied && wrong.hundredths.is_some() => wrong,
            Some(worked) => self.by_a_member(worked.entry(self.today())),
            None => TimeEntry { hundredths: None, ..wrong },
        };
        self.time(&TimeEntry { corrects: Some(which), ..right })
    }

    /// Takes back paid time that nothing pays for, and has somebody work where a crew that shares by hours has none.
    pub fn have_hours(&mut self, week: Day) -> Checked {
        self.take_back_unpriced(week)?;
        self.have_piece_hours(week)
    }

    fn take_back_unpriced(&mut self, week: Day) -> Checked {
        for (_, place) in self.reckoning().unpriced_time.into_iter().filter(|(day, _)| *day <= week) {
            let wrong = self.record.time[place].clone();
            self.time(&TimeEntry { hundredths: None, corrects: Some(place), ..wrong })?;
        }
        Ok(())
    }

    /// Has every other member of a crew that shares by hours work on the days on which nobody did.
    pub fn have_piece_hours(&mut self, week: Day) -> Checked {
        while let Some((day, crew)) = self.first_without_hours(week) {
            let set = self.record.shares_on(crew, day).expect("it shares by hours");
            let members = self.record.share_sets[set].shares.clone();
            for worker in members.iter().map(|(worker, _)| *worker).step_by(2) {
                let of_both = i64::try_from(worker).expect("few") * 5 + day.0 + 1;
                let hundredths = 125 + 75 * (of_both % 9);
                if self.record.hours(worker, day, day).all() + hundredths <= DAY {
                    let (hundredths, what_for) = (Some(hundredths), TimeUse::PieceWork);
                    self.time(&TimeEntry { worker, day, hundredths, what_for, corrects: None })?;
                }
            }
            if self.first_without_hours(week) == Some((day, crew)) {
                self.share_set(&ShareSet { crew, from: day, by: ShareBy::Equally, shares: members })?;
            }
        }
        Ok(())
    }

    fn first_without_hours(&self, week: Day) -> Option<(Day, usize)> {
        self.reckoning().without_hours.into_iter().find(|(day, _)| *day <= week)
    }
}
