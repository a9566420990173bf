//! The outfit: whose books these are.

use jiff::Timestamp;
use kernel::{Currency, OutfitId};
use serde::{Deserialize, Serialize};
use settlement::CutOff;

use crate::Name;

/// A day of the week.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
#[expect(missing_docs, reason = "the days of the week need no words")]
pub enum WeekdayName {
    Monday,
    Tuesday,
    Wednesday,
    Thursday,
    Friday,
    Saturday,
    Sunday,
}

impl From<WeekdayName> for jiff::civil::Weekday {
    fn from(day: WeekdayName) -> Self {
        match day {
            WeekdayName::Monday => Self::Monday,
            WeekdayName::Tuesday => Self::Tuesday,
            WeekdayName::Wednesday => Self::Wednesday,
            WeekdayName::Thursday => Self::Thursday,
            WeekdayName::Friday => Self::Friday,
            WeekdayName::Saturday => Self::Saturday,
            WeekdayName::Sunday => Self::Sunday,
        }
    }
}

impl From<jiff::civil::Weekday> for WeekdayName {
    fn from(day: jiff::civil::Weekday) -> Self {
        match day {
            jiff::civil::Weekday::Monday => Self::Monday,
            jiff::civil::Weekday::Tuesday => Self::Tuesday,
            jiff::civil::Weekday::Wednesday => Self::Wednesday,
            jiff::civil::Weekday::Thursday => Self::Thursday,
            jiff::civil::Weekday::Friday => Self::Friday,
            jiff::civil::Weekday::Saturday => Self::Saturday,
            jiff::civil::Weekday::Sunday => Self::Sunday,
        }
    }
}

/// Opens the books of a new outfit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct OutfitCreate {
    /// What the outfit is called.
    pub name: Name,
    /// The currency it pays in.
    pub currency: Currency,
    /// Where its days begin and end: a name of the IANA time zone database, such as `America/Detroit`.
    pub time_zone: String,
    /// The weekday its settlement week ends on.
    pub week_ends_on: WeekdayName,
    /// For how many hours after a week's last day, on the outfit's clock, its tickets are waited for: the week cannot be
    /// posted before. Left out: 0.
    #[serde(default)]
    pub cut_off_hours: CutOff,
}

/// An outfit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct OutfitView {
    /// Its id.
    pub outfit_id: OutfitId,
    /// What it is called.
    pub name: String,
    /// The currency it pays in.
    pub currency: Currency,
    /// Where its days begin and end.
    pub time_zone: String,
    /// The weekday its settlement week ends on.
    pub week_ends_on: WeekdayName,
    /// For how many hours after a week's last day its tickets are waited for.
    #[serde(default)]
    pub cut_off_hours: CutOff,
    /// When its books were opened.
    pub made_at: Timestamp,
}
