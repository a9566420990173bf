//! The kinds of defect.

use serde::{Deserialize, Serialize};

/// What is wrong with the wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum DefectKind {
    /// Decay of the heart.
    HeartRot,
    /// Decay that begins at the stump.
    ButtRot,
    /// Wood parted along a growth ring.
    RingShake,
    /// A crack across the rings from drying.
    Check,
    /// A seam of bark or pitch that runs in from the surface.
    Seam,
    /// A healed or open wound of the butt, often from fire.
    Catface,
    /// A bow over the whole length.
    Sweep,
    /// A sharp bend.
    Crook,
    /// Decay of the sapwood.
    SapRot,
    /// Shattered wood from felling or handling.
    Break,
    /// The place where a stem forks.
    Crotch,
    /// Holes of borers.
    WormHoles,
    /// A crack opened by frost.
    FrostCrack,
    /// Any other old wound, lightning among them.
    Scar,
    /// A ring filled with pitch.
    PitchRing,
    /// Knots too close together to saw between.
    KnotCluster,
    /// A knot that is sound and tight.
    SoundKnot,
    /// Fibres that wind round the stem.
    SpiralGrain,
    /// Sticks of a pile ranked so loosely that it holds more air than one that is well stowed.
    LooselyRanked,
    /// Something else; say what in the note.
    Other,
}

impl DefectKind {
    /// The name used in JSON.
    ///
    /// ```
    /// assert_eq!(scaling::DefectKind::HeartRot.name(), "heart_rot");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::HeartRot => "heart_rot",
            Self::ButtRot => "butt_rot",
            Self::RingShake => "ring_shake",
            Self::Check => "check",
            Self::Seam => "seam",
            Self::Catface => "catface",
            Self::Sweep => "sweep",
            Self::Crook => "crook",
            Self::SapRot => "sap_rot",
            Self::Break => "break",
            Self::Crotch => "crotch",
            Self::WormHoles => "worm_holes",
            Self::FrostCrack => "frost_crack",
            Self::Scar => "scar",
            Self::PitchRing => "pitch_ring",
            Self::KnotCluster => "knot_cluster",
            Self::SoundKnot => "sound_knot",
            Self::SpiralGrain => "spiral_grain",
            Self::LooselyRanked => "loosely_ranked",
            Self::Other => "other",
        }
    }
}
