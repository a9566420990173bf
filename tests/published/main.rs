//! Checks against figures published outside this project; each names its source.

#[cfg(test)]
mod check_scale;
mod overrun;
mod scaling;
mod seal;
mod settlement;
mod standing_trees;
