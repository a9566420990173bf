//! A stick as it is typed: one short line of plain words and numbers, read into what was measured, and written again.
//!
//! ```text
//! white pine 14/15 16'4, heart rot 8x9 for 2 from 14
//! └─species  │     │     └─ defects, each behind a comma
//!            │     └─ length: 16 feet 4 inches
//!            └─ the two readings across the small end
//! ```
//!
//! - A line begins with what it is (`log`, `hewn`, `tie`, `pole`, `pile`) and its species; what is left out is as on the
//!   stick before, and so is the length.
//! - Numbers: `14`, `14.5`; two readings `14/15`; width by thickness `12x10`; feet and inches `16'4`. Without a unit they
//!   are in inches and feet, or, where the contract is metric, in centimetres and metres; `36cm`, `4.9m`, `14in` and
//!   `16ft` say so.
//! - Further words, in any order: `middle`, `large`, `butt` with readings; `wane 2x1`, `ordered 12x10`, `score`, `bent`,
//!   `askew` of hewn sticks; `round` of a tie, the log it was hewn from; `top` of a pole; `high 4'2/4` and `sticks 4` of a
//!   pile; `grade`, `marks`, `no`, `from`, `refused`, each with a word, or with several in quotation marks.
//! - A defect is its kind and how its loss is reckoned: `8x9 for 2` a square drawn round it, `oval 10x7 for 4`, `60deg for 8`
//!   a wedge, `cut 2` of the length, `deep 2` all round, `core 9 for 6` around a sound core, `out 3` a bow, `out 3 for 6` a
//!   bend, `15% because "…"` an estimate, nothing where it is only noted; `from 14` is how far from the small end it begins.
//!
//! ```
//! use client::typing::{Context, read, written};
//! let first = read("white pine 14/15 16'4, heart rot 8x9 for 2", &Context::default())?;
//! let next = read("13.5", &Context { before: Some(&first), metric: false })?;
//! assert_eq!(written(&next, false), "log white pine 13.5 16'4");
//! assert!(read("pine fourteen 16", &Context::default()).is_err());
//! # Ok::<(), client::typing::Misread>(())
//! ```

mod defect;
mod misread;
mod parts;
mod sizes;
mod stick;
mod token;
mod writing;

pub use misread::Misread;
pub use stick::{Context, read};
pub use writing::written;
