//! The single methods of deduction: what one defect loses of the wood that is left.

use std::fmt;

use kernel::{Exact, VolumeUnit};

use super::deduction::{HANDBOOK, Left, PROPORTION, Wood};
use crate::{Degrees, Feet, Inches, ScaleProblem};

/// A loss, and the numbers that made it.
pub(super) struct Reckoned {
    pub(super) lost: Exact,
    numbers: Numbers,
}

/// The numbers of one method, kept so that the line is only written when the working is.
enum Numbers {
    Squared { width: Exact, height: Exact, length: Exact, divisor: i128, unit: VolumeUnit },
    PieCut { volume: Exact, length: Exact, of: Exact, angle: Exact },
    Sweep { volume: Exact, departure: Exact, allowance: Exact, diameter: Exact },
    Crook { volume: Exact, deflection: Exact, diameter: Exact, length: Exact, of: Exact },
}

/// Width by height by length over 15 board feet, 12 where sawdust is not out of the volume, or 144 cubic
/// feet; with the waste inch, an inch more each way.
pub(super) fn squared(
    wood: &Wood,
    left: &Left,
    width: Inches,
    height: Inches,
    length: Feet,
) -> Result<Reckoned, ScaleProblem> {
    let waste = if wood.waste_inch { Exact::ONE } else { Exact::ZERO };
    let (width, height) = (width.exact().plus(waste)?, height.exact().plus(waste)?);
    let (length, divisor) = (length.exact().min(left.length), wood.squared_divisor());
    let lost = width.times(height)?.times(length)?.over(Exact::of(divisor))?;
    Ok(Reckoned { lost, numbers: Numbers::Squared { width, height, length, divisor, unit: wood.unit } })
}

/// The wedge's part of the circle, over its part of the length: V × (l / L) × (angle / 360).
pub(super) fn pie_cut(left: &Left, angle: Degrees, length: Feet) -> Result<Reckoned, ScaleProblem> {
    let (volume, of, angle) = (left.volume, left.length, angle.exact());
    let length = length.exact().min(of);
    let lost = volume.times(length.over(of)?)?.times(angle.over(Exact::of(360))?)?;
    Ok(Reckoned { lost, numbers: Numbers::PieCut { volume, length, of, angle } })
}

/// What the bow departs past its allowance, over the diameter. The allowance is 2 inches in 16 feet and goes
/// with the length: an eighth of an inch for each foot of the log.
pub(super) fn sweep(
    wood: &Wood,
    left: &Left,
    departure: Inches,
    diameter: Exact,
) -> Result<Reckoned, ScaleProblem> {
    let (volume, departure) = (left.volume, departure.exact());
    let allowance = wood.length.over(Exact::of(8))?;
    let past = departure.minus(allowance)?.max(Exact::ZERO);
    let lost = volume.times(past.over(diameter)?.min(Exact::ONE))?;
    Ok(Reckoned { lost, numbers: Numbers::Sweep { volume, departure, allowance, diameter } })
}

/// The bend's part of the diameter, over its part of the length: V × (deflection / D) × (l / L).
pub(super) fn crook(
    left: &Left,
    deflection: Inches,
    diameter: Exact,
    length: Feet,
) -> Result<Reckoned, ScaleProblem> {
    let (volume, of, deflection) = (left.volume, left.length, deflection.exact());
    let length = length.exact().min(of);
    let lost = volume.times(deflection.over(diameter)?.min(Exact::ONE))?.times(length.over(of)?)?;
    Ok(Reckoned { lost, numbers: Numbers::Crook { volume, deflection, diameter, length, of } })
}

impl Reckoned {
    pub(super) const fn source(&self) -> &'static str {
        match self.numbers {
            Numbers::Squared { unit: VolumeUnit::BoardFoot, divisor: 15, .. } => HANDBOOK,
            Numbers::Squared { .. } => "plain geometry: the solid content of the square",
            _ => PROPORTION,
        }
    }

    pub(super) const fn recalled(&self) -> bool {
        !matches!(self.numbers, Numbers::Squared { divisor: 12 | 144, .. })
    }
}

impl fmt::Display for Reckoned {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.numbers {
            Numbers::Squared { width, height, length, divisor, .. } => {
                write!(formatter, "squared {width} × {height} × {length} ÷ {divisor}")
            }
            Numbers::PieCut { volume, length, of, angle } => {
                write!(formatter, "pie cut {volume} × ({length} ÷ {of}) × ({angle} ÷ 360)")
            }
            Numbers::Sweep { volume, departure, allowance, diameter } => write!(
                formatter,
                "sweep of {departure} inches, {allowance} allowed: {volume} × ({departure} - {allowance}, \
                    not below 0) ÷ {diameter}"
            ),
            Numbers::Crook { volume, deflection, diameter, length, of } => {
                write!(formatter, "crook {volume} × ({deflection} ÷ {diameter}) × ({length} ÷ {of})")
            }
        }
    }
}
