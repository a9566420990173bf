//! Tickets with what contracts made of them, many at once: for computing a posted week again.

use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{
    ContractId, DerivationId, Fixed, Id, JobId, LandingId, MillId, SettlementId, TermsId, TicketId,
};
use scaling::Piece;

use crate::derivation::small_back;
use crate::schema::{accrual, derivation, ticket};
use crate::timber::{self, Kind};
use crate::unread::{Document, Unread};
use crate::volumes::{self, VolumeColumns};
use crate::{Accrual, Arrival, Books, Correction, Derivation, ScaleTicket, Stamp, StorageError, Turn, Work};

/// A ticket with some of what contracts made of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaledTicket {
    /// The ticket.
    pub ticket: ScaleTicket,
    /// What was made of it, by contract and in the order of their making.
    pub derivations: Vec<Derivation>,
}

/// Tickets with what contracts made of them, as they came from the database and not read yet.
pub struct StoredWork {
    tickets: Unread<TicketRow>,
    derivations: Unread<DerivationRow>,
    accruals: Unread<AccrualRow>,
}

impl std::fmt::Debug for StoredWork {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("StoredWork")
    }
}

type TicketRow = (
    (uuid::Uuid, String, i64, uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String),
    (Document<Vec<Work>>, Option<Document<Turn>>, Option<uuid::Uuid>, Document<Vec<Piece>>, Option<String>),
    (Option<uuid::Uuid>, Option<String>, Vec<u8>, jiff_diesel::Timestamp, String),
    (Option<jiff_diesel::Timestamp>, Option<jiff_diesel::Timestamp>, Option<i64>, Option<uuid::Uuid>),
);

type DerivationRow = (
    (uuid::Uuid, uuid::Uuid, uuid::Uuid, uuid::Uuid, jiff_diesel::Timestamp),
    Option<Document<Vec<Kind>>>,
    VolumeColumns,
);

type AccrualRow = (uuid::Uuid, i16, i64, Vec<i16>);

impl Books {
    /// The tickets that these derivations were made of, those that are there, in the order of the tickets.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn tickets_of_derivations(
        &mut self,
        ids: &[DerivationId],
    ) -> Result<Vec<(TicketId, DerivationId)>, StorageError> {
        let ids: Vec<_> = ids.iter().map(|id| id.uuid()).collect();
        let mut rows: Vec<(uuid::Uuid, uuid::Uuid)> = derivation::table
            .filter(derivation::outfit_id.eq(self.outfit_uuid()))
            .filter(derivation::derivation_id.eq_any(ids))
            .select((derivation::ticket_id, derivation::derivation_id))
            .load(&mut self.connection)
            .await?;
        rows.sort_unstable();
        let read = |(ticket, derivation)| (TicketId::from_uuid(ticket), DerivationId::from_uuid(derivation));
        Ok(rows.into_iter().map(read).collect())
    }

    /// Fetches tickets with these derivations, to be read by [`StoredWork::read`].
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn stored_work(
        &mut self,
        tickets: &[TicketId],
        derivations: &[DerivationId],
    ) -> Result<StoredWork, StorageError> {
        let outfit = self.outfit_uuid();
        let tickets: Vec<_> = tickets.iter().map(|id| id.uuid()).collect();
        let derivations: Vec<_> = derivations.iter().map(|id| id.uuid()).collect();
        let of_tickets = ticket::table
            .filter(ticket::outfit_id.eq(outfit))
            .filter(ticket::ticket_id.eq_any(tickets))
            .order(ticket::ticket_id)
            .select((
                (
                    ticket::ticket_id,
                    ticket::book,
                    ticket::number,
                    ticket::job_id,
                    ticket::landing_id,
                    ticket::scaled_on,
                    ticket::scaler,
                ),
                (ticket::work, ticket::turn, ticket::delivered_to, ticket::pieces, ticket::remarks),
                (
                    ticket::corrects,
                    ticket::correction_reason,
                    ticket::fingerprint,
                    ticket::accepted_at,
                    ticket::accepted_by,
                ),
                (
                    ticket::device_time_measured,
                    ticket::device_time_sent,
                    ticket::device_clock_ahead_seconds,
                    ticket::late_for,
                ),
            ));
        let of_derivations = derivation::table
            .filter(derivation::outfit_id.eq(outfit))
            .filter(derivation::derivation_id.eq_any(&derivations))
            .order((derivation::ticket_id, derivation::contract_id, derivation::revision))
            .select((
                (
                    derivation::derivation_id,
                    derivation::ticket_id,
                    derivation::contract_id,
                    derivation::terms_id,
                    derivation::derived_at,
                ),
                derivation::timber,
                (derivation::units, derivation::gross, derivation::net, derivation::culls),
            ));
        let of_accruals = accrual::table
            .filter(accrual::outfit_id.eq(outfit))
            .filter(accrual::derivation_id.eq_any(&derivations))
            .order((accrual::derivation_id, accrual::rate_number))
            .select((
                accrual::derivation_id,
                accrual::rate_number,
                accrual::quantity,
                accrual::piece_numbers,
            ));
        let connection = &*self.connection;
        let (tickets, derivations, accruals) = tokio::try_join!(
            Unread::of(connection, of_tickets),
            Unread::of(connection, of_derivations),
            Unread::of(connection, of_accruals),
        )?;
        Ok(StoredWork { tickets, derivations, accruals })
    }
}

