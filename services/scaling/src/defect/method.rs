//! The sizes of one defect, to compute with: inches and feet, or centimetres and metres, as the log is measured.

use kernel::Exact;

use crate::Note;

/// What the loss of one defect is reckoned from.
#[derive(Clone, Copy)]
pub(crate) enum Method<'a> {
    Squared { width: Exact, height: Exact, along: Along },
    PieCut { angle: Exact, along: Along },
    LengthCut { along: Along },
    DiameterCut { depth: Exact },
    Sweep { departure: Exact },
    Crook { deflection: Exact, along: Along },
    Ellipse { major: Exact, minor: Exact, along: Along },
    SoundCore { core: Exact, along: Along },
    Estimate { percent: Exact, reason: &'a Note },
    Noted,
}

/// How far a defect runs along the log, and where it begins if that was measured.
#[derive(Clone, Copy)]
pub(crate) struct Along {
    pub(crate) length: Exact,
    pub(crate) from_small_end: Option<Exact>,
}

impl Method<'_> {
    /// How far it runs; none of what has no length of its own.
    pub(crate) const fn along(&self) -> Option<Along> {
        match self {
            Self::Squared { along, .. }
            | Self::PieCut { along, .. }
            | Self::LengthCut { along }
            | Self::Crook { along, .. }
            | Self::Ellipse { along, .. }
            | Self::SoundCore { along, .. } => Some(*along),
            Self::DiameterCut { .. } | Self::Sweep { .. } | Self::Estimate { .. } | Self::Noted => None,
        }
    }
}
