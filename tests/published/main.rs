//! Checks against figures published outside this project; each names its source.

mod overrun;
mod scaling;
mod settlement;
mod standing_trees;
