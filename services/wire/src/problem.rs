//! Refusals: a closed set of codes, in problem documents as RFC 9457 lays them out.

use serde::{Deserialize, Serialize};

/// Writes the closed set of codes with their status, title and advice.
macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal, $status:literal, $title:literal, $advice:literal;)+) => {
        /// Why a request was refused. The set is closed: a client can know every one of them.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        pub enum Code {$(
            $(#[$doc])*
            #[serde(rename = $text)]
            $name,
        )+}

        impl Code {
            /// Every code there is.
            pub const ALL: &'static [Self] = &[$(Self::$name,)+];

            /// The code as it is written.
            ///
            /// ```
            /// assert_eq!(wire::Code::TicketDiffers.text(), "ticket-differs");
            /// ```
            #[must_use]
            pub const fn text(self) -> &'static str {
                match self {$(Self::$name => $text,)+}
            }

            /// The HTTP status it is answered with.
            ///
            /// ```
            /// assert_eq!(wire::Code::TicketDiffers.status(), 409);
            /// ```
            #[must_use]
            pub const fn status(self) -> u16 {
                match self {$(Self::$name => $status,)+}
            }

            /// A short title, the same for every problem of this code.
            #[must_use]
            pub const fn title(self) -> &'static str {
                match self {$(Self::$name => $title,)+}
            }

            /// What to do about it.
            #[must_use]
            pub const fn advice(self) -> &'static str {
                match self {$(Self::$name => $advice,)+}
            }
        }
    };
}

