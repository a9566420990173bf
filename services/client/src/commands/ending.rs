//! How the program ends.

use std::process::ExitCode;

use client::ClientError;

/// How the program ends. The status of each is fixed: scripts go by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ending {
    /// Done.
    Done,
    /// Wrong usage, or a fault on this machine.
    Fault,
    /// Some lines could not be scaled.
    SomeNotScaled,
    /// Refused by the service, whole or in part.
    Refused,
    /// The service was not reachable.
    Unreachable,
    /// What was asked for was looked into, and something is not as it should be: somebody should look.
    SomethingFound,
    /// Stopped before its end by whoever ran it; the same command again goes on.
    Stopped,
}

impl Ending {
    /// The status to end with.
    pub(crate) fn status(self) -> ExitCode {
        ExitCode::from(self.number())
    }

    /// The same as a number.
    pub(crate) const fn number(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Fault => 1,
            Self::SomeNotScaled => 2,
            Self::Refused => 3,
            Self::Unreachable => 4,
            Self::SomethingFound => 5,
            Self::Stopped => 6,
        }
    }
}

impl From<&ClientError> for Ending {
    /// An answer that is not understood comes from something that is not the service, or not one we know.
    fn from(error: &ClientError) -> Self {
        match error {
            _ if error.is_unreachable() => Self::Unreachable,
            ClientError::Refused(_) => Self::Refused,
            ClientError::Unreachable(_) | ClientError::NotUnderstood { .. } => Self::Unreachable,
        }
    }
}
