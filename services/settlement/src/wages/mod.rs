//! A worker's week beside the pieces: guarantee, minimum, rest, overtime.
//!
//! Each week stands alone (29 CFR 778.104): nothing is averaged over two. Sources, read for this: 29 CFR 778.111
//! (pieceworkers: all earnings over all hours, half of that for each hour of overtime; the larger of pieces and
//! guarantee), 778.115 (several rates: the weighted average), 778.318 (waiting is hours worked), California Labor Code
//! 226.2 (rest by the average of the other hours). The figures are the user's own; see the caution on [`WageTerms`].

mod restated;
mod terms;
mod week;

pub use restated::{Supplement, SupplementKey, SupplementLine, restate};
pub use terms::{Overtime, RateRounding, RestPay, WageTerms};
pub use week::{WeekWages, WorkedWeek, wages};