impl StoredWork {
    /// Reads what came: hard work, and best done where nobody waits for the thread.
    ///
    /// # Errors
    ///
    /// [`StorageError::Inconsistent`] when a row cannot be read.
    pub fn read(self) -> Result<Vec<ScaledTicket>, StorageError> {
        let mut accruals = std::collections::HashMap::<_, Vec<Accrual>>::new();
        for (derivation, rate, quantity, pieces) in self.accruals.read("accrual")? {
            accruals.entry(derivation).or_default().push(Accrual {
                rate_number: small_back(rate)?,
                quantity: Fixed::from_millionths(quantity),
                pieces: pieces.into_iter().map(small_back).collect::<Result<_, _>>()?,
            });
        }
        let mut derivations = self.derivations.read("derivation")?.into_iter().peekable();
        let tickets = self.tickets.read("ticket")?.into_iter();
        tickets
            .map(|row| {
                let ticket = read_ticket(row)?;
                let mut made = Vec::new();
                while let Some(row) = derivations.next_if(|row| row.0.1 == ticket.id.uuid()) {
                    let accruals = accruals.remove(&row.0.0).unwrap_or_default();
                    made.push(read_derivation(row, accruals)?);
                }
                Ok(ScaledTicket { ticket, derivations: made })
            })
            .collect()
    }
}

fn read_ticket(row: TicketRow) -> Result<ScaleTicket, StorageError> {
    let (
        (id, book, number, job, landing, scaled_on, scaler),
        (work, turn, delivered_to, pieces, remarks),
        (corrects, reason, fingerprint, at, by),
        (measured, sent, clock_ahead_seconds, late_for),
    ) = row;
    let fingerprint = fingerprint.try_into();
    Ok(ScaleTicket {
        id: TicketId::from_uuid(id),
        book,
        number,
        job: JobId::from_uuid(job),
        landing: LandingId::from_uuid(landing),
        scaled_on: scaled_on.to_jiff(),
        scaler,
        work: work.0,
        turn: turn.map(|turn| turn.0),
        delivered_to: delivered_to.map(MillId::from_uuid),
        pieces: pieces.0,
        remarks,
        corrects: corrects.zip(reason).map(|(of, reason)| Correction { of: TicketId::from_uuid(of), reason }),
        arrival: Arrival {
            measured: measured.map(jiff_diesel::Timestamp::to_jiff),
            sent: sent.map(jiff_diesel::Timestamp::to_jiff),
            clock_ahead_seconds,
            late_for: late_for.map(SettlementId::from_uuid),
        },
        fingerprint: fingerprint
            .map_err(|_| StorageError::inconsistent("ticket", "the fingerprint is not 32 bytes"))?,
        accepted: Stamp { at: at.to_jiff(), by },
    })
}

fn read_derivation(row: DerivationRow, accruals: Vec<Accrual>) -> Result<Derivation, StorageError> {
    let ((id, ticket, contract, terms, at), timber, scaled) = row;
    Ok(Derivation {
        id: DerivationId::from_uuid(id),
        ticket: TicketId::from_uuid(ticket),
        contract: ContractId::from_uuid(contract),
        terms: TermsId::from_uuid(terms),
        derived_at: at.to_jiff(),
        volumes: volumes::read(scaled)?,
        accruals,
        timber: timber.map(|kinds| kinds.0.into_iter().map(timber::sum).collect()),
    })
}
