//! Published figures of log scaling: every printed cell and worked example, held against the `scaling` crate.

#[cfg(test)]
mod cells;
#[cfg(test)]
mod constructed;
#[cfg(test)]
mod constructed_long_logs;
#[cfg(test)]
pub mod data;
#[cfg(test)]
mod disagreements;
#[cfg(test)]
mod identities;
#[cfg(test)]
mod own_table;
#[cfg(test)]
mod piles;
#[cfg(test)]
mod worked;
