//! Scalers' certificates: what a scaler may show for himself, and for which days.

use diesel::{ExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, ScalerCertificateId};

use crate::schema::scaler_certificate;
use crate::{Books, Page, Stamp, StorageError};

/// A scaler's certificate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScalerCertificate {
    /// Its id.
    pub id: ScalerCertificateId,
    /// The scaler, by the name that stands on tickets.
    pub scaler: String,
    /// What is on it: its kind, its number.
    pub certificate: String,
    /// Who gave it.
    pub issued_by: String,
    /// The first day it is good for.
    pub valid_from: Date,
    /// The last.
    pub valid_to: Date,
    /// Who filed it, and when.
    pub made: Stamp,
}

/// Which certificates a list is to hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CertificateFilter {
    /// Of this scaler.
    pub scaler: Option<String>,
    /// Good for this day.
    pub on: Option<Date>,
}

type Row = (
    (uuid::Uuid, String, String, String, jiff_diesel::Date, jiff_diesel::Date),
    (jiff_diesel::Timestamp, String),
);

fn read(((id, scaler, certificate, issued_by, from, to), (at, by)): Row) -> ScalerCertificate {
    ScalerCertificate {
        id: ScalerCertificateId::from_uuid(id),
        scaler,
        certificate,
        issued_by,
        valid_from: from.to_jiff(),
        valid_to: to.to_jiff(),
        made: Stamp { at: at.to_jiff(), by },
    }
}

impl Books {
    /// Files a certificate.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn add_scaler_certificate(&mut self, new: &ScalerCertificate) -> Result<(), StorageError> {
        diesel::insert_into(scaler_certificate::table)
            .values((
                scaler_certificate::outfit_id.eq(self.outfit_uuid()),
                scaler_certificate::scaler_certificate_id.eq(new.id.uuid()),
                scaler_certificate::scaler.eq(&new.scaler),
                scaler_certificate::certificate.eq(&new.certificate),
                scaler_certificate::issued_by.eq(&new.issued_by),
                scaler_certificate::valid_from.eq(jiff_diesel::Date::from(new.valid_from)),
                scaler_certificate::valid_to.eq(jiff_diesel::Date::from(new.valid_to)),
                scaler_certificate::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                scaler_certificate::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// A page of certificates, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn scaler_certificates(
        &mut self,
        filter: &CertificateFilter,
        page: Page<ScalerCertificateId>,
    ) -> Result<Vec<ScalerCertificate>, StorageError> {
        let mut query = scaler_certificate::table
            .filter(scaler_certificate::outfit_id.eq(self.outfit_uuid()))
            .filter(
                scaler_certificate::scaler_certificate_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)),
            )
            .order(scaler_certificate::scaler_certificate_id)
            .limit(page.limit.into())
            .select((
                (
                    scaler_certificate::scaler_certificate_id,
                    scaler_certificate::scaler,
                    scaler_certificate::certificate,
                    scaler_certificate::issued_by,
                    scaler_certificate::valid_from,
                    scaler_certificate::valid_to,
                ),
                (scaler_certificate::made_at, scaler_certificate::made_by),
            ))
            .into_boxed();
        if let Some(scaler) = &filter.scaler {
            query = query.filter(scaler_certificate::scaler.eq(scaler));
        }
        if let Some(day) = filter.on.map(jiff_diesel::Date::from) {
            query = query
                .filter(scaler_certificate::valid_from.le(day))
                .filter(scaler_certificate::valid_to.ge(day));
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        Ok(rows.into_iter().map(read).collect())
    }
}
