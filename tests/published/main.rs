//! Checks against figures published outside this project; each names its source.

#[cfg(test)]
mod check_scale;
mod scaling;
mod settlement;
