//! How a crew shares its pay: by fixed parts, equally, or by the hours worked each day.

use jiff::civil::Date;
use kernel::{Exact, Fixed, NumberError};
use serde::{Deserialize, Serialize};

/// How a crew shares its pay.
///
/// ```
/// use settlement::ShareMethod;
/// assert_eq!(ShareMethod::default().name(), "parts");
/// assert_eq!(serde_json::to_string(&ShareMethod::ByHours)?, "\"by_hours\"");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum ShareMethod {
    /// Each member has parts that were agreed.
    #[default]
    Parts,
    /// All have the same.
    Equally,
    /// Each day's work by the hours of piece work that each member did that day.
    ByHours,
}

impl ShareMethod {
    /// Every method.
    ///
    /// ```
    /// assert_eq!(settlement::ShareMethod::ALL.len(), 3);
    /// ```
    pub const ALL: [Self; 3] = [Self::Parts, Self::Equally, Self::ByHours];

    /// The name used in JSON and in the database.
    ///
    /// ```
    /// assert_eq!(settlement::ShareMethod::Equally.name(), "equally");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Parts => "parts",
            Self::Equally => "equally",
            Self::ByHours => "by_hours",
        }
    }
}

/// What a crew did under one rate on one day, and the hours of its members in their fixed order.
///
/// ```
/// let day = settlement::SharedDay {
///     day: jiff::civil::date(2031, 6, 3),
///     quantity: "1200".parse()?,
///     hours: vec!["8".parse()?, "4".parse()?],
/// };
/// assert_eq!(day.hours.len(), 2);
/// # Ok::<(), kernel::NumberTextError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharedDay {
    /// The day.
    pub day: Date,
    /// What was counted that day.
    pub quantity: Fixed,
    /// The hours of each member.
    pub hours: Vec<Fixed>,
}

/// Why hours cannot divide a crew's pay.
///
/// ```
/// use settlement::HoursError;
/// assert_eq!(HoursError::NoHours(jiff::civil::date(2031, 6, 3)).code(), "no_hours");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HoursError {
    /// Something was counted on a day on which no member has hours.
    #[error("work was counted on {0} and no member has hours of piece work that day: file them")]
    NoHours(Date),
    /// A sum that cannot be held.
    #[error(transparent)]
    Number(#[from] NumberError),
}

impl HoursError {
    /// The stable code of the problem.
    ///
    /// ```
    /// assert_eq!(settlement::HoursError::Number(kernel::NumberError::TooLarge).code(), "hours_number");
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::NoHours(_) => "no_hours",
            Self::Number(_) => "hours_number",
        }
    }
}

/// Each member's parts of a week's work: over its days, the day's quantity × his hours ÷ the hours of all, exactly.
///
/// A day on which nothing counted gives nobody anything; where nothing counted all week, all parts are one, so that
/// an amount of nothing can be divided.
///
/// # Errors
///
/// [`HoursError::NoHours`] for a day with a quantity on which nobody has hours.
///
/// ```
/// use settlement::{SharedDay, parts_by_hours};
/// let day = |day: i8, quantity: &str, one: &str, other: &str| -> Result<_, kernel::NumberTextError> {
///     let hours = vec![one.parse()?, other.parse()?];
///     Ok(SharedDay { day: jiff::civil::date(2031, 6, day), quantity: quantity.parse()?, hours })
/// };
/// // Monday one man had two thirds of the hours, Tuesday the other worked alone.
/// let parts = parts_by_hours(2, &[day(2, "900", "8", "4")?, day(3, "500", "0", "6")?])?;
/// assert_eq!(parts, ["600".parse()?, "800".parse()?]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn parts_by_hours(members: usize, days: &[SharedDay]) -> Result<Vec<Exact>, HoursError> {
    let mut parts = vec![Exact::ZERO; members];
    for SharedDay { day, quantity, hours } in days.iter().filter(|day| !day.quantity.is_zero()) {
        let mut all = Exact::ZERO;
        for one in hours {
            all = all.plus(one.exact())?;
        }
        if all.is_zero() {
            return Err(HoursError::NoHours(*day));
        }
        for (part, one) in parts.iter_mut().zip(hours) {
            // Dividing first keeps the numbers small.
            *part = part.plus(one.exact().over(all)?.times(quantity.exact())?)?;
        }
    }
    let nothing = parts.iter().all(|part| part.is_zero());
    Ok(if nothing { vec![Exact::ONE; members] } else { parts })
}
