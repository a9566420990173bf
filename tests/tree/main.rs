//! The source tree held to its own rules; nothing here needs a database.
//!
//! A rule is a function from files to [`Finding`](exceptions::Finding)s. What a rule may overlook stands in
//! `allow/<rule>.txt`, each line with its reason; a line that excuses nothing any more is itself a finding.
#![expect(clippy::expect_used, reason = "a check that cannot read the tree has failed")]

mod containers;
mod crates;
mod exceptions;
mod layout;
mod modules;
mod repository;
mod sizes;
mod wording;
