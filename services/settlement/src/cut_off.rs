//! When a week can be posted: so many hours after its last day is over.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use serde::{Deserialize, Serialize};

/// A cut-off outside its range.
///
/// ```
/// let error = settlement::CutOff::try_from(169).unwrap_err();
/// assert_eq!((error.code(), error.to_string().as_str()), ("cut_off_too_late", "a cut-off of 169 hours: write 0 to 168"));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a cut-off of {0} hours: write 0 to {most}", most = CutOff::MOST)]
pub struct CutOffError(u16);

impl CutOffError {
    /// The stable code of the problem.
    ///
    /// ```
    /// assert_eq!(settlement::CutOff::try_from(1_000).unwrap_err().code(), "cut_off_too_late");
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        "cut_off_too_late"
    }
}

/// For how many hours after a week's last day its tickets are waited for: 0 to 168, a week.
///
/// ```
/// use jiff::{civil::date, tz::TimeZone};
/// use settlement::CutOff;
/// let noon: CutOff = serde_json::from_str("12")?;
/// let zone = TimeZone::get("America/Detroit")?;
/// // Clocks go forward in the night after Saturday 7 March 2026, and noon is noon all the same.
/// assert_eq!(noon.over(date(2026, 3, 7), &zone).to_string(), "2026-03-08T16:00:00Z");
/// assert_eq!(CutOff::default().over(date(2026, 3, 7), &zone).to_string(), "2026-03-08T05:00:00Z");
/// assert!(serde_json::from_str::<CutOff>("169").is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "u16", into = "u16")]
pub struct CutOff(u16);

impl CutOff {
    /// The most hours.
    pub const MOST: u16 = 168;

    /// The moment from which the week that ends on a day can be posted: the hours are those of the outfit's clock, so
    /// that a cut-off of 12 is noon of the next day whether or not clocks are changed in between. A moment that clocks
    /// leave out is as much later as they are put forward, and the first of two is meant where they are put back.
    ///
    /// At the end of the calendar it is the last moment there is.
    ///
    /// ```
    /// use jiff::{civil::date, tz::TimeZone};
    /// use settlement::CutOff;
    /// // In Santiago clocks go forward at midnight of Sunday 7 September 2025: that day begins at one.
    /// let zone = TimeZone::get("America/Santiago")?;
    /// let over = CutOff::default().over(date(2025, 9, 6), &zone);
    /// assert_eq!(over.to_zoned(zone).to_string(), "2025-09-07T01:00:00-03:00[America/Santiago]");
    /// # Ok::<(), jiff::Error>(())
    /// ```
    #[must_use]
    pub fn over(self, last_day: Date, zone: &TimeZone) -> Timestamp {
        let hours = i64::from(self.0).hours();
        let moment = last_day
            .tomorrow()
            .and_then(|day| day.at(0, 0, 0, 0).checked_add(hours))
            .and_then(|moment| zone.to_timestamp(moment));
        moment.unwrap_or(Timestamp::MAX)
    }

    /// The hours.
    ///
    /// ```
    /// assert_eq!(settlement::CutOff::try_from(36)?.hours(), 36);
    /// # Ok::<(), settlement::CutOffError>(())
    /// ```
    #[must_use]
    pub const fn hours(self) -> u16 {
        self.0
    }
}

impl TryFrom<u16> for CutOff {
    type Error = CutOffError;

    fn try_from(hours: u16) -> Result<Self, Self::Error> {
        if hours <= Self::MOST { Ok(Self(hours)) } else { Err(CutOffError(hours)) }
    }
}

impl From<CutOff> for u16 {
    fn from(cut_off: CutOff) -> Self {
        cut_off.0
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for CutOff {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        utoipa::openapi::schema::ObjectBuilder::new()
            .schema_type(utoipa::openapi::schema::Type::Integer)
            .description(Some("Hours of the outfit's clock after a week's last day: 0 to 168."))
            .minimum(Some(0))
            .maximum(Some(Self::MOST))
            .into()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for CutOff {}
