//! What the facts come to: volumes, rates, earnings, and what was posted of them.

pub mod division;
pub mod earning;
pub mod keeping_back;
pub mod ledger;
pub mod paid_time;
pub mod pay;
pub mod pricing;
pub mod volume;
pub mod wages;
pub mod working_together;
