//! A typed client of the API, and the papers it prints.
//!
//! [`Client`] has one method for each operation of the API, named after the operation and taking and giving the types
//! of the crate `wire`. A request that got no answer is sent again a few times, with growing pauses, but only where
//! sending twice can do no harm ([`Patience`]). [`text`] sets settlements, statements and audits as plain text, the
//! same for the program `skid` as for whoever else prints them.
//!
//! The program `skid` ends with one of these statuses: 0 done; 1 wrong usage or a fault on this machine; 2 some lines
//! could not be scaled; 3 refused by the service; 4 the service was not reachable; 5 it was looked into, and something is
//! not as it should be (exceptions, a week that differs, a proof that does not hold).
//!
//! ```no_run
//! use client::{Client, PageQuery};
//!
//! # async fn example() -> Result<(), Box<dyn std::error::Error>> {
//! let client = Client::new("http://127.0.0.1:7450", Some("token".to_owned()))?;
//! for crew in client.list_crews(&PageQuery::default()).await?.items {
//!     println!("{}", crew.name);
//! }
//! # Ok(())
//! # }
//! ```

mod client;
mod error;
pub mod events;
mod exchange;
mod operations;
mod paging;
mod patience;
pub mod text;
pub mod verify;

pub use client::{Client, DESK_PASS, SetupError};
pub use error::{ClientError, Unreachable};
pub use operations::{
    AccessQuery, AdvanceQuery, AuditQuery, CertificateQuery, ChangeQuery, ChargeQuery, CheckScaleQuery,
    ComparisonQuery, CruiseQuery, CutOutQuery, DeliveryQuery, EstimateQuery, ExceptionQuery, ExportQuery,
    JournalQuery, MillTallyQuery, OPERATIONS, OverrunQuery, PaperOf, PaymentQuery, Posted, PostedSettlement,
    ReportQuery, SealedRecord, SettlementQuery, SpanQuery, StatementQuery, TicketQuery, TimeQuery,
    TurnCountQuery, UnpricedQuery,
};
pub use paging::{PageQuery, all_pages};
pub use patience::Patience;
pub use wire::{TraceParent, TraceState};
