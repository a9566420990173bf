//! Adding tickets: what was measured, what contracts made of it, and who did it, in one statement for all of them.

use std::collections::HashSet;
use std::fmt::{Display, Write as _};

use diesel::QueryableByName;
use diesel::sql_types::{
    Array, BigInt, Binary, Date as SqlDate, Nullable, SmallInt, Text, Timestamptz, Uuid as SqlUuid,
};
use diesel_async::RunQueryDsl;
use kernel::{Id, OutfitId, ScalerCertificateId, TicketId};

use crate::derivation::small;
use crate::prepared::Prepared;
use crate::{AuditEntry, Books, Derivation, ScaleTicket, StorageError, UnpricedPiece, timber, volumes};

/// A ticket with everything that goes into the books with it.
#[derive(Clone, Debug, PartialEq)]
pub struct NewTicket {
    /// What was measured.
    pub record: ScaleTicket,
    /// What each contract made of it.
    pub derivations: Vec<Derivation>,
    /// What nothing pays for.
    pub unpriced: Vec<UnpricedPiece>,
    /// Who added it.
    pub entry: AuditEntry,
    /// What its scaler has to show for the day; looked up, not added.
    pub scaler_certificate: Option<ScalerCertificateId>,
}

#[derive(QueryableByName)]
pub(crate) struct AddedRow {
    #[diesel(sql_type = SqlUuid)]
    ticket_id: uuid::Uuid,
}

/// Arrays of arrays have no rows of different lengths, and documents are checked by whoever keeps them: both go as text.
const ADD: &str = "
WITH own AS (SELECT $::uuid AS outfit_id), added AS (
    INSERT INTO ticket (outfit_id, ticket_id, book, number, job_id, landing_id, scaled_on, scaler, work, turn, delivered_to,
                        pieces, remarks, corrects, correction_reason, fingerprint, accepted_at, accepted_by,
                        device_time_measured, device_time_sent, device_clock_ahead_seconds, late_for)
    SELECT own.outfit_id, ticket_id, book, number, job_id, landing_id, scaled_on, scaler, work::jsonb, turn::jsonb, delivered_to,
           pieces::jsonb, remarks, corrects, correction_reason, fingerprint, accepted_at, accepted_by,
           measured, sent, clock_ahead, late_for
    FROM own, unnest($::uuid[], $::text[], $::bigint[], $::uuid[], $::uuid[], $::date[], $::text[], $::text[], $::text[],
                     $::uuid[], $::text[], $::text[], $::uuid[], $::text[], $::bytea[], $::timestamptz[], $::text[],
                     $::timestamptz[], $::timestamptz[], $::bigint[], $::uuid[])
         AS new (ticket_id, book, number, job_id, landing_id, scaled_on, scaler, work, turn, delivered_to, pieces, remarks,
                 corrects, correction_reason, fingerprint, accepted_at, accepted_by, measured, sent, clock_ahead, late_for)
    ON CONFLICT (outfit_id, book, number) DO NOTHING
    RETURNING ticket_id
), derived AS (
    INSERT INTO derivation (outfit_id, derivation_id, ticket_id, contract_id, terms_id, revision, derived_at, units, gross,
                            net, culls, timber)
    SELECT own.outfit_id, derivation_id, ticket_id, contract_id, terms_id, 1, derived_at, units::text[], gross::bigint[],
           net::bigint[], culls::text[], timber::json
    FROM own, added JOIN unnest($::uuid[], $::uuid[], $::uuid[], $::uuid[], $::timestamptz[], $::text[], $::text[], $::text[],
                                  $::text[], $::text[])
         AS new (derivation_id, ticket_id, contract_id, terms_id, derived_at, units, gross, net, culls, timber) USING (ticket_id)
    RETURNING derivation_id, contract_id, terms_id
), accrued AS (
    INSERT INTO accrual (outfit_id, derivation_id, rate_number, scaled_on, quantity, piece_numbers, under_contract,
                         under_terms)
    SELECT own.outfit_id, derivation_id, rate_number, scaled_on, quantity, piece_numbers::smallint[], contract_id, terms_id
    FROM own, derived JOIN unnest($::uuid[], $::smallint[], $::date[], $::bigint[], $::text[])
         AS new (derivation_id, rate_number, scaled_on, quantity, piece_numbers) USING (derivation_id)
), entered AS (
    INSERT INTO audit_entry (outfit_id, audit_entry_id, transaction_id, made_at, made_by, role, operation, about, request_id)
    SELECT own.outfit_id, audit_entry_id, pg_current_xact_id()::text::bigint, made_at, made_by, role, operation, ticket_id,
           request_id
    FROM own, added JOIN unnest($::uuid[], $::uuid[], $::timestamptz[], $::text[], $::text[], $::text[], $::uuid[])
         AS new (ticket_id, audit_entry_id, made_at, made_by, role, operation, request_id) USING (ticket_id)
)
SELECT ticket_id FROM added";

