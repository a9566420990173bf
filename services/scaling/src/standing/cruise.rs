//! A cruise as it was measured: how the land was looked at, by which formula trees get their volume, and the trees.

use std::collections::HashSet;

use kernel::{Exact, NumberError, Rounding};
use serde::{Deserialize, Serialize};

use super::{Tree, TreeFormula};
use crate::rules::System;
use crate::{Acres, Hectares, SquareFeetPerAcre, SquareMetresPerHectare};

/// An area of land.
///
/// ```
/// use scaling::standing::Area;
/// let area: Area = serde_json::from_str(r#"{"acres": "40"}"#)?;
/// assert_eq!((area.exact(), area.unit()), (kernel::Exact::of(40), "acres"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Area {
    /// In acres.
    Acres(Acres),
    /// In hectares.
    Hectares(Hectares),
}

impl Area {
    /// The number, in whatever unit it is.
    #[must_use]
    pub fn exact(self) -> Exact {
        match self {
            Self::Acres(acres) => acres.exact(),
            Self::Hectares(hectares) => hectares.exact(),
        }
    }

    /// Its unit in words.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Acres(_) => "acres",
            Self::Hectares(_) => "hectares",
        }
    }

    const fn system(self) -> System {
        match self {
            Self::Acres(_) => System::Inch,
            Self::Hectares(_) => System::Metric,
        }
    }
}

/// What each tree that is counted from a point stands for, as the area of its stem's section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum BasalAreaFactor {
    /// In square feet an acre.
    SquareFeetPerAcre(SquareFeetPerAcre),
    /// In square metres a hectare.
    SquareMetresPerHectare(SquareMetresPerHectare),
}

impl BasalAreaFactor {
    fn exact(self) -> Exact {
        match self {
            Self::SquareFeetPerAcre(factor) => factor.exact(),
            Self::SquareMetresPerHectare(factor) => factor.exact(),
        }
    }

    const fn system(self) -> System {
        match self {
            Self::SquareFeetPerAcre(_) => System::Inch,
            Self::SquareMetresPerHectare(_) => System::Metric,
        }
    }
}

/// How the land was looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum CruiseMethod {
    /// Plots of one size, every tree on them counted.
    FixedPlots {
        /// The area of one plot.
        plot: Area,
        /// The area of the whole tract.
        tract: Area,
    },
    /// Points, from which trees are counted that look wide enough through a gauge: each stands for the same basal area.
    Points {
        /// What each counted tree stands for.
        basal_area_factor: BasalAreaFactor,
        /// The area of the whole tract.
        tract: Area,
    },
    /// Every tree of the tract, all in one plot.
    Complete {
        /// The area of the tract, where somebody measured it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        tract: Option<Area>,
    },
}

impl CruiseMethod {
    /// The name used in JSON.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::FixedPlots { .. } => "fixed_plots",
            Self::Points { .. } => "points",
            Self::Complete { .. } => "complete",
        }
    }

    /// The area of the tract, where it is known.
    #[must_use]
    pub const fn tract(self) -> Option<Area> {
        match self {
            Self::FixedPlots { tract, .. } | Self::Points { tract, .. } => Some(tract),
            Self::Complete { tract } => tract,
        }
    }

    /// How many trees on a unit of area the trees tallied together stand for; in a complete tally, how many they are. From
    /// a point it is count × factor ÷ basal area of one tree, to six decimals, halves up.
    ///
    /// # Errors
    ///
    /// [`NumberError`].
    ///
    /// ```
    /// use scaling::standing::{CruiseMethod, Tree};
    /// let method: CruiseMethod = serde_json::from_str(
    ///     r#"{"kind": "points", "basal_area_factor": {"square_feet_per_acre": "10"}, "tract": {"acres": "40"}}"#,
    /// )?;
    /// let tree: Tree = serde_json::from_str(r#"{"species": "ash", "diameter_in": "12", "logs": "2"}"#)?;
    /// assert_eq!(method.stems(&tree)?.to_string(), "12.732755"); // 10 / (0.005454 × 144)
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn stems(self, tree: &Tree) -> Result<Exact, NumberError> {
        let count = Exact::of(tree.count.into());
        match self {
            Self::FixedPlots { plot, .. } => count.over(plot.exact()),
            Self::Points { basal_area_factor, .. } => {
                let stands_for = count.times(basal_area_factor.exact())?;
                let stems = stands_for.over(tree.diameter.basal_area()?)?;
                stems.rounded_to(Exact::fraction(1, 1_000_000), Rounding::HalfUp)
            }
            Self::Complete { .. } => Ok(count),
        }
    }

    /// The systems that its areas are of.
    fn systems(self) -> [Option<System>; 2] {
        match self {
            Self::FixedPlots { plot, tract } => [Some(plot.system()), Some(tract.system())],
            Self::Points { basal_area_factor, tract } => {
                [Some(basal_area_factor.system()), Some(tract.system())]
            }
            Self::Complete { tract } => [tract.map(Area::system), None],
        }
    }
}

/// What was counted at one place. A plot without trees says that nothing stands there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Plot {
    /// Its trees.
    pub trees: Vec<Tree>,
}

