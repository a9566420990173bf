//! Why a standing tree gets no volume.

use kernel::NumberError;

use crate::{RuleName, ScaleProblem, SizeError};

/// Why a tree gets no volume by the formula that was named. Nothing is guessed and no formula is carried past its range.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TreeProblem {
    /// The formula counts logs.
    #[error("this formula counts logs of 16 feet: write the height as logs, with the diameter in inches")]
    NeedsLogs,
    /// The rule is entered with a size that nobody measures on a standing tree.
    #[error("{0} cannot be applied to a standing tree: it takes more than the diameter of the small end")]
    RuleTakesMore(RuleName),
    /// Less than the first log.
    #[error(
        "the form class speaks of the top of a whole first log: a tree of less than one log has no volume by it"
    )]
    LessThanOneLog,
    /// No taper was given for a log.
    #[error("no taper is given for log {log}: write one more in tapers_in")]
    NoTaper {
        /// Which log, counted from 1 at the butt.
        log: usize,
    },
    /// The tapers leave nothing.
    #[error("the tapers leave nothing at the top of log {log}")]
    TaperedAway {
        /// Which log, counted from 1 at the butt.
        log: usize,
    },
    /// Outside of where the formula holds.
    #[error("the formula does not reach this tree: it takes {0}")]
    OutsideRange(&'static str),
    /// A form class with a formula that knows none.
    #[error("this formula knows no form class: leave form_class out")]
    NoFormClass,
    /// A log of the tree cannot be scaled.
    #[error("log {log}: {problem}")]
    Log {
        /// Which log, counted from 1 at the butt.
        log: usize,
        /// Why not.
        problem: Box<ScaleProblem>,
    },
    /// A size of a log that is none.
    #[error(transparent)]
    Size(#[from] SizeError),
    /// Too large to be computed exactly.
    #[error(transparent)]
    Number(#[from] NumberError),
}