codes! {
    /// The body is not JSON.
    NotJson = "not-json", 400, "The body is not JSON",
        "Send one JSON text in UTF-8; the detail says where reading stopped.";
    /// The body is JSON, but not of this operation's form.
    WrongForm = "wrong-form", 422, "The body does not have the form this operation takes",
        "Compare the member named in `errors` with the API document.";
    /// A value in the path or query is not of its form.
    WrongAddress = "wrong-address", 400, "The address holds a value of the wrong form",
        "Compare the path and the query with the API document.";
    /// The body is larger than accepted.
    BodyTooLarge = "body-too-large", 413, "The body is too large",
        "Send less at once; the limit stands in the detail.";
    /// The body is not declared as JSON.
    NotJsonMediaType = "not-json-media-type", 415, "The body is not declared as JSON",
        "Send the header `Content-Type: application/json`.";
    /// The body is of another kind.
    WrongMediaType = "wrong-media-type", 415, "The body is not declared as what this operation takes",
        "Send the header `Content-Type` that the detail names.";
    /// The body is no sheet with the columns of tickets.
    SheetUnreadable = "sheet-unreadable", 422, "The sheet cannot be read",
        "Compare its first row with the template; each fault stands in `errors`.";
    /// No key came with a request that needs one.
    KeyMissing = "key-missing", 400, "The request carries no key against being done twice",
        "Send the header `Idempotency-Key` with a text of your own in double quotes, new for each request, the same for a repeat.";
    /// The key came with another request.
    KeyUsedOtherwise = "key-used-otherwise", 422, "This key came with another request before",
        "Use a new key for a new request; send a repeat exactly as it was.";
    /// The same request is being worked on.
    RequestInProgress = "request-in-progress", 409, "A request with this key is being worked on",
        "Send it again shortly; it will be answered as the first one was.";
    /// The reply held a secret.
    SecretShownOnce = "secret-shown-once", 409, "It was done before, and its secret was shown then",
        "Take back what was made, and ask anew with another key.";
    /// No such path.
    NoSuchPath = "no-such-path", 404, "Nothing is served at this path",
        "The API document lists every path.";
    /// The path is served, but not with this method.
    MethodNotAllowed = "method-not-allowed", 405, "This path is not served with this method",
        "The header `Allow` lists the methods that are.";
    /// No token was sent.
    NoToken = "no-token", 401, "No access token was sent",
        "Send the header `Authorization: Bearer` with an access token.";
    /// The token is not good.
    TokenRefused = "token-refused", 401, "The access token is not good",
        "Ask the manager of the outfit, or the operator of the service, for a new one.";
    /// The token's time is over.
    TokenExpired = "token-expired", 401, "The access token has expired",
        "Ask for a new one.";
    /// The access was revoked, or its account closed.
    AccessRevoked = "access-revoked", 401, "This access was revoked",
        "Sign in again, or ask the manager of the outfit.";
    /// The name or the password is not right.
    SignInRefused = "sign-in-refused", 401, "The name and the password do not belong together",
        "Check the outfit, the name and the password; the manager gives a new enrolment code to whoever forgot it.";
    /// Too many tries to sign in.
    SignInLocked = "sign-in-locked", 429, "Too many tries to sign in failed",
        "Wait as long as the header `Retry-After` says; each further failure doubles the wait, up to an hour.";
    /// The refresh token is not good.
    RefreshRefused = "refresh-refused", 401, "The refresh token is not good",
        "Sign in again.";
    /// The enrolment code is not good.
    EnrolmentRefused = "enrolment-refused", 403, "The enrolment code is not good",
        "Check the code, the account and the outfit; a code is good once and for seven days. The manager gives a new one.";
    /// Nobody outside is trusted to say who somebody is.
    NoExternalSignIn = "no-external-sign-in", 404, "This service takes nobody else's word for who somebody is",
        "Sign in with a name and a password.";
    /// What the issuer says is not good, or nobody is known by it.
    ExternalSignInRefused = "external-sign-in-refused", 401, "The identity token opens no account",
        "Get a new one from the issuer; the manager binds accounts to the issuer's subjects.";
    /// A key that is not meant for this.
    ScopeNotGranted = "scope-not-granted", 403, "This key is not meant for that",
        "Use a key with the scope that the detail names.";
    /// It does not hold any more already.
    EndedAlready = "ended-already", 409, "This was revoked or closed already",
        "Nothing is left to end.";
    /// The caller's role may not do this.
    RoleNotAllowed = "role-not-allowed", 403, "Your role may not do this",
        "The API document lists the roles of every operation.";
    /// No such record in this outfit's books.
    NotFound = "not-found", 404, "There is no such record in your outfit's books",
        "Check the id; records of other outfits are never shown.";
    /// The record names another that is not there.
    NamesMissingRecord = "names-missing-record", 422, "The request names a record that is not in your outfit's books",
        "File the missing record first, or correct the id.";
    /// A name is taken.
    NameTaken = "name-taken", 409, "The outfit has one of that name already",
        "Use the one that is there, or another name.";
    /// The party has a contract on this job.
    PartyHasContract = "party-has-contract", 409, "This party has a contract on this job already",
        "File new terms for that contract instead.";
    /// Rates that cover the same piece, or that lack a practice.
    TermsClash = "terms-clash", 422, "The terms contradict themselves",
        "Each clash stands in `errors`; mend them all and file again.";
    /// A log table that cannot be scaled by.
    TableFaulty = "table-faulty", 422, "The log table has faults",
        "Each fault stands in `errors` with its row and column; mend them all and file again.";
    /// A log table whose volumes fall somewhere as the log grows.
    FallsNotAcknowledged = "falls-not-acknowledged", 422, "The log table gives less for a larger log",
        "Check the cells in `errors`; where they are meant so, file it with `acknowledged_falls` true.";
    /// The same book and number with other content.
    TicketDiffers = "ticket-differs", 409, "A ticket with this book and number is there with other content",
        "If the accepted one is wrong, correct it; otherwise check the number.";
    /// The ticket has been corrected.
    TicketCorrected = "ticket-corrected", 409, "This ticket was corrected already",
        "Correct the ticket that took its place.";
    /// The number was said to be one that never comes.
    NumberVoided = "number-voided", 409, "This number of the scale book was voided",
        "Check the number on the sheet; a ticket that is there after all needs a number of its own.";
    /// A number that a ticket has cannot be voided.
    NumberUsed = "number-used", 409, "A ticket has this number of the scale book",
        "Void only numbers that are missing; a wrong ticket is corrected instead.";
    /// A piece number, a work entry or another part of a ticket does not fit the rest.
    TicketInconsistent = "ticket-inconsistent", 422, "The ticket contradicts itself",
        "Each contradiction stands in `errors`.";
    /// The piece cannot be scaled.
    CannotScale = "cannot-scale", 422, "This cannot be scaled",
        "The detail says which measurement is missing or out of range.";
    /// A record of money that was taken back.
    ReversedAlready = "reversed-already", 409, "This record was taken back already",
        "Nothing is left to take back; record anew what is right.";
    /// More than is held.
    MoreThanHeld = "more-than-held", 409, "More would be let go than is held",
        "The detail says what is held of the worker under the contract.";
    /// The checker scaled the timber himself.
    CheckerIsScaler = "checker-is-scaler", 422, "Nobody checks his own scale",
        "Have somebody else scale the sample again; the tickets are named in `errors`.";
    /// The check scale cannot be as it says.
    CheckScaleInconsistent = "check-scale-inconsistent", 422, "The check scale contradicts itself or the books",
        "Compare the members named in `errors` with the tickets and the contract.";
    /// The tolerance does not ask for an adjustment.
    WithinTolerance = "within-tolerance", 409, "The contract's tolerance does not ask for an adjustment",
        "Leave the scale as it is, or say in `although` why it is to be adjusted all the same.";
    /// It was adjusted after this check scale before.
    AdjustedAlready = "adjusted-already", 409, "The scale was adjusted after this check scale already",
        "Take the adjustment back first if it is wrong.";
    /// There is no difference to adjust by.
    NothingToAdjust = "nothing-to-adjust", 409, "There is nothing to adjust",
        "Compare the sample and the lot: the figures of `money` say what each rate would be adjusted by.";
    /// The date is not the last day of a settlement week.
    NotAWeekEnd = "not-a-week-end", 422, "The day is not the last day of a settlement week",
        "Use the date of the weekday that the outfit's weeks end on.";
    /// The week is not over.
    WeekNotOver = "week-not-over", 409, "The week is not over",
        "Draft it as often as you like; post it when it is over.";
    /// The week, or a later one, was posted.
    WeekPosted = "week-posted", 409, "This week is closed",
        "What has changed since comes as an adjustment in the open week.";
    /// An earlier week has pay that was never posted.
    EarlierWeekOpen = "earlier-week-open", 409, "An earlier week has not been posted",
        "Post the weeks in order; the detail names the earliest open one.";
    /// The books have changed since the draft.
    DraftOutOfDate = "draft-out-of-date", 409, "The books have changed since this draft",
        "Draft the week again, read it, and post the new draft.";
    /// Pieces that nothing pays for.
    UnpricedPieces = "unpriced-pieces", 409, "Pieces on this week's tickets are unpriced",
        "File terms that cover them, or set them aside with a reason; `errors` lists them.";
    /// Paid time that nothing pays for.
    UnpricedTime = "unpriced-time", 409, "Paid time up to this week has no price",
        "File terms with a rate by the hour or the day, or correct the entries; `errors` lists them.";
    /// A part of a time entry does not fit the rest, or the books.
    TimeInconsistent = "time-inconsistent", 422, "The time entry contradicts itself or the books",
        "The contradiction stands in `errors`.";
    /// The time entry has been corrected.
    TimeCorrected = "time-corrected", 409, "This time entry was corrected already",
        "Correct the entry that took its place.";
    /// A crew with no division of pay.
    NoShareSet = "no-share-set", 409, "A crew has no division of its pay for a day it worked",
        "File how the crew divides its pay from that day on.";
    /// A crew that shares by hours worked without hours.
    NoHours = "no-hours", 409, "A crew that shares by hours has none for a day it worked",
        "File the members' hours of piece work for that day, or another division of pay.";
    /// Events may not be sent to this address.
    TargetRefused = "target-refused", 422, "Events may not be sent to this address",
        "Name an https address on the public internet, or have the operator allow it (SKIDWAY_EVENT_TARGETS).";
    /// The subscription has ended.
    SubscriptionEnded = "subscription-ended", 409, "This event subscription has ended",
        "File another one.";
    /// There are as many as there may be.
    TooMany = "too-many", 409, "There are as many of these as there may be",
        "End one that is not needed, or wait; the limit stands in the detail.";
    /// Something is too large to compute.
    TooLarge = "too-large", 422, "The figures are too large to compute exactly",
        "Check the quantities and prices.";
    /// The database cannot be reached.
    Unavailable = "unavailable", 503, "The books cannot be reached at the moment",
        "Try again shortly with the very same request; what was kept all the same is not done twice.";
    /// The service has as much to do as it takes on.
    Overloaded = "overloaded", 503, "The service has too much to do at the moment",
        "Try again after the pause that the header `Retry-After` asks for; nothing was kept.";
    /// The service cannot do its work.
    NotReady = "not-ready", 503, "The service is not ready",
        "Send requests to another instance; what is missing stands in `errors`.";
    /// The instance changes nothing.
    ReadOnly = "read-only", 503, "This instance only reads",
        "Send the request to the instance that keeps the books; the detail names it where it is known. Nothing was kept.";
    /// The caller has sent more than its share.
    RateLimited = "rate-limited", 429, "Too many requests",
        "Wait as long as the header `Retry-After` asks for; the header `RateLimit` tells what is left. Nothing was kept.";
    /// A fault of ours.
    Internal = "internal", 500, "The service failed",
        "Nothing was kept. Tell the operator the request id.";
}

