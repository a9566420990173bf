//! The running service: what is sent to it, and what it says.

pub mod forms;
pub mod forms_of_money;
pub mod outfit;
pub mod reading;
pub mod sql;