impl Books {
    /// Adds tickets, each unless its book and number are taken; answers which were added.
    ///
    /// When an equal ticket is being added by someone else at this moment, waits to see whether that one stays. None of
    /// them may have been derived before.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `CorrectedAlready`, or `NoSuch` for a landing that is not on the job, a mill or
    /// a corrected ticket that is not the outfit's; nothing was added then.
    pub async fn add_tickets(&mut self, new: &[NewTicket]) -> Result<HashSet<TicketId>, StorageError> {
        let rows: Vec<AddedRow> = adding(self.outfit(), new)?.load(&mut self.connection).await?;
        let added = self.count_added(new, rows);
        let of_added = new.iter().filter(|one| added.contains(&one.record.id));
        let unpriced: Vec<_> = of_added.flat_map(|one| one.unpriced.iter().cloned()).collect();
        if !unpriced.is_empty() {
            self.add_unpriced(&unpriced).await?;
        }
        Ok(added)
    }

    /// Which tickets were added, counted as such.
    pub(crate) fn count_added(&mut self, new: &[NewTicket], rows: Vec<AddedRow>) -> HashSet<TicketId> {
        let added: HashSet<_> = rows.into_iter().map(|row| TicketId::from_uuid(row.ticket_id)).collect();
        for one in new.iter().filter(|one| added.contains(&one.record.id)) {
            self.added.ticket(one.record.pieces.len());
            self.added.accruals(one.derivations.iter().map(|derivation| derivation.accruals.len()).sum());
        }
        added
    }
}

/// The statement that adds tickets; it answers with those it added.
pub(crate) fn adding(outfit: OutfitId, new: &[NewTicket]) -> Result<Prepared<'_>, StorageError> {
    let statement = Prepared::new(ADD).bind::<SqlUuid, _>(outfit.uuid());
    let statement = bind_records(statement, new)?;
    let statement = bind_derivations(statement, new);
    let statement = bind_accruals(statement, new)?;
    Ok(bind_entries(statement, new))
}

fn unwritable(error: serde_json::Error) -> StorageError {
    StorageError::inconsistent("ticket", error)
}

/// The pieces as JSON, in a buffer that has room for most.
fn written(pieces: &[scaling::Piece]) -> Result<String, StorageError> {
    const EACH: usize = 192;
    let mut json = Vec::with_capacity(EACH.saturating_mul(pieces.len()));
    serde_json::to_writer(&mut json, pieces).map_err(unwritable)?;
    String::from_utf8(json).map_err(|error| StorageError::inconsistent("ticket", error))
}

