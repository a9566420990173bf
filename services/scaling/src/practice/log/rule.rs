//! What a contract names as the rule of its logs.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::RuleName;

/// The name that stands for an outfit's own table.
const OWN_TABLE: &str = "own-table";

/// What a contract names as the rule of its logs: a published rule by its name, or `own-table`.
///
/// ```
/// use scaling::{LogRule, RuleName};
/// assert_eq!(serde_json::from_str::<LogRule>(r#""doyle""#)?, LogRule::Published(RuleName::Doyle));
/// assert_eq!(serde_json::from_str::<LogRule>(r#""own-table""#)?, LogRule::OwnTable);
/// assert_eq!(LogRule::OwnTable.to_string(), "own-table");
/// assert!(serde_json::from_str::<LogRule>(r#""scribble""#).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LogRule {
    /// A published rule.
    Published(RuleName),
    /// The outfit's own table, which the practice's member `table` holds.
    OwnTable,
}

impl fmt::Display for LogRule {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(match self {
            Self::Published(rule) => rule.name(),
            Self::OwnTable => OWN_TABLE,
        })
    }
}

impl Serialize for LogRule {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for LogRule {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(NamedRule)
    }
}

/// Reads the name of a rule.
struct NamedRule;

impl serde::de::Visitor<'_> for NamedRule {
    type Value = LogRule;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("the name of a log rule as text, or \"own-table\"")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<LogRule, E> {
        if text == OWN_TABLE {
            return Ok(LogRule::OwnTable);
        }
        text.parse().map(LogRule::Published).map_err(|problem| E::custom(format!("{problem}, {OWN_TABLE}")))
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for LogRule {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        let names = RuleName::ALL.map(RuleName::name).into_iter().chain([OWN_TABLE]);
        utoipa::openapi::schema::ObjectBuilder::new()
            .schema_type(utoipa::openapi::schema::Type::String)
            .description(Some(
                "A published log rule by its name, or `own-table` for one of the outfit's own.",
            ))
            .enum_values(Some(names))
            .into()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for LogRule {}
