//! The work that goes on while things break, and the record of what was sent and what was acknowledged.

pub mod answer;
pub mod auditor;
pub mod bookkeeper;
pub mod bulk;
pub mod crowd;
pub mod new_migration;
pub mod outfit;
pub mod sent;
pub mod tickets;
pub mod writer;
