//! What was measured on a stick, in one line: the same words as on papers.

pub use wire::words::summary;
