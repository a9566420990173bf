//! From trees on plots to an estimate for the tract.

use std::collections::BTreeSet;

use kernel::Fixed;
use serde::{Deserialize, Serialize};

use crate::{Confidence, Interval, Number, Sample, StatisticError, sample_size, students_t};

/// Trees that were tallied together: alike in species and size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TallyTree {
    /// The species, as tickets and cruises are compared by it.
    pub species: String,
    /// How many trees they stand for on a unit of area; in a complete tally, how many they are.
    pub stems: Number,
    /// The volume of one of them.
    pub volume: Number,
}

/// The land, and how it was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tract {
    /// Plots of a fixed size, the trees on each counted.
    Plots {
        /// The land's area.
        area: Number,
        /// One plot's area, in the same unit.
        plot: Number,
    },
    /// Points from which trees were counted by their size: the plots have no size of their own, so nobody can say how
    /// many there could be.
    Points {
        /// The land's area.
        area: Number,
    },
    /// Every tree was tallied.
    Complete {
        /// The land's area, where somebody measured it.
        area: Option<Number>,
    },
}

/// A tract with what was tallied on each of its plots. A complete tally is one plot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SampledTract {
    tract: Tract,
    plots: Vec<Vec<TallyTree>>,
}

/// How far the estimate may be off because only a part was looked at. It says nothing of trees that were measured wrongly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SamplingError {
    /// The standard error of the volume on the tract.
    pub standard_error: Fixed,
    /// The lower end of the confidence interval of the volume on the tract. Where the sample is small it may lie below
    /// zero.
    pub from: Fixed,
    /// The upper end.
    pub to: Fixed,
    /// Half the interval in percent of the estimate, to four decimals; none for an estimate of nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub percent: Option<Fixed>,
    /// How much plots differ, as a standard deviation in percent of their mean; none for an estimate of nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub variation_percent: Option<Fixed>,
}

/// What stands on the tract.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CruiseEstimate {
    /// Stems on a unit of area; none where nobody measured the area.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stems_per_area: Option<Fixed>,
    /// Stems on the tract.
    pub stems: Fixed,
    /// Volume on a unit of area; none where nobody measured the area.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_per_area: Option<Fixed>,
    /// Volume on the tract.
    pub volume: Fixed,
    /// How far the volume may be off; none for a single plot, which says nothing of others. All of it is nothing for a
    /// complete tally.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sampling_error: Option<SamplingError>,
}

/// How many plots it would take to come within an allowed error.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PlotsNeeded {
    /// The error allowed, in percent of the estimate.
    pub allowed_percent: Fixed,
    /// Student's t that was reckoned with: that of the plots there are.
    pub t: Fixed,
    /// Plots in all, those there are included.
    pub plots: u64,
}

/// How many decimals figures are told with.
const PLACES: u8 = 6;

