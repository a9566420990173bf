//! What a contract's work of a period comes to under some terms, without keeping anything.

use std::collections::BTreeMap;

use jiff::civil::Date;
use kernel::{Fixed, Money, ShareSetId, TermsId, TicketId, WorkerId};
use settlement::{Basis, Label, RateSummary, RateUnit, Side, Task, Unpriced, UnpricedReason, week_ending};
use storage::{
    Books, Contract, ContractParty, Outfit, Page, ShareSet, Terms, Ticket, TicketFilter, TimeEntry, TimeUse,
};
use wire::{PreviewFigures, PreviewRate, UnpricedView};

use super::adjusting::in_force;
use super::deriving::account;
use super::names::party_view;
use super::parties::{PartyWork, parties};
use super::paying_time::count;
use super::sharing::share_set_on;
use crate::http::refusal::Refusal;

/// How many tickets are read at once.
const AT_ONCE: u16 = 500;
/// How much of what is unpriced is told.
const MOST_UNPRICED: usize = 1_000;

/// What is rounded together: a week's work under one rate with one division of pay.
type Group = (Date, TermsId, usize, Option<ShareSetId>, Option<WorkerId>);

/// What the work comes to under one list of terms.
#[derive(Debug)]
pub struct Reckoning {
    terms: Vec<Terms>,
    groups: BTreeMap<Group, (RateSummary, Fixed, i64)>,
    /// What has no price.
    pub unpriced: Vec<UnpricedView>,
    /// Paid time that has none.
    pub unpriced_time: Vec<TimeEntry>,
}

impl Reckoning {
    /// Nothing yet, under these terms of one contract.
    #[must_use]
    pub const fn under(terms: Vec<Terms>) -> Self {
        Self { terms, groups: BTreeMap::new(), unpriced: Vec::new(), unpriced_time: Vec::new() }
    }
}

/// The work of a period that both sides of a preview are reckoned from.
#[derive(Debug)]
pub struct Period<'a> {
    /// The contract.
    pub contract: &'a Contract,
    /// The outfit.
    pub outfit: &'a Outfit,
    /// First and last day.
    pub days: (Date, Date),
}

