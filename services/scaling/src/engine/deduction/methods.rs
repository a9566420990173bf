//! The single methods of deduction: what one defect loses of the wood that is left.

use kernel::Exact;

use super::lie::{self, Lie};
use super::wood::Wood;
use super::{HANDBOOK, Left, PROPORTION};
use crate::defect::{Along, Method};
use crate::rules::System;
use crate::{Defect, Defects, ScaleProblem};

/// A loss, and the numbers that made it.
#[derive(Clone, Copy)]
pub(super) struct Reckoned {
    pub(super) lost: Exact,
    numbers: Numbers,
}

/// The numbers of one method, kept so that the line is only written when it is read.
#[derive(Clone, Copy)]
enum Numbers {
    Squared { width: Exact, height: Exact, length: Exact, divisor: Exact, sawdust: bool },
    PieCut { volume: Exact, length: Exact, of: Exact, angle: Exact },
    Sweep { volume: Exact, departure: Exact, allowance: Exact, diameter: Exact, unit: &'static str },
    Crook { volume: Exact, deflection: Exact, diameter: Exact, length: Exact, of: Exact },
    Ellipse { volume: Exact, major: Exact, minor: Exact, diameter: Exact, length: Exact, of: Exact },
    SoundCore { volume: Exact, core: Exact, diameter: Exact, length: Exact, of: Exact },
    BareCore { volume: Exact, core: Exact, length: Exact, of: Exact },
    Estimate { volume: Exact, percent: Exact },
}

/// What the defect loses; none of a cut, which came before.
pub(super) fn reckoned(
    wood: &Wood<'_>,
    left: &Left,
    defects: &Defects,
    place: usize,
    defect: &Defect,
) -> Result<Option<Reckoned>, ScaleProblem> {
    let runs = |along: Along, boards: bool| -> Result<Exact, ScaleProblem> {
        let mut lies = lie::lie(wood, place, defect, along)?;
        if boards {
            lies = lie::through_short_remnants(wood, lies, left.length)?;
        }
        lie::length_left(wood, defects, lies, left.length)
    };
    let diameter = wood.diameter.unwrap_or(Exact::ONE);
    Ok(Some(match defect.sizes() {
        Method::Squared { width, height, along } => squared(wood, width, height, runs(along, true)?)?,
        Method::PieCut { angle, along } => pie_cut(left, angle, runs(along, true)?)?,
        Method::Sweep { departure } => sweep(wood, left, departure, diameter)?,
        Method::Crook { deflection, along } => crook(left, deflection, diameter, runs(along, false)?)?,
        Method::Ellipse { major, minor, along } => {
            ellipse(wood, left, (major, minor), diameter, runs(along, true)?)?
        }
        Method::SoundCore { core, along } => sound_core(wood, left, core, diameter, runs(along, false)?)?,
        Method::Estimate { percent, .. } => {
            let volume = left.volume;
            let lost = volume.times(percent)?.over(Exact::of(100))?;
            Reckoned { lost, numbers: Numbers::Estimate { volume, percent } }
        }
        Method::LengthCut { .. } | Method::DiameterCut { .. } | Method::Noted => return Ok(None),
    }))
}

/// The sides of a squared defect as they are counted: with the waste inch, an inch more each way.
pub(super) fn counted_sides(
    wood: &Wood<'_>,
    width: Exact,
    height: Exact,
) -> Result<(Exact, Exact), ScaleProblem> {
    let waste = if wood.terms.waste_inch { Exact::ONE } else { Exact::ZERO };
    Ok((width.plus(waste)?, height.plus(waste)?))
}

/// Width by height by length over what the unit and the kerf ask for.
fn squared(wood: &Wood<'_>, width: Exact, height: Exact, length: Exact) -> Result<Reckoned, ScaleProblem> {
    let ((width, height), divisor) = (counted_sides(wood, width, height)?, wood.squared_divisor()?);
    let lost = width.times(height)?.times(length)?.over(divisor)?;
    let sawdust = wood.sawdust;
    Ok(Reckoned { lost, numbers: Numbers::Squared { width, height, length, divisor, sawdust } })
}

/// The wedge's part of the circle, over its part of the length: V × (l / L) × (angle / 360).
fn pie_cut(left: &Left, angle: Exact, length: Exact) -> Result<Reckoned, ScaleProblem> {
    let (volume, of) = (left.volume, left.length);
    let lost = volume.times(length.over(of)?)?.times(angle.over(Exact::of(360))?)?;
    Ok(Reckoned { lost, numbers: Numbers::PieCut { volume, length, of, angle } })
}

/// What the bow departs past its allowance, over the diameter. The allowance is 2 inches in 16 feet and goes
/// with the length: an eighth of an inch for each foot of the log, which is a ninety-sixth of its length. Of a
/// shallow bow over a longer log a segment departs as the square of its part of the length.
fn sweep(wood: &Wood<'_>, left: &Left, departure: Exact, diameter: Exact) -> Result<Reckoned, ScaleProblem> {
    let (volume, length) = (left.volume, wood.stretch.length);
    let part = length.over(wood.stretch.log)?;
    let departure = departure.times(part.squared()?)?;
    let allowance = length.times(match wood.system {
        System::Inch => Exact::fraction(1, 8),
        System::Metric => Exact::fraction(100, 96),
    })?;
    let past = departure.minus(allowance)?.max(Exact::ZERO);
    let lost = volume.times(past.over(diameter)?.min(Exact::ONE))?;
    let unit = wood.across_unit();
    Ok(Reckoned { lost, numbers: Numbers::Sweep { volume, departure, allowance, diameter, unit } })
}

/// The bend's part of the diameter, over its part of the length: V × (deflection / D) × (l / L).
fn crook(left: &Left, deflection: Exact, diameter: Exact, length: Exact) -> Result<Reckoned, ScaleProblem> {
    let (volume, of) = (left.volume, left.length);
    let lost = volume.times(deflection.over(diameter)?.min(Exact::ONE))?.times(length.over(of)?)?;
    Ok(Reckoned { lost, numbers: Numbers::Crook { volume, deflection, diameter, length, of } })
}

/// An inch that sawing wastes round a defect or inside the bark, where the volume is one of boards.
fn saw_inch(wood: &Wood<'_>) -> Exact {
    if wood.sawdust { Exact::ONE } else { Exact::ZERO }
}

/// The ellipse's part of the circle, over its part of the length: V × (a + 1)(b + 1) / (D - 1)² × (l / L), and in solid
/// volumes a × b / D², which is the plain geometry of the two areas.
fn ellipse(
    wood: &Wood<'_>,
    left: &Left,
    (major, minor): (Exact, Exact),
    diameter: Exact,
    length: Exact,
) -> Result<Reckoned, ScaleProblem> {
    let (volume, of, inch) = (left.volume, left.length, saw_inch(wood));
    let (major, minor, diameter) = (major.plus(inch)?, minor.plus(inch)?, diameter.minus(inch)?);
    let share = if diameter > Exact::ZERO {
        major.times(minor)?.over(diameter.squared()?)?.min(Exact::ONE)
    } else {
        Exact::ONE
    };
    let lost = volume.times(share)?.times(length.over(of)?)?;
    Ok(Reckoned { lost, numbers: Numbers::Ellipse { volume, major, minor, diameter, length, of } })
}

/// All but the core's part of the circle, over its part of the length: V × [1 - ((H - 1) / (D - 1))²] × (l / L), and in
/// solid volumes 1 - (H / D)². A core that makes no least board is lost too.
fn sound_core(
    wood: &Wood<'_>,
    left: &Left,
    core: Exact,
    diameter: Exact,
    length: Exact,
) -> Result<Reckoned, ScaleProblem> {
    let (volume, of, inch) = (left.volume, left.length, saw_inch(wood));
    if let Some((least_length, least_width)) = wood.terms.least_board
        && (core < least_width || length < least_length)
    {
        let lost = volume.times(length.over(of)?)?;
        return Ok(Reckoned { lost, numbers: Numbers::BareCore { volume, core, length, of } });
    }
    let (core, diameter) = (core.minus(inch)?.max(Exact::ZERO), diameter.minus(inch)?);
    let sound =
        if diameter > Exact::ZERO { core.over(diameter)?.min(Exact::ONE).squared()? } else { Exact::ZERO };
    let lost = volume.times(Exact::ONE.minus(sound)?)?.times(length.over(of)?)?;
    Ok(Reckoned { lost, numbers: Numbers::SoundCore { volume, core, diameter, length, of } })
}

/// Whether a defect is a squared one of known place, and if so from where to where it counts.
pub(super) fn placed_square(
    wood: &Wood<'_>,
    left: &Left,
    place: usize,
    defect: &Defect,
) -> Result<Option<(Exact, Exact, Exact, Exact)>, ScaleProblem> {
    let Method::Squared { width, height, along } = defect.sizes() else { return Ok(None) };
    let lies = lie::through_short_remnants(wood, lie::lie(wood, place, defect, along)?, left.length)?;
    let Lie::Placed { from, to } = lies else { return Ok(None) };
    let (width, height) = counted_sides(wood, width, height)?;
    Ok(Some((from, to, width, height)))
}

const GEOMETRY: &str = "plain geometry: the solid content of the defect";

impl Reckoned {
    pub(super) const fn source(&self) -> &'static str {
        match self.numbers {
            Numbers::Squared { sawdust: true, .. } => HANDBOOK,
            Numbers::Squared { sawdust: false, .. } => GEOMETRY,
            Numbers::SoundCore { .. } => {
                "proportional rule for a sound core, Grosenbaugh (1952), from memory with low confidence"
            }
            Numbers::BareCore { .. } => {
                "a remaining board must make the contract's least board: Forest Service FSH 2409.11 ch. 20 (1985)"
            }
            Numbers::Estimate { .. } => "the scaler's own estimate",
            _ => PROPORTION,
        }
    }

