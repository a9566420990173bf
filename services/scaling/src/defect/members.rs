//! Reads the members of a defect's document: all in one system, none missing, and as numbers to compute with.

use kernel::{Exact, Fixed};

use super::form::{DefectError, DefectForm};
use super::method::{Along, Method};
use crate::rules::System;
use crate::{Centimetres, DefectKind, Feet, Inches, Metres, Note, PlaceFeet, PlaceMetres};

/// A size that can be given in either system: its two names, and what was given.
struct Size {
    inch: (&'static str, Option<Fixed>),
    metric: (&'static str, Option<Fixed>),
    needed: bool,
}

impl Size {
    /// The one that was given; a checked form has given what is needed.
    fn value(&self) -> Option<Exact> {
        self.inch.1.or(self.metric.1).map(Fixed::exact)
    }

    const fn is_missing(&self) -> bool {
        self.needed && self.inch.1.is_none() && self.metric.1.is_none()
    }
}

/// A size across the log, by the names of its two members.
macro_rules! across {
    ($inches:ident, $centimetres:ident) => {
        Some(Size {
            inch: (stringify!($inches), $inches.map(Inches::fixed)),
            metric: (stringify!($centimetres), $centimetres.map(Centimetres::fixed)),
            needed: true,
        })
    };
}

impl DefectForm {
    /// Its sizes across the log, in the order in which the method takes them.
    #[inline]
    fn across(&self) -> [Option<Size>; 2] {
        match self {
            Self::Squared { width_in, width_cm, height_in, height_cm, .. } => {
                [across!(width_in, width_cm), across!(height_in, height_cm)]
            }
            Self::DiameterCut { depth_in, depth_cm, .. } => [across!(depth_in, depth_cm), None],
            Self::Sweep { departure_in, departure_cm, .. } => [across!(departure_in, departure_cm), None],
            Self::Crook { deflection_in, deflection_cm, .. } => [across!(deflection_in, deflection_cm), None],
            Self::Ellipse { major_in, major_cm, minor_in, minor_cm, .. } => {
                [across!(major_in, major_cm), across!(minor_in, minor_cm)]
            }
            Self::SoundCore { core_in, core_cm, .. } => [across!(core_in, core_cm), None],
            Self::PieCut { .. } | Self::LengthCut { .. } | Self::Estimate { .. } | Self::Noted { .. } => {
                [None, None]
            }
        }
    }

    /// Its length and, if it is given, where it begins; none of what has no length of its own.
    #[inline]
    fn along(&self) -> [Option<Size>; 2] {
        let (feet, metres, from_feet, from_metres) = match self {
            Self::Squared { length_ft, length_m, from_small_end_ft, from_small_end_m, .. }
            | Self::PieCut { length_ft, length_m, from_small_end_ft, from_small_end_m, .. }
            | Self::LengthCut { length_ft, length_m, from_small_end_ft, from_small_end_m, .. }
            | Self::Crook { length_ft, length_m, from_small_end_ft, from_small_end_m, .. }
            | Self::Ellipse { length_ft, length_m, from_small_end_ft, from_small_end_m, .. }
            | Self::SoundCore { length_ft, length_m, from_small_end_ft, from_small_end_m, .. } => {
                (length_ft, length_m, from_small_end_ft, from_small_end_m)
            }
            Self::DiameterCut { .. } | Self::Sweep { .. } | Self::Estimate { .. } | Self::Noted { .. } => {
                return [None, None];
            }
        };
        [
            Some(Size {
                inch: ("length_ft", feet.map(Feet::fixed)),
                metric: ("length_m", metres.map(Metres::fixed)),
                needed: true,
            }),
            Some(Size {
                inch: ("from_small_end_ft", from_feet.map(PlaceFeet::fixed)),
                metric: ("from_small_end_m", from_metres.map(PlaceMetres::fixed)),
                needed: false,
            }),
        ]
    }

    /// Every size in one system, and none missing: that system, or none where there are no sizes.
    pub(super) fn checked(&self) -> Result<Option<System>, DefectError> {
        let ([first, second], [length, from]) = (self.across(), self.along());
        let sizes = [first, second, length, from];
        let given = || sizes.iter().flatten();
        let metric = given().find(|size| size.metric.1.is_some()).map(|size| size.metric.0);
        let inch = given().any(|size| size.inch.1.is_some());
        if let (Some(member), true) = (metric, inch) {
            return Err(DefectError::MixedSystems(member));
        }
        if let Some(size) = given().find(|size| size.is_missing()) {
            return Err(DefectError::Missing(if metric.is_some() { size.metric.0 } else { size.inch.0 }));
        }
        Ok(match (metric, inch) {
            (Some(_), _) => Some(System::Metric),
            (None, true) => Some(System::Inch),
            (None, false) => None,
        })
    }

    /// The sizes that the method goes by. A checked form has all of them.
    pub(super) fn sizes(&self) -> Method<'_> {
        let value = |size: Option<Size>| size.and_then(|size| size.value());
        let [first, second] = self.across().map(|size| value(size).unwrap_or(Exact::ZERO));
        let [length, from_small_end] = self.along().map(value);
        let along = Along { length: length.unwrap_or(Exact::ZERO), from_small_end };
        match self {
            Self::Squared { .. } => Method::Squared { width: first, height: second, along },
            Self::PieCut { angle_degrees, .. } => Method::PieCut { angle: angle_degrees.exact(), along },
            Self::LengthCut { .. } => Method::LengthCut { along },
            Self::DiameterCut { .. } => Method::DiameterCut { depth: first },
            Self::Sweep { .. } => Method::Sweep { departure: first },
            Self::Crook { .. } => Method::Crook { deflection: first, along },
            Self::Ellipse { .. } => Method::Ellipse { major: first, minor: second, along },
            Self::SoundCore { .. } => Method::SoundCore { core: first, along },
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
