//! What a direct request may hold.

use kernel::VolumeUnit;
use serde::{Deserialize, Serialize};

use crate::{
    Centimetres, Defects, EditionName, Feet, FurtherInches, GirthInches, Inches, Label, Metres, RuleName,
    member,
};

/// Whether the rule rounds its volume as it is published, or keeps it exact.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum DirectRounding {
    /// As the rule is published.
    #[default]
    Rule,
    /// Kept exact.
    None,
}

/// A rule and the sizes to apply it to. Which sizes a rule takes stands in its facts.
///
/// ```
/// use scaling::{DirectRequest, RuleName};
/// let request: DirectRequest = serde_json::from_str(
///     r#"{"rule": "board-measure", "width_in": "12", "thickness_in": "10", "length_ft": "24"}"#,
/// )?;
/// assert_eq!(request.rule, RuleName::BoardMeasure);
/// assert!(serde_json::from_str::<DirectRequest>(r#"{"rule": "doyle", "diameter": "20"}"#).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct DirectRequest {
    /// The rule.
    #[serde(deserialize_with = "member::rule")]
    pub rule: RuleName,
    /// Which edition of the rule. Default: the first its facts list.
    #[serde(default, deserialize_with = "member::edition", skip_serializing_if = "Option::is_none")]
    pub edition: Option<EditionName>,
    /// The one diameter the rule asks for, in inches: of the small end, or at mid-length for huber and
    /// two-thirds.
    #[serde(default, deserialize_with = "member::diameter_in", skip_serializing_if = "Option::is_none")]
    pub diameter_in: Option<Inches>,
    /// Diameter of the small end, in inches.
    #[serde(
        default,
        deserialize_with = "member::small_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub small_diameter_in: Option<Inches>,
    /// Diameter at mid-length, in inches.
    #[serde(
        default,
        deserialize_with = "member::middle_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub middle_diameter_in: Option<Inches>,
    /// Diameter of the large end, in inches.
    #[serde(
        default,
        deserialize_with = "member::large_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub large_diameter_in: Option<Inches>,
    /// Top diameter of each section from the small end on, in inches, for the vermont rule.
    #[serde(
        default,
        deserialize_with = "member::section_diameters_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub section_diameters_in: Option<Vec<Inches>>,
    /// Girth at mid-length, in inches.
    #[serde(default, deserialize_with = "member::girth_in", skip_serializing_if = "Option::is_none")]
    pub girth_in: Option<GirthInches>,
    /// Width of squared timber, in inches.
    #[serde(default, deserialize_with = "member::width_in", skip_serializing_if = "Option::is_none")]
    pub width_in: Option<Inches>,
    /// Thickness of squared timber, in inches.
    #[serde(default, deserialize_with = "member::thickness_in", skip_serializing_if = "Option::is_none")]
    pub thickness_in: Option<Inches>,
    /// Length in feet.
    #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
    pub length_ft: Option<Feet>,
    /// Further inches of length.
    #[serde(default, deserialize_with = "member::length_in", skip_serializing_if = "Option::is_none")]
    pub length_in: Option<FurtherInches>,
    /// The one diameter the rule asks for, in centimetres.
    #[serde(default, deserialize_with = "member::diameter_cm", skip_serializing_if = "Option::is_none")]
    pub diameter_cm: Option<Centimetres>,
    /// Diameter of the small end, in centimetres.
    #[serde(
        default,
        deserialize_with = "member::small_diameter_cm",
        skip_serializing_if = "Option::is_none"
    )]
    pub small_diameter_cm: Option<Centimetres>,
    /// Diameter at mid-length, in centimetres.
    #[serde(
        default,
        deserialize_with = "member::middle_diameter_cm",
        skip_serializing_if = "Option::is_none"
    )]
    pub middle_diameter_cm: Option<Centimetres>,
    /// Diameter of the large end, in centimetres.
    #[serde(
        default,
        deserialize_with = "member::large_diameter_cm",
        skip_serializing_if = "Option::is_none"
    )]
    pub large_diameter_cm: Option<Centimetres>,
    /// Length in metres.
    #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
    pub length_m: Option<Metres>,
    /// The unit, for the rules that give more than one.
    #[serde(default, deserialize_with = "member::unit", skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// Whether the rule rounds. Default "rule".
    #[serde(default, deserialize_with = "member::rounding")]
    pub rounding: DirectRounding,
    /// Whether a table rule is held to its cells seen in print.
    #[serde(default)]
    pub printed_cells_only: bool,
    /// What is wrong with the log.
    #[serde(default, deserialize_with = "member::defects", skip_serializing_if = "Defects::is_empty")]
    pub defects: Defects,
    /// The asker's own name for the request; it comes back with the answer.
    #[serde(default, deserialize_with = "member::label", skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

impl DirectRequest {
    /// A request for a rule, with no sizes yet.
    ///
    /// ```
    /// use scaling::{DirectRequest, RuleName, direct};
    /// let mut request = DirectRequest::new(RuleName::Doyle);
    /// request.diameter_in = Some("20".parse()?);
    /// request.length_ft = Some("16".parse()?);
    /// assert_eq!(direct(&request)?.gross, kernel::Exact::of(256));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn new(rule: RuleName) -> Self {
        Self {
            rule,
            edition: None,
            diameter_in: None,
            small_diameter_in: None,
            middle_diameter_in: None,
            large_diameter_in: None,
            section_diameters_in: None,
            girth_in: None,
            width_in: None,
            thickness_in: None,
            length_ft: None,
            length_in: None,
            diameter_cm: None,
            small_diameter_cm: None,
            middle_diameter_cm: None,
            large_diameter_cm: None,
            length_m: None,
            unit: None,
            rounding: DirectRounding::default(),
            printed_cells_only: false,
            defects: Defects::default(),
            label: None,
        }
    }
}
