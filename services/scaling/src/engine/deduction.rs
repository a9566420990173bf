//! What each defect takes off: the methods of deduction, in the order that never takes the same wood twice.
//!
//! 1. Parts of the length that are given up go first, together, each in proportion to its length: V × l / L.
//!    Scaling the log again at the shorter length is the other published way; proportion is used for every
//!    rule, because a table need not have the shorter length.
//! 2. A ring of bad wood: the log is scaled again at D - 2t, and the loss counts for the length that is left.
//!    Of several rings the deepest holds the others.
//! 3. Everything else is reckoned on what then remains, each by itself, and added up.
//!
//! A defect longer than what is left of the log counts for what is left; one longer than the log as measured
//! is refused. The sum does not depend on the order in which the scaler wrote the defects down.

use kernel::{Exact, VolumeUnit};

use super::methods;
use crate::working::{Plain, Recorder, plural};
use crate::{Defect, Defects, FigureUnit, ScaleProblem, Step, StepKind};

pub(super) const HANDBOOK: &str =
    "method named in Forest Service FSH 2409.11 ch. 20 (1985); formula from memory";
pub(super) const PROPORTION: &str =
    "proportional rule, Grosenbaugh, Shortcuts for Cruisers and Scalers (1952), from memory";

/// Which methods have a meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Methods {
    /// A round log.
    All,
    /// Squared timber.
    LengthCutAndSquared,
    /// A log known by its girth only.
    LengthCutAndPieCut,
}

impl Methods {
    fn refuse(self, defect: &Defect) -> Option<&'static str> {
        match (self, defect) {
            (Self::All, _)
            | (_, Defect::LengthCut { .. })
            | (Self::LengthCutAndSquared, Defect::Squared { .. })
            | (Self::LengthCutAndPieCut, Defect::PieCut { .. }) => None,
            (Self::LengthCutAndSquared, _) => Some("squared timber takes length_cut and squared only"),
            (Self::LengthCutAndPieCut, _) => {
                Some("a log known by its girth alone takes length_cut and pie_cut only")
            }
        }
    }
}

/// The wood from which losses are taken.
pub(super) struct Wood {
    pub(super) gross: Exact,
    pub(super) unit: VolumeUnit,
    /// The length the gross stands for, in feet.
    pub(super) length: Exact,
    /// The length as measured, in feet.
    pub(super) measured_length: Exact,
    /// The scaling diameter of a round log, in inches.
    pub(super) diameter: Option<Exact>,
    pub(super) methods: Methods,
    /// Whether sawdust is already out of the volume, as it is in a log rule's board feet.
    pub(super) sawdust: bool,
    pub(super) waste_inch: bool,
}

impl Wood {
    /// What width × height in inches × length in feet is divided by.
    pub(super) const fn squared_divisor(&self) -> i128 {
        match self.unit {
            // 12 inches to the foot; 15 is 12 / 0.8, a fifth of the boards being sawdust that the rule never
            // counted.
            VolumeUnit::BoardFoot if self.sawdust => 15,
            VolumeUnit::BoardFoot => 12,
            VolumeUnit::CubicFoot | VolumeUnit::CubicMetre => 144,
        }
    }
}

/// The wood that is left after the cuts.
pub(super) struct Left {
    pub(super) volume: Exact,
    pub(super) length: Exact,
}

/// The sum of the losses, not rounded and never more than the gross.
pub(super) fn losses(
    wood: &Wood,
    defects: &Defects,
    smaller: impl Fn(Exact) -> Result<Exact, ScaleProblem>,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    for (place, defect) in (1..).zip(defects.as_slice()) {
        if let Some(reason) = wood.methods.refuse(defect) {
            return Err(ScaleProblem::MethodDoesNotApply { place, method: defect.method(), reason });
        }
        check_length(wood, place, defect)?;
    }
    let left = cut_length(wood, defects, recorder)?;
    let left = cut_diameter(wood, left, defects, smaller, recorder)?;
    let mut others = Exact::ZERO;
    for (place, defect) in (1..).zip(defects.as_slice()) {
        others = others.plus(loss(wood, &left, place, defect, recorder)?)?;
    }
    Ok(wood.gross.minus(left.volume)?.plus(others)?.min(wood.gross))
}

fn does_not_fit(place: usize, defect: &Defect, reason: String) -> ScaleProblem {
    ScaleProblem::DefectDoesNotFit { place, kind: defect.kind().name(), method: defect.method(), reason }
}

fn check_length(wood: &Wood, place: usize, defect: &Defect) -> Result<(), ScaleProblem> {
    let (Defect::Squared { length_ft, .. }
    | Defect::PieCut { length_ft, .. }
    | Defect::LengthCut { length_ft, .. }
    | Defect::Crook { length_ft, .. }) = defect
    else {
        return Ok(());
    };
    if length_ft.exact() <= wood.measured_length {
        return Ok(());
    }
    let log = wood.measured_length;
    Err(does_not_fit(place, defect, format!("it is {length_ft} feet long and the piece is {log}")))
}

