//! What the scale is held against, from outside and from within: samples that were scaled again, what a mill sawed, what
//! a cruise expected, and figures that stand out from their like.
//!
//! Pure: it knows numbers, not where they are kept nor who asks.

mod hewn_yield;
mod outliers;

pub use hewn_yield::{Fit, HewnSection};
pub use outliers::{LEAST_FIGURES, LIMIT, Spread, SpreadMeasure, median, ratio};
