//! A hewn timber as measured: its sections, wane and length.

use kernel::{Exact, NumberError};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::{
    Defects, DepthInches, Feet, FurtherInches, Grade, Inches, Marks, Refusal, Species, StickNumber, member,
};

/// The natural rounded edge left at one corner, taken as a triangle off the square.
///
/// ```
/// let wane: scaling::Wane = serde_json::from_str(r#"{"width_in": "2", "thickness_in": "1.5"}"#)?;
/// assert_eq!(wane.width_in.to_string(), "2");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Wane {
    /// Leg of the missing triangle along the width, in inches.
    #[serde(deserialize_with = "member::width_in")]
    pub width_in: Inches,
    /// Leg of the missing triangle along the thickness, in inches.
    #[serde(deserialize_with = "member::thickness_in")]
    pub thickness_in: Inches,
}

/// One cross-section of a hewn timber.
///
/// ```
/// let section: scaling::Section = serde_json::from_str(
///     r#"{"width_in": "12", "thickness_in": "12", "wane": [{"width_in": "2", "thickness_in": "2"}]}"#,
/// )?;
/// assert_eq!(section.wane_area()?, kernel::Exact::of(2));
/// // Five corners, or more wane than wood, cannot be.
/// let refused = serde_json::from_str::<scaling::Section>(
///     r#"{"width_in": "4", "thickness_in": "4", "wane": [{"width_in": "5", "thickness_in": "1"}]}"#,
/// );
/// assert!(refused.is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Section {
    #[serde(deserialize_with = "member::width_in")]
    width_in: Inches,
    #[serde(deserialize_with = "member::thickness_in")]
    thickness_in: Inches,
    #[serde(default, deserialize_with = "member::wane", skip_serializing_if = "Vec::is_empty")]
    wane: Vec<Wane>,
}

/// Why a cross-section cannot be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SectionError {
    /// A square has four corners.
    #[error("wane: {0} corners are given, but a squared stick has four")]
    TooManyCorners(usize),
    /// A wane wider than the face it is on.
    #[error("wane: a corner of {0} by {1} inches does not fit a section of {2} by {3} inches")]
    TooWide(Inches, Inches, Inches, Inches),
    /// The wanes together leave no wood.
    #[error("wane: the corners together take the whole section away")]
    NothingLeft,
    /// The sizes cannot be computed with.
    #[error(transparent)]
    Number(#[from] NumberError),
}

impl Section {
    /// A section whose wanes fit it.
    ///
    /// # Errors
    ///
    /// [`SectionError`] when there are more than four wanes or they do not fit.
    ///
    /// ```
    /// use scaling::{Section, Wane};
    /// let wane = Wane { width_in: "2".parse()?, thickness_in: "2".parse()? };
    /// assert!(Section::new("12".parse()?, "12".parse()?, vec![wane; 4]).is_ok());
    /// assert!(Section::new("12".parse()?, "12".parse()?, vec![wane; 5]).is_err());
    /// # Ok::<(), scaling::SizeError>(())
    /// ```
    pub fn new(width_in: Inches, thickness_in: Inches, wane: Vec<Wane>) -> Result<Self, SectionError> {
        let section = Self { width_in, thickness_in, wane };
        section.check()?;
        Ok(section)
    }

    fn check(&self) -> Result<(), SectionError> {
        if self.wane.len() > 4 {
            return Err(SectionError::TooManyCorners(self.wane.len()));
        }
        let (width, thickness) = (self.width_in, self.thickness_in);
        let wide = |wane: &&Wane| wane.width_in > width || wane.thickness_in > thickness;
        if let Some(wane) = self.wane.iter().find(wide) {
            return Err(SectionError::TooWide(wane.width_in, wane.thickness_in, width, thickness));
        }
        if self.wane_area()? >= width.exact().times(thickness.exact())? {
            return Err(SectionError::NothingLeft);
        }
        Ok(())
    }

    /// Width of the face, in inches.
    #[must_use]
    pub const fn width_in(&self) -> Inches {
        self.width_in
    }

    /// Thickness, in inches.
    #[must_use]
    pub const fn thickness_in(&self) -> Inches {
        self.thickness_in
    }

    /// The missing corners.
    #[must_use]
    pub fn wane(&self) -> &[Wane] {
        &self.wane
    }

    /// What the corners take off the square, in square inches: half the product of the legs of each, which is
    /// the plain geometry of a flat chamfer.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`], which sizes within their bounds never reach.
    pub fn wane_area(&self) -> Result<Exact, NumberError> {
        self.wane.iter().try_fold(Exact::ZERO, |area, wane| {
            area.plus(wane.width_in.exact().times(wane.thickness_in.exact())?.over(Exact::of(2))?)
        })
    }
}

