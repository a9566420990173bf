//! Cruises: from measured trees to an estimate for the tract.

use audit::{Confidence, SampledTract, TallyTree, Tract};
use kernel::{Exact, Fixed, NumberError, Rounding, VolumeUnit};
use scaling::standing::{Area, Cruise, CruiseMethod, Tree, TreeProblem};
use storage::CruiseState;
use wire::{Code, CruiseEstimates, CruiseSummary, CruiseView, FieldProblem, SpeciesEstimate, TreeVolumeView};

use super::withdrawn_view;
use crate::http::refusal::Refusal;

/// What every cruise says of itself.
const CAUTION: &str = "An estimate of standing timber by the formula named with it. The interval speaks of chance alone: \
of which part of the tract was looked at. It knows nothing of trees measured wrongly, of a formula that does not fit them, \
nor of rot inside. Whether to buy, sell, lend or tax by it is for local law and licensed foresters to decide.";

/// A cruise whose trees have their volumes.
#[derive(Debug)]
pub struct Reckoned {
    /// The volume of every line of trees.
    pub volumes: Vec<TreeVolumeView>,
    /// The unit; none where no tree was counted.
    pub unit: Option<VolumeUnit>,
    /// What a sample of the tract says.
    pub tract: SampledTract,
}

/// What is asked about an estimate.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked {
    /// How sure the intervals are to be.
    pub confidence: Confidence,
    /// The error that would be allowed, in percent.
    pub allowed_percent: Option<Fixed>,
}

/// Gives every tree its volume.
///
/// # Errors
///
/// [`Code::CannotScale`] naming every line of trees that has none; [`Code::TooLarge`].
pub fn reckon(measured: &Cruise) -> Result<Reckoned, Refusal> {
    let (mut volumes, mut unit, mut errors) = (Vec::new(), None, Vec::new());
    let mut plots = Vec::with_capacity(measured.plots().len());
    for ((number, place), plot) in (1_u32..).zip(0_usize..).zip(measured.plots()) {
        let mut trees = Vec::with_capacity(plot.trees.len());
        for (line, tree) in plot.trees.iter().enumerate() {
            match one_line(measured, number, tree) {
                Ok((view, tallied, its_unit)) => {
                    unit = Some(its_unit);
                    volumes.push(view);
                    trees.push(tallied);
                }
                Err(problem) => errors.push(FieldProblem {
                    pointer: format!("#/measured/plots/{place}/trees/{line}"),
                    detail: problem.to_string(),
                }),
            }
        }
        plots.push(trees);
    }
    if let Some(first) = errors.first() {
        let says = format!("{} lines of trees have no volume; the first: {}", errors.len(), first.detail);
        return Err(Refusal::new(Code::CannotScale, says).at(errors));
    }
    Ok(Reckoned { volumes, unit, tract: SampledTract::new(tract(measured.method()), plots)? })
}

type Line = (TreeVolumeView, TallyTree, VolumeUnit);

fn one_line(measured: &Cruise, plot: u32, tree: &Tree) -> Result<Line, TreeProblem> {
    let volume = measured.formula().volume(tree)?;
    let stems = measured.method().stems(tree)?;
    let view = TreeVolumeView {
        plot,
        species: tree.species.to_string(),
        diameter: tree.diameter.to_string(),
        height: tree.height.to_string(),
        count: tree.count,
        stems: shown(stems)?,
        volume: shown(volume.exact)?,
        says: volume.says,
    };
    let tallied = TallyTree {
        species: tree.species.as_str().to_lowercase(),
        stems: stems.into(),
        volume: volume.exact.into(),
    };
    Ok((view, tallied, volume.unit))
}

/// To six decimals, halves away from zero.
fn shown(exact: Exact) -> Result<Fixed, NumberError> {
    exact.rounded_to(Exact::fraction(1, 1_000_000), Rounding::HalfUp)?.fixed()
}

fn tract(method: CruiseMethod) -> Tract {
    let of = |area: Area| area.exact().into();
    match method {
        CruiseMethod::FixedPlots { plot, tract } => Tract::Plots { area: of(tract), plot: of(plot) },
        CruiseMethod::Points { tract, .. } => Tract::Points { area: of(tract) },
        CruiseMethod::Complete { tract } => Tract::Complete { area: tract.map(of) },
    }
}

/// What a cruise says of the tract.
///
/// # Errors
///
/// [`Code::TooLarge`].
pub fn estimates(reckoned: &Reckoned, measured: &Cruise, asked: Asked) -> Result<CruiseEstimates, Refusal> {
    let tract = &reckoned.tract;
    let mut species = Vec::new();
    for name in tract.species() {
        let estimate = tract.estimate(Some(name), asked.confidence)?;
        species.push(SpeciesEstimate { species: name.to_owned(), estimate });
    }
    let needed = asked.allowed_percent.map(|allowed| tract.plots_needed(allowed, asked.confidence));
    Ok(CruiseEstimates {
        unit: reckoned.unit,
        tract: measured.method().tract(),
        confidence: asked.confidence,
        room_for_plots: tract.room()?,
        species,
        all: tract.estimate(None, asked.confidence)?,
        plots_needed: needed.transpose()?.flatten(),
        caution: CAUTION.to_owned(),
    })
}

/// A cruise without its trees, as it is shown.
#[must_use]
pub fn summary(state: &CruiseState, job_name: String) -> CruiseSummary {
    let CruiseState { cruise, withdrawn } = state;
    let measured = &cruise.measured;
    let trees = measured.plots().iter().flat_map(|plot| &plot.trees);
    CruiseSummary {
        cruise_id: cruise.id,
        job_id: cruise.job,
        job_name,
        cruised_on: cruise.cruised_on,
        cruiser: cruise.cruiser.clone(),
        method: measured.method().name().to_owned(),
        plots: u32::try_from(measured.plots().len()).unwrap_or(u32::MAX),
        trees: trees.map(|tree| u64::from(tree.count)).sum(),
        formula: measured.formula().facts(),
        remarks: cruise.remarks.clone(),
        made_by: cruise.made.by.clone(),
        made_at: cruise.made.at,
        withdrawn: withdrawn.clone().map(withdrawn_view),
    }
}

/// A cruise with everything that it says, as it is shown.
///
/// # Errors
///
/// As [`reckon`].
pub fn view(state: CruiseState, job_name: String, asked: Asked) -> Result<CruiseView, Refusal> {
    let summary = summary(&state, job_name);
    let measured = state.cruise.measured;
    let reckoned = reckon(&measured)?;
    let estimates = estimates(&reckoned, &measured, asked)?;
    Ok(CruiseView { summary, measured, volumes: reckoned.volumes, estimates })
}
