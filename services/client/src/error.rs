//! What can go wrong between a client and the service.

use std::error::Error;
use std::fmt;

use wire::{Code, Problem};

/// Why an operation has no result.
///
/// ```
/// use client::ClientError;
/// use wire::{Code, Problem};
/// let error = ClientError::Refused(Box::new(Problem::new(Code::NotFound, "there is no ticket 17")));
/// assert_eq!(error.code(), "not-found");
/// assert!(!error.is_unreachable());
/// ```
#[derive(Debug, thiserror::Error)]
pub enum ClientError {
    /// The service refused it and says why. Nothing was kept.
    #[error("{0}. {advice}", advice = .0.advice)]
    Refused(Box<Problem>),
    /// There was no answer.
    #[error(transparent)]
    Unreachable(Unreachable),
    /// There was an answer, but not one of this service, or not one of a version this client knows.
    #[error("the answer (status {status}) is not one this client understands: {detail}")]
    NotUnderstood {
        /// Its HTTP status.
        status: u16,
        /// What was not understood.
        detail: String,
    },
}

impl ClientError {
    /// The stable name of the problem; for a refusal, the code of the service's problem.
    ///
    /// ```
    /// let error = client::ClientError::NotUnderstood { status: 418, detail: "no JSON".to_owned() };
    /// assert_eq!(error.code(), "answer-not-understood");
    /// ```
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Refused(problem) => problem.code.text(),
            Self::Unreachable(_) => "service-unreachable",
            Self::NotUnderstood { .. } => "answer-not-understood",
        }
    }

    /// Whether the service, or the books behind it, could not be reached or had no time: to be tried again later as it
    /// is.
    ///
    /// ```
    /// use client::ClientError;
    /// use wire::{Code, Problem};
    /// let books_away = Problem::new(Code::Unavailable, "the database did not answer in time");
    /// assert!(ClientError::Refused(Box::new(books_away)).is_unreachable());
    /// ```
    #[must_use]
    pub fn is_unreachable(&self) -> bool {
        match self {
            Self::Refused(problem) => {
                matches!(
                    problem.code,
                    Code::Unavailable
                        | Code::Overloaded
                        | Code::NotReady
                        | Code::RateLimited
                        | Code::ReadOnly
                )
            }
            Self::Unreachable(_) => true,
            Self::NotUnderstood { status, .. } => matches!(status, 502..=504),
        }
    }
}

/// No answer came.
///
/// ```no_run
/// # async fn example(client: client::Client) {
/// if let Err(client::ClientError::Unreachable(unreachable)) = client.live().await {
///     println!("{unreachable}"); // the service at http://… did not answer
/// }
/// # }
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreachable {
    pub(crate) service: String,
    pub(crate) tries: u32,
    pub(crate) cause: String,
    pub(crate) perhaps_done: bool,
}

impl Unreachable {
    /// How often it was tried.
    #[must_use]
    pub const fn tries(&self) -> u32 {
        self.tries
    }

    /// Whether the service may have done what was asked before the answer was lost. Look before sending it again.
    #[must_use]
    pub const fn perhaps_done(&self) -> bool {
        self.perhaps_done
    }
}

impl fmt::Display for Unreachable {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "the service at {} did not answer", self.service)?;
        if self.tries > 1 {
            write!(formatter, ", tried {} times", self.tries)?;
        }
        write!(formatter, " ({}): ", self.cause)?;
        formatter.write_str(if self.perhaps_done {
            "it may have done what was asked all the same, so look before sending it again"
        } else {
            "check the address, and that the service runs"
        })
    }
}

impl Error for Unreachable {}

/// The last cause of an error, which is the one that says what happened.
pub(crate) fn innermost(error: &reqwest::Error) -> String {
    let mut text = error.to_string();
    let mut next = error.source();
    while let Some(cause) = next {
        text = cause.to_string();
        next = cause.source();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unreachable_service_says_what_to_do() {
        let mut error = Unreachable {
            service: "http://127.0.0.1:1".to_owned(),
            tries: 4,
            cause: "connection refused".to_owned(),
            perhaps_done: false,
        };
        assert_eq!(
            error.to_string(),
            "the service at http://127.0.0.1:1 did not answer, tried 4 times (connection refused): check the \
             address, and that the service runs"
        );
        error.perhaps_done = true;
        assert!(error.to_string().contains("look before sending it again"));
    }

    #[test]
    fn a_refusal_says_what_was_wrong_and_what_to_do() {
        let problem = Problem::new(Code::WeekNotOver, "the week ends on 2031-06-07");
        let text = ClientError::Refused(Box::new(problem)).to_string();
        assert!(text.contains("2031-06-07") && text.contains(Code::WeekNotOver.advice()), "{text}");
    }
}
