//! Measured sizes that cannot be absurd: each type is a decimal within the bounds a tape or stick can give.

use std::fmt;
use std::str::FromStr;

use kernel::{Exact, Fixed, NumberTextError};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Why a number is not a size.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SizeError {
    /// The text is not a number at all.
    #[error(transparent)]
    NotANumber(#[from] NumberTextError),
    /// The number is outside what can be measured.
    #[error("{value} is not {what}: it must be {bounds}")]
    OutOfBounds {
        /// The number given.
        value: Fixed,
        /// What it was meant to be.
        what: &'static str,
        /// The bounds, in words.
        bounds: &'static str,
    },
    /// More decimals than any stick or tape shows.
    #[error("{value} is measured too finely: write at most 4 digits after the point")]
    TooFine {
        /// The number given.
        value: Fixed,
    },
}

impl SizeError {
    /// The stable name of the problem.
    ///
    /// ```
    /// let refused = "0".parse::<scaling::Inches>().map_err(|problem| problem.code());
    /// assert_eq!(refused, Err("size-out-of-bounds"));
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NotANumber(_) => "not-a-number",
            Self::OutOfBounds { .. } => "size-out-of-bounds",
            Self::TooFine { .. } => "size-too-fine",
        }
    }
}

/// One millionth is the kernel's step; sizes stop at four decimals.
const FINEST_STEP_MILLIONTHS: i64 = 100;

