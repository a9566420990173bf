//! From quantities and rates to pay: accruals, a week's settlement, balanced postings, statements.
//!
//! Pure: it knows neither how a volume was scaled, nor where books are kept, nor who asks. The way through it:
//!
//! 1. [`Rates`]: the rates of a contract's terms, refused when two could price one piece;
//! 2. [`accrue`]: a ticket's pieces under those rates become exact quantities, and what has no price is listed;
//!    [`accrue_time`] does the same for hours and days;
//! 3. [`settle`]: what everybody has earned by now, minus what was settled before, is the week's lines. Money is
//!    rounded once for each line ([`amount`](amount())) and divided to the cent ([`split`](split()));
//! 4. [`journal`](journal()) and [`statements`]: the lines as double-entry postings and as each payee's paper.
//!
//! This is arithmetic, not legal advice: wages law differs by place, and local law and a licensed professional decide
//! what must be paid and what may be taken.
//!
//! ```
//! use kernel::Product;
//! use settlement::{PieceFacts, Rates, Task, Work, accrue, amount};
//!
//! let rates: Rates = serde_json::from_str(
//!     r#"[{"name": "ties", "task": "hewing", "product": "tie", "unit": "piece", "price": "0.48"}]"#,
//! )?;
//! let tie = |number| PieceFacts {
//!     number,
//!     product: Product::Tie,
//!     species: "oak".into(),
//!     grade: None,
//!     diameter_in: None,
//!     length_ft: None,
//!     diameter_cm: None,
//!     length_m: None,
//!     volume: None,
//!     cull: number == 3, // a cull tie is counted and not paid
//!     unscaled: None,
//! };
//! let work = [Work::alone(Task::Hewing, vec![1, 2, 3])];
//! let accrued = accrue(&rates, &work, &[tie(1), tie(2), tie(3)], None)?;
//! let hewn = &accrued.accruals[0];
//! let rate = &rates.as_slice()[hewn.rate];
//! let pay = amount(hewn.quantity, rate.price(), rate.unit(), "USD".parse()?)?;
//! assert_eq!(pay.to_string(), "0.96 USD");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod accrual;
mod amount;
mod apportion;
mod band;
mod booking;
mod bounded;
mod chart;
mod count;
mod covers;
mod cut_off;
mod facts;
mod figures;
mod gap;
mod journal;
mod key;
mod label;
mod line;
mod pay;
mod post;
mod rate;
mod rate_error;
mod rate_kind;
mod rates;
mod settle;
mod sharing;
mod soundness;
mod split;
mod statement;
mod take_off;
mod tally;
mod task;
mod time;
mod unit;
mod unpriced;
mod wages;
mod week;

pub use accrual::{Accrual, AccrualError, Accrued, accrue};
pub use amount::{AmountWorking, amount, explain_amount};
pub use apportion::{PiecePart, apportion};
pub use band::{Band, BandError};
pub use booking::Booking;
pub use bounded::{Amount, DayHours, HourlyRate, Hours, Percent, RangeError};
pub use chart::{AccountClass, AccountKind};
pub use count::CountStep;
pub use covers::{Coverage, Covers};
pub use cut_off::{CutOff, CutOffError};
pub use facts::{PieceFacts, PieceVolume, TurnFacts, Work};
pub use figures::{Figures, PayeeAmount, Share};
pub use gap::{BandedBy, Gap};
pub use journal::{Account, JournalEntry, JournalError, Posting, journal};
pub use key::{LineKey, Payee, RateSummary, Side};
pub use label::{Label, LabelError};
pub use line::{Entitlement, Line, LineKind, LineWorking, Settled};
pub use pay::{Pay, WeekEarned, earned_by_week, earned_by_worker};
pub use post::post;
pub use rate::{Rate, RateDraft};
pub use rate_error::RateError;
pub use rate_kind::RateKind;
pub use rates::{ClashText, Meeting, RateClash, Rates};
pub use settle::{SettleError, settle};
pub use sharing::{HoursError, ShareMethod, SharedDay, parts_by_hours};
pub use soundness::Soundness;
pub use split::{SplitError, SplitShare, SplitWorking, explain_split, split};
pub use statement::{Forward, Statement, StatementError, StatementLine, statements};
pub use take_off::{
    ChargeKind, Due, HoldbackTerms, Keeping, Purse, Recovery, TakeOff, holdback_due, recovery_due, take_off,
};
pub use task::Task;
pub use time::{AccruedTime, TimeAccrual, TimeFacts, accrue_time};
pub use unit::{Basis, RateUnit};
pub use unpriced::{Unpriced, UnpricedReason};
pub use wages::{
    Overtime, RateRounding, RestPay, Supplement, SupplementKey, SupplementLine, WageTerms, WeekWages,
    WorkedWeek, restate, wages,
};
pub use week::{Week, week_ending};
