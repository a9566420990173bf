//! The document of a defect: every member that one method can have, and the check that they go together.

use serde::{Deserialize, Serialize};

use crate::{
    Centimetres, DefectKind, Degrees, Feet, Inches, Metres, Note, Percent, PlaceFeet, PlaceMetres, member,
};

/// One defect, tagged by the method with which its loss is reckoned. Sizes are in inches and feet, or all of them in
/// centimetres and metres.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "method", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub(super) enum DefectForm {
    /// A square drawn round interior defect; the boards in it are lost.
    Squared {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// Width of the square, in inches.
        #[serde(default, deserialize_with = "member::width_in", skip_serializing_if = "Option::is_none")]
        width_in: Option<Inches>,
        /// Width of the square, in centimetres.
        #[serde(default, deserialize_with = "member::width_cm", skip_serializing_if = "Option::is_none")]
        width_cm: Option<Centimetres>,
        /// Height of the square, in inches.
        #[serde(default, deserialize_with = "member::height_in", skip_serializing_if = "Option::is_none")]
        height_in: Option<Inches>,
        /// Height of the square, in centimetres.
        #[serde(default, deserialize_with = "member::height_cm", skip_serializing_if = "Option::is_none")]
        height_cm: Option<Centimetres>,
        /// How far it runs along the log, in feet.
        #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
        length_ft: Option<Feet>,
        /// How far it runs along the log, in metres.
        #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
        length_m: Option<Metres>,
        /// How far from the small end it begins, in feet.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_ft",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_ft: Option<PlaceFeet>,
        /// How far from the small end it begins, in metres.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_m",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_m: Option<PlaceMetres>,
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
        #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
        length_ft: Option<Feet>,
        /// How far it runs along the log, in metres.
        #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
        length_m: Option<Metres>,
        /// How far from the small end it begins, in feet.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_ft",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_ft: Option<PlaceFeet>,
        /// How far from the small end it begins, in metres.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_m",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_m: Option<PlaceMetres>,
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
        #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
        length_ft: Option<Feet>,
        /// The length given up, in metres.
        #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
        length_m: Option<Metres>,
        /// How far from the small end it begins, in feet.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_ft",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_ft: Option<PlaceFeet>,
        /// How far from the small end it begins, in metres.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_m",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_m: Option<PlaceMetres>,
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
        #[serde(default, deserialize_with = "member::depth_in", skip_serializing_if = "Option::is_none")]
        depth_in: Option<Inches>,
        /// How deep it goes on each side, in centimetres.
        #[serde(default, deserialize_with = "member::depth_cm", skip_serializing_if = "Option::is_none")]
        depth_cm: Option<Centimetres>,
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
        #[serde(default, deserialize_with = "member::departure_in", skip_serializing_if = "Option::is_none")]
        departure_in: Option<Inches>,
        /// The largest gap from a line stretched centre to centre of the ends, in centimetres.
        #[serde(default, deserialize_with = "member::departure_cm", skip_serializing_if = "Option::is_none")]
        departure_cm: Option<Centimetres>,
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
        #[serde(
            default,
            deserialize_with = "member::deflection_in",
            skip_serializing_if = "Option::is_none"
        )]
        deflection_in: Option<Inches>,
        /// How far the bent part is out of line, in centimetres.
        #[serde(
            default,
            deserialize_with = "member::deflection_cm",
            skip_serializing_if = "Option::is_none"
        )]
        deflection_cm: Option<Centimetres>,
        /// Length of the bent part, in feet.
        #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
        length_ft: Option<Feet>,
        /// Length of the bent part, in metres.
        #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
        length_m: Option<Metres>,
        /// How far from the small end it begins, in feet.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_ft",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_ft: Option<PlaceFeet>,
        /// How far from the small end it begins, in metres.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_m",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_m: Option<PlaceMetres>,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// Interior defect in the shape of an ellipse.
    Ellipse {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// The longer way across the ellipse, averaged over its length, in inches.
        #[serde(default, deserialize_with = "member::major_in", skip_serializing_if = "Option::is_none")]
        major_in: Option<Inches>,
        /// The longer way across the ellipse, averaged over its length, in centimetres.
        #[serde(default, deserialize_with = "member::major_cm", skip_serializing_if = "Option::is_none")]
        major_cm: Option<Centimetres>,
        /// The shorter way across it, in inches.
        #[serde(default, deserialize_with = "member::minor_in", skip_serializing_if = "Option::is_none")]
        minor_in: Option<Inches>,
        /// The shorter way across it, in centimetres.
        #[serde(default, deserialize_with = "member::minor_cm", skip_serializing_if = "Option::is_none")]
        minor_cm: Option<Centimetres>,
        /// How far it runs along the log, in feet.
        #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
        length_ft: Option<Feet>,
        /// How far it runs along the log, in metres.
        #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
        length_m: Option<Metres>,
        /// How far from the small end it begins, in feet.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_ft",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_ft: Option<PlaceFeet>,
        /// How far from the small end it begins, in metres.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_m",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_m: Option<PlaceMetres>,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// Bad wood all round a sound core.
    SoundCore {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// Diameter of the sound core, in inches.
        #[serde(default, deserialize_with = "member::core_in", skip_serializing_if = "Option::is_none")]
        core_in: Option<Inches>,
        /// Diameter of the sound core, in centimetres.
        #[serde(default, deserialize_with = "member::core_cm", skip_serializing_if = "Option::is_none")]
        core_cm: Option<Centimetres>,
        /// How far it runs along the log, in feet.
        #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
        length_ft: Option<Feet>,
        /// How far it runs along the log, in metres.
        #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
        length_m: Option<Metres>,
        /// How far from the small end it begins, in feet.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_ft",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_ft: Option<PlaceFeet>,
        /// How far from the small end it begins, in metres.
        #[serde(
            default,
            deserialize_with = "member::from_small_end_m",
            skip_serializing_if = "Option::is_none"
        )]
        from_small_end_m: Option<PlaceMetres>,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// The scaler's own judgement of the loss, where the contract allows it.
    Estimate {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// How much of the sound log is lost, in percent.
        #[serde(deserialize_with = "member::percent")]
        percent: Percent,
        /// What the judgement rests on.
        #[serde(deserialize_with = "member::reason")]
        reason: Note,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
    /// Written down without a size: for kinds that the contract takes nothing off for.
    Noted {
        /// What is wrong.
        #[serde(deserialize_with = "member::kind")]
        kind: DefectKind,
        /// A remark.
        #[serde(default, deserialize_with = "member::note", skip_serializing_if = "Option::is_none")]
        note: Option<Note>,
    },
}

/// Why the members of a defect do not go together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DefectError {
    /// A size its method needs.
    #[error("missing field `{0}`")]
    Missing(&'static str),
    /// A size of the other system.
    #[error("{0} is metric and another size is not: write all sizes of a defect in one system")]
    MixedSystems(&'static str),
}
