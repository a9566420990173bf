//! Reads the members of a defect's document: all in one system, none missing, and as numbers to compute with.

use kernel::Exact;

use super::form::{DefectError, DefectForm};
use super::method::{Along, Method};
use crate::rules::System;
use crate::{Centimetres, DefectKind, Feet, Inches, Metres, Note, PlaceFeet, PlaceMetres};

/// A size in either system: its names, and whether they were given.
struct Size {
    inch: (&'static str, bool),
    metric: (&'static str, bool),
    needed: bool,
}

impl Size {
    const fn needed(inch: (&'static str, bool), metric: (&'static str, bool)) -> Self {
        Self { inch, metric, needed: true }
    }

    const fn optional(inch: (&'static str, bool), metric: (&'static str, bool)) -> Self {
        Self { inch, metric, needed: false }
    }
}

/// Every size in one system, and none missing. The system is that of the sizes.
fn check<const COUNT: usize>(sizes: [Size; COUNT]) -> Result<Option<System>, DefectError> {
    let metric = sizes.iter().find(|size| size.metric.1).map(|size| size.metric.0);
    let inch = sizes.iter().any(|size| size.inch.1);
    if let (Some(member), true) = (metric, inch) {
        return Err(DefectError::MixedSystems(member));
    }
    let missing = |size: &&Size| size.needed && !size.inch.1 && !size.metric.1;
    if let Some(size) = sizes.iter().find(missing) {
        return Err(DefectError::Missing(if metric.is_some() { size.metric.0 } else { size.inch.0 }));
    }
    Ok(match (metric, inch) {
        (Some(_), _) => Some(System::Metric),
        (None, true) => Some(System::Inch),
        (None, false) => None,
    })
}

/// The one of two that was given; a checked form has given one.
fn across(inches: Option<Inches>, centimetres: Option<Centimetres>) -> Exact {
    inches.map(Inches::exact).or(centimetres.map(Centimetres::exact)).unwrap_or(Exact::ZERO)
}

fn along(
    feet: Option<Feet>,
    metres: Option<Metres>,
    from_feet: Option<PlaceFeet>,
    from_metres: Option<PlaceMetres>,
) -> Along {
    Along {
        length: feet.map(Feet::exact).or(metres.map(Metres::exact)).unwrap_or(Exact::ZERO),
        from_small_end: from_feet.map(PlaceFeet::exact).or(from_metres.map(PlaceMetres::exact)),
    }
}

impl DefectForm {
    pub(super) fn check(&self) -> Result<(), DefectError> {
        self.checked().map(|_| ())
    }

    pub(super) fn system(&self) -> Option<System> {
        self.checked().ok().flatten()
    }

    fn checked(&self) -> Result<Option<System>, DefectError> {
        match self {
            Self::Squared {
                width_in,
                width_cm,
                height_in,
                height_cm,
                length_ft,
                length_m,
                from_small_end_ft,
                from_small_end_m,
                ..
            } => check([
                Size::needed(("width_in", width_in.is_some()), ("width_cm", width_cm.is_some())),
                Size::needed(("height_in", height_in.is_some()), ("height_cm", height_cm.is_some())),
                Size::needed(("length_ft", length_ft.is_some()), ("length_m", length_m.is_some())),
                Size::optional(
                    ("from_small_end_ft", from_small_end_ft.is_some()),
                    ("from_small_end_m", from_small_end_m.is_some()),
                ),
            ]),
            Self::PieCut { length_ft, length_m, from_small_end_ft, from_small_end_m, .. } => check([
                Size::needed(("length_ft", length_ft.is_some()), ("length_m", length_m.is_some())),
                Size::optional(
                    ("from_small_end_ft", from_small_end_ft.is_some()),
                    ("from_small_end_m", from_small_end_m.is_some()),
                ),
            ]),
            Self::LengthCut { length_ft, length_m, from_small_end_ft, from_small_end_m, .. } => check([
                Size::needed(("length_ft", length_ft.is_some()), ("length_m", length_m.is_some())),
                Size::optional(
                    ("from_small_end_ft", from_small_end_ft.is_some()),
                    ("from_small_end_m", from_small_end_m.is_some()),
                ),
            ]),
            Self::DiameterCut { depth_in, depth_cm, .. } => {
                check([Size::needed(("depth_in", depth_in.is_some()), ("depth_cm", depth_cm.is_some()))])
            }
            Self::Sweep { departure_in, departure_cm, .. } => check([Size::needed(
                ("departure_in", departure_in.is_some()),
                ("departure_cm", departure_cm.is_some()),
            )]),
            Self::Crook {
                deflection_in,
                deflection_cm,
                length_ft,
                length_m,
                from_small_end_ft,
                from_small_end_m,
                ..
            } => check([
                Size::needed(
                    ("deflection_in", deflection_in.is_some()),
                    ("deflection_cm", deflection_cm.is_some()),
                ),
                Size::needed(("length_ft", length_ft.is_some()), ("length_m", length_m.is_some())),
                Size::optional(
                    ("from_small_end_ft", from_small_end_ft.is_some()),
                    ("from_small_end_m", from_small_end_m.is_some()),
                ),
            ]),
            Self::Ellipse {
                major_in,
                major_cm,
                minor_in,
                minor_cm,
                length_ft,
                length_m,
                from_small_end_ft,
                from_small_end_m,
                ..
            } => check([
                Size::needed(("major_in", major_in.is_some()), ("major_cm", major_cm.is_some())),
                Size::needed(("minor_in", minor_in.is_some()), ("minor_cm", minor_cm.is_some())),
                Size::needed(("length_ft", length_ft.is_some()), ("length_m", length_m.is_some())),
                Size::optional(
                    ("from_small_end_ft", from_small_end_ft.is_some()),
                    ("from_small_end_m", from_small_end_m.is_some()),
                ),
            ]),
            Self::SoundCore {
                core_in,
                core_cm,
                length_ft,
                length_m,
                from_small_end_ft,
                from_small_end_m,
                ..
            } => check([
                Size::needed(("core_in", core_in.is_some()), ("core_cm", core_cm.is_some())),
                Size::needed(("length_ft", length_ft.is_some()), ("length_m", length_m.is_some())),
                Size::optional(
                    ("from_small_end_ft", from_small_end_ft.is_some()),
                    ("from_small_end_m", from_small_end_m.is_some()),
                ),
            ]),
            Self::Estimate { .. } => check([]),
            Self::Noted { .. } => check([]),
        }
    }

    pub(super) fn sizes(&self) -> Method<'_> {
        match self {
            Self::Squared {
                width_in,
                width_cm,
                height_in,
                height_cm,
                length_ft,
                length_m,
                from_small_end_ft,
                from_small_end_m,
                ..
            } => Method::Squared {
                width: across(*width_in, *width_cm),
                height: across(*height_in, *height_cm),
                along: along(*length_ft, *length_m, *from_small_end_ft, *from_small_end_m),
            },
            Self::PieCut {
                angle_degrees, length_ft, length_m, from_small_end_ft, from_small_end_m, ..
            } => Method::PieCut {
                angle: angle_degrees.exact(),
                along: along(*length_ft, *length_m, *from_small_end_ft, *from_small_end_m),
            },
            Self::LengthCut { length_ft, length_m, from_small_end_ft, from_small_end_m, .. } => {
                Method::LengthCut {
                    along: along(*length_ft, *length_m, *from_small_end_ft, *from_small_end_m),
                }
            }
            Self::DiameterCut { depth_in, depth_cm, .. } => {
                Method::DiameterCut { depth: across(*depth_in, *depth_cm) }
            }
            Self::Sweep { departure_in, departure_cm, .. } => {
                Method::Sweep { departure: across(*departure_in, *departure_cm) }
            }
            Self::Crook {
                deflection_in,
                deflection_cm,
                length_ft,
                length_m,
                from_small_end_ft,
                from_small_end_m,
                ..
            } => Method::Crook {
                deflection: across(*deflection_in, *deflection_cm),
                along: along(*length_ft, *length_m, *from_small_end_ft, *from_small_end_m),
            },
            Self::Ellipse {
                major_in,
                major_cm,
                minor_in,
                minor_cm,
                length_ft,
                length_m,
                from_small_end_ft,
                from_small_end_m,
                ..
            } => Method::Ellipse {
                major: across(*major_in, *major_cm),
                minor: across(*minor_in, *minor_cm),
                along: along(*length_ft, *length_m, *from_small_end_ft, *from_small_end_m),
            },
            Self::SoundCore {
                core_in,
                core_cm,
                length_ft,
                length_m,
                from_small_end_ft,
                from_small_end_m,
                ..
            } => Method::SoundCore {
                core: across(*core_in, *core_cm),
                along: along(*length_ft, *length_m, *from_small_end_ft, *from_small_end_m),
            },
            Self::Estimate { percent, reason, .. } => Method::Estimate { percent: percent.exact(), reason },
            Self::Noted { .. } => Method::Noted,
        }
    }

    pub(super) const fn kind(&self) -> DefectKind {
        match self {
            Self::Squared { kind, .. }
            | Self::PieCut { kind, .. }
            | Self::LengthCut { kind, .. }
            | Self::DiameterCut { kind, .. }
            | Self::Sweep { kind, .. }
            | Self::Crook { kind, .. }
            | Self::Ellipse { kind, .. }
            | Self::SoundCore { kind, .. }
            | Self::Estimate { kind, .. }
            | Self::Noted { kind, .. } => *kind,
        }
    }

    pub(super) const fn method(&self) -> &'static str {
        match self {
            Self::Squared { .. } => "squared",
            Self::PieCut { .. } => "pie_cut",
            Self::LengthCut { .. } => "length_cut",
            Self::DiameterCut { .. } => "diameter_cut",
            Self::Sweep { .. } => "sweep",
            Self::Crook { .. } => "crook",
            Self::Ellipse { .. } => "ellipse",
            Self::SoundCore { .. } => "sound_core",
            Self::Estimate { .. } => "estimate",
            Self::Noted { .. } => "noted",
        }
    }

    pub(super) const fn note(&self) -> Option<&Note> {
        match self {
            Self::Squared { note, .. }
            | Self::PieCut { note, .. }
            | Self::LengthCut { note, .. }
            | Self::DiameterCut { note, .. }
            | Self::Sweep { note, .. }
            | Self::Crook { note, .. }
            | Self::Ellipse { note, .. }
            | Self::SoundCore { note, .. }
            | Self::Estimate { note, .. }
            | Self::Noted { note, .. } => note.as_ref(),
        }
    }
}
