//! That a record of money does not stand, and the reason.

use diesel::ExpressionMethods;
use diesel_async::RunQueryDsl;
use kernel::{AdvanceId, ChargeId, Id, JournalEntryId, PaymentId, ReleaseId, ReversalId};

use crate::schema::reversal;
use crate::{Books, Stamp, StorageError};

/// Which record does not stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Undone {
    /// A charge.
    Charge(ChargeId),
    /// An advance.
    Advance(AdvanceId),
    /// A payment.
    Payment(PaymentId),
    /// Holdback that was let go.
    Release(ReleaseId),
}

/// That a record does not stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reversal {
    /// Its id.
    pub id: ReversalId,
    /// The record.
    pub of: Undone,
    /// Why.
    pub reason: String,
    /// The journal entry that cancels the record's own; none for a charge, which has none.
    pub entry: Option<JournalEntryId>,
    /// Who took it back, and when.
    pub made: Stamp,
}

/// What a record shows of its having been taken back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reversed {
    /// Why.
    pub reason: String,
    /// Who took it back, and when.
    pub made: Stamp,
}

impl Books {
    /// Takes a record of money back.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `ReversedAlready` when it was taken back before, with `NoSuch` when the outfit
    /// has no such record.
    pub async fn add_reversal(&mut self, new: &Reversal) -> Result<(), StorageError> {
        let (mut charge, mut advance, mut payment, mut release) = (None, None, None, None);
        match new.of {
            Undone::Charge(id) => charge = Some(id.uuid()),
            Undone::Advance(id) => advance = Some(id.uuid()),
            Undone::Payment(id) => payment = Some(id.uuid()),
            Undone::Release(id) => release = Some(id.uuid()),
        }
        diesel::insert_into(reversal::table)
            .values((
                reversal::outfit_id.eq(self.outfit_uuid()),
                reversal::reversal_id.eq(new.id.uuid()),
                reversal::charge_id.eq(charge),
                reversal::advance_id.eq(advance),
                reversal::payment_id.eq(payment),
                reversal::release_id.eq(release),
                reversal::reason.eq(&new.reason),
                reversal::journal_entry_id.eq(new.entry.map(Id::uuid)),
                reversal::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                reversal::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }
}

/// The three columns of a reversal beside a record, all there or none.
pub(crate) type ReversedColumns = (Option<String>, Option<jiff_diesel::Timestamp>, Option<String>);

/// Reads them.
pub(crate) fn reversed((reason, at, by): ReversedColumns) -> Option<Reversed> {
    Some(Reversed { reason: reason?, made: Stamp { at: at?.to_jiff(), by: by? } })
}
