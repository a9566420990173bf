//! Checks against figures published outside this project; each names its source.

mod scaling;
mod seal;
mod settlement;
