//! What travels on the API: requests, replies and problems, shared by the service and its clients.
//!
//! A name ending in `Create` is what a caller sends to file something; a name ending in `View` is what the service
//! shows of it. Numbers that are measured or paid are text ([`kernel::Fixed`], [`kernel::Exact`], [`kernel::Money`]);
//! members that a type does not know are refused. The measured facts of a piece, the scaling practice and the rates
//! of a contract are the domain's own types, so that what was measured has one form everywhere.

mod access;
mod account;
mod advance;
mod audit;
mod batch;
mod change;
mod charge;
mod check_comparison;
mod check_scale;
mod columns;
mod contract;
mod crew_sheet;
mod cruise;
mod cut_out;
mod day;
mod delivery;
mod event;
mod event_subscription;
mod exception;
mod exception_kind;
mod explanation;
mod holdback;
mod instant;
mod journal;
mod listing;
mod log_table;
mod made_of;
mod margin;
mod mill_tally;
mod outfit;
mod overrun;
mod paper;
mod pay;
mod payment;
mod people;
mod place;
mod practice;
mod preview;
mod problem;
mod rederivation;
mod report;
mod reversal;
mod rule;
mod scale;
mod scale_book;
mod scaler_certificate;
mod seal;
mod secret;
mod service;
mod settlement;
mod share;
mod sign_in;
mod stage;
mod statement;
mod text;
mod ticket;
mod time;
mod token;
mod trace;
mod turn_count;
mod volume_adjustment;
mod wage_terms;
pub mod words;

