//! Measurements to volume, with the working. No input or output.
//!
//! A [`Piece`] holds what was measured; a [`Practice`] holds what a contract says about scaling; [`scale`]
//! brings them together. [`direct`] applies one rule to numbers without any contract.
//!
//! ```
//! use scaling::{Practice, scale};
//!
//! let practice: Practice = serde_json::from_str(r#"{"log": {"rule": "scribner-decimal-c"}}"#)?;
//! let piece = serde_json::from_str(
//!     r#"{
//!         "product": "log", "species": "red pine", "small_diameter_in": ["15", "17"],
//!         "length_ft": "16", "length_in": "4",
//!         "defects": [{"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_ft": "8"}]
//!     }"#,
//! )?;
//! let volume = scale(&practice, &piece)?.volume.ok_or("a log has a volume")?;
//! assert_eq!(volume.gross.to_string(), "160"); // board feet
//! assert_eq!(volume.net.to_string(), "150"); // a twelfth is lost, 13 1/3, which rounds to ten
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod defect;
mod direct;
mod engine;
mod member;
mod piece;
mod practice;
mod problem;
mod round_to;
pub mod rules;
mod says;
mod sizes;
mod stacked_measure;
pub mod standing;
mod words;
mod working;
mod yield_check;

#[cfg(feature = "openapi")]
mod openapi;

pub use defect::{Defect, DefectError, DefectKind, Defects, TooManyDefects};
pub use direct::{DirectAnswer, DirectRequest, DirectRounding, direct};
pub use engine::{
    Alternation, Inspection, Outcome, Scaled, Volume, scale, scale_in_turn, scale_without_working,
    scale_without_working_in_turn,
};
pub use piece::{
    Heights, HeightsError, HewnTimber, InchFootLog, InchFootPile, Log, LogError, LogSizes, MetricLog,
    MetricPile, Piece, PileHeight, PileSizes, Pole, RankedPile, RankedPileError, Readings, ReadingsError,
    Section, SectionError, Tie, Wane,
};
pub use practice::{
    AssumedTaper, AtLimit, Content, CordPractice, Division, Estimates, FirstHalf, HewnPractice,
    HewnTolerances, HewnUnit, InchRounding, LeastBoard, LeastTop, LengthMultiple, Limit, LimitError,
    LogPractice, LogRule, MeasuringSystem, MetricTerms, NominalSticksFeet, NominalSticksMetres, OddTaper,
    OtherSticks, OverLong, PoleClass, PolePractice, Practice, PracticeError, RankedPilePractice,
    SentPractice, SmallTop, Sources, StackedCubicMetrePractice, TableByHalves, TableTerm, TieClass,
    TiePractice, TieTolerances, WaneTreatment,
};
pub use problem::ScaleProblem;
pub use round_to::{RoundTo, RoundToError, RoundingTerm, RoundingWord};
pub use rules::own_table::{
    Fall, FiledTable, Growth, LogTable, NoCell, SheetRow, TableDiameter, TableFault, TableHeading,
    TableRefused, TableSheet,
};
pub use rules::{Edition, EditionName, RuleFacts, RuleName, UnknownRule};
pub use says::Says;
pub use sizes::{
    Acres, Centimetres, Degrees, DepthInches, Feet, FormClass, FormFactor, FurtherInches, GirthInches,
    Hectares, Inches, KerfInches, LogsInTree, Metres, Percent, PlaceFeet, PlaceMetres, SizeError,
    SquareFeetPerAcre, SquareMetresPerHectare, TrimCentimetres, TrimInches,
};
pub use stacked_measure::{
    CUBIC_FEET_IN_A_CORD, STACKED_CUBIC_METRES_IN_A_CORD, cords, stacked_cubic_metres,
};
pub use words::{
    Grade, Label, Marks, Note, Refusal, Species, StickNumber, TableNote, TableTitle, WordsError,
};
pub use working::{Figure, FigureUnit, Step, StepKind};
pub use yield_check::{Yield, YieldCheck, smallest_log_in, yield_check};
