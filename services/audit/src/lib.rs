//! What the scale is held against, from outside and from within: samples that were scaled again, what a mill sawed, what
//! a cruise expected, and figures that stand out from their like.
//!
//! Pure: it knows numbers, not where they are kept nor who asks.
//!
//! ```
//! use audit::{Confidence, Number, Ratio};
//!
//! // Three loads, constructed: as the scaler had them, and as somebody else had them after him.
//! let loads = [(500, 480), (500, 510), (320, 300)].map(|(x, y)| (Number::whole(x), Number::whole(y)));
//! let ratio = Ratio::new(loads.to_vec(), None)?;
//! assert_eq!(ratio.shown()?.to_string(), "0.977273");
//! let between = ratio.interval(Confidence::NinetyFive)?;
//! assert!(between.from < ratio.shown()? && ratio.shown()? < between.to);
//! # Ok::<(), audit::StatisticError>(())
//! ```

mod check_scale;
mod cruise;
mod hewn_yield;
mod number;
mod outliers;
mod overrun;
mod ratio;
mod sample;
mod student;
mod tolerance;

pub use check_scale::{
    Agreement, BothTotals, CheckMeasure, OneScale, ScaleTotals, Stratum, TwiceScaled, compare,
};
pub use cruise::{
    CruiseEstimate, CutOut, HeldAgainst, PlotsNeeded, SampledTract, SamplingError, TallyTree, Tract,
    hold_against, still_standing,
};
pub use hewn_yield::{Fit, HewnSection};
pub use number::{Number, StatisticError};
pub use outliers::{LEAST_FIGURES, LIMIT, Spread, SpreadMeasure, median, ratio};
pub use overrun::{Incomparable, LogScale, LumberState, Overrun, ScaleBase, Tally, UnitName, overrun};
pub use ratio::Ratio;
pub use sample::{Interval, Sample, sample_size};
pub use student::{Confidence, students_t};
pub use tolerance::{
    Allowance, AllowedPercent, AllowedPercentError, AtAllowance, ByDefect, CheckOutcome, CheckTolerance,
    Consequence, Finding, NothingLimited, PercentBase, PublishedTolerance, Reach, ToleranceFacts,
    ToleranceRule, judge,
};
