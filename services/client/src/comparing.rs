//! What is different between two drafts of one week.
//!
//! Whoever settles a week reads a draft, puts something right, and drafts again. [`compare`] says what that changed:
//! lines that are new, gone or changed, everybody's pay, what holds up the week, and the tickets that came in between.
//! It is pure: it needs the two drafts and those tickets, and nothing else. [`Differences::applied`] goes the other way:
//! the draft before with the differences is the draft after. [`gathering`] fetches what it needs from a service.

mod difference;
pub mod gathering;
mod keys;
mod payees;
mod tickets;

use jiff::civil::Date;
use kernel::{Money, SettlementId};
use serde::Serialize;
use wire::{ContractVolumes, LineView, PayView, SettlementView, TicketView, UnpricedView};

pub use difference::Difference;
pub use payees::{PayeeDifference, PayeeFigures};
pub use tickets::LineDifference;

/// The four sums of a settlement.
///
/// ```
/// use client::comparing::Totals;
/// # let draft = serde_json::from_str(r#"{
/// #     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07", "state": "draft",
/// #     "paid_to_crews": {"amount": "7.00", "currency": "USD"},
/// #     "added_to_pay": {"amount": "0.00", "currency": "USD"}, "kept_back": {"amount": "0.00", "currency": "USD"},
/// #     "owed_by_mills": {"amount": "0.00", "currency": "USD"},
/// #     "drafted_by": "Ida Berg", "drafted_at": "2031-06-08T12:00:00Z"
/// # }"#)?;
/// assert_eq!(Totals::of(&draft).paid_to_crews.to_string(), "7.00 USD");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Totals {
    /// What all crews are paid by the lines.
    pub paid_to_crews: Money,
    /// What is added to wages beside the lines.
    pub added_to_pay: Money,
    /// What is kept back of pay.
    pub kept_back: Money,
    /// What all mills owe.
    pub owed_by_mills: Money,
}

impl Totals {
    /// Those of a settlement.
    #[must_use]
    pub const fn of(settlement: &SettlementView) -> Self {
        Self {
            paid_to_crews: settlement.paid_to_crews,
            added_to_pay: settlement.added_to_pay,
            kept_back: settlement.kept_back,
            owed_by_mills: settlement.owed_by_mills,
        }
    }
}

/// What is different between two drafts of one week.
///
/// ```
/// # let text = r#"{
/// #     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07", "state": "draft",
/// #     "paid_to_crews": {"amount": "0.00", "currency": "USD"},
/// #     "added_to_pay": {"amount": "0.00", "currency": "USD"}, "kept_back": {"amount": "0.00", "currency": "USD"},
/// #     "owed_by_mills": {"amount": "0.00", "currency": "USD"},
/// #     "drafted_by": "Ida Berg", "drafted_at": "2031-06-08T12:00:00Z"
/// # }"#;
/// let draft: wire::SettlementView = serde_json::from_str(text)?;
/// assert!(client::comparing::compare(&draft, &draft, &[]).is_none());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Differences {
    /// The draft before.
    pub before: SettlementId,
    /// The draft after.
    pub after: SettlementId,
    /// The last day of the week of the one after.
    pub week_ends_on: Date,
    /// The sums, if any of them changed.
    pub totals: Option<Difference<Totals>>,
    /// Lines, by week, contract and rate, each with the tickets that came in between and touch it.
    pub lines: Vec<LineDifference>,
    /// What the two drafts come to for each payee, and the tickets behind it: workers, then mills, by name.
    pub payees: Vec<PayeeDifference>,
    /// Everybody's pay as the drafts show it, where it changed.
    pub pays: Vec<Difference<PayView>>,
    /// What holds up the week: `new` holds it up now, `gone` no longer does.
    pub unpriced: Vec<Difference<UnpricedView>>,
    /// What was scaled under each contract, where it changed.
    pub volumes: Vec<Difference<ContractVolumes>>,
}

