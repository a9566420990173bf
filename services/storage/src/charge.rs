//! Charges against workers' pay.

use ::settlement::ChargeKind;
use diesel::dsl::sql;
use diesel::sql_types::{BigInt, Bool};
use diesel::{BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{ChargeId, Id, WorkerId};

use crate::money_filter::{outstanding_of, page_of_money, reversed_columns, taken_of, with_reversal};
use crate::reversal::{ReversedColumns, reversed};
use crate::schema::charge;
use crate::{Books, MoneyFilter, Page, Reversed, Stamp, StorageError};

/// Something a worker is charged for. Amounts are in the currency's smallest unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Charge {
    /// Its id.
    pub id: ChargeId,
    /// Who is charged.
    pub worker: WorkerId,
    /// The day.
    pub dated: Date,
    /// What kind of thing.
    pub kind: ChargeKind,
    /// What it was, in words.
    pub says: String,
    /// How much.
    pub amount_minor: i64,
    /// The most that is taken from one settlement; none where all of it may be.
    pub most_a_week_minor: Option<i64>,
    /// Whether it may be taken from pay that the minimum protects.
    pub cuts_into_minimum: bool,
    /// Who recorded it, and when.
    pub made: Stamp,
}

/// A charge, and how far it was taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChargeState {
    /// The charge.
    pub charge: Charge,
    /// What posted settlements took of it.
    pub taken_minor: i64,
    /// That it does not stand.
    pub reversed: Option<Reversed>,
}

impl ChargeState {
    /// What is still to be taken; below zero where something taken must be given back.
    #[must_use]
    pub fn outstanding_minor(&self) -> i64 {
        let stands = if self.reversed.is_some() { 0 } else { self.charge.amount_minor };
        stands.saturating_sub(self.taken_minor)
    }
}

type Row = (
    (uuid::Uuid, uuid::Uuid, jiff_diesel::Date, String, String, i64, i64, bool),
    (jiff_diesel::Timestamp, String),
    i64,
    ReversedColumns,
);

fn read((facts, (at, by), taken_minor, columns): Row) -> Result<ChargeState, StorageError> {
    let (id, worker, dated, kind, says, amount_minor, most_minor, cuts_into_minimum) = facts;
    let known = ChargeKind::ALL.into_iter().find(|one| one.name() == kind);
    let kind = known.ok_or_else(|| StorageError::inconsistent("charge", format!("no kind {kind}")))?;
    Ok(ChargeState {
        charge: Charge {
            id: ChargeId::from_uuid(id),
            worker: WorkerId::from_uuid(worker),
            dated: dated.to_jiff(),
            kind,
            says,
            amount_minor,
            most_a_week_minor: (most_minor < amount_minor).then_some(most_minor),
            cuts_into_minimum,
            made: Stamp { at: at.to_jiff(), by },
        },
        taken_minor,
        reversed: reversed(columns),
    })
}

/// What posted settlements took of a charge.
const TAKEN: &str = taken_of!("charge");

macro_rules! charges {
    ($books:ident) => {
        with_reversal!(charge.charge_id).filter(charge::outfit_id.eq($books.outfit_uuid())).select((
            (
                charge::charge_id,
                charge::worker_id,
                charge::dated,
                charge::kind,
                charge::says,
                charge::amount_minor,
                charge::most_a_week_minor,
                charge::cuts_into_minimum,
            ),
            (charge::made_at, charge::made_by),
            sql::<BigInt>(TAKEN),
            reversed_columns!(),
        ))
    };
}

impl Books {
    /// Records a charge.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` when the worker is not the outfit's.
    pub async fn add_charge(&mut self, new: &Charge) -> Result<(), StorageError> {
        diesel::insert_into(charge::table)
            .values((
                charge::outfit_id.eq(self.outfit_uuid()),
                charge::charge_id.eq(new.id.uuid()),
                charge::worker_id.eq(new.worker.uuid()),
                charge::dated.eq(jiff_diesel::Date::from(new.dated)),
                charge::kind.eq(new.kind.name()),
                charge::says.eq(&new.says),
                charge::amount_minor.eq(new.amount_minor),
                charge::most_a_week_minor
                    .eq(new.most_a_week_minor.unwrap_or(new.amount_minor).min(new.amount_minor)),
                charge::cuts_into_minimum.eq(new.cuts_into_minimum),
                charge::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                charge::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// A page of charges, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn charges(
        &mut self,
        filter: MoneyFilter,
        page: Page<ChargeId>,
    ) -> Result<Vec<ChargeState>, StorageError> {
        let query = page_of_money!(charges!(self), charge.charge_id, filter, page);
        let rows = query.load::<Row>(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }

    /// The charge with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn charge(&mut self, id: ChargeId) -> Result<Option<ChargeState>, StorageError> {
        let rows: Vec<Row> =
            charges!(self).filter(charge::charge_id.eq(id.uuid())).load(&mut self.connection).await?;
        rows.into_iter().next().map(read).transpose()
    }

    /// The charges of days up to `day` of which something is still to be taken or given back, in the order of days.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn charges_due(&mut self, day: Date) -> Result<Vec<ChargeState>, StorageError> {
        let rows: Vec<Row> = charges!(self)
            .filter(charge::dated.le(jiff_diesel::Date::from(day)))
            .filter(sql::<Bool>(outstanding_of!("charge")))
            .order((charge::dated, charge::charge_id))
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(read).collect()
    }
}