fn bind_records<'a>(statement: Prepared<'a>, new: &'a [NewTicket]) -> Result<Prepared<'a>, StorageError> {
    let all = || new.iter().map(|one| &one.record);
    let document = |value: Result<String, serde_json::Error>| value.map_err(unwritable);
    let work = all().map(|one| document(serde_json::to_string(&one.work))).collect::<Result<Vec<_>, _>>()?;
    let pieces = all().map(|one| written(&one.pieces)).collect::<Result<Vec<_>, _>>()?;
    let turn =
        all().map(|one| one.turn.as_ref().map(|turn| document(serde_json::to_string(turn))).transpose());
    let turn = turn.collect::<Result<Vec<_>, _>>()?;
    let correction = |one: &'a ScaleTicket| one.corrects.as_ref();
    Ok(statement
        .bind::<Array<SqlUuid>, _>(all().map(|one| one.id.uuid()).collect::<Vec<_>>())
        .bind::<Array<Text>, _>(all().map(|one| one.book.as_str()).collect::<Vec<_>>())
        .bind::<Array<BigInt>, _>(all().map(|one| one.number).collect::<Vec<_>>())
        .bind::<Array<SqlUuid>, _>(all().map(|one| one.job.uuid()).collect::<Vec<_>>())
        .bind::<Array<SqlUuid>, _>(all().map(|one| one.landing.uuid()).collect::<Vec<_>>())
        .bind::<Array<SqlDate>, _>(all().map(|one| one.scaled_on.into()).collect::<Vec<jiff_diesel::Date>>())
        .bind::<Array<Text>, _>(all().map(|one| one.scaler.as_str()).collect::<Vec<_>>())
        .bind::<Array<Text>, _>(work)
        .bind::<Array<Nullable<Text>>, _>(turn)
        .bind::<Array<Nullable<SqlUuid>>, _>(
            all().map(|one| one.delivered_to.map(Id::uuid)).collect::<Vec<_>>(),
        )
        .bind::<Array<Text>, _>(pieces)
        .bind::<Array<Nullable<Text>>, _>(all().map(|one| one.remarks.as_deref()).collect::<Vec<_>>())
        .bind::<Array<Nullable<SqlUuid>>, _>(
            all().map(|one| correction(one).map(|correction| correction.of.uuid())).collect::<Vec<_>>(),
        )
        .bind::<Array<Nullable<Text>>, _>(
            all().map(|one| correction(one).map(|correction| correction.reason.as_str())).collect::<Vec<_>>(),
        )
        .bind::<Array<Binary>, _>(all().map(|one| one.fingerprint.as_slice()).collect::<Vec<_>>())
        .bind::<Array<Timestamptz>, _>(
            all().map(|one| one.accepted.at.into()).collect::<Vec<jiff_diesel::Timestamp>>(),
        )
        .bind::<Array<Text>, _>(all().map(|one| one.accepted.by.as_str()).collect::<Vec<_>>())
        .bind::<Array<Nullable<Timestamptz>>, _>(instants(all().map(|one| one.arrival.measured)))
        .bind::<Array<Nullable<Timestamptz>>, _>(instants(all().map(|one| one.arrival.sent)))
        .bind::<Array<Nullable<BigInt>>, _>(
            all().map(|one| one.arrival.clock_ahead_seconds).collect::<Vec<_>>(),
        )
        .bind::<Array<Nullable<SqlUuid>>, _>(
            all().map(|one| one.arrival.late_for.map(Id::uuid)).collect::<Vec<_>>(),
        ))
}

fn instants(instants: impl Iterator<Item = Option<jiff::Timestamp>>) -> Vec<Option<jiff_diesel::Timestamp>> {
    instants.map(|instant| instant.map(jiff_diesel::Timestamp::from)).collect()
}

fn bind_derivations<'a>(statement: Prepared<'a>, new: &'a [NewTicket]) -> Prepared<'a> {
    let all = || new.iter().flat_map(|one| &one.derivations);
    statement
        .bind::<Array<SqlUuid>, _>(all().map(|one| one.id.uuid()).collect::<Vec<_>>())
        .bind::<Array<SqlUuid>, _>(all().map(|one| one.ticket.uuid()).collect::<Vec<_>>())
        .bind::<Array<SqlUuid>, _>(all().map(|one| one.contract.uuid()).collect::<Vec<_>>())
        .bind::<Array<SqlUuid>, _>(all().map(|one| one.terms.uuid()).collect::<Vec<_>>())
        .bind::<Array<Timestamptz>, _>(
            all().map(|one| one.derived_at.into()).collect::<Vec<jiff_diesel::Timestamp>>(),
        )
        .bind::<Array<Text>, _>(all().map(|one| words(volumes::units(&one.volumes))).collect::<Vec<_>>())
        .bind::<Array<Text>, _>(all().map(|one| numbers(volumes::gross(&one.volumes))).collect::<Vec<_>>())
        .bind::<Array<Text>, _>(all().map(|one| numbers(volumes::net(&one.volumes))).collect::<Vec<_>>())
        .bind::<Array<Text>, _>(
            all().map(|one| words(one.volumes.iter().map(|piece| piece.cull.as_deref()))).collect::<Vec<_>>(),
        )
        .bind::<Array<Nullable<Text>>, _>(
            all()
                .map(|one| one.timber.as_deref().map(|sums| timber::document(sums).to_string()))
                .collect::<Vec<_>>(),
        )
}

