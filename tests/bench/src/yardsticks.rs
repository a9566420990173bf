//! What the service is held against in the same run on the same database server.

pub mod pgbench;
pub mod recorded;
pub mod rows;
