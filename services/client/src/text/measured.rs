//! What was measured on a stick, in one line: the same words as on papers.

pub(crate) use wire::words::summary;
