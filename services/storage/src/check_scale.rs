//! Check scales: samples that somebody else scaled again.

use diesel::dsl::sql;
use diesel::pg::Pg;
use diesel::sql_types::{Nullable, Uuid as SqlUuid};
use diesel::{BoolExpressionMethods, ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{CheckScaleId, ContractId, Id, JobId, MillId, ScalerCertificateId, TicketId};
use scaling::Piece;
use serde::{Deserialize, Serialize};

use crate::schema::{check_scale, contract};
use crate::{Books, Page, Stamp, StorageError};

/// A sampled piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CheckedPiece {
    /// The ticket it stands on, or the one whose pile it was found in.
    pub ticket: TicketId,
    /// Its number there, from 1; none for one too many.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<u16>,
    /// What the checker measured; none for one that is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub facts: Option<Piece>,
}

/// What a check scale is of: what was scaled under its contract on these days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckedLot {
    /// The first day.
    pub from: Date,
    /// The last.
    pub to: Date,
    /// Only what this scaler scaled.
    pub scaler: Option<String>,
}

/// A sample that was scaled again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckScale {
    /// Its id.
    pub id: CheckScaleId,
    /// The contract whose practice and rule both scales go by.
    pub contract: ContractId,
    /// What the sample stands for.
    pub lot: CheckedLot,
    /// Whose scale is checked; none where the sampled tickets are of several scalers.
    pub scaler: Option<String>,
    /// The day of the check.
    pub checked_on: Date,
    /// Who scaled again.
    pub checker: String,
    /// What the scaler knew of it: `blind`, `unannounced` or `announced`.
    pub notice: String,
    /// The sample, in the order it was scaled.
    pub pieces: Vec<CheckedPiece>,
    /// Remarks.
    pub remarks: Option<String>,
    /// Who filed it, and when.
    pub made: Stamp,
}

/// A check scale, with what its checker may show for himself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckScaleState {
    /// The check scale.
    pub record: CheckScale,
    /// The checker's certificate for that day.
    pub certificate: Option<ScalerCertificateId>,
}

/// Which check scales a list is to hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CheckScaleFilter {
    /// Of contracts of this job.
    pub job: Option<JobId>,
    /// Of this contract.
    pub contract: Option<ContractId>,
    /// Of contracts with this mill.
    pub mill: Option<MillId>,
    /// Of this scaler's scale.
    pub scaler: Option<String>,
    /// Made on this day or later.
    pub from: Option<Date>,
    /// Made on this day or earlier.
    pub to: Option<Date>,
    /// Of a lot that has at least one of the days from the first of these to the last.
    pub lot_touches: Option<(Date, Date)>,
}

type Row = (
    (uuid::Uuid, uuid::Uuid, jiff_diesel::Date, jiff_diesel::Date, Option<String>, Option<String>),
    (jiff_diesel::Date, String, String, serde_json::Value, Option<String>),
    (jiff_diesel::Timestamp, String),
    Option<uuid::Uuid>,
);

/// The certificate that the checker held on the day, the one filed last if there are several.
const CERTIFICATE: &str = "(SELECT held.scaler_certificate_id FROM scaler_certificate AS held \
    WHERE held.outfit_id = check_scale.outfit_id AND held.scaler = check_scale.checker \
      AND check_scale.checked_on BETWEEN held.valid_from AND held.valid_to \
    ORDER BY held.scaler_certificate_id DESC LIMIT 1)";

macro_rules! columns {
    () => {
        (
            (
                check_scale::check_scale_id,
                check_scale::contract_id,
                check_scale::from_day,
                check_scale::to_day,
                check_scale::lot_scaler,
                check_scale::scaler,
            ),
            (
                check_scale::checked_on,
                check_scale::checker,
                check_scale::notice,
                check_scale::pieces,
                check_scale::remarks,
            ),
            (check_scale::made_at, check_scale::made_by),
            sql::<Nullable<SqlUuid>>(CERTIFICATE),
        )
    };
}

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("check_scale", why)
}

fn read(row: Row) -> Result<CheckScaleState, StorageError> {
    let (
        (id, contract, from, to, lot_scaler, scaler),
        (checked_on, checker, notice, pieces, remarks),
        (at, by),
        certificate,
    ) = row;
    let record = CheckScale {
        id: CheckScaleId::from_uuid(id),
        contract: ContractId::from_uuid(contract),
        lot: CheckedLot { from: from.to_jiff(), to: to.to_jiff(), scaler: lot_scaler },
        scaler,
        checked_on: checked_on.to_jiff(),
        checker,
        notice,
        pieces: serde_json::from_value(pieces).map_err(unreadable)?,
        remarks,
        made: Stamp { at: at.to_jiff(), by },
    };
    Ok(CheckScaleState { record, certificate: certificate.map(ScalerCertificateId::from_uuid) })
}