fn cut_length(wood: &Wood, defects: &Defects, recorder: &mut impl Recorder) -> Result<Left, ScaleProblem> {
    let mut cut = Exact::ZERO;
    for (place, defect) in (1..).zip(defects.as_slice()) {
        let Defect::LengthCut { length_ft, .. } = defect else { continue };
        cut = cut.plus(length_ft.exact())?;
        if cut > wood.measured_length {
            let log = wood.measured_length;
            let reason = format!("the length cuts up to it come to {cut} feet and the piece is {log}");
            return Err(does_not_fit(place, defect, reason));
        }
    }
    if cut.is_zero() {
        return Ok(Left { volume: wood.gross, length: wood.length });
    }
    let counted = cut.min(wood.length);
    let lost = wood.gross.times(counted)?.over(wood.length)?;
    recorder.record(|| {
        let (gross, length) = (wood.gross, wood.length);
        let says = format!(
            "length cut of {cut} feet, in proportion: {gross} × {counted} ÷ {length} = {} {}",
            Plain(lost),
            plural(wood.unit)
        );
        Step::new(StepKind::Defect, says)
            .figure("cut", counted, FigureUnit::Foot)
            .figure("loss", lost, wood.unit)
            .source(PROPORTION)
            .recalled(true)
    });
    Ok(Left { volume: wood.gross.minus(lost)?, length: wood.length.minus(counted)? })
}

fn cut_diameter(
    wood: &Wood,
    left: Left,
    defects: &Defects,
    smaller: impl Fn(Exact) -> Result<Exact, ScaleProblem>,
    recorder: &mut impl Recorder,
) -> Result<Left, ScaleProblem> {
    let mut deepest: Option<Exact> = None;
    for (place, defect) in (1..).zip(defects.as_slice()) {
        let Defect::DiameterCut { depth_in, .. } = defect else { continue };
        let depth = depth_in.exact();
        if let Some(diameter) = wood.diameter
            && depth.times(Exact::of(2))? >= diameter
        {
            let reason = format!("{depth} inches on each side leave nothing of {diameter} inches");
            return Err(does_not_fit(place, defect, reason));
        }
        deepest = deepest.max(Some(depth));
    }
    let Some(depth) = deepest else { return Ok(left) };
    let inner = smaller(depth)?.min(wood.gross);
    let lost = wood.gross.minus(inner)?.times(left.length)?.over(wood.length)?;
    recorder.record(|| {
        let (gross, length, of) = (wood.gross, wood.length, left.length);
        let says = format!(
            "diameter cut of {depth} inches on each side: the log without it scales {inner}, \
            so ({gross} - {inner}) × {of} ÷ {length} = {} {}",
            Plain(lost),
            plural(wood.unit)
        );
        Step::new(StepKind::Defect, says)
            .figure("depth", depth, FigureUnit::Inch)
            .figure("inner_volume", inner, wood.unit)
            .figure("loss", lost, wood.unit)
            .source(HANDBOOK)
            .recalled(true)
    });
    Ok(Left { volume: left.volume.minus(lost)?.max(Exact::ZERO), length: left.length })
}

/// The loss of one defect that is neither a length cut nor a diameter cut.
fn loss(
    wood: &Wood,
    left: &Left,
    place: usize,
    defect: &Defect,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    if left.length.is_zero() {
        return Ok(Exact::ZERO);
    }
    let diameter = wood.diameter.unwrap_or(Exact::ONE);
    let reckoned = match defect {
        Defect::Squared { width_in, height_in, length_ft, .. } => {
            methods::squared(wood, left, *width_in, *height_in, *length_ft)?
        }
        Defect::PieCut { angle_degrees, length_ft, .. } => {
            methods::pie_cut(left, *angle_degrees, *length_ft)?
        }
        Defect::Sweep { departure_in, .. } => methods::sweep(wood, left, *departure_in, diameter)?,
        Defect::Crook { deflection_in, length_ft, .. } => {
            methods::crook(left, *deflection_in, diameter, *length_ft)?
        }
        Defect::LengthCut { .. } | Defect::DiameterCut { .. } => return Ok(Exact::ZERO),
    };
    recorder.record(|| {
        let says = format!(
            "defect {place}, {}: {} = {} {}",
            defect.kind().name(),
            reckoned,
            Plain(reckoned.lost),
            plural(wood.unit)
        );
        Step::new(StepKind::Defect, says)
            .figure("loss", reckoned.lost, wood.unit)
            .source(reckoned.source())
            .recalled(reckoned.recalled())
    });
    Ok(reckoned.lost)
}
