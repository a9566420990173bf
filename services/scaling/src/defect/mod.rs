//! Defects: what is wrong with a piece, and the measurements that one method of deduction needs.

mod form;
mod kind;
mod members;
mod method;

use serde::{Deserialize, Serialize};

pub use form::DefectError;
use form::DefectForm;
pub use kind::DefectKind;
pub(crate) use method::{Along, Method};

use crate::Note;
use crate::rules::System;

/// One defect, tagged by the method with which its loss is reckoned: `squared`, `pie_cut`, `length_cut`,
/// `diameter_cut`, `sweep`, `crook`, `ellipse`, `sound_core`, `estimate` or, for what takes nothing off, `noted`.
/// Its sizes are in inches and feet or in centimetres and metres, never in both.
///
/// ```
/// use scaling::{Defect, DefectKind};
/// let rot: Defect = serde_json::from_str(
///     r#"{"kind": "heart_rot", "method": "squared", "width_in": "8", "height_in": "9", "length_ft": "2",
///         "from_small_end_ft": "14"}"#,
/// )?;
/// assert_eq!((rot.kind(), rot.method()), (DefectKind::HeartRot, "squared"));
/// let mixed = r#"{"kind": "break", "method": "length_cut", "length_ft": "2", "from_small_end_m": "3"}"#;
/// assert!(serde_json::from_str::<Defect>(mixed).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "DefectForm", into = "DefectForm")]
pub struct Defect {
    form: DefectForm,
    /// Found when the document was read, since every scaling asks for it.
    system: Option<System>,
}

impl Defect {
    /// What is wrong.
    #[must_use]
    pub const fn kind(&self) -> DefectKind {
        self.form.kind()
    }

    /// The method's name, as in JSON.
    #[must_use]
    pub const fn method(&self) -> &'static str {
        self.form.method()
    }

    /// The scaler's remark.
    #[must_use]
    pub const fn note(&self) -> Option<&Note> {
        self.form.note()
    }

    /// The sizes that the method goes by.
    pub(crate) fn sizes(&self) -> Method<'_> {
        self.form.sizes()
    }

    /// The system its sizes are in; none if it has no sizes.
    pub(crate) const fn system(&self) -> Option<System> {
        self.system
    }
}

impl TryFrom<DefectForm> for Defect {
    type Error = DefectError;

    fn try_from(form: DefectForm) -> Result<Self, DefectError> {
        let system = form.checked()?;
        Ok(Self { form, system })
    }
}

impl From<Defect> for DefectForm {
    fn from(defect: Defect) -> Self {
        defect.form
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Defect {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        DefectForm::schema()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Defect {
    fn schemas(schemas: &mut Vec<(String, utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>)>) {
        DefectForm::schemas(schemas);
    }
}

/// The defects of one piece: at most twenty, in the order they were written down.
///
/// ```
/// use scaling::Defects;
/// let none: Defects = serde_json::from_str("[]")?;
/// assert!(none.is_empty());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Vec<Defect>", into = "Vec<Defect>")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Defects(Vec<Defect>);

/// More defects than one piece can have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} defects are too many for one piece: write at most 20, or cull it")]
pub struct TooManyDefects(usize);

impl Defects {
    /// How many defects one piece may have.
    pub const MOST: usize = 20;

    /// The defects, in order.
    ///
    /// ```
    /// assert_eq!(scaling::Defects::default().as_slice(), []);
    /// ```
    #[must_use]
    pub fn as_slice(&self) -> &[Defect] {
        &self.0
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl TryFrom<Vec<Defect>> for Defects {
    type Error = TooManyDefects;

    fn try_from(defects: Vec<Defect>) -> Result<Self, TooManyDefects> {
        if defects.len() > Self::MOST { Err(TooManyDefects(defects.len())) } else { Ok(Self(defects)) }
    }
}

impl From<Defects> for Vec<Defect> {
    fn from(defects: Defects) -> Self {
        defects.0
    }
}
