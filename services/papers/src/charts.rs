//! Charts as inline SVG: black on white, told apart by hatching, dashes and words, never by colour alone.
//!
//! Geometry is in tenths of a unit and in whole numbers. A chart's own width is that of a narrow page, so that its
//! letters stay readable where it is shrunk to a telephone.

pub mod axis;
pub mod drawing;
pub mod panels;
pub mod scatter;
pub mod shares;
