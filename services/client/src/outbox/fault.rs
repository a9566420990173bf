//! What can go wrong between a filing and the disk.

use std::io;

use super::Place;

/// Why something could not be kept, or found again.
///
/// ```
/// let fault = client::outbox::OutboxError::NoPlace;
/// assert!(fault.to_string().contains("SKID_HOME"));
/// ```
#[derive(Debug, thiserror::Error)]
pub enum OutboxError {
    /// There is no directory to keep anything in.
    #[error("there is no directory to keep what is not sent yet: set SKID_HOME, XDG_STATE_HOME or HOME")]
    NoPlace,
    /// The disk refused.
    #[error("{path}: {source}: nothing was changed; make room, or set SKID_HOME to another directory")]
    Disk {
        /// Where.
        path: String,
        /// What it said.
        source: io::Error,
    },
    /// A file that is not what was written.
    #[error("{path} is not what this program wrote ({source}): look at it, and take it out of the directory")]
    Unreadable {
        /// Which.
        path: String,
        /// What is wrong with it.
        source: serde_json::Error,
    },
    /// Something of that name waits with other content.
    #[error(
        "{says} waits already with other content: see `skid outbox show {number}`, and amend or drop that one"
    )]
    OtherWaits {
        /// Its number.
        number: u64,
        /// What it is.
        says: String,
    },
    /// No such entry.
    #[error("there is no entry {0} in the outbox: `skid outbox` lists them")]
    NoEntry(u64),
    /// It is not where it would have to be.
    #[error("entry {number} is {place}: {wanted}")]
    Elsewhere {
        /// Its number.
        number: u64,
        /// Where it is.
        place: Place,
        /// What would do.
        wanted: &'static str,
    },
    /// Somebody else sends at this moment.
    #[error("another skid is sending from this outbox: look again in a while")]
    Busy,
}

impl OutboxError {
    /// The stable name of the problem.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NoPlace => "no-place-to-keep",
            Self::Disk { .. } => "cannot-be-kept",
            Self::Unreadable { .. } => "outbox-unreadable",
            Self::OtherWaits { .. } => "other-waits",
            Self::NoEntry(_) => "no-such-entry",
            Self::Elsewhere { .. } => "entry-elsewhere",
            Self::Busy => "outbox-busy",
        }
    }
}