/// A cruise as it was measured.
///
/// ```
/// use scaling::standing::Cruise;
/// let cruise = |plots: &str| serde_json::from_str::<Cruise>(&format!(
///     r#"{{"method": {{"kind": "fixed_plots", "plot": {{"acres": "0.2"}}, "tract": {{"acres": "40"}}}},
///         "formula": {{"by": "form_class_table", "rule": "scribner"}}, "plots": {plots}}}"#
/// ));
/// let ash = r#"{"trees": [{"species": "ash", "diameter_in": "14", "logs": "2"}]}"#;
/// assert_eq!(cruise(&format!(r#"[{ash}, {{"trees": []}}]"#))?.plots().len(), 2);
/// assert!(cruise("[]").is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "CruiseForm", into = "CruiseForm")]
pub struct Cruise {
    method: CruiseMethod,
    formula: TreeFormula,
    plots: Vec<Plot>,
}

/// Why a document is no cruise.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CruiseError {
    /// Nothing was looked at.
    #[error("a cruise has at least one plot: one without trees says that nothing stands there")]
    NoPlots,
    /// More than is taken at once.
    #[error(
        "a cruise has at most {MOST_PLOTS} plots, {MOST_TREES} lines of trees and {MOST_SPECIES} species"
    )]
    TooMany,
    /// A complete tally in several plots.
    #[error("a complete tally puts all trees into one plot")]
    CompleteInPlots,
    /// Acres with hectares, or inches with hectares.
    #[error(
        "plots/{plot}: acres go with inches and feet, hectares with centimetres and metres: nothing converts between them"
    )]
    TwoSystems {
        /// The first plot that does not go with the rest, from 0.
        plot: usize,
    },
    /// A plot that is larger than the tract.
    #[error("the plot is larger than the tract")]
    PlotTooLarge,
    /// More plots than the tract has room for.
    #[error("the plots together are larger than the tract")]
    PlotsExceedTract,
}

/// The most plots, lines of trees, and species of one cruise.
const MOST_PLOTS: usize = 1_000;
const MOST_TREES: usize = 10_000;
const MOST_SPECIES: usize = 100;

/// The document of a cruise.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
struct CruiseForm {
    /// How the land was looked at.
    method: CruiseMethod,
    /// By which formula trees get their volume.
    formula: TreeFormula,
    /// What was counted, place by place, the places with nothing on them too: 1 to 1000 plots with at most 10000 lines of
    /// trees of at most 100 species.
    plots: Vec<Plot>,
}

impl Cruise {
    /// How the land was looked at.
    #[must_use]
    pub const fn method(&self) -> CruiseMethod {
        self.method
    }

    /// By which formula trees get their volume.
    #[must_use]
    pub const fn formula(&self) -> &TreeFormula {
        &self.formula
    }

    /// What was counted, place by place.
    #[must_use]
    pub fn plots(&self) -> &[Plot] {
        &self.plots
    }
}

impl TryFrom<CruiseForm> for Cruise {
    type Error = CruiseError;

    fn try_from(CruiseForm { method, formula, plots }: CruiseForm) -> Result<Self, CruiseError> {
        if plots.is_empty() {
            return Err(CruiseError::NoPlots);
        }
        let lines: usize = plots.iter().map(|plot| plot.trees.len()).sum();
        let species: HashSet<_> =
            plots.iter().flat_map(|plot| &plot.trees).map(|tree| &tree.species).collect();
        if plots.len() > MOST_PLOTS || lines > MOST_TREES || species.len() > MOST_SPECIES {
            return Err(CruiseError::TooMany);
        }
        match method {
            CruiseMethod::Complete { .. } if plots.len() > 1 => return Err(CruiseError::CompleteInPlots),
            CruiseMethod::FixedPlots { plot, tract } if plot.exact() > tract.exact() => {
                return Err(CruiseError::PlotTooLarge);
            }
            CruiseMethod::FixedPlots { plot, tract } => {
                let room = tract.exact().over(plot.exact()).map_err(|_| CruiseError::PlotTooLarge)?;
                let count = i128::try_from(plots.len()).map_err(|_| CruiseError::TooMany)?;
                if Exact::of(count) > room {
                    return Err(CruiseError::PlotsExceedTract);
                }
            }
            CruiseMethod::Complete { .. } | CruiseMethod::Points { .. } => {}
        }
        let mut one = None;
        let mut differs = |system: System| *one.get_or_insert(system) != system;
        if method.systems().into_iter().flatten().any(&mut differs) {
            return Err(CruiseError::TwoSystems { plot: 0 });
        }
        let of_another = |plot: &Plot| plot.trees.iter().any(|tree| differs(tree.diameter.system()));
        if let Some(plot) = plots.iter().position(of_another) {
            return Err(CruiseError::TwoSystems { plot });
        }
        Ok(Self { method, formula, plots })
    }
}

impl From<Cruise> for CruiseForm {
    fn from(Cruise { method, formula, plots }: Cruise) -> Self {
        Self { method, formula, plots }
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Cruise {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        CruiseForm::schema()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Cruise {
    fn schemas(schemas: &mut Vec<(String, utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>)>) {
        CruiseForm::schemas(schemas);
    }
}
