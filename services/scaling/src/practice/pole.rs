//! How a contract has its poles and piling classed.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::PracticeError;
use crate::{Feet, Grade, Inches, member};

/// One class of poles: the least length, and the least top where one is asked for.
///
/// ```
/// let class: scaling::PoleClass =
///     serde_json::from_str(r#"{"name": "35 foot", "length_ft": "35", "least_top_in": "7"}"#)?;
/// assert_eq!(class.length_ft.to_string(), "35");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PoleClass {
    /// The name by which it is paid.
    #[serde(deserialize_with = "member::name")]
    pub name: Grade,
    /// Least length, in feet.
    #[serde(deserialize_with = "member::length_ft")]
    pub length_ft: Feet,
    /// Least diameter of the top, in inches. Default: none.
    #[serde(default, deserialize_with = "member::least_top_in", skip_serializing_if = "Option::is_none")]
    pub least_top_in: Option<Inches>,
}

/// How poles and piling are classed: a pole gets the first class, in order, whose least length and top it meets. Without
/// such a practice a pole goes by its length alone.
///
/// ```
/// use scaling::PolePractice;
/// let practice: PolePractice = serde_json::from_str(
///     r#"{"classes": [{"name": "40", "length_ft": "40"}, {"name": "35", "length_ft": "35"}]}"#,
/// )?;
/// assert_eq!(practice.classes().len(), 2);
/// let upside_down = r#"{"classes": [{"name": "35", "length_ft": "35"}, {"name": "40", "length_ft": "40"}]}"#;
/// assert!(serde_json::from_str::<PolePractice>(upside_down).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PolePractice {
    /// The classes, longest first.
    #[serde(deserialize_with = "member::classes")]
    classes: Vec<PoleClass>,
}

impl PolePractice {
    /// How many classes there may be.
    pub const MOST: usize = 60;

    /// The classes, in the order in which they are tried.
    #[must_use]
    pub fn classes(&self) -> &[PoleClass] {
        &self.classes
    }

    fn check(&self) -> Result<(), PracticeError> {
        if self.classes.is_empty() || self.classes.len() > Self::MOST {
            return Err(PracticeError::PoleClassCount(self.classes.len()));
        }
        for (place, class) in self.classes.iter().enumerate() {
            for earlier in self.classes.iter().take(place) {
                if earlier.name == class.name {
                    return Err(PracticeError::ClassTwice(class.name.to_string()));
                }
                if earlier.length_ft <= class.length_ft && earlier.least_top_in <= class.least_top_in {
                    let (hidden, by) = (class.name.to_string(), earlier.name.to_string());
                    return Err(PracticeError::ClassHidden { hidden, by });
                }
            }
        }
        Ok(())
    }
}

impl Serialize for PolePractice {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Self::serialize(self, serializer)
    }
}

impl<'de> Deserialize<'de> for PolePractice {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let practice = Self::deserialize(deserializer)?;
        practice.check().map_err(serde::de::Error::custom)?;
        Ok(practice)
    }
}
