//! Standing trees: what a cruiser measures, and what a stated formula makes of it.
//!
//! A tree is known by its diameter at breast height, outside bark, and by how high it is worth cutting. Whatever turns that
//! into volume is a guess about its shape, so a formula says what it takes for granted, in which range it holds, where it is
//! from, and whether it is recalled.
//!
//! ```
//! use scaling::standing::{Tree, TreeFormula};
//! let tree: Tree = serde_json::from_str(r#"{"species": "red oak", "diameter_in": "20", "logs": "2"}"#)?;
//! // Log by log: 78 percent of 20 inches is 15.6, taken as 16; two inches less at the top of the second log.
//! let formula: TreeFormula = serde_json::from_str(
//!     r#"{"by": "log_by_log", "rule": "doyle", "form_class": "78", "tapers_in": ["2"]}"#,
//! )?;
//! assert_eq!(formula.volume(&tree)?.exact.to_string(), "244"); // 144 and 100 board feet
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod cruise;
mod form_class_table;
mod form_factor;
mod formula;
mod log_by_log;
mod problem;
mod tree;

pub use cruise::{Area, BasalAreaFactor, Cruise, CruiseError, CruiseMethod, Plot};
pub use form_class_table::TableRule;
pub use form_factor::StemForm;
pub use formula::{FormulaFacts, TreeFormula, TreeVolume};
pub use log_by_log::TopDiameters;
pub use problem::TreeProblem;
pub use tree::{BreastHeight, Tree, TreeError, TreeHeight};