impl Serialize for Section {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Self::serialize(self, serializer)
    }
}

impl<'de> Deserialize<'de> for Section {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let section = Self::deserialize(deserializer)?;
        section.check().map_err(serde::de::Error::custom)?;
        Ok(section)
    }
}

/// A stick hewn square or on two sides.
///
/// ```
/// let timber: scaling::HewnTimber = serde_json::from_str(
///     r#"{"species": "pine", "small_end": {"width_in": "12", "thickness_in": "10"}, "length_ft": "24"}"#,
/// )?;
/// assert!(timber.small_end().is_some());
/// let without_section = r#"{"species": "pine", "length_ft": "24"}"#;
/// assert!(serde_json::from_str::<scaling::HewnTimber>(without_section).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct HewnTimber {
    /// The kind of tree.
    #[serde(deserialize_with = "member::species")]
    pub species: Species,
    /// The grade the scaler gave.
    #[serde(default, deserialize_with = "member::grade", skip_serializing_if = "Option::is_none")]
    pub grade: Option<Grade>,
    /// What is stamped or chalked on it.
    #[serde(default, deserialize_with = "member::marks", skip_serializing_if = "Option::is_none")]
    pub marks: Option<Marks>,
    /// The number chalked on the stick when it was first scaled, by which it is known wherever it is scaled again on the
    /// same job.
    #[serde(default, deserialize_with = "member::stick_number", skip_serializing_if = "Option::is_none")]
    pub stick_number: Option<StickNumber>,
    /// The stick number of the log it was hewn from.
    #[serde(default, deserialize_with = "member::hewn_from", skip_serializing_if = "Option::is_none")]
    pub hewn_from: Option<StickNumber>,
    #[serde(default, deserialize_with = "member::small_end", skip_serializing_if = "Option::is_none")]
    small_end: Option<Section>,
    #[serde(default, deserialize_with = "member::middle", skip_serializing_if = "Option::is_none")]
    middle: Option<Section>,
    #[serde(default, deserialize_with = "member::large_end", skip_serializing_if = "Option::is_none")]
    large_end: Option<Section>,
    /// Length in feet.
    #[serde(deserialize_with = "member::length_ft")]
    pub length_ft: Feet,
    /// Further inches of length.
    #[serde(default, deserialize_with = "member::length_in", skip_serializing_if = "Option::is_none")]
    pub length_in: Option<FurtherInches>,
    /// What is wrong with it: only parts of the length cut off and squared defect can be taken off a squared
    /// stick.
    #[serde(default, deserialize_with = "member::defects", skip_serializing_if = "Defects::is_empty")]
    pub defects: Defects,
    /// The width that was ordered, in inches.
    #[serde(default, deserialize_with = "member::ordered_width_in", skip_serializing_if = "Option::is_none")]
    pub ordered_width_in: Option<Inches>,
    /// The thickness that was ordered, in inches.
    #[serde(
        default,
        deserialize_with = "member::ordered_thickness_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub ordered_thickness_in: Option<Inches>,
    /// Depth of the deepest score mark below the face, in inches.
    #[serde(
        default,
        deserialize_with = "member::score_mark_depth_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub score_mark_depth_in: Option<DepthInches>,
    /// The largest bow from a straight line, in inches.
    #[serde(default, deserialize_with = "member::straightness_in", skip_serializing_if = "Option::is_none")]
    pub straightness_in: Option<DepthInches>,
    /// How far a corner is out of square, in inches.
    #[serde(default, deserialize_with = "member::out_of_square_in", skip_serializing_if = "Option::is_none")]
    pub out_of_square_in: Option<DepthInches>,
    /// Why an inspector refused it, if one did.
    #[serde(default, deserialize_with = "member::refused", skip_serializing_if = "Option::is_none")]
    pub refused: Option<Refusal>,
}

impl HewnTimber {
    /// The section at the small end, if it was measured.
    #[must_use]
    pub const fn small_end(&self) -> Option<&Section> {
        self.small_end.as_ref()
    }

    /// The section at mid-length, if it was measured.
    #[must_use]
    pub const fn middle(&self) -> Option<&Section> {
        self.middle.as_ref()
    }

    /// The section at the large end, if it was measured.
    #[must_use]
    pub const fn large_end(&self) -> Option<&Section> {
        self.large_end.as_ref()
    }
}

impl Serialize for HewnTimber {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Self::serialize(self, serializer)
    }
}

impl<'de> Deserialize<'de> for HewnTimber {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let timber = Self::deserialize(deserializer)?;
        if timber.small_end.is_none() && timber.middle.is_none() && timber.large_end.is_none() {
            return Err(serde::de::Error::custom(
                "no section is given: write small_end, middle or large_end with its width_in and \
                    thickness_in",
            ));
        }
        Ok(timber)
    }
}
