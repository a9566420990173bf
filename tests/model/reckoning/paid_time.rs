//! What members of crews have earned by the hour and the day.

use crate::facts::hours::TimeUse;
use crate::facts::record::{Party, Record, Unit};
use crate::reckoning::earning::{Key, Reckoning, Side};
use crate::reckoning::volume::ONE;

impl Reckoning {
    /// Counts the paid time that stands.
    pub fn count_time(&mut self, record: &Record) {
        for (place, entry, hundredths) in record.standing_time() {
            let TimeUse::Paid { crew, task } = entry.what_for else { continue };
            let contract = record.contract_with(Party::Crew(crew));
            let terms = contract.and_then(|contract| record.terms_on(contract, entry.day));
            let rate = terms.and_then(|terms| {
                let rates = &record.terms[terms].rates;
                rates.iter().position(|rate| rate.unit.is_time() && rate.task == task)
            });
            let (Some(contract), Some(terms), Some(rate)) = (contract, terms, rate) else {
                self.unpriced_time.insert((entry.day, place));
                continue;
            };
            let (week, side) = (entry.day.week_end(), Side::Member(entry.worker));
            let earned = self.earned.entry(Key { week, contract, terms, rate, side }).or_default();
            earned.time.insert(place);
            let of_day = earned.days.entry(entry.day).or_default();
            if record.terms[terms].rates[rate].unit == Unit::Day {
                // A day is a day, however often it was written down.
                *of_day = ONE;
            } else {
                *of_day += hundredths * (ONE / 100);
            }
            earned.quantity = earned.days.values().sum();
        }
    }
}