impl Period<'_> {
    /// Adds the work of the period to each reckoning; answers how many tickets hold some.
    ///
    /// # Errors
    ///
    /// [`wire::Code::TooLarge`]; whatever the books answer.
    pub async fn reckon(&self, books: &mut Books, sides: &mut [&mut Reckoning]) -> Result<u32, Refusal> {
        let crew = match self.contract.party {
            ContractParty::Crew(crew) => Some(crew),
            ContractParty::Mill(_) => None,
        };
        let sets = match crew {
            Some(crew) => books.share_sets(Some(crew)).await?,
            None => Vec::new(),
        };
        let (from, to) = self.days;
        let filter = TicketFilter {
            job: Some(self.contract.job),
            from: Some(from),
            to: Some(to),
            standing_only: true,
            ..TicketFilter::default()
        };
        let mut page = Page::<TicketId> { after: None, limit: AT_ONCE };
        let mut tickets = 0_u32;
        loop {
            let found = books.tickets(&filter, page).await?;
            for ticket in &found {
                let work = parties(&ticket.record)?.into_iter().find(|one| one.party == self.contract.party);
                let Some(work) = work.filter(|_| !ticket.record.pieces.is_empty()) else { continue };
                tickets = tickets.saturating_add(1);
                for side in sides.iter_mut() {
                    let unpriced = self.ticket(side, ticket, &work, &sets)?;
                    self.list(books, side, ticket, unpriced).await?;
                }
            }
            match found.last() {
                Some(last) if found.len() == usize::from(AT_ONCE) => page.after = Some(last.record.id),
                _ => break,
            }
        }
        let mut time = books.paid_time(Some(from), to).await?;
        time.retain(|entry| {
            matches!(entry.what_for, TimeUse::Paid { job, crew: of, .. }
                if job == self.contract.job && Some(of) == crew)
        });
        for side in sides {
            self.time(side, time.clone())?;
        }
        Ok(tickets)
    }

    fn ticket(
        &self,
        side: &mut Reckoning,
        ticket: &Ticket,
        work: &PartyWork,
        sets: &[ShareSet],
    ) -> Result<Vec<Unpriced>, Refusal> {
        let day = ticket.record.scaled_on;
        let Some(terms) = in_force(&side.terms, day) else {
            let whole = |task| Unpriced { task, piece: None, reason: UnpricedReason::NoTerms };
            return Ok(work.work.iter().map(|work| whole(work.task)).collect());
        };
        let accrued = account(&ticket.record, work, &terms.practice, &terms.rates)?.accrued;
        let set = match self.contract.party {
            ContractParty::Crew(crew) => share_set_on(sets, crew, day).map(|set| set.id),
            ContractParty::Mill(_) => None,
        };
        let week = week_ending(day, self.outfit.week_ends_on);
        for accrual in accrued.accruals {
            let rate = terms.rates.get(accrual.rate).map(RateSummary::from);
            let rate = rate.ok_or_else(|| Refusal::internal("a count under a rate that is not there"))?;
            let group = (week, terms.id, accrual.rate, set, None);
            let sum = side.groups.entry(group).or_insert((rate, Fixed::ZERO, 0));
            sum.1 = sum.1.plus(accrual.quantity)?;
            sum.2 = sum.2.saturating_add(i64::try_from(accrual.pieces.len()).unwrap_or(i64::MAX));
        }
        Ok(accrued.unpriced)
    }

    /// Lists what has no price and was not set aside.
    async fn list(
        &self,
        books: &mut Books,
        side: &mut Reckoning,
        ticket: &Ticket,
        unpriced: Vec<Unpriced>,
    ) -> Result<(), Refusal> {
        if unpriced.is_empty() || side.unpriced.len() >= MOST_UNPRICED {
            return Ok(());
        }
        let record = &ticket.record;
        let aside = books.set_asides(record.id).await?;
        let open = unpriced.into_iter().filter(|one| {
            let covers = |piece: Option<u16>| piece.is_none() || piece == one.piece;
            !aside.iter().any(|aside| aside.task == one.task && covers(aside.piece))
        });
        side.unpriced.extend(open.map(|one| UnpricedView {
            ticket_id: record.id,
            book: record.book.clone(),
            number: record.number,
            scaled_on: record.scaled_on,
            task: one.task,
            piece: one.piece,
            party: party_view(self.contract.party),
            says: one.reason.to_string(),
            reason: one.reason,
        }));
        side.unpriced.truncate(MOST_UNPRICED);
        Ok(())
    }

    fn time(&self, side: &mut Reckoning, entries: Vec<TimeEntry>) -> Result<(), Refusal> {
        let paid = count(self.outfit, &[self.contract], &side.terms, entries)?;
        for one in paid.entitlements {
            let Side::Member { worker, .. } = one.key.side else { continue };
            let group = (one.key.week, one.key.terms, usize::from(one.key.rate), None, Some(worker));
            side.groups.insert(group, (one.rate, one.quantity, 0));
        }
        side.unpriced_time.extend(paid.unpriced.into_iter().map(|(entry, _)| entry));
        Ok(())
    }
}

/// Two reckonings side by side, by rate.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn beside(now: &Reckoning, proposed: &Reckoning, outfit: &Outfit) -> Result<Vec<PreviewRate>, Refusal> {
    type Row = (Task, Label, RateUnit, Option<Basis>);
    let nothing = PreviewFigures { quantity: Fixed::ZERO, pieces: 0, amount: Money::zero(outfit.currency) };
    let mut rows: BTreeMap<Row, (PreviewFigures, PreviewFigures)> = BTreeMap::new();
    for (is_proposed, reckoning) in [(false, now), (true, proposed)] {
        for (rate, quantity, pieces) in reckoning.groups.values() {
            let row = (rate.task, rate.name.clone(), rate.unit, rate.basis);
            let (now, proposed) = rows.entry(row).or_insert((nothing, nothing));
            let figures = if is_proposed { proposed } else { now };
            let amount = settlement::amount(*quantity, rate.price, rate.unit, outfit.currency)?;
            figures.quantity = figures.quantity.plus(*quantity)?;
            figures.pieces = figures.pieces.saturating_add(*pieces);
            figures.amount = figures.amount.plus(amount)?;
        }
    }
    Ok(rows
        .into_iter()
        .map(|((task, name, unit, basis), (now, proposed))| PreviewRate {
            task,
            rate_name: name.as_str().to_owned(),
            unit,
            basis,
            now,
            proposed,
        })
        .collect())
}
