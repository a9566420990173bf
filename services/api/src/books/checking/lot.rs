//! The lot that a sample stands for: what stood under the contract when the check scale was filed.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;
use kernel::{Fixed, Product, TermsId, TicketId, VolumeUnit};
use storage::{Books, CheckScale, PieceVolume, ScaleTicket, Ticket, TicketFilter};

use super::Standard;
use crate::books::adjusting::in_force;
use crate::books::deriving::account;
use crate::books::parties::parties;
use crate::http::refusal::Refusal;

/// How many tickets are read at once.
const AT_ONCE: u16 = 500;

/// What a lot holds of one product in one unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LotVolume {
    /// How many pieces.
    pub pieces: u64,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

/// A lot, worked out from its tickets.
#[derive(Debug, Default)]
pub struct Lot {
    /// What stood when the check scale was filed, by product and unit.
    pub volumes: BTreeMap<(Product, Option<VolumeUnit>), LotVolume>,
    /// What of it still stands, by day, terms and rate number, in the counted unit.
    pub quantities: BTreeMap<(Date, TermsId, u16), Fixed>,
    /// How many tickets it has.
    pub tickets: u64,
    /// How many of them were corrected since.
    pub corrected: u64,
}

/// Works a lot out.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn lot(books: &mut Books, standard: &Standard, record: &CheckScale) -> Result<Lot, Refusal> {
    let filter = TicketFilter {
        job: Some(standard.contract.job),
        from: Some(record.lot.from),
        to: Some(record.lot.to),
        scaler: record.lot.scaler.clone(),
        // Moments are kept in whole microseconds: what came at the same one was there.
        accepted_before: Some(record.made.at.checked_add(1.microsecond()).map_err(Refusal::internal)?),
        ..TicketFilter::default()
    };
    let mut lot = Lot::default();
    let mut page = storage::Page::<TicketId> { after: None, limit: AT_ONCE };
    loop {
        let tickets = books.tickets(&filter, page).await?;
        for ticket in &tickets {
            if stood(books, ticket, record).await? {
                lot.add(standard, ticket)?;
            }
        }
        match tickets.last() {
            Some(last) if tickets.len() == usize::from(AT_ONCE) => page.after = Some(last.record.id),
            _ => return Ok(lot),
        }
    }
}

/// Whether a ticket stood when the check scale was filed.
async fn stood(books: &mut Books, ticket: &Ticket, record: &CheckScale) -> Result<bool, Refusal> {
    let Some(by) = ticket.corrected_by else { return Ok(true) };
    let by = books.ticket(by).await?;
    Ok(by.is_some_and(|by| by.record.accepted.at > record.made.at))
}

impl Lot {
    fn add(&mut self, standard: &Standard, ticket: &Ticket) -> Result<(), Refusal> {
        let record: &ScaleTicket = &ticket.record;
        let work = parties(record)?.into_iter().find(|one| one.party == standard.contract.party);
        let terms = in_force(&standard.terms, record.scaled_on);
        let (Some(work), Some(terms)) = (work.filter(|_| !record.pieces.is_empty()), terms) else {
            return Ok(());
        };
        let accounted = account(record, &work, &terms.practice, &terms.rates)?;
        self.tickets = self.tickets.saturating_add(1);
        for ((number, piece), volume) in (1_u16..).zip(&record.pieces).zip(&accounted.volumes) {
            if work.concerns(number) {
                self.add_piece(piece.product(), volume)?;
            }
        }
        if ticket.corrected_by.is_some() {
            self.corrected = self.corrected.saturating_add(1);
            return Ok(());
        }
        for accrual in accounted.accrued.accruals {
            let number = u16::try_from(accrual.rate).ok().and_then(|rate| rate.checked_add(1));
            let number = number.ok_or(kernel::NumberError::TooLarge)?;
            let sum = self.quantities.entry((record.scaled_on, terms.id, number)).or_insert(Fixed::ZERO);
            *sum = sum.plus(accrual.quantity)?;
        }
        Ok(())
    }

    fn add_piece(&mut self, product: Product, stored: &PieceVolume) -> Result<(), Refusal> {
        let unit = stored.volume.map(|(unit, ..)| unit);
        let sum = self.volumes.entry((product, unit)).or_default();
        sum.pieces = sum.pieces.saturating_add(1);
        if let Some((_, gross, net)) = stored.volume {
            sum.gross = sum.gross.plus(gross)?;
            sum.net = sum.net.plus(net)?;
        }
        Ok(())
    }
}
