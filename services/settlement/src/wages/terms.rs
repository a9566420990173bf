//! What an outfit pays by the hour beside the pieces: figures that the user enters, all off unless entered.

use serde::{Deserialize, Serialize};

use crate::{HourlyRate, Hours};

/// How the regular rate of a week is carried into what is worked out from it.
///
/// The published pieceworker examples come out the same both ways; 29 CFR 778.322 rounds first. So it is a setting,
/// and the statement says which was used.
///
/// ```
/// assert_eq!(serde_json::to_string(&settlement::RateRounding::HalfUpToTheCent)?, "\"half_up_to_the_cent\"");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum RateRounding {
    /// As an exact ratio; only the amount that comes of it is rounded.
    #[default]
    Exact,
    /// Rounded to the currency's smallest unit first, exact halves up, and then used.
    HalfUpToTheCent,
}

/// When overtime begins. Pieces already pay the straight time of every hour, so what is added is half the regular rate
/// for each hour past the threshold (29 CFR 778.111).
///
/// ```
/// let overtime: settlement::Overtime = serde_json::from_str(r#"{"after_hours": "40"}"#)?;
/// assert_eq!(overtime.after_hours.to_string(), "40");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Overtime {
    /// The hours of a week that carry no premium.
    pub after_hours: Hours,
}

/// How rest periods are paid.
///
/// ```
/// assert_eq!(settlement::RestPay::default(), settlement::RestPay::WithThePieces);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum RestPay {
    /// Rest counts as hours worked, and what the pieces bring pays for it.
    #[default]
    WithThePieces,
    /// Rest is paid apart, by what the week's other hours brought on average, or the minimum where that is more
    /// (as California Labor Code 226.2 asks).
    ByTheAverage,
}

/// What an outfit pays by the hour beside the pieces. Everything is off unless a figure is entered.
///
/// This is arithmetic, not legal advice: which of it is owed, and from what figures, local law and a licensed
/// professional decide.
///
/// ```
/// use settlement::WageTerms;
/// let terms: WageTerms = serde_json::from_str(
///     r#"{"guarantee_an_hour": "11.00", "minimum_an_hour": "7.25", "overtime": {"after_hours": "40"}}"#,
/// )?;
/// assert!(terms.overtime.is_some());
/// assert_eq!(serde_json::from_str::<WageTerms>("{}")?, WageTerms::default());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WageTerms {
    /// What an hour on piece work brings at least, over the week (29 CFR 778.111(b)).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub guarantee_an_hour: Option<HourlyRate>,
    /// What any hour worked brings at least, over the week; it also protects pay from most charges.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minimum_an_hour: Option<HourlyRate>,
    /// How rest is paid.
    #[serde(default)]
    pub rest: RestPay,
    /// When overtime begins; absent, nothing is added for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub overtime: Option<Overtime>,
    /// How the regular rate is carried.
    #[serde(default)]
    pub regular_rate: RateRounding,
}
