//! The books in Postgres. The only crate that knows SQL.
//!
//! A [`Store`] is the way in; [`Store::write`] and [`Store::read`] open one transaction on the books of one outfit
//! and hand it out as [`Books`]. Every query is a method of `Books`, in the file of the record it is about. Row-level
//! security hides every other outfit's rows from it, under a database role that may only read and add.

mod access;
mod account;
mod accrual;
mod advance;
mod audit;
mod books;
mod charge;
mod check_scale;
mod contract;
mod contract_volume;
mod crew;
mod cruise;
mod delivery;
mod derivation;
mod error;
mod event_subscription;
mod exceptions;
mod ground;
mod holdback;
mod job;
mod journal;
mod kept;
mod known;
mod late_change;
mod ledger;
mod log_table;
mod margin;
mod migrate;
mod mill_tally;
mod money_filter;
mod named;
mod new_ticket;
mod newest;
mod outbox;
mod outfit;
mod patience;
mod pay;
mod payment;
mod pool;
mod prepared;
mod rederivation;
mod replica;
mod reversal;
mod scale_book;
mod scaled_wood;
mod scaler_certificate;
pub mod schema;
mod seal;
mod sealed_settlement;
mod sealed_ticket;
mod session;
mod set_up;
mod settlement;
mod sign_in;
mod stage;
mod statement;
mod stored_reply;
mod stored_work;
mod taking_in;
mod ticket;
mod ticket_filter;
mod ticket_names;
mod timber;
mod time;
mod turn_count;
mod unpriced;
mod unread;
mod volume_adjustment;
mod volumes;
mod wage_terms;

pub use access::{Access, Grant, GrantKind, GrantState, MachineKey};
pub use account::{Account, AccountState, Enrolment, ExternalName};
pub use accrual::{AccrualScope, AccruedDay};
pub use advance::{Advance, AdvanceState};
pub use audit::{AuditEntry, AuditFilter};
pub use books::{Books, Store};
pub use charge::{Charge, ChargeState};
pub use check_scale::{CheckScale, CheckScaleFilter, CheckScaleState, CheckedLot, CheckedPiece};
pub use contract::{Contract, ContractParty, Terms, TermsInForce};
pub use contract_volume::ContractVolume;
pub use crew::{Share, ShareSet};
pub use cruise::{Cruise, CruiseFilter, CruiseState};
pub use delivery::{Attempt, Delivery, DeliveryPlace, EventPlace, Settled};
pub use derivation::{Accrual, Derivation, PieceVolume, UnpricedPiece};
pub use error::{Rule, StorageError};
pub use event_subscription::{EventSubscription, SealedSecret, SubscriptionEnd};
pub use exceptions::{
    AccruedQuantity, CorrectedAfterPosting, ExceptionScope, Found, HewnStick, LateTicket, LogAlsoPaid,
    MoreSkidded, NeverPaid, NeverPaidBecause, NumbersMissing, PaidTwice, PaidTwiceBy, ScaledStick,
    SetAsideWork, TicketPieces, TurnsCounted, UnpricedWork, WrittenTwice,
};
pub use ground::{Agreement, AskedParty, AskedTicket, Ground, TicketGround};
pub use holdback::{Release, ReleaseState};
pub use job::Landing;
pub use journal::JournalEntry;
pub use kept::Added;
pub use late_change::Days;
pub use ledger::JournalFilter;
pub use log_table::{LogTableEntry, LogTableFiling, LogTableRecord};
pub use margin::{Wood, WoodAccrued, WoodOf, WoodScope, WoodTickets, WoodVolume};
pub use migrate::{MigrationError, MigrationState, migrate, revert_all};
pub use mill_tally::{MillTally, MillTallyFilter, MillTallyState};
pub use money_filter::MoneyFilter;
pub use named::Named;
pub use new_ticket::NewTicket;
pub use outbox::{DeliveryLag, OutboxEntry, Told};
pub use outfit::Outfit;
pub use pay::{PostedPay, PostedTakeOff};
pub use payment::{NewPayment, Payment};
pub use pool::{PoolUsage, StoreOptions};
pub use rederivation::{Moment, PostedWeek, Stray};
pub use replica::ReplicaState;
pub use reversal::{Reversal, Reversed, Undone};
pub use scale_book::{Gap, Neighbour, ScaleBook, VoidedNumbers};
pub use scaled_wood::{ScaledWood, TalliedTickets, TallyScope};
pub use scaler_certificate::{CertificateFilter, ScalerCertificate};
pub use seal::{KeptSeal, SealKey, SealLeaf, SealedRecord};
pub use session::Session;
pub use set_up::{has_no_outfit, outfit_named};
pub use settlement::{PostedLine, Posting, SettlementDraft};
pub use sign_in::{KnownRefreshToken, RefreshToken, SignInAttempt, SignInName};
pub use stage::{StageCell, StageScale, StageScope};
pub use statement::{Movement, Statement, StatementFilter, StatementSums};
pub use stored_reply::{RequestKey, StoredReply};
pub use stored_work::{ScaledTicket, StoredWork};
pub use taking_in::TakenIn;
pub use ticket::{Arrival, Correction, ScaleTicket, Ticket, Turn, Work};
pub use ticket_filter::{TicketFilter, TicketStanding};
pub use ticket_names::NamedContract;
pub use timber::TimberSum;
pub use time::{TimeCorrection, TimeEntry, TimeFilter, TimeUse, WorkedDay};
pub use turn_count::{TurnCount, TurnCountFilter};
pub use unpriced::{OpenUnpriced, SetAside, UnpricedFilter};
pub use volume_adjustment::{AdjustedQuantity, VolumeAdjustment};
pub use wage_terms::WageTermsFiled;

/// Who made a record, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// When, in whole microseconds.
    pub at: jiff::Timestamp,
    /// The subject of the access token it was made with.
    pub by: String,
}

/// A page of a list in the order of the ids: what comes after `after`, at most `limit`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Page<I> {
    /// The last id of the page before.
    pub after: Option<I>,
    /// How many at the most.
    pub limit: u16,
}

impl<I> Page<I> {
    /// The first page of a list.
    #[must_use]
    pub const fn first(limit: u16) -> Self {
        Self { after: None, limit }
    }
}
