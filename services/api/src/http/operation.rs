//! What an operation is: where it is served, who may use it, and how it can refuse.

use actix_web::http::Method;
use wire::{Code, Role};

/// Who may use an operation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Anybody, without a token.
    Open,
    /// Whoever has a token with one of these roles.
    Roles(&'static [Role]),
}

/// What an operation does to the books, and what makes it safe to send twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Keeps nothing.
    None,
    /// Keeps something; the header `Idempotency-Key` tells a repeat from another.
    Keyed,
    /// Keeps something that the request names itself: a ticket by its book and number, a week by its draft.
    Named,
    /// Lets somebody in or out, by a secret that says itself whether it was used: a password, a code, a refresh token.
    LetIn,
}

impl Effect {
    /// Whether it comes as a filing, which carries a key or a name and can be rehearsed.
    #[must_use]
    pub const fn is_filed(self) -> bool {
        matches!(self, Self::Keyed | Self::Named)
    }
}

/// One operation of the API. Every one is declared once, beside its handler; this declaration drives the guard, the
/// API document and the coverage tests.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Operation {
    /// Its name in the API document.
    pub id: &'static str,
    /// The method.
    pub method: Method,
    /// The path, with parameters in braces.
    pub path: &'static str,
    /// Who may use it.
    pub access: Access,
    /// What it does to the books.
    pub effect: Effect,
    /// How it can refuse, besides what every operation of its kind can.
    pub refusals: &'static [Code],
}

/// Every role within an outfit.
pub const EVERYONE: Access =
    Access::Roles(&[Role::Scaler, Role::Bookkeeper, Role::Contractor, Role::Mill, Role::Manager]);
/// The roles that see the whole of the outfit's books.
pub const WHOLE_BOOKS: Access = Access::Roles(&[Role::Bookkeeper, Role::Contractor, Role::Manager]);
/// The roles that see the whole of the books, and the mill, which sees its own part of them.
pub const WHOLE_BOOKS_AND_MILL: Access =
    Access::Roles(&[Role::Bookkeeper, Role::Contractor, Role::Mill, Role::Manager]);
/// The roles that work with the yard's records.
pub const YARD_AND_BOOKS: Access =
    Access::Roles(&[Role::Scaler, Role::Bookkeeper, Role::Contractor, Role::Manager]);
/// The roles that record what happened in the woods.
pub const RECORDING: Access = Access::Roles(&[Role::Scaler, Role::Bookkeeper, Role::Manager]);
/// The roles that keep the books.
pub const BOOKKEEPING: Access = Access::Roles(&[Role::Bookkeeper, Role::Manager]);
/// The role that decides who and what reaches into the outfit, and what reaches out of it.
pub const MANAGING: Access = Access::Roles(&[Role::Manager]);

/// The media type of nearly everything that is sent (RFC 8259).
const JSON: &str = "application/json";
/// Operations that take something else, and what.
const NOT_JSON: [(&str, &str); 2] =
    [("post_tickets", "application/x-ndjson"), ("post_ticket_sheet", "text/csv")];

impl Operation {
    /// The media type of the body it takes, if it takes one.
    #[must_use]
    pub fn body_type(&self) -> Option<&'static str> {
        let other = NOT_JSON.iter().find(|(id, _)| *id == self.id).map(|(_, media_type)| *media_type);
        (self.method == Method::POST).then(|| other.unwrap_or(JSON))
    }

    /// Whether it takes a body of JSON.
    #[must_use]
    pub fn takes_body(&self) -> bool {
        self.body_type() == Some(JSON)
    }

    /// Whether it is answered only where there is room, and so often; whoever watches the service is always answered.
    #[must_use]
    pub fn is_limited(&self) -> bool {
        !self.path.starts_with("/health/")
    }

    /// Whether it lists things: its name says so. Every list is to be had as comma-separated values too.
    #[must_use]
    pub fn is_list(&self) -> bool {
        self.id.starts_with("list_")
    }

    /// Every way it can refuse: its own, and what its kind brings with it.
    #[must_use]
    pub fn all_refusals(&self) -> Vec<Code> {
        let mut codes = vec![Code::Internal, Code::Unavailable, Code::WrongAddress];
        if self.is_limited() {
            codes.extend([Code::Overloaded, Code::RateLimited]);
        }
        if self.access != Access::Open {
            codes.extend([
                Code::NoToken,
                Code::TokenRefused,
                Code::TokenExpired,
                Code::AccessRevoked,
                Code::RoleNotAllowed,
                Code::ScopeNotGranted,
            ]);
        }
        if self.effect != Effect::None {
            codes.push(Code::ReadOnly);
        }
        if self.takes_body() {
            codes.extend([Code::NotJson, Code::NotJsonMediaType, Code::WrongForm, Code::BodyTooLarge]);
        }
        if self.effect == Effect::Keyed {
            codes.extend([
                Code::KeyMissing,
                Code::KeyUsedOtherwise,
                Code::RequestInProgress,
                Code::SecretShownOnce,
            ]);
        }
        codes.extend(self.refusals);
        codes.sort();
        codes.dedup();
        codes
    }
}
