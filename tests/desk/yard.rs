//! The yard at the desk: entering tickets without script, the queue's way to the service, the tables, the lists.

mod entry;
mod lists;
mod queue;
mod tables;
mod who;
