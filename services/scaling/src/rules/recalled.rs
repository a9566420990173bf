//! The range of the rules whose formula is recalled: no wider than the sizes such tables are used for.

use kernel::Exact;

use super::RuleName;
use crate::ScaleProblem;

pub(super) const RANGE: &str = "6 to 48 inches and lengths up to 40 feet";

const LEAST_IN: Exact = Exact::of(6);
const MOST_IN: Exact = Exact::of(48);
const LONGEST_FT: Exact = Exact::of(40);

/// Refuses sizes for which nothing recalled should be relied on.
pub(super) fn check(rule: RuleName, diameter_in: Exact, length_ft: Exact) -> Result<(), ScaleProblem> {
    let outside = |what, value, unit| ScaleProblem::OutsideRule { rule, what, value, unit, range: RANGE };
    if diameter_in < LEAST_IN || diameter_in > MOST_IN {
        return Err(outside("a diameter", diameter_in, "inches"));
    }
    if length_ft > LONGEST_FT {
        return Err(outside("a length", length_ft, "feet"));
    }
    Ok(())
}
