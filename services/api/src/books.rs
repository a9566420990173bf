//! The glue between the pure crates and the stored books: what a ticket becomes under a contract, what the books
//! entitle everybody to, and how that is shown.

pub mod accepting;
pub mod account_titles;
pub mod adjusting;
pub mod batch;
pub mod caution;
pub mod checking_seal;
pub mod deriving;
pub mod drafting;
pub mod entitling;
pub mod fingerprint;
pub mod hours;
pub mod journal_export;
pub mod listing_money;
pub mod margin;
pub mod money;
pub mod names;
pub mod own_tables;
pub mod parties;
pub mod paying;
pub mod paying_time;
pub mod previewing;
pub mod reading_ticket;
pub mod reading_work;
pub mod scaling_ticket;
pub mod seal_key;
pub mod sealed_documents;
pub mod sealing;
pub mod sharing;
pub mod sheet;