/// What is different in `after`, which was drafted after `before`.
///
/// `came` are the tickets that were accepted in between, and those that they correct; they are named beside the lines
/// and payees that they touch, and change nothing else. Ids of drafts, who drafted them and when, and the numbers of
/// lines are no differences: a draft that is made again without a change in the books compares as the same.
///
/// ```
/// # let text = r#"{
/// #     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07", "state": "draft",
/// #     "paid_to_crews": {"amount": "0.00", "currency": "USD"},
/// #     "added_to_pay": {"amount": "0.00", "currency": "USD"}, "kept_back": {"amount": "0.00", "currency": "USD"},
/// #     "owed_by_mills": {"amount": "0.00", "currency": "USD"},
/// #     "drafted_by": "Ida Berg", "drafted_at": "2031-06-08T12:00:00Z"
/// # }"#;
/// # let before: wire::SettlementView = serde_json::from_str(text)?;
/// let mut after = before.clone();
/// after.owed_by_mills = after.owed_by_mills.plus("12.50 USD".parse()?)?;
/// let found = client::comparing::compare(&before, &after, &[]);
/// assert!(found.totals.is_some() && found.lines.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn compare(before: &SettlementView, after: &SettlementView, came: &[TicketView]) -> Differences {
    let changed = difference::all(&before.lines, &after.lines, keys::line, keys::same_line);
    let lines: Vec<_> = changed.into_iter().map(|change| tickets::touching(change, came)).collect();
    Differences {
        before: before.settlement_id,
        after: after.settlement_id,
        week_ends_on: after.week_ends_on,
        totals: difference::of(&Totals::of(before), &Totals::of(after)),
        payees: payees::between(before, after, &lines),
        lines,
        pays: difference::all(&before.pays, &after.pays, keys::pay, PartialEq::eq),
        unpriced: difference::all(&before.unpriced, &after.unpriced, keys::unpriced, PartialEq::eq),
        volumes: difference::all(&before.volumes, &after.volumes, keys::volumes, PartialEq::eq),
    }
}

impl Differences {
    /// Whether there are none.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.totals.is_none()
            && self.lines.is_empty()
            && self.payees.is_empty()
            && self.pays.is_empty()
            && self.unpriced.is_empty()
            && self.volumes.is_empty()
    }

    /// The draft before with these differences: the draft after, with its parts in the order of [`in_order`].
    /// Who drafted it and when, and its state, stay those of the draft before.
    ///
    /// ```
    /// # let text = r#"{
    /// #     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07", "state": "draft",
    /// #     "paid_to_crews": {"amount": "0.00", "currency": "USD"},
    /// #     "added_to_pay": {"amount": "0.00", "currency": "USD"}, "kept_back": {"amount": "0.00", "currency": "USD"},
    /// #     "owed_by_mills": {"amount": "0.00", "currency": "USD"},
    /// #     "drafted_by": "Ida Berg", "drafted_at": "2031-06-08T12:00:00Z"
    /// # }"#;
    /// use client::comparing::{compare, in_order};
    /// let before: wire::SettlementView = serde_json::from_str(text)?;
    /// let after = before.clone();
    /// assert_eq!(compare(&before, &after, &[]).applied(&before), in_order(&after));
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn applied(&self, before: &SettlementView) -> SettlementView {
        let lines: Vec<Difference<LineView>> = self.lines.iter().map(|line| line.change.clone()).collect();
        let totals = match &self.totals {
            Some(change) => change.after().copied().unwrap_or(Totals::of(before)),
            None => Totals::of(before),
        };
        in_order(&SettlementView {
            settlement_id: self.after,
            week_ends_on: self.week_ends_on,
            lines: difference::applied(&lines, &before.lines),
            pays: difference::applied(&self.pays, &before.pays),
            volumes: difference::applied(&self.volumes, &before.volumes),
            unpriced: difference::applied(&self.unpriced, &before.unpriced),
            paid_to_crews: totals.paid_to_crews,
            added_to_pay: totals.added_to_pay,
            kept_back: totals.kept_back,
            owed_by_mills: totals.owed_by_mills,
            ..before.clone()
        })
    }
}

/// A settlement with its lines, pays, volumes and what is unpriced in an order of their own, and the lines numbered by
/// it, so that two of them can be held against each other.
#[must_use]
pub fn in_order(settlement: &SettlementView) -> SettlementView {
    let mut sorted = settlement.clone();
    sorted.lines.sort_by_cached_key(keys::line);
    for (number, line) in (1..).zip(&mut sorted.lines) {
        line.number = number;
    }
    sorted.pays.sort_by_cached_key(keys::pay);
    sorted.volumes.sort_by_cached_key(keys::volumes);
    sorted.unpriced.sort_by_cached_key(keys::unpriced);
    sorted
}