    pub(super) const fn recalled(&self) -> bool {
        !matches!(
            self.numbers,
            Numbers::Squared { sawdust: false, .. } | Numbers::BareCore { .. } | Numbers::Estimate { .. }
        )
    }

    pub(super) const fn is_judgement(&self) -> bool {
        matches!(self.numbers, Numbers::Estimate { .. })
    }

    /// The numbers in words; of an estimate also the reason the scaler gave for it.
    pub(super) fn words(&self, reason: &str) -> String {
        match &self.numbers {
            Numbers::Squared { width, height, length, divisor, .. } => {
                format!("squared {width} × {height} × {length} ÷ {divisor}")
            }
            Numbers::PieCut { volume, length, of, angle } => {
                format!("pie cut {volume} × ({length} ÷ {of}) × ({angle} ÷ 360)")
            }
            Numbers::Sweep { volume, departure, allowance, diameter, unit } => format!(
                "sweep of {departure} {unit}, {allowance} allowed: {volume} × ({departure} - {allowance}, \
                    not below 0) ÷ {diameter}"
            ),
            Numbers::Crook { volume, deflection, diameter, length, of } => {
                format!("crook {volume} × ({deflection} ÷ {diameter}) × ({length} ÷ {of})")
            }
            Numbers::Ellipse { volume, major, minor, diameter, length, of } => {
                format!("ellipse {volume} × ({major} × {minor} ÷ {diameter}², at most 1) × ({length} ÷ {of})")
            }
            Numbers::SoundCore { volume, core, diameter, length, of } => {
                format!("all but a sound core {volume} × (1 - ({core} ÷ {diameter})²) × ({length} ÷ {of})")
            }
            Numbers::BareCore { volume, core, length, of } => {
                format!("the core of {core} makes no board that counts: {volume} × ({length} ÷ {of})")
            }
            Numbers::Estimate { volume, percent } => {
                format!("the scaler's own estimate, a judgement ({reason}): {volume} × {percent} ÷ 100")
            }
        }
    }
}
