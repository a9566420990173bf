//! Checks against figures published outside this project; each names its source.

mod check_scale;
mod scaling;
mod settlement;