impl Books {
    /// Files a check scale.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the contract is not the outfit's or the database fails.
    pub async fn add_check_scale(&mut self, new: &CheckScale) -> Result<(), StorageError> {
        diesel::insert_into(check_scale::table)
            .values((
                check_scale::outfit_id.eq(self.outfit_uuid()),
                check_scale::check_scale_id.eq(new.id.uuid()),
                check_scale::contract_id.eq(new.contract.uuid()),
                check_scale::from_day.eq(jiff_diesel::Date::from(new.lot.from)),
                check_scale::to_day.eq(jiff_diesel::Date::from(new.lot.to)),
                check_scale::lot_scaler.eq(&new.lot.scaler),
                check_scale::scaler.eq(&new.scaler),
                check_scale::checked_on.eq(jiff_diesel::Date::from(new.checked_on)),
                check_scale::checker.eq(&new.checker),
                check_scale::notice.eq(&new.notice),
                check_scale::pieces.eq(serde_json::to_value(&new.pieces).map_err(unreadable)?),
                check_scale::remarks.eq(&new.remarks),
                check_scale::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                check_scale::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The check scale with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn check_scale(&mut self, id: CheckScaleId) -> Result<Option<CheckScaleState>, StorageError> {
        check_scale::table
            .filter(check_scale::outfit_id.eq(self.outfit_uuid()))
            .filter(check_scale::check_scale_id.eq(id.uuid()))
            .select(columns!())
            .first::<Row>(&mut self.connection)
            .await
            .optional()?
            .map(read)
            .transpose()
    }

    /// The newest check scales of a scaler's scale up to the one named, itself among them: newest first, by their day
    /// and, on one day, by when they were filed.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn check_scales_of_scaler(
        &mut self,
        scaler: &str,
        up_to: &CheckScale,
        most: u16,
    ) -> Result<Vec<CheckScaleState>, StorageError> {
        let day = jiff_diesel::Date::from(up_to.checked_on);
        let rows = check_scale::table
            .filter(check_scale::outfit_id.eq(self.outfit_uuid()))
            .filter(check_scale::scaler.eq(scaler))
            .filter(
                check_scale::checked_on
                    .lt(day)
                    .or(check_scale::checked_on.eq(day).and(check_scale::check_scale_id.le(up_to.id.uuid()))),
            )
            .order((check_scale::checked_on.desc(), check_scale::check_scale_id.desc()))
            .limit(most.into())
            .select(columns!())
            .load::<Row>(&mut self.connection)
            .await?;
        rows.into_iter().map(read).collect()
    }

    /// A page of check scales, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn check_scales(
        &mut self,
        filter: &CheckScaleFilter,
        page: Page<CheckScaleId>,
    ) -> Result<Vec<CheckScaleState>, StorageError> {
        let rows = self
            .those(filter)
            .filter(check_scale::check_scale_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(check_scale::check_scale_id)
            .limit(page.limit.into())
            .select(columns!())
            .load::<Row>(&mut self.connection)
            .await?;
        rows.into_iter().map(read).collect()
    }

    /// The latest of them, so many at the most: newest first, by their day and, on one day, by when they were filed. And how
    /// many there are in all.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn latest_check_scales(
        &mut self,
        filter: &CheckScaleFilter,
        most: u16,
    ) -> Result<(Vec<CheckScaleState>, i64), StorageError> {
        let count = self.those(filter).count().get_result(&mut self.connection).await?;
        let rows = self
            .those(filter)
            .order((check_scale::checked_on.desc(), check_scale::check_scale_id.desc()))
            .limit(most.into())
            .select(columns!())
            .load::<Row>(&mut self.connection)
            .await?;
        Ok((rows.into_iter().map(read).collect::<Result<_, _>>()?, count))
    }

    /// Those that a filter leaves.
    fn those<'a>(&self, filter: &'a CheckScaleFilter) -> check_scale::BoxedQuery<'a, Pg> {
        let outfit = self.outfit_uuid();
        let mut contracts =
            contract::table.filter(contract::outfit_id.eq(outfit)).select(contract::contract_id).into_boxed();
        if let Some(job) = filter.job {
            contracts = contracts.filter(contract::job_id.eq(job.uuid()));
        }
        if let Some(mill) = filter.mill {
            contracts = contracts.filter(contract::mill_id.eq(mill.uuid()));
        }
        if let Some(id) = filter.contract {
            contracts = contracts.filter(contract::contract_id.eq(id.uuid()));
        }
        let mut query = check_scale::table
            .filter(check_scale::outfit_id.eq(outfit))
            .filter(check_scale::contract_id.eq_any(contracts))
            .into_boxed();
        if let Some(scaler) = &filter.scaler {
            query = query.filter(check_scale::scaler.eq(scaler));
        }
        if let Some(from) = filter.from {
            query = query.filter(check_scale::checked_on.ge(jiff_diesel::Date::from(from)));
        }
        if let Some(to) = filter.to {
            query = query.filter(check_scale::checked_on.le(jiff_diesel::Date::from(to)));
        }
        if let Some((from, to)) = filter.lot_touches {
            query = query
                .filter(check_scale::from_day.le(jiff_diesel::Date::from(to)))
                .filter(check_scale::to_day.ge(jiff_diesel::Date::from(from)));
        }
        query
    }
}
