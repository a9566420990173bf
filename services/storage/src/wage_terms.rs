//! What an outfit pays by the hour beside the pieces, from a date on.

use ::settlement::WageTerms;
use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, WageTermsId};

use crate::schema::wage_terms;
use crate::{Books, Stamp, StorageError};

/// Wage terms as they were filed.
#[derive(Clone, Debug, PartialEq)]
pub struct WageTermsFiled {
    /// Their id.
    pub id: WageTermsId,
    /// They hold for weeks that begin on this day or later.
    pub effective_from: Date,
    /// Counts up with each terms filed; of two from the same day the higher one holds.
    pub revision: i32,
    /// What they say.
    pub terms: WageTerms,
    /// Who filed them, and when.
    pub filed: Stamp,
}

type Row = (uuid::Uuid, jiff_diesel::Date, i32, serde_json::Value, jiff_diesel::Timestamp, String);

impl Books {
    /// Files wage terms; the revision is counted here and answered.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_wage_terms(&mut self, new: &WageTermsFiled) -> Result<i32, StorageError> {
        let latest: Option<i32> = wage_terms::table
            .filter(wage_terms::outfit_id.eq(self.outfit_uuid()))
            .select(diesel::dsl::max(wage_terms::revision))
            .first(&mut self.connection)
            .await?;
        let revision = latest.unwrap_or(0).saturating_add(1);
        let terms = serde_json::to_value(&new.terms);
        diesel::insert_into(wage_terms::table)
            .values((
                wage_terms::outfit_id.eq(self.outfit_uuid()),
                wage_terms::wage_terms_id.eq(new.id.uuid()),
                wage_terms::effective_from.eq(jiff_diesel::Date::from(new.effective_from)),
                wage_terms::revision.eq(revision),
                wage_terms::terms.eq(terms.map_err(|error| StorageError::inconsistent("wage_terms", error))?),
                wage_terms::filed_at.eq(jiff_diesel::Timestamp::from(new.filed.at)),
                wage_terms::filed_by.eq(&new.filed.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(revision)
    }

    /// Every wage terms the outfit has filed, by day and revision.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn wage_terms(&mut self) -> Result<Vec<WageTermsFiled>, StorageError> {
        let rows: Vec<Row> = wage_terms::table
            .filter(wage_terms::outfit_id.eq(self.outfit_uuid()))
            .order((wage_terms::effective_from, wage_terms::revision))
            .select((
                wage_terms::wage_terms_id,
                wage_terms::effective_from,
                wage_terms::revision,
                wage_terms::terms,
                wage_terms::filed_at,
                wage_terms::filed_by,
            ))
            .load(&mut self.connection)
            .await?;
        rows.into_iter()
            .map(|(id, from, revision, terms, at, by)| {
                let terms = serde_json::from_value(terms);
                Ok(WageTermsFiled {
                    id: WageTermsId::from_uuid(id),
                    effective_from: from.to_jiff(),
                    revision,
                    terms: terms.map_err(|error| StorageError::inconsistent("wage_terms", error))?,
                    filed: Stamp { at: at.to_jiff(), by },
                })
            })
            .collect()
    }
}
