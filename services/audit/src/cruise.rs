//! A cruise: what a sample of a tract says of all that stands there, by species and in all, and how sure that is.
//!
//! The plots are what was sampled, not the trees: every estimate is made of one figure for each plot, and a plot without a
//! species holds none of it. How a tree gets its volume is not known here.

mod cut_out;
mod estimate;

pub use cut_out::{CutOut, HeldAgainst, hold_against, still_standing};
pub use estimate::{CruiseEstimate, PlotsNeeded, SampledTract, SamplingError, TallyTree, Tract};
