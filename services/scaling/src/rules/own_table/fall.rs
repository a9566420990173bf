//! Where the volumes of a table fall although the log grows.

use std::fmt;

use kernel::Fixed;
use serde::{Deserialize, Serialize};

/// Which way the log grows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Growth {
    /// It gets thicker, at one length.
    Diameter,
    /// It gets longer, at one diameter.
    Length,
}

/// A cell that holds less than its neighbour for the next smaller log. Printed tables have such cells, as misprints
/// or because each column was rounded by itself, so they are reported and not forbidden.
///
/// ```
/// use scaling::{Fall, Growth};
/// let fall: Fall = serde_json::from_str(
///     r#"{"diameter": "9", "length": "8", "volume": "15", "smaller_log": "20", "growth": "diameter"}"#,
/// )?;
/// assert_eq!(fall.to_string(), "at diameter 9 and length 8 the volume is 15, and 20 at the next smaller diameter");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Fall {
    /// The diameter of the cell.
    pub diameter: Fixed,
    /// The length of the cell.
    pub length: Fixed,
    /// What it holds.
    pub volume: Fixed,
    /// What the cell of the next smaller log holds, which is more.
    pub smaller_log: Fixed,
    /// Which way the log grows from there to here.
    pub growth: Growth,
}

impl fmt::Display for Fall {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { diameter, length, volume, smaller_log, .. } = self;
        let smaller = match self.growth {
            Growth::Diameter => "diameter",
            Growth::Length => "length",
        };
        write!(
            formatter,
            "at diameter {diameter} and length {length} the volume is {volume}, and {smaller_log} at the next smaller \
                {smaller}"
        )
    }
}
