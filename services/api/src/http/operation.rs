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

/// What only the manager does: who may get in.
pub const MANAGING: Access = Access::Roles(&[Role::Manager]);

impl Operation {
    /// Whether it takes a body.
    #[must_use]
    pub fn takes_body(&self) -> bool {
        self.method == Method::POST
    }

    /// Every way it can refuse: its own, and what its kind brings with it.
    #[must_use]
    pub fn all_refusals(&self) -> Vec<Code> {
        let mut codes = vec![Code::Internal, Code::Unavailable, Code::WrongAddress];
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
        if self.takes_body() {
            codes.extend([Code::NotJson, Code::NotJsonMediaType, Code::WrongForm, Code::BodyTooLarge]);
        }
        codes.extend(self.refusals);
        codes.sort();
        codes.dedup();
        codes
    }
}
