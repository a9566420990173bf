//! Histories: the steps that are made up, how they are carried out on both sides at once, and what is compared.

pub mod carrying_out;
pub mod comparing;
pub mod filing;
pub mod history;
pub mod hours;
pub mod money;
pub mod opening;
pub mod seed;
pub mod settling;
pub mod step;
pub mod terms;