fn bind_accruals<'a>(statement: Prepared<'a>, new: &'a [NewTicket]) -> Result<Prepared<'a>, StorageError> {
    let all = || {
        new.iter().flat_map(|one| {
            let derivations = one.derivations.iter();
            derivations.flat_map(move |derivation| {
                derivation.accruals.iter().map(move |accrual| (&one.record, derivation.id, accrual))
            })
        })
    };
    let rates = all().map(|(.., one)| small(one.rate_number)).collect::<Result<Vec<_>, _>>()?;
    Ok(statement
        .bind::<Array<SqlUuid>, _>(all().map(|(_, derivation, _)| derivation.uuid()).collect::<Vec<_>>())
        .bind::<Array<SmallInt>, _>(rates)
        .bind::<Array<SqlDate>, _>(
            all().map(|(ticket, ..)| ticket.scaled_on.into()).collect::<Vec<jiff_diesel::Date>>(),
        )
        .bind::<Array<BigInt>, _>(all().map(|(.., one)| one.quantity.millionths()).collect::<Vec<_>>())
        .bind::<Array<Text>, _>(
            all().map(|(.., one)| numbers(one.pieces.iter().copied().map(Some))).collect::<Vec<_>>(),
        ))
}

fn bind_entries<'a>(statement: Prepared<'a>, new: &'a [NewTicket]) -> Prepared<'a> {
    let all = || new.iter().map(|one| &one.entry);
    statement
        .bind::<Array<SqlUuid>, _>(new.iter().map(|one| one.record.id.uuid()).collect::<Vec<_>>())
        .bind::<Array<SqlUuid>, _>(all().map(|one| one.id.uuid()).collect::<Vec<_>>())
        .bind::<Array<Timestamptz>, _>(
            all().map(|one| one.made.at.into()).collect::<Vec<jiff_diesel::Timestamp>>(),
        )
        .bind::<Array<Text>, _>(all().map(|one| one.made.by.as_str()).collect::<Vec<_>>())
        .bind::<Array<Text>, _>(all().map(|one| one.role.as_str()).collect::<Vec<_>>())
        .bind::<Array<Text>, _>(all().map(|one| one.operation.as_str()).collect::<Vec<_>>())
        .bind::<Array<Nullable<SqlUuid>>, _>(all().map(|one| one.request).collect::<Vec<_>>())
}

/// An array of words as PostgreSQL writes it, each of them quoted.
fn words<'a>(elements: impl IntoIterator<Item = Option<&'a str>>) -> String {
    array(elements, |text, element| {
        text.push('"');
        for letter in element.chars() {
            if matches!(letter, '"' | '\\') {
                text.push('\\');
            }
            text.push(letter);
        }
        text.push('"');
    })
}

/// An array of whole numbers as PostgreSQL writes it.
fn numbers<Number: Display>(elements: impl IntoIterator<Item = Option<Number>>) -> String {
    array(elements, |text, element| {
        // Writing to a text cannot fail.
        let _infallible = write!(text, "{element}");
    })
}

fn array<Element>(
    elements: impl IntoIterator<Item = Option<Element>>,
    mut write: impl FnMut(&mut String, Element),
) -> String {
    let mut text = String::from("{");
    for (place, element) in elements.into_iter().enumerate() {
        if place > 0 {
            text.push(',');
        }
        match element {
            None => text.push_str("NULL"),
            Some(element) => write(&mut text, element),
        }
    }
    text.push('}');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The form is PostgreSQL's own (its documentation, "Arrays", Array Input and Output Syntax).
    #[test]
    fn arrays_are_written_so_that_nothing_in_them_is_taken_for_syntax() {
        assert_eq!(words([]), "{}");
        assert_eq!(words([Some("12"), None, Some("")]), r#"{"12",NULL,""}"#);
        assert_eq!(
            words([Some("NULL"), Some(r#"rot, "butt" \ more}"#)]),
            r#"{"NULL","rot, \"butt\" \\ more}"}"#
        );
        assert_eq!(numbers([Some(12_000_000_i64), None, Some(-7)]), "{12000000,NULL,-7}");
        assert_eq!(numbers::<u16>([]), "{}");
    }
}
