//! The kinds of defect that lower a grade and take no wood off, unless a contract says otherwise.

use crate::DefectKind;

/// Sound knots and spiral grain: Australian code of forest mensuration practice, 2.2.5.
pub(crate) const KINDS: [DefectKind; 2] = [DefectKind::SoundKnot, DefectKind::SpiralGrain];

pub(crate) fn by_default() -> Vec<DefectKind> {
    KINDS.to_vec()
}
