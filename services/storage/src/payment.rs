//! Payments: money handed to workers, and money that mills hand over.

use ::settlement::Payee;
use diesel::{BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, JournalEntryId, PaymentId};

use crate::money_filter::{page_of_money, reversed_columns, with_reversal};
use crate::reversal::{ReversedColumns, reversed};
use crate::schema::payment;
use crate::settlement::{payee, payee_uuids};
use crate::{Books, MoneyFilter, Page, Reversed, Stamp, StorageError};

/// Money that changed hands, in the currency's smallest unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPayment {
    /// Its id.
    pub id: PaymentId,
    /// The worker who got it, or the mill that handed it over.
    pub payee: Payee,
    /// The day.
    pub dated: Date,
    /// How it was paid, in words.
    pub says: String,
    /// How much.
    pub amount_minor: i64,
    /// The journal entry that books it.
    pub entry: JournalEntryId,
    /// Who recorded it, and when.
    pub made: Stamp,
}

/// A payment, and whether it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Payment {
    /// The payment.
    pub payment: NewPayment,
    /// That it does not stand.
    pub reversed: Option<Reversed>,
}

type Row = (
    (uuid::Uuid, Option<uuid::Uuid>, Option<uuid::Uuid>, jiff_diesel::Date, String, i64, uuid::Uuid),
    (jiff_diesel::Timestamp, String),
    ReversedColumns,
);

fn read((facts, (at, by), columns): Row) -> Result<Payment, StorageError> {
    let (id, worker, mill, dated, says, amount_minor, entry) = facts;
    Ok(Payment {
        payment: NewPayment {
            id: PaymentId::from_uuid(id),
            payee: payee(worker, mill)?,
            dated: dated.to_jiff(),
            says,
            amount_minor,
            entry: JournalEntryId::from_uuid(entry),
            made: Stamp { at: at.to_jiff(), by },
        },
        reversed: reversed(columns),
    })
}

macro_rules! payments {
    ($books:ident) => {
        with_reversal!(payment.payment_id).filter(payment::outfit_id.eq($books.outfit_uuid())).select((
            (
                payment::payment_id,
                payment::worker_id,
                payment::mill_id,
                payment::dated,
                payment::says,
                payment::amount_minor,
                payment::journal_entry_id,
            ),
            (payment::made_at, payment::made_by),
            reversed_columns!(),
        ))
    };
}

impl Books {
    /// Records a payment; its journal entry must be there.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` when the payee is not the outfit's.
    pub async fn add_payment(&mut self, new: &NewPayment) -> Result<(), StorageError> {
        let (worker, mill) = payee_uuids(new.payee);
        diesel::insert_into(payment::table)
            .values((
                payment::outfit_id.eq(self.outfit_uuid()),
                payment::payment_id.eq(new.id.uuid()),
                payment::worker_id.eq(worker),
                payment::mill_id.eq(mill),
                payment::dated.eq(jiff_diesel::Date::from(new.dated)),
                payment::says.eq(&new.says),
                payment::amount_minor.eq(new.amount_minor),
                payment::journal_entry_id.eq(new.entry.uuid()),
                payment::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                payment::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// A page of payments, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn payments(
        &mut self,
        filter: MoneyFilter,
        page: Page<PaymentId>,
    ) -> Result<Vec<Payment>, StorageError> {
        let mut query = page_of_money!(payments!(self), payment.payment_id, filter, page);
        if let Some(Payee::Mill(mill)) = filter.of {
            query = query.filter(payment::mill_id.eq(mill.uuid()));
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }

    /// The payment with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn payment(&mut self, id: PaymentId) -> Result<Option<Payment>, StorageError> {
        let rows: Vec<Row> =
            payments!(self).filter(payment::payment_id.eq(id.uuid())).load(&mut self.connection).await?;
        rows.into_iter().next().map(read).transpose()
    }
}