/// Declares the kinds of size: each makes a type of its own, so a length cannot stand where a diameter
/// belongs.
macro_rules! sizes {
    ($($(#[$doc:meta])* $name:ident = $what:literal, $bounds:literal, |$value:ident, $whole:ident| $within:expr;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name(Fixed);

        impl $name {
            /// The size, if the number is within the bounds.
            ///
            /// # Errors
            ///
            /// [`SizeError::OutOfBounds`] or [`SizeError::TooFine`].
            pub fn new(value: Fixed) -> Result<Self, SizeError> {
                let ($value, $whole) = (value.millionths(), Fixed::STEPS_PER_UNIT);
                if !($within) {
                    return Err(SizeError::OutOfBounds { value, what: $what, bounds: $bounds });
                }
                if $value % FINEST_STEP_MILLIONTHS != 0 {
                    return Err(SizeError::TooFine { value });
                }
                Ok(Self(value))
            }

            /// The number as it was written.
            #[must_use]
            pub const fn fixed(self) -> Fixed {
                self.0
            }

            /// The number, to compute with.
            #[must_use]
            pub fn exact(self) -> Exact {
                self.0.exact()
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(&self.0, formatter)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(formatter, concat!(stringify!($name), "({})"), self.0)
            }
        }

        impl FromStr for $name {
            type Err = SizeError;

            fn from_str(text: &str) -> Result<Self, SizeError> {
                Self::new(text.parse()?)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                self.0.serialize(serializer)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                Self::new(Fixed::deserialize(deserializer)?).map_err(serde::de::Error::custom)
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                crate::openapi::size(concat!("A decimal number as text, ", $bounds, "; at most 4 decimals."))
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::ToSchema for $name {}
    )+};
}

sizes! {
    /// A diameter, a side or another size across the wood, in inches.
    ///
    /// ```
    /// use scaling::Inches;
    /// assert_eq!("14.50".parse::<Inches>()?.to_string(), "14.5");
    /// let refused = "0".parse::<Inches>().map_err(|problem| problem.to_string());
    /// assert_eq!(refused, Err("0 is not a size: it must be more than 0 and at most 240 inches".to_owned()));
    /// # Ok::<(), scaling::SizeError>(())
    /// ```
    Inches = "a size", "more than 0 and at most 240 inches",
        |value, whole| value > 0 && value <= 240 * whole;
    /// A girth in inches: as far round as the thickest stick that can be recorded.
    ///
    /// ```
    /// assert!("37.8".parse::<scaling::GirthInches>().is_ok());
    /// assert!("755".parse::<scaling::GirthInches>().is_err());
    /// ```
    GirthInches = "a girth", "more than 0 and at most 754 inches",
        |value, whole| value > 0 && value <= 754 * whole;
    /// A length in feet.
    ///
    /// ```
    /// assert!("16.5".parse::<scaling::Feet>().is_ok());
    /// assert!("201".parse::<scaling::Feet>().is_err());
    /// ```
    Feet = "a length", "more than 0 and at most 200 feet",
        |value, whole| value > 0 && value <= 200 * whole;
    /// The inches of a length past its whole feet.
    ///
    /// ```
    /// assert!("0".parse::<scaling::FurtherInches>().is_ok());
    /// assert!("12".parse::<scaling::FurtherInches>().is_err());
    /// ```
    FurtherInches = "a number of further inches", "at least 0 and less than 12 inches",
        |value, whole| value >= 0 && value < 12 * whole;
    /// Trim: what a log is cut over its scaling length, in inches.
    ///
    /// ```
    /// assert!("3".parse::<scaling::TrimInches>().is_ok());
    /// assert!("25".parse::<scaling::TrimInches>().is_err());
    /// ```
    TrimInches = "a trim", "at least 0 and at most 24 inches",
        |value, whole| value >= 0 && value <= 24 * whole;
    /// A saw kerf, in inches.
    ///
    /// ```
    /// assert!("0.25".parse::<scaling::KerfInches>().is_ok());
    /// assert!("1.25".parse::<scaling::KerfInches>().is_err());
    /// ```
    KerfInches = "a kerf", "at least 0 and at most 1 inch",
        |value, whole| value >= 0 && value <= whole;
    /// A depth or a departure from the line, in inches; it may be nothing.
    ///
    /// ```
    /// assert!("0".parse::<scaling::DepthInches>().is_ok());
    /// assert!("0.75".parse::<scaling::DepthInches>().is_ok());
    /// ```
    DepthInches = "a depth", "at least 0 and at most 240 inches",
        |value, whole| value >= 0 && value <= 240 * whole;
    /// A length that may be nothing, in feet: how far from the small end something begins.
    ///
    /// ```
    /// assert!("0".parse::<scaling::PlaceFeet>().is_ok());
    /// assert!("201".parse::<scaling::PlaceFeet>().is_err());
    /// ```
    PlaceFeet = "a place along the log", "at least 0 and at most 200 feet",
        |value, whole| value >= 0 && value <= 200 * whole;
    /// The same in metres.
    ///
    /// ```
    /// assert!("0".parse::<scaling::PlaceMetres>().is_ok());
    /// ```
    PlaceMetres = "a place along the log", "at least 0 and at most 61 metres",
        |value, whole| value >= 0 && value <= 61 * whole;
    /// Trim in centimetres.
    ///
    /// ```
    /// assert!("5".parse::<scaling::TrimCentimetres>().is_ok());
    /// assert!("62".parse::<scaling::TrimCentimetres>().is_err());
    /// ```
    TrimCentimetres = "a trim", "at least 0 and at most 61 centimetres",
        |value, whole| value >= 0 && value <= 61 * whole;
    /// A part of a hundred.
    ///
    /// ```
    /// assert!("12".parse::<scaling::Percent>().is_ok());
    /// assert!("0".parse::<scaling::Percent>().is_err());
    /// ```
    Percent = "a percentage", "more than 0 and at most 100",
        |value, whole| value > 0 && value <= 100 * whole;
    /// An angle in degrees, at the heart of the log.
    ///
    /// ```
    /// assert!("60".parse::<scaling::Degrees>().is_ok());
    /// assert!("361".parse::<scaling::Degrees>().is_err());
    /// ```
    Degrees = "an angle", "more than 0 and at most 360 degrees",
        |value, whole| value > 0 && value <= 360 * whole;
    /// A diameter in centimetres.
    ///
    /// ```
    /// assert!("40.5".parse::<scaling::Centimetres>().is_ok());
    /// ```
    Centimetres = "a size", "more than 0 and at most 610 centimetres",
        |value, whole| value > 0 && value <= 610 * whole;
    /// A length in metres.
    ///
    /// ```
    /// assert!("4.9".parse::<scaling::Metres>().is_ok());
    /// ```
    Metres = "a length", "more than 0 and at most 61 metres",
        |value, whole| value > 0 && value <= 61 * whole;
    /// How many logs of 16 feet a standing tree holds, in halves.
    ///
    /// ```
    /// assert!("2.5".parse::<scaling::LogsInTree>().is_ok());
    /// assert!("2.25".parse::<scaling::LogsInTree>().is_err());
    /// ```
    LogsInTree = "a number of 16-foot logs", "from 0.5 to 12, in halves",
        |value, whole| value > 0 && value <= 12 * whole && value % (whole / 2) == 0;
    /// Girard's form class: the diameter inside bark at the top of the first 16-foot log, in percent of the diameter
    /// outside bark at breast height.
    ///
    /// ```
    /// assert!("78".parse::<scaling::FormClass>().is_ok());
    /// assert!("101".parse::<scaling::FormClass>().is_err());
    /// ```
    FormClass = "a form class", "at least 50 and at most 100 percent",
        |value, whole| value >= 50 * whole && value <= 100 * whole;
    /// The part of a cylinder that a stem fills.
    ///
    /// ```
    /// assert!("0.42".parse::<scaling::FormFactor>().is_ok());
    /// assert!("1.1".parse::<scaling::FormFactor>().is_err());
    /// ```
    FormFactor = "a form factor", "more than 0 and at most 1",
        |value, whole| value > 0 && value <= whole;
    /// An area of land in acres.
    ///
    /// ```
    /// assert!("0.2".parse::<scaling::Acres>().is_ok());
    /// ```
    Acres = "an area", "more than 0 and at most 1000000 acres",
        |value, whole| value > 0 && value <= 1_000_000 * whole;
    /// An area of land in hectares.
    ///
    /// ```
    /// assert!("0.04".parse::<scaling::Hectares>().is_ok());
    /// ```
    Hectares = "an area", "more than 0 and at most 1000000 hectares",
        |value, whole| value > 0 && value <= 1_000_000 * whole;
    /// A basal area factor: the square feet of stem that each counted tree stands for on an acre.
    ///
    /// ```
    /// assert!("10".parse::<scaling::SquareFeetPerAcre>().is_ok());
    /// ```
    SquareFeetPerAcre = "a basal area factor", "more than 0 and at most 200 square feet an acre",
        |value, whole| value > 0 && value <= 200 * whole;
    /// A basal area factor: the square metres of stem that each counted tree stands for on a hectare.
    ///
    /// ```
    /// assert!("2".parse::<scaling::SquareMetresPerHectare>().is_ok());
    /// ```
    SquareMetresPerHectare = "a basal area factor", "more than 0 and at most 50 square metres a hectare",
        |value, whole| value > 0 && value <= 50 * whole;
}

/// Sizes that stand in this crate's own defaults, written in whole units within their bounds.
macro_rules! known {
    ($($name:ident),+) => {$(
        impl $name {
            pub(crate) const fn known(whole: i64) -> Self {
                Self(Fixed::from_millionths(whole * Fixed::STEPS_PER_UNIT))
            }
        }
    )+};
}

known!(Inches, Feet, TrimInches, FormClass);
