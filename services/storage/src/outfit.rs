//! The outfit itself: whose books these are.

use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Weekday;
use jiff::tz::TimeZone;
use kernel::{Currency, OutfitId};
use settlement::CutOff;

use crate::derivation::{small, small_back};
use crate::schema::outfit;
use crate::{Books, Stamp, StorageError};

/// The business that owns the books.
#[derive(Clone, Debug, PartialEq)]
pub struct Outfit {
    /// Its id.
    pub id: OutfitId,
    /// Its name.
    pub name: String,
    /// What it pays in.
    pub currency: Currency,
    /// Where its days begin and end.
    pub time_zone: TimeZone,
    /// The weekday its settlement week ends on.
    pub week_ends_on: Weekday,
    /// How long a week's tickets are waited for.
    pub cut_off: CutOff,
    /// Who opened the books, and when.
    pub made: Stamp,
}

impl Books {
    /// Opens the books of a new outfit: the transaction must be its own.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn open_outfit(&mut self, new: &Outfit) -> Result<(), StorageError> {
        let zone = new.time_zone.iana_name().unwrap_or("UTC");
        diesel::insert_into(outfit::table)
            .values((
                outfit::outfit_id.eq(self.outfit_uuid()),
                outfit::name.eq(&new.name),
                outfit::currency.eq(new.currency.code()),
                outfit::time_zone.eq(zone),
                outfit::week_ends_on.eq(i16::from(new.week_ends_on.to_monday_one_offset())),
                outfit::cut_off_hours.eq(small(new.cut_off.hours())?),
                outfit::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                outfit::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The outfit whose books are open, if it exists.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn own_outfit(&mut self) -> Result<Option<Outfit>, StorageError> {
        let row = outfit::table
            .filter(outfit::outfit_id.eq(self.outfit_uuid()))
            .select((
                outfit::name,
                outfit::currency,
                outfit::time_zone,
                outfit::week_ends_on,
                outfit::cut_off_hours,
                outfit::made_at,
                outfit::made_by,
            ))
            .first::<(String, String, String, i16, Option<i16>, jiff_diesel::Timestamp, String)>(
                &mut self.connection,
            )
            .await
            .optional()?;
        let Some((name, currency, zone, weekday, cut_off, at, by)) = row else { return Ok(None) };
        let unreadable = |why: &dyn std::fmt::Display| StorageError::inconsistent("outfit", why);
        let weekday = i8::try_from(weekday).map_err(|error| unreadable(&error))?;
        Ok(Some(Outfit {
            id: self.outfit(),
            name,
            currency: currency.parse().map_err(|error| unreadable(&error))?,
            time_zone: TimeZone::get(&zone).map_err(|error| unreadable(&error))?,
            week_ends_on: Weekday::from_monday_one_offset(weekday).map_err(|error| unreadable(&error))?,
            cut_off: CutOff::try_from(small_back(cut_off.unwrap_or(0))?)
                .map_err(|error| unreadable(&error))?,
            made: Stamp { at: at.to_jiff(), by },
        }))
    }
}
