//! Published figures of pay.
