//! What can go wrong with the books, in the books' own words.

use diesel::result::{DatabaseErrorKind, Error};

/// Why a query was refused or failed.
#[derive(Debug, thiserror::Error)]
pub enum StorageError {
    /// A rule that the database keeps was about to be broken.
    #[error("the books refuse it: {0:?}")]
    Refused(Rule, #[source] Error),
    /// The database cannot be reached, or has no connection to spare.
    #[error("the database cannot be reached")]
    Unavailable(#[source] Box<dyn std::error::Error + Send + Sync>),
    /// The database was lost while it committed: nobody knows whether the change was kept.
    #[error("the database was lost while it committed")]
    Unanswered(#[source] Box<dyn std::error::Error + Send + Sync>),
    /// A row does not say anything that the service could have written.
    #[error("a row of {table} cannot be read: {why}")]
    Inconsistent {
        /// The table.
        table: &'static str,
        /// What is wrong with the row.
        why: String,
    },
    /// Anything else the database answered.
    #[error("the database answered with an error")]
    Database(#[source] Error),
}

/// The rules of the database that a caller can run into, by the constraint that keeps them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Something with this name is there already.
    NameTaken,
    /// The party has a contract on this job already.
    PartyHasContract,
    /// The ticket was corrected already.
    CorrectedAlready,
    /// The week was posted already.
    WeekPosted,
    /// The record of money was taken back already.
    ReversedAlready,
    /// The access that the transaction is opened with was revoked.
    AccessRevoked,
    /// The access was revoked, or the account closed, already.
    RevokedAlready,
    /// The enrolment code was used already.
    EnrolmentUsed,
    /// The outfit itself is not there.
    NoOutfit,
    /// Another record that this one names is not there.
    NoSuch(&'static str),
    /// Another constraint, by its name.
    Other(String),
}

impl Rule {
    fn of(constraint: &str) -> Self {
        match constraint {
            "contract_outfit_id_job_id_crew_id_key" | "contract_outfit_id_job_id_mill_id_key" => {
                Self::PartyHasContract
            }
            "ticket_outfit_id_corrects_key" => Self::CorrectedAlready,
            "settlement_posting_outfit_id_week_ends_on_key" => Self::WeekPosted,
            "reversal_outfit_id_charge_id_key"
            | "reversal_outfit_id_advance_id_key"
            | "reversal_outfit_id_payment_id_key"
            | "reversal_outfit_id_release_id_key"
            | "mill_tally_withdrawal_pkey"
            | "cruise_withdrawal_pkey" => Self::ReversedAlready,
            "access_must_stand" => Self::AccessRevoked,
            "access_revocation_pkey" | "account_closure_pkey" => Self::RevokedAlready,
            "account_password_outfit_id_enrolment_id_key" => Self::EnrolmentUsed,
            name if name.ends_with("_name_key") => Self::NameTaken,
            name if name.ends_with("_outfit_id_fkey") => Self::NoOutfit,
            name if name.ends_with("_fkey") => Self::NoSuch(Self::named_by(name)),
            other => Self::Other(other.to_owned()),
        }
    }

    /// What a foreign key names, in plain words.
    fn named_by(foreign_key: &str) -> &'static str {
        let kinds = [
            ("_mill_tally_id", "mill tally"),
            ("_cruise_id", "cruise"),
            ("_landing_id", "landing"),
            ("_charge_id", "charge"),
            ("_advance_id", "advance"),
            ("_payment_id", "payment"),
            ("_release_id", "holdback release"),
            ("_worker_id", "worker"),
            ("_crew_id", "crew"),
            ("_mill_id", "mill"),
            ("_delivered_to", "mill"),
            ("_job_id", "job"),
            ("_contract_id", "contract"),
            ("_corrects", "ticket"),
            ("_ticket_id", "ticket"),
            ("_account_id", "account"),
            ("_grant_id", "access grant"),
        ];
        kinds.iter().find(|(part, _)| foreign_key.contains(part)).map_or("record", |(_, kind)| kind)
    }
}

/// What a database says that cannot work at the moment, though nothing is wrong with what it was asked: it was cut off, or its
/// disk is full.
const CUT: [&str; 9] = [
    "terminating connection",
    "connection closed",
    "the database system is shutting down",
    "the database system is starting up",
    "error communicating with the server",
    // It follows another one, perhaps until it takes that one's place.
    "cannot set transaction read-write mode during recovery",
    "No space left on device",
    "could not extend file",
    "the database system is in recovery mode",
];

/// What a database says that has undone the transaction by itself, because of what else it has to do at the moment: the same may
/// be asked of it again, and nothing of it was kept. Two deadlock where a migration takes a table that it had already taken
/// for less, while a ticket goes into it that had read it before.
const UNDONE: [&str; 3] = [
    "deadlock detected",
    "canceling statement due to statement timeout",
    "canceling statement due to lock timeout",
];

impl From<Error> for StorageError {
    fn from(error: Error) -> Self {
        match &error {
            Error::DatabaseError(
                DatabaseErrorKind::UniqueViolation
                | DatabaseErrorKind::ForeignKeyViolation
                | DatabaseErrorKind::CheckViolation,
                information,
            ) => {
                let rule = Rule::of(information.constraint_name().unwrap_or("unnamed"));
                Self::Refused(rule, error)
            }
            // A replica breaks off a query that stands in the way of what it has to replay; no other query of ours can
            // fail to be serialized.
            Error::DatabaseError(
                DatabaseErrorKind::ClosedConnection
                | DatabaseErrorKind::UnableToSendCommand
                | DatabaseErrorKind::SerializationFailure,
                _,
            ) => Self::Unavailable(Box::new(error)),
            // The server was told to cut its connections, is going down or coming up, or has no room; the library has no
            // kind of its own for that.
            Error::DatabaseError(DatabaseErrorKind::Unknown, information)
                if CUT.iter().chain(&UNDONE).any(|sign| information.message().contains(sign)) =>
            {
                Self::Unavailable(Box::new(error))
            }
            _ => Self::Database(error),
        }
    }
}

impl StorageError {
    /// Something was to be changed by what only reads.
    pub(crate) fn only_read() -> Self {
        Self::Unavailable("this store only reads".into())
    }

    /// The database took a question and says nothing any more; the connection is thrown away.
    pub(crate) fn silent(committing: bool) -> Self {
        let cause = "the database took a question and does not answer".into();
        if committing { Self::Unanswered(cause) } else { Self::Unavailable(cause) }
    }

    /// What an error means that a commit was answered with: where the database was lost, it may have committed before.
    pub(crate) fn at_commit(error: Error) -> Self {
        let said = error.to_string();
        match error.into() {
            Self::Unavailable(cause) if !UNDONE.iter().any(|sign| said.contains(sign)) => {
                Self::Unanswered(cause)
            }
            other => other,
        }
    }

    /// A row that cannot be read.
    pub(crate) fn inconsistent(table: &'static str, why: impl std::fmt::Display) -> Self {
        Self::Inconsistent { table, why: why.to_string() }
    }
}
