//! How a contract has its ties classed.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::hewn::THOUSANDTHS;
use super::{PracticeError, TieTolerances};
use crate::{Feet, Grade, Inches, RoundTo, member};

/// One class of ties: the least sizes a tie must meet.
///
/// ```
/// let class: scaling::TieClass = serde_json::from_str(
///     r#"{"name": "No 1", "thickness_in": "7", "width_in": "9", "length_ft": "8.5"}"#,
/// )?;
/// assert_eq!(class.name.as_str(), "No 1");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TieClass {
    /// The name by which it is paid.
    #[serde(deserialize_with = "member::name")]
    pub name: Grade,
    /// Least thickness, in inches.
    #[serde(deserialize_with = "member::thickness_in")]
    pub thickness_in: Inches,
    /// Least width of the narrowest face, in inches.
    #[serde(deserialize_with = "member::width_in")]
    pub width_in: Inches,
    /// Least length, in feet.
    #[serde(deserialize_with = "member::length_ft")]
    pub length_ft: Feet,
}

/// How ties are classed: a tie gets the first class, in order, whose three least sizes it meets.
///
/// The default classes are those of the American Railway Engineering Association's manual of 1911, read from
/// damaged print in a textbook: A 7 by 10, B 7 by 9, C 7 by 8, D 6 by 9, E 6 by 8 inches; lengths of 8, 8 1/2
/// or 9 feet, of which the least is taken here.
///
/// ```
/// use scaling::TiePractice;
/// let practice: TiePractice = serde_json::from_str("{}")?;
/// let names: Vec<&str> = practice.classes().iter().map(|class| class.name.as_str()).collect();
/// assert_eq!(names, ["A", "B", "C", "D", "E"]);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields, default)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TiePractice {
    /// The classes, largest first.
    #[serde(deserialize_with = "member::classes")]
    classes: Vec<TieClass>,
    /// How the content by measured sizes is rounded. Default: to 0.001 board foot, half up.
    #[serde(deserialize_with = "member::volume_rounding")]
    volume_rounding: RoundTo,
    /// What is held against the hewing, and the oversize rule. Default: nothing.
    #[serde(deserialize_with = "member::tolerances", skip_serializing_if = "Option::is_none")]
    tolerances: Option<TieTolerances>,
}

/// Name, thickness and width of the classes of 1911.
const CLASSES_OF_1911: [(&str, i64, i64); 5] =
    [("A", 7, 10), ("B", 7, 9), ("C", 7, 8), ("D", 6, 9), ("E", 6, 8)];

impl Default for TiePractice {
    fn default() -> Self {
        let classes = CLASSES_OF_1911
            .into_iter()
            .map(|(name, thickness, width)| TieClass {
                name: Grade::known(name),
                thickness_in: Inches::known(thickness),
                width_in: Inches::known(width),
                length_ft: Feet::known(8),
            })
            .collect();
        Self { classes, volume_rounding: THOUSANDTHS, tolerances: None }
    }
}

impl TiePractice {
    /// The classes, in the order in which they are tried.
    #[must_use]
    pub fn classes(&self) -> &[TieClass] {
        &self.classes
    }

    /// How the content is rounded.
    #[must_use]
    pub const fn volume_rounding(&self) -> RoundTo {
        self.volume_rounding
    }

    /// What is held against the hewing.
    #[must_use]
    pub const fn tolerances(&self) -> Option<&TieTolerances> {
        self.tolerances.as_ref()
    }

    fn check(&self) -> Result<(), PracticeError> {
        if self.classes.is_empty() || self.classes.len() > 30 {
            return Err(PracticeError::ClassCount(self.classes.len()));
        }
        for (place, class) in self.classes.iter().enumerate() {
            for earlier in self.classes.iter().take(place) {
                if earlier.name == class.name {
                    return Err(PracticeError::ClassTwice(class.name.to_string()));
                }
                let met_before = earlier.thickness_in <= class.thickness_in
                    && earlier.width_in <= class.width_in
                    && earlier.length_ft <= class.length_ft;
                if met_before {
                    let (hidden, by) = (class.name.to_string(), earlier.name.to_string());
                    return Err(PracticeError::ClassHidden { hidden, by });
                }
            }
        }
        Ok(())
    }
}

impl Serialize for TiePractice {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Self::serialize(self, serializer)
    }
}

impl<'de> Deserialize<'de> for TiePractice {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let practice = Self::deserialize(deserializer)?;
        practice.check().map_err(serde::de::Error::custom)?;
        Ok(practice)
    }
}
