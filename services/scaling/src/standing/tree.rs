//! A standing tree as a cruiser measures it, or several that are alike.

use kernel::Exact;
use serde::{Deserialize, Serialize};

use crate::rules::System;
use crate::{Centimetres, Feet, FormClass, Inches, LogsInTree, Metres, Species, member};

/// The diameter at breast height, outside bark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BreastHeight {
    /// In inches.
    Inches(Inches),
    /// In centimetres.
    Centimetres(Centimetres),
}

impl BreastHeight {
    /// The number, in whatever unit it is.
    #[must_use]
    pub fn exact(self) -> Exact {
        match self {
            Self::Inches(inches) => inches.exact(),
            Self::Centimetres(centimetres) => centimetres.exact(),
        }
    }

    /// The system it is of.
    #[must_use]
    pub const fn system(self) -> System {
        match self {
            Self::Inches(_) => System::Inch,
            Self::Centimetres(_) => System::Metric,
        }
    }

    /// The area of the stem's section at breast height: square feet, or square metres.
    ///
    /// # Errors
    ///
    /// [`kernel::NumberError::TooLarge`].
    ///
    /// ```
    /// let tree: scaling::standing::Tree =
    ///     serde_json::from_str(r#"{"species": "ash", "diameter_in": "10", "logs": "1"}"#)?;
    /// assert_eq!(tree.diameter.basal_area()?.to_string(), "0.5454");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn basal_area(self) -> Result<Exact, kernel::NumberError> {
        self.system().circle_factor().times(self.exact().squared()?)
    }
}

impl std::fmt::Display for BreastHeight {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Inches(inches) => write!(formatter, "{inches} inches"),
            Self::Centimetres(centimetres) => write!(formatter, "{centimetres} centimetres"),
        }
    }
}

/// How high a tree is, as far as it is worth cutting or as the formula asks for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TreeHeight {
    /// In logs of 16 feet and their halves.
    Logs(LogsInTree),
    /// In feet.
    Feet(Feet),
    /// In metres.
    Metres(Metres),
}

impl std::fmt::Display for TreeHeight {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Logs(logs) if logs.exact() == Exact::ONE => formatter.write_str("1 log"),
            Self::Logs(logs) => write!(formatter, "{logs} logs"),
            Self::Feet(feet) => write!(formatter, "{feet} feet"),
            Self::Metres(metres) => write!(formatter, "{metres} metres"),
        }
    }
}

/// A standing tree, or several alike.
///
/// ```
/// use scaling::standing::Tree;
/// let tree = |text: &str| serde_json::from_str::<Tree>(text);
/// assert_eq!(tree(r#"{"species": "ash", "diameter_in": "14", "logs": "1.5", "count": 3}"#)?.count, 3);
/// assert!(tree(r#"{"species": "ash", "diameter_in": "14", "height_m": "11"}"#).is_err());
/// assert!(tree(r#"{"species": "ash", "diameter_in": "14", "logs": "1", "height_ft": "16"}"#).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "TreeForm", into = "TreeForm")]
pub struct Tree {
    /// The kind of tree.
    pub species: Species,
    /// Its diameter at breast height.
    pub diameter: BreastHeight,
    /// Its height.
    pub height: TreeHeight,
    /// Its own form class, where it differs from the one the formula names.
    pub form_class: Option<FormClass>,
    /// How many trees like it were counted together.
    pub count: u32,
}

/// Why a document is no tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TreeError {
    /// No diameter, or two.
    #[error("write the diameter at breast height once, as diameter_in or as diameter_cm")]
    Diameter,
    /// No height, or two.
    #[error("write the height once, as logs, as height_ft or as height_m")]
    Height,
    /// Inches with metres, or centimetres with feet.
    #[error(
        "inches go with logs of 16 feet or with feet, centimetres with metres: nothing converts between them"
    )]
    TwoSystems,
    /// No tree at all, or more than anybody counts on a plot.
    #[error("count must be from 1 to 100000")]
    Count,
}

/// The document of a tree: the members of both systems.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
struct TreeForm {
    /// The kind of tree.
    #[serde(deserialize_with = "member::species")]
    species: Species,
    /// Diameter at breast height outside bark, in inches; this or the next.
    #[serde(default, deserialize_with = "member::diameter_in", skip_serializing_if = "Option::is_none")]
    diameter_in: Option<Inches>,
    /// The same in centimetres.
    #[serde(default, deserialize_with = "member::diameter_cm", skip_serializing_if = "Option::is_none")]
    diameter_cm: Option<Centimetres>,
    /// Merchantable height in logs of 16 feet and their halves; this or one of the next two.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    logs: Option<LogsInTree>,
    /// Height in feet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    height_ft: Option<Feet>,
    /// Height in metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    height_m: Option<Metres>,
    /// Its own form class, where it differs from the one the formula names.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    form_class: Option<FormClass>,
    /// How many trees like it were counted together: 1 to 100000. Default 1.
    #[serde(default = "one")]
    count: u32,
}

/// The largest count of trees that are alike.
const MOST_ALIKE: u32 = 100_000;

const fn one() -> u32 {
    1
}

impl TryFrom<TreeForm> for Tree {
    type Error = TreeError;

    fn try_from(form: TreeForm) -> Result<Self, TreeError> {
        let diameter = match (form.diameter_in, form.diameter_cm) {
            (Some(inches), None) => BreastHeight::Inches(inches),
            (None, Some(centimetres)) => BreastHeight::Centimetres(centimetres),
            _ => return Err(TreeError::Diameter),
        };
        let height = match (form.logs, form.height_ft, form.height_m) {
            (Some(logs), None, None) => TreeHeight::Logs(logs),
            (None, Some(feet), None) => TreeHeight::Feet(feet),
            (None, None, Some(metres)) => TreeHeight::Metres(metres),
            _ => return Err(TreeError::Height),
        };
        if (diameter.system() == System::Metric) != matches!(height, TreeHeight::Metres(_)) {
            return Err(TreeError::TwoSystems);
        }
        if form.count == 0 || form.count > MOST_ALIKE {
            return Err(TreeError::Count);
        }
        Ok(Self { species: form.species, diameter, height, form_class: form.form_class, count: form.count })
    }
}

impl From<Tree> for TreeForm {
    fn from(tree: Tree) -> Self {
        let (diameter_in, diameter_cm) = match tree.diameter {
            BreastHeight::Inches(inches) => (Some(inches), None),
            BreastHeight::Centimetres(centimetres) => (None, Some(centimetres)),
        };
        let (logs, height_ft, height_m) = match tree.height {
            TreeHeight::Logs(logs) => (Some(logs), None, None),
            TreeHeight::Feet(feet) => (None, Some(feet), None),
            TreeHeight::Metres(metres) => (None, None, Some(metres)),
        };
        let Tree { species, form_class, count, .. } = tree;
        Self { species, diameter_in, diameter_cm, logs, height_ft, height_m, form_class, count }
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Tree {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        TreeForm::schema()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Tree {
    fn schemas(schemas: &mut Vec<(String, utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>)>) {
        TreeForm::schemas(schemas);
    }
}