// Written out, because the derive does not see the names that the macro gives the codes.
#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Code {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        utoipa::openapi::schema::ObjectBuilder::new()
            .schema_type(utoipa::openapi::schema::Type::String)
            .description(Some(
                "Why a request was refused. The set is closed: a client can know every one of them.",
            ))
            .enum_values(Some(Self::ALL.iter().map(|code| code.text())))
            .into()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Code {
    fn name() -> std::borrow::Cow<'static, str> {
        "ProblemCode".into()
    }
}

/// What is wrong with one part of the request.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct FieldProblem {
    /// Where, as a JSON Pointer (RFC 6901) in the form of a URI fragment: `#/pieces/3/length_ft`.
    pub pointer: String,
    /// What is wrong there.
    pub detail: String,
}

/// A refusal, as RFC 9457 lays it out, served as `application/problem+json`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Problem {
    /// Where the service describes the code: a reference relative to the service's own address.
    #[serde(rename = "type")]
    pub kind: String,
    /// The title of the code.
    pub title: String,
    /// The HTTP status.
    pub status: u16,
    /// The code.
    pub code: Code,
    /// What was wrong this time, for people.
    pub detail: String,
    /// What to do about it.
    pub advice: String,
    /// The request, as the service's log names it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub request_id: Option<String>,
    /// The parts of the request that are wrong, when they can be named.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub errors: Vec<FieldProblem>,
}

impl Problem {
    /// A problem of this code.
    ///
    /// ```
    /// use wire::{Code, Problem};
    /// let problem = Problem::new(Code::NotFound, "there is no ticket 17");
    /// assert_eq!(problem.status, 404);
    /// assert_eq!(problem.kind, "/problems/not-found");
    /// ```
    #[must_use]
    pub fn new(code: Code, detail: impl Into<String>) -> Self {
        Self {
            kind: format!("/problems/{}", code.text()),
            title: code.title().to_owned(),
            status: code.status(),
            code,
            detail: detail.into(),
            advice: code.advice().to_owned(),
            request_id: None,
            errors: Vec::new(),
        }
    }

    /// The same with the parts of the request that are wrong.
    #[must_use]
    pub fn at(mut self, errors: Vec<FieldProblem>) -> Self {
        self.errors = errors;
        self
    }
}

impl std::fmt::Display for Problem {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}: {} ({})", self.title, self.detail, self.code.text())
    }
}

impl std::error::Error for Problem {}
