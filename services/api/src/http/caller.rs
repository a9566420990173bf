//! Who is calling.

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpMessage, HttpRequest};
use kernel::{Clock, GrantId, MillId, OutfitId};
use std::future::{Ready, ready};
use storage::{Access, Stamp};
use wire::{Code, Role};

use super::refusal::Refusal;

/// A caller whose token was good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Caller {
    /// Runs the service, and sees nobody's books.
    Operator {
        /// Who it is.
        subject: String,
    },
    /// Belongs to an outfit.
    Member(Member),
}

/// A caller who belongs to an outfit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// The outfit.
    pub outfit: OutfitId,
    /// What they are to it.
    pub role: Role,
    /// Who it is.
    pub subject: String,
    /// The mill they speak for; exactly with the role of a mill.
    pub mill: Option<MillId>,
    /// What gave them access, and must stand whenever they open the books; none for a token that whoever holds the
    /// service's key made without the books.
    pub grant: Option<GrantId>,
}

impl Caller {
    /// Who it is.
    #[must_use]
    pub fn subject(&self) -> &str {
        match self {
            Self::Operator { subject } => subject,
            Self::Member(member) => &member.subject,
        }
    }

    /// What they are.
    #[must_use]
    pub fn role(&self) -> Role {
        match self {
            Self::Operator { .. } => Role::Operator,
            Self::Member(member) => member.role,
        }
    }
}

impl Member {
    /// Whose books they open, and by what.
    #[must_use]
    pub fn access(&self) -> Access {
        Access { outfit: self.outfit, grant: self.grant }
    }

    /// The mark that their records carry.
    #[must_use]
    pub fn stamp(&self, clock: &dyn Clock) -> Stamp {
        Stamp { at: clock.now(), by: self.subject.clone() }
    }
}

/// Takes the caller that the guard let in.
fn let_in(request: &HttpRequest) -> Result<Caller, Refusal> {
    let caller = request.extensions().get::<Caller>().cloned();
    caller.ok_or_else(|| Refusal::new(Code::NoToken, "this operation needs an access token"))
}

impl FromRequest for Caller {
    type Error = Refusal;
    type Future = Ready<Result<Self, Refusal>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(let_in(request))
    }
}

impl FromRequest for Member {
    type Error = Refusal;
    type Future = Ready<Result<Self, Refusal>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(let_in(request).and_then(|caller| match caller {
            Caller::Member(member) => Ok(member),
            Caller::Operator { .. } => {
                Err(Refusal::new(Code::RoleNotAllowed, "an operator sees nobody's books"))
            }
        }))
    }
}
