//! What travels on the API: requests, replies and problems, shared by the service and its clients.
//!
//! A name ending in `Create` is what a caller sends to file something; a name ending in `View` is what the service
//! shows of it. Numbers that are measured or paid are text ([`kernel::Fixed`], [`kernel::Exact`], [`kernel::Money`]);
//! members that a type does not know are refused. The measured facts of a piece, the scaling practice and the rates
//! of a contract are the domain's own types, so that what was measured has one form everywhere.

mod audit;
mod contract;
mod day;
mod listing;
mod outfit;
mod people;
mod place;
mod preview;
mod problem;
mod rule;
mod scale;
mod service;
mod settlement;
mod statement;
mod text;
mod ticket;
mod time;
mod token;

pub use audit::{AuditPayRow, AuditVolumeRow, ContractAudit, VolumeAgainstPay};
pub use contract::{ContractCreate, ContractView, Party, TermsCreate, TermsFiled, TermsView};
pub use day::{day, deserialize_day, deserialize_day_if_any};
pub use listing::Listing;
pub use outfit::{OutfitCreate, OutfitView, WeekdayName};
pub use people::{CrewCreate, CrewView, ShareSetCreate, ShareSetView, ShareView, WorkerCreate, WorkerView};
pub use place::{JobCreate, JobView, LandingCreate, LandingView, MillCreate, MillView};
pub use preview::{PreviewFigures, PreviewRate, TermsPreview, TermsPreviewRequest};
pub use problem::{Code, FieldProblem, Problem};
pub use rule::{RuleEditionView, RuleList, RuleView};
pub use scale::PieceScaleRequest;
pub use service::{Health, ProblemDescription};
pub use settlement::{
    ExplainedPiece, ExplainedTicket, LineExplanation, LineView, PartsByHours, PayeeAmount, PayeeView,
    SettlementCreate, SettlementState, SettlementView, SplitStep, TicketReference,
};
pub use statement::{StatementLineView, StatementView};
pub use text::{Name, Remark, TextError};
pub use ticket::{
    AccrualView, ContractScale, CorrectionCreate, PieceScaleView, PieceWorking, SetAsideCreate, SetAsideView,
    TicketCreate, TicketState, TicketView, TicketWorking, TurnFacts, UnpricedView, WorkEntry,
};
pub use time::{TimeCorrectionCreate, TimeEntryCreate, TimeEntryView, TimeFor, TimeState};
pub use token::{AccessTokenCreate, AccessTokenView, Role};
