//! Refusals on their way out: a problem document for the caller, the cause for the log.

use std::error::Error;
use std::fmt;

use actix_web::http::StatusCode;
use actix_web::{HttpResponse, ResponseError};
use storage::{Rule, StorageError};
use wire::{Code, FieldProblem, Problem};

/// Why an operation did not do what was asked. Whatever it had begun is undone.
#[derive(Debug)]
pub struct Refusal {
    /// What the caller is told. Boxed, since refusals travel through every result.
    pub problem: Box<Problem>,
    /// What only the log is told.
    pub cause: Option<Box<dyn Error + Send + Sync>>,
    /// The methods of the path, for a method it does not have.
    pub allow: Option<String>,
    /// More headers of the answer.
    pub headers: Vec<(&'static str, String)>,
}

impl Refusal {
    /// A refusal with a code and what was wrong this time.
    pub fn new(code: Code, detail: impl Into<String>) -> Self {
        Self { problem: Box::new(Problem::new(code, detail)), cause: None, allow: None, headers: Vec::new() }
    }

    /// The same, naming the parts of the request that are wrong.
    #[must_use]
    pub fn at(mut self, errors: Vec<FieldProblem>) -> Self {
        self.problem.errors = errors;
        self
    }

    /// There is no such record.
    pub fn not_found(kind: &str, id: impl fmt::Display) -> Self {
        Self::new(Code::NotFound, format!("there is no {kind} {id}"))
    }

    /// A fault of the service's own.
    pub fn internal(cause: impl Into<Box<dyn Error + Send + Sync>>) -> Self {
        let mut refusal = Self::new(Code::Internal, "something went wrong inside the service");
        refusal.cause = Some(cause.into());
        refusal
    }

    /// Tells the log what happened: faults of ours with all their causes, refusals in one line.
    pub fn log(&self) {
        let code = self.problem.code.text();
        if matches!(self.problem.code, Code::Overloaded | Code::NotReady | Code::ReadOnly) {
            tracing::warn!(problem.code = code, problem.detail = self.problem.detail, "request turned away");
        } else if self.problem.status >= 500 {
            let causes = self.cause.as_deref().map(causes).unwrap_or_default();
            tracing::error!(problem.code = code, causes, "request failed");
        } else {
            // What has the wrong form may be a secret in the wrong place: the log is told where, not what.
            let detail = match self.problem.code {
                Code::NotJson | Code::WrongForm | Code::WrongAddress => "",
                _ => self.problem.detail.as_str(),
            };
            let pointers: Vec<_> = self.problem.errors.iter().map(|error| error.pointer.as_str()).collect();
            tracing::info!(
                problem.code = code,
                problem.detail = detail,
                problem.pointers = pointers.join(" "),
                "request refused"
            );
        }
    }
}

/// An error and everything that led to it, outermost first.
pub fn causes(error: &(dyn Error + Send + Sync + 'static)) -> String {
    let mut text = error.to_string();
    let mut next = error.source();
    while let Some(cause) = next {
        text.push_str(": ");
        text.push_str(&cause.to_string());
        next = cause.source();
    }
    text
}

impl fmt::Display for Refusal {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.problem, formatter)
    }
}

impl ResponseError for Refusal {
    fn status_code(&self) -> StatusCode {
        StatusCode::from_u16(self.problem.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
    }

    fn error_response(&self) -> HttpResponse {
        let mut response = HttpResponse::build(self.status_code());
        if let Some(methods) = &self.allow {
            response.insert_header(("Allow", methods.clone()));
        }
        for header in &self.headers {
            response.insert_header(header.clone());
        }
        if let Some(id) = &self.problem.request_id {
            response.insert_header(("Request-Id", id.clone()));
        }
        match self.problem.code {
            Code::NoToken | Code::SignInRefused | Code::RefreshRefused | Code::ExternalSignInRefused => {
                response.insert_header(("WWW-Authenticate", "Bearer"));
            }
            Code::TokenRefused | Code::TokenExpired | Code::AccessRevoked => {
                response.insert_header(("WWW-Authenticate", "Bearer error=\"invalid_token\""));
            }
            Code::ScopeNotGranted => {
                response.insert_header(("WWW-Authenticate", "Bearer error=\"insufficient_scope\""));
            }
            Code::RequestInProgress => {
                response.insert_header(("Retry-After", "1"));
            }
            Code::Unavailable => {
                response.insert_header(("Retry-After", "2"));
            }
            _ => {}
        }
        response
            .insert_header(("Cache-Control", "no-store"))
            .insert_header(("X-Content-Type-Options", "nosniff"))
            .content_type("application/problem+json")
            .body(serde_json::to_string(&self.problem).unwrap_or_default())
    }
}

impl From<StorageError> for Refusal {
    fn from(error: StorageError) -> Self {
        let mut refusal = match &error {
            StorageError::Refused(rule, _) => match rule {
                Rule::NameTaken => Self::new(Code::NameTaken, "the name is taken"),
                Rule::PartyHasContract => {
                    Self::new(Code::PartyHasContract, "the party has a contract on this job already")
                }
                Rule::CorrectedAlready => {
                    Self::new(Code::TicketCorrected, "another ticket has taken the place of this one")
                }
                Rule::ReversedAlready => Self::new(Code::ReversedAlready, "it was taken back before"),
                Rule::WeekPosted => Self::new(Code::WeekPosted, "the week was posted already"),
                Rule::AccessRevoked => {
                    Self::new(Code::AccessRevoked, "this access was revoked, or its account is closed")
                }
                Rule::RevokedAlready => Self::new(Code::EndedAlready, "it was revoked or closed before"),
                Rule::EnrolmentUsed => {
                    Self::new(Code::EnrolmentRefused, "the enrolment code has set a password already")
                }
                Rule::NoOutfit => {
                    Self::new(Code::TokenRefused, "the access token names an outfit that is not there")
                }
                Rule::NoSuch(kind) => Self::new(
                    Code::NamesMissingRecord,
                    format!("the {kind} named in the request is not in your outfit's books"),
                ),
                Rule::Other(_) => Self::new(Code::Internal, "something went wrong inside the service"),
            },
            StorageError::Unavailable(_) => {
                Self::new(Code::Unavailable, "the database did not answer in time; nothing was kept")
            }
            StorageError::Unanswered(_) => Self::new(
                Code::Unavailable,
                "the database was lost while it kept this, and did not say whether it did; sent again as it is, it is done once",
            ),
            StorageError::Inconsistent { .. } | StorageError::Database(_) => {
                Self::new(Code::Internal, "something went wrong inside the service")
            }
        };
        refusal.cause = Some(Box::new(error));
        refusal
    }
}

impl From<kernel::NumberError> for Refusal {
    fn from(error: kernel::NumberError) -> Self {
        Self::new(Code::TooLarge, error.to_string())
    }
}

impl From<kernel::MoneyError> for Refusal {
    fn from(error: kernel::MoneyError) -> Self {
        match error {
            kernel::MoneyError::Number(error) => error.into(),
            other => Self::internal(other),
        }
    }
}
