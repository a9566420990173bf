//! Published figures of log scaling.
