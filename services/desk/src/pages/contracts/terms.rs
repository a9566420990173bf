//! Terms between the service's JSON and a form: what has a field of its own, and everything else as JSON beside it.

pub mod fields;
pub mod split;
pub mod words;
