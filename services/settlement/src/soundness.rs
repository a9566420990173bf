//! Whether a piece is sound or cull, as far as a rate asks.

use serde::{Deserialize, Serialize};

/// Whether a rate is for sound pieces or for those that the contract's practice makes cull: too defective, or refused
/// for their size or hewing.
///
/// ```
/// use settlement::Soundness;
/// assert_eq!(Soundness::of(true), Soundness::Cull);
/// assert_eq!(serde_json::to_string(&Soundness::Sound)?, "\"sound\"");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Soundness {
    /// Not cull.
    Sound,
    /// Cull.
    Cull,
}

impl Soundness {
    /// What a piece is.
    ///
    /// ```
    /// assert_eq!(settlement::Soundness::of(false).name(), "sound");
    /// ```
    #[must_use]
    pub const fn of(cull: bool) -> Self {
        if cull { Self::Cull } else { Self::Sound }
    }

    /// The name used in JSON and in sentences.
    ///
    /// ```
    /// assert_eq!(settlement::Soundness::Cull.name(), "cull");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Cull => "cull",
        }
    }
}