pub use access::{
    AccessGrantView, AccessKind, MachineKeyCreate, MachineKeyMade, RevocationCreate, Scope, ScopeError,
    TokenKey, TokenKeys,
};
pub use account::{
    AccountCreate, AccountName, AccountNameError, AccountRegistered, AccountView, ClosureCreate, EndedView,
    EnrolmentCreate, EnrolmentView, ExternalIdentity, PasswordCreate, PasswordSet,
};
pub use advance::{AdvanceCreate, AdvanceView};
pub use audit::{AuditPayRow, AuditVolumeRow, ContractAudit, PayeeAudit, VolumeAgainstPay};
pub use batch::{AcceptedTicket, BatchEnd, BatchLine, RefusedTicket, ReplayedTicket, SheetAnswer};
pub use change::AuditEntryView;
pub use charge::{ChargeCreate, ChargeView};
pub use check_comparison::{
    AgreementView, CheckFindingView, CheckMoneyLine, CheckMoneyView, CheckPointView, CheckRatioView,
    CheckScaleComparison, CheckVerdictView, CheckedStratumView, ComparedGroupView, ComparedPieceView,
    OneScaleView, SampleAdviceView, ScaleTotalsView, ScalerCheckView, ScalerRecordView,
};
pub use check_scale::{CheckNotice, CheckScaleCreate, CheckScaleView, CheckedPieceCreate, PieceFound};
pub use columns::{Cell, CellValue, Columns};
pub use contract::{ContractCreate, ContractView, Party, TermsCreate, TermsFiled, TermsView};
pub use crew_sheet::{CrewMember, CrewSheet, MemberPart};
pub use cruise::{CruiseCreate, CruiseEstimates, CruiseSummary, CruiseView, SpeciesEstimate, TreeVolumeView};
pub use cut_out::{CutOutAudit, CutOutRow};
pub use day::{day, deserialize_day, deserialize_day_if_any};
pub use delivery::{
    AttemptOutcome, AttemptView, DeadLetterReplay, DeadLetterReplayed, DeliveryState, DeliveryView,
};
pub use event::{
    Event, EventContent, EventKind, StatementReady, SubscriptionTrial, TicketAccepted, TicketCorrected,
    WeekPosted,
};
pub use event_subscription::{
    EventSubscriptionCreate, EventSubscriptionEnd, EventSubscriptionFiled, EventSubscriptionTrial,
    EventSubscriptionView, EventTarget, EventTargetError, SigningSecret, SigningSecretCreate,
    SigningSecretMade, SigningSecretView, TrialOutcome,
};
pub use exception::{ExceptionCount, ExceptionStatistics, ExceptionSummary, ExceptionTicket, ExceptionView};
pub use exception_kind::ExceptionKind;
pub use explanation::{
    CorrectionStep, ExplanationFormat, PayState, PaymentEvent, PaymentStep, PieceExplanation,
    RateExplanation, StatementLineExplanation, TaskExplanation, TermsExplanation, TicketExplanation,
    UnpricedExplanation,
};
pub use holdback::{HeldView, ReleaseCreate, ReleaseView};
pub use instant::{deserialize_instant_if_any, instant};
pub use journal::{
    Balances, JournalEntryView, JournalFormat, JournalPostingView, PayeeBalance, TrialBalance,
    TrialBalanceRow,
};
pub use listing::{ListFormat, Listing};
pub use log_table::{
    LogTableCheck, LogTableCreate, LogTableEntry, LogTableView, NotOneForm, TableCells, TableFaultView,
};
pub use made_of::{MadeOf, MadeOfKind};
pub use margin::{Margin, MarginPerUnit, MarginRow, MarginTask, MarginVolume, NotDelivered};
pub use mill_tally::{
    Lumber, LumberError, MillTallyCreate, MillTallyView, SpeciesLumber, WithdrawalCreate, WithdrawnView,
};
pub use outfit::{OutfitCreate, OutfitView, WeekdayName};
pub use overrun::{LeftOut, OverrunAudit, OverrunRow, OverrunScale, SpeciesOverrun};
pub use paper::{PaperFormat, PaperSize};
pub use pay::{HoursView, PayView, SupplementView, TakeOffView};
pub use payment::{PaymentCreate, PaymentParty, PaymentRecorded, PaymentView};
pub use people::{CrewCreate, CrewView, ShareSetCreate, ShareSetView, ShareView, WorkerCreate, WorkerView};
pub use place::{JobCreate, JobView, LandingCreate, LandingView, MillCreate, MillView};
pub use practice::{CountedWork, PracticeView};
pub use preview::{PreviewFigures, PreviewRate, TermsPreview, TermsPreviewRequest};
pub use problem::{Code, FieldProblem, Problem};
pub use rederivation::{Compared, Difference, Rederivation};
pub use report::{
    AuditReport, ReportFormat, ReportNotes, ReportSection, ReportedCheckScale, ScalerDefect, ScalerTimber,
    VolumeWeekRow,
};
pub use reversal::{MoneyRecord, ReversalCreate, ReversalView, ReversedView};
pub use rule::{RuleEditionView, RuleList, RuleView};
pub use scale::PieceScaleRequest;
pub use scale_book::{GapView, NumberBeside, ScaleBookView, VoidedNumbersCreate, VoidedNumbersView};
pub use scaler_certificate::{ScalerCertificateCreate, ScalerCertificateView};
pub use seal::{SealCheck, SealConsistency, SealCreate, SealFault, SealFinding, SealInclusion, SealKeyView};
pub use secret::{NewPassword, Secret, SecretError};
pub use service::{Health, MigrationsView, ProblemDescription, Readiness, ReplicaView};
pub use settlement::{
    ContractVolumes, ExplainedPiece, ExplainedTicket, LineExplanation, LineView, PartsByHours, PayeeAmount,
    PayeeView, SettlementCreate, SettlementState, SettlementView, SplitStep, TicketReference,
};
pub use share::percent;
pub use sign_in::{ExternalSignInCreate, RefreshTokenSent, SignInCreate, SignedIn, SignedOut};
pub use stage::{ScaledBy, Stage, StageRow, StageWeek};
pub use statement::{MovementView, StatementLineView, StatementView, YearToDate};
pub use text::{Name, Remark, TextError};
pub use ticket::{
    AccrualView, ContractScale, CorrectionCreate, CrewName, PieceScaleView, PieceWorking, PiecesShown,
    ScaleTotalView, SetAsideCreate, SetAsideView, TicketCreate, TicketNames, TicketState, TicketView,
    TicketWorking, TurnFacts, UnpricedView, WorkEntry,
};
pub use time::{TimeCorrectionCreate, TimeEntryCreate, TimeEntryView, TimeFor, TimeState};
pub use token::{AccessTokenCreate, AccessTokenView, Role};
pub use trace::{TraceError, TraceParent, TraceState};
pub use turn_count::{MOST_TURNS, TurnCountCreate, TurnCountView};
pub use volume_adjustment::{
    AdjustedQuantityView, AdjustmentReference, ExplainedAdjustment, VolumeAdjustmentCreate,
    VolumeAdjustmentReversalCreate, VolumeAdjustmentView,
};
pub use wage_terms::{WageTermsCreate, WageTermsFiled, WageTermsList, WageTermsView};