impl SampledTract {
    /// A tract with its plots.
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooFew`] for no plot; [`StatisticError::SampleExceedsAll`] for more plots than the tract has
    /// room for; [`StatisticError::DividedByZero`] for a plot without area.
    pub fn new(tract: Tract, plots: Vec<Vec<TallyTree>>) -> Result<Self, StatisticError> {
        let sampled = Self { tract, plots };
        // Whatever keeps a sample from being one shows here, before anybody asks for an estimate.
        sampled.sample(None)?;
        Ok(sampled)
    }

    /// How many plots were looked at.
    #[must_use]
    pub fn plots(&self) -> usize {
        self.plots.len()
    }

    /// How many plots of the size there is room for: the whole number; none where plots have no size.
    ///
    /// # Errors
    ///
    /// [`StatisticError::DividedByZero`], [`StatisticError::TooLarge`].
    pub fn room(&self) -> Result<Option<u64>, StatisticError> {
        let Tract::Plots { area, plot } = &self.tract else { return Ok(None) };
        let room = area.over(plot)?.shown_rounded(0, kernel::Rounding::Down)?;
        u64::try_from(room.millionths() / Fixed::STEPS_PER_UNIT)
            .map(Some)
            .map_err(|_| StatisticError::TooLarge)
    }

    /// The species that were seen, in the order of their names.
    #[must_use]
    pub fn species(&self) -> BTreeSet<&str> {
        self.plots.iter().flatten().map(|tree| tree.species.as_str()).collect()
    }

    /// The estimate for one species, or for all of them together.
    ///
    /// ```
    /// use audit::{Confidence, Number, SampledTract, TallyTree, Tract};
    /// // Constructed: four plots of a fifth of an acre on 40 acres. Each tree stands for 5 on an acre.
    /// let pine = |count: i128| vec![TallyTree { species: "pine".into(), stems: Number::whole(5 * count), volume: Number::whole(100) }];
    /// let tract = Tract::Plots { area: Number::whole(40), plot: Number::whole(1).over(&Number::whole(5))? };
    /// let cruise = SampledTract::new(tract, vec![pine(2), pine(4), pine(3), vec![]])?;
    /// let pine = cruise.estimate(Some("pine"), Confidence::NinetyFive)?;
    /// // (1000 + 2000 + 1500 + 0) / 4 board feet on an acre.
    /// assert_eq!(pine.volume_per_area.map(|volume| volume.to_string()).as_deref(), Some("1125"));
    /// assert_eq!(pine.volume.to_string(), "45000");
    /// # Ok::<(), audit::StatisticError>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`StatisticError::TooLarge`].
    pub fn estimate(
        &self,
        species: Option<&str>,
        confidence: Confidence,
    ) -> Result<CruiseEstimate, StatisticError> {
        let stems = self.mean(species, |tree| tree.stems.clone())?;
        let sample = self.sample(species)?;
        let (stems_on_tract, area) = match &self.tract {
            Tract::Plots { area, .. } | Tract::Points { area } => (stems.times(area), Some(area)),
            Tract::Complete { area } => (stems, area.as_ref()),
        };
        let on_area = |whole: &Number| area.map(|area| whole.over(area)?.shown(PLACES)).transpose();
        let nothing = Fixed::ZERO;
        let volume = sample.mean().shown(PLACES)?;
        let sampling_error = match &self.tract {
            Tract::Complete { .. } => Some(SamplingError {
                standard_error: nothing,
                from: volume,
                to: volume,
                percent: Some(nothing),
                variation_percent: None,
            }),
            Tract::Plots { .. } | Tract::Points { .. } if sample.count() < 2 => None,
            Tract::Plots { .. } | Tract::Points { .. } => Some(sampling_error(&sample, confidence)?),
        };
        Ok(CruiseEstimate {
            stems_per_area: on_area(&stems_on_tract)?,
            stems: stems_on_tract.shown(PLACES)?,
            volume_per_area: on_area(sample.mean())?,
            volume,
            sampling_error,
        })
    }

    /// How many plots it would take for the volume of all species to come within `allowed_percent`; none for a complete
    /// tally, for a single plot and for plots with nothing on them.
    ///
    /// # Errors
    ///
    /// [`StatisticError::DividedByZero`] for an allowance of nothing; [`StatisticError::TooLarge`].
    pub fn plots_needed(
        &self,
        allowed_percent: Fixed,
        confidence: Confidence,
    ) -> Result<Option<PlotsNeeded>, StatisticError> {
        let sample = self.sample(None)?;
        let point = students_t(confidence, sample.count().saturating_sub(1));
        let Some(t) = point.filter(|_| !sample.mean().is_zero()) else { return Ok(None) };
        if matches!(self.tract, Tract::Complete { .. }) {
            return Ok(None);
        }
        let plots = sample_size(sample.variation_percent()?, allowed_percent, t, self.room()?)?;
        Ok(Some(PlotsNeeded { allowed_percent, t, plots }))
    }

    /// What each plot says of the volume on the whole tract.
    fn sample(&self, species: Option<&str>) -> Result<Sample, StatisticError> {
        let of_plot = |plot: &Vec<TallyTree>| sum(plot, species, |tree| tree.stems.times(&tree.volume));
        let values = self.plots.iter().map(of_plot);
        let values = match &self.tract {
            Tract::Plots { area, .. } | Tract::Points { area } => {
                values.map(|value| value.times(area)).collect()
            }
            Tract::Complete { .. } => values.collect(),
        };
        Sample::new(values, self.room()?)
    }

    fn mean(
        &self,
        species: Option<&str>,
        of: impl Fn(&TallyTree) -> Number,
    ) -> Result<Number, StatisticError> {
        let values = self.plots.iter().map(|plot| sum(plot, species, &of)).collect();
        Ok(Sample::new(values, None)?.mean().clone())
    }
}

fn sum(plot: &[TallyTree], species: Option<&str>, of: impl Fn(&TallyTree) -> Number) -> Number {
    plot.iter()
        .filter(|tree| species.is_none_or(|species| tree.species == species))
        .fold(Number::whole(0), |sum, tree| sum.plus(&of(tree)))
}

fn sampling_error(sample: &Sample, confidence: Confidence) -> Result<SamplingError, StatisticError> {
    let Interval { from, to } = sample.interval(confidence)?;
    let known = |percent: Result<Fixed, StatisticError>| match percent {
        Ok(percent) => Ok(Some(percent)),
        Err(StatisticError::DividedByZero) => Ok(None),
        Err(other) => Err(other),
    };
    Ok(SamplingError {
        standard_error: sample.standard_error()?,
        from,
        to,
        percent: known(sample.error_percent(confidence))?,
        variation_percent: known(sample.variation_percent())?,
    })
}
