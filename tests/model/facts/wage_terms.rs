//! Wage terms as they were filed.

use crate::facts::calendar::Day;
use crate::facts::record::Record;

/// What is paid by the hour beside the pieces, from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WageTerms {
    pub from: Day,
    /// What an hour of piece work brings at the least, in ten-thousandths of a dollar.
    pub guarantee: Option<i64>,
    /// What any hour brings at the least.
    pub minimum: Option<i64>,
    /// Whether rest is paid apart, by what the other hours brought.
    pub rest_apart: bool,
    /// The hours that carry no premium, in hundredths.
    pub overtime_after: Option<i64>,
    /// Whether the rate of an hour is rounded before it is used.
    pub to_the_cent: bool,
}

impl Record {
    /// The terms of a week: those in force on its first day, the latest to begin, and of two for one day the later filed.
    pub fn wage_terms_of(&self, week: Day) -> Option<&WageTerms> {
        let held = self.wage_terms.iter().enumerate().filter(|(_, terms)| terms.from <= Day(week.0 - 6));
        held.max_by_key(|(place, terms)| (terms.from, *place)).map(|(_, terms)| terms)
    }
}
