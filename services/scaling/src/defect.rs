//! Defects: what is wrong with a piece, and the measurements that one method of deduction needs.

use serde::{Deserialize, Serialize};

use crate::{Degrees, Feet, Inches, Note, member};

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
            Self::Other => "other",
        }
    }
}

/// One defect, tagged by the method with which its loss is reckoned.
///
/// ```
/// use scaling::{Defect, DefectKind};
/// let rot: Defect = serde_json::from_str(
///     r#"{"kind": "heart_rot", "method": "squared", "width_in": "8", "height_in": "9", "length_ft": "2"}"#,
/// )?;
/// assert_eq!((rot.kind(), rot.method()), (DefectKind::HeartRot, "squared"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "method", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Defect {
    /// A square drawn round interior defect; the boards in it are lost.
    Squared {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// Width of the square, in inches.
        #[serde(deserialize_with = "member::width_in")]
        width_in: Inches,
        /// Height of the square, in inches.
        #[serde(deserialize_with = "member::height_in")]
        height_in: Inches,
        /// How far it runs along the log, in feet.
        #[serde(deserialize_with = "member::length_ft")]
        length_ft: Feet,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// A wedge from bark to heart.
    PieCut {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// Angle of the wedge at the heart, in degrees.
        #[serde(deserialize_with = "member::angle_degrees")]
        angle_degrees: Degrees,
        /// How far it runs along the log, in feet.
        #[serde(deserialize_with = "member::length_ft")]
        length_ft: Feet,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// A part of the length that is given up whole.
    LengthCut {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// The length given up, in feet.
        #[serde(deserialize_with = "member::length_ft")]
        length_ft: Feet,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// A ring of bad wood all round the outside.
    DiameterCut {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// How deep it goes on each side, in inches.
        #[serde(deserialize_with = "member::depth_in")]
        depth_in: Inches,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// A bow over the whole log.
    Sweep {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// The largest gap from a line stretched centre to centre of the ends, in inches.
        #[serde(deserialize_with = "member::departure_in")]
        departure_in: Inches,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// A bend that leaves one part of the length out of line.
    Crook {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// How far the bent part is out of line, in inches.
        #[serde(deserialize_with = "member::deflection_in")]
        deflection_in: Inches,
        /// Length of the bent part, in feet.
        #[serde(deserialize_with = "member::length_ft")]
        length_ft: Feet,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
}

impl Defect {
    /// What is wrong.
    #[must_use]
    pub const fn kind(&self) -> DefectKind {
        match self {
            Self::Squared { kind, .. }
            | Self::PieCut { kind, .. }
            | Self::LengthCut { kind, .. }
            | Self::DiameterCut { kind, .. }
            | Self::Sweep { kind, .. }
            | Self::Crook { kind, .. } => *kind,
        }
    }

    /// The method's name, as in JSON.
    #[must_use]
    pub const fn method(&self) -> &'static str {
        match self {
            Self::Squared { .. } => "squared",
            Self::PieCut { .. } => "pie_cut",
            Self::LengthCut { .. } => "length_cut",
            Self::DiameterCut { .. } => "diameter_cut",
            Self::Sweep { .. } => "sweep",
            Self::Crook { .. } => "crook",
        }
    }

    /// The scaler's remark.
    #[must_use]
    pub const fn note(&self) -> Option<&Note> {
        match self {
            Self::Squared { note, .. }
            | Self::PieCut { note, .. }
            | Self::LengthCut { note, .. }
            | Self::DiameterCut { note, .. }
            | Self::Sweep { note, .. }
            | Self::Crook { note, .. } => note.as_ref(),
        }
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
