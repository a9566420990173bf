//! What stands beside the figures of every report.

use wire::ReportNotes;

use crate::books::auditing::stages;
use crate::books::caution::CAUTION;

/// Units, rounding, scales, and the caution.
#[must_use]
pub fn notes() -> ReportNotes {
    ReportNotes {
        units: "Volumes are in the unit of the contract that scales them, as each table says; nothing converts one unit or \
one log rule into another. Costs per thousand are for a thousand board feet of the mill's net scale; where a mill scales by \
another unit, for a hundred cubic feet, a cubic metre, or a cord."
            .to_owned(),
        rounding: "Volumes are as each contract's rule rounds them, stick by stick, and are added up exactly. Defect is \
gross less net as a share of gross, to the nearest tenth of a percent, halves up. What is earned and posted is rounded for \
each week and rate to the smallest coin, halves away from zero. Costs and what mills owe for delivered wood are added up \
exactly and rounded once likewise, and once more for each thousand, so they can differ by coins from settlements."
            .to_owned(),
        scales: stages::SAYS.to_owned(),
        caution: CAUTION.to_owned(),
    }
}
