//! Holds a hewn stick against the tolerances of its contract: accepted, degraded or refused, with the reasons.

use kernel::Exact;
use serde::{Deserialize, Serialize};

use crate::practice::{HewnTolerances, Limit, TieTolerances};
use crate::working::{Plain, Recorder};
use crate::{DepthInches, HewnTimber, ScaleProblem, Section, Step, StepKind, Tie, TieClass};

/// What the tolerances make of a stick.
///
/// ```
/// assert!(scaling::Outcome::Accepted < scaling::Outcome::Refused);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Outcome {
    /// Within all of them, as far as it was measured.
    Accepted,
    /// Over one that lowers its grade.
    Degraded,
    /// Over one that refuses it.
    Refused,
}

/// What the tolerances make of a stick, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Inspection {
    /// The outcome.
    pub outcome: Outcome,
    /// One reason for each tolerance that it is over.
    #[serde(default)]
    pub reasons: Vec<String>,
}

/// One measurement and the limit it is held against.
struct Held {
    what: &'static str,
    unit: &'static str,
    value: Option<Exact>,
    limit: Option<Limit>,
}

impl Held {
    const fn inches(what: &'static str, value: Option<Exact>, limit: Option<Limit>) -> Self {
        Self { what, unit: " inches", value, limit }
    }

    fn depth(what: &'static str, value: Option<DepthInches>, limit: Option<Limit>) -> Self {
        Self::inches(what, value.map(DepthInches::exact), limit)
    }

    /// What it comes to, and why if it is over.
    fn judged(&self) -> Option<(Outcome, String)> {
        let (value, limit) = (self.value?, self.limit?);
        let over = |figure: Option<Exact>| figure.filter(|figure| value > *figure);
        let (outcome, figure) = match (over(limit.refused_over()), over(limit.degraded_over())) {
            (Some(figure), _) => (Outcome::Refused, figure),
            (None, Some(figure)) => (Outcome::Degraded, figure),
            (None, None) => return None,
        };
        let (what, unit, value) = (self.what, self.unit, Plain(value));
        Some((outcome, format!("{what}: {value}{unit} is over {}", Plain(figure))))
    }
}

fn inspection(held: &[Held], recorder: &mut impl Recorder) -> Inspection {
    let mut found = Inspection { outcome: Outcome::Accepted, reasons: Vec::new() };
    for (outcome, reason) in held.iter().filter_map(Held::judged) {
        found.outcome = found.outcome.max(outcome);
        found.reasons.push(reason);
    }
    recorder.record(|| {
        let outcome = match found.outcome {
            Outcome::Accepted => "accepted: within the contract's tolerances, as far as it was measured",
            Outcome::Degraded => "degraded",
            Outcome::Refused => "refused",
        };
        let reasons = found.reasons.join("; ");
        let says = if reasons.is_empty() { outcome.to_owned() } else { format!("{outcome}: {reasons}") };
        Step::new(StepKind::Inspection, says)
    });
    found
}

/// Holds a hewn timber against its tolerances.
pub(super) fn of_timber(
    tolerances: &HewnTolerances,
    timber: &HewnTimber,
    recorder: &mut impl Recorder,
) -> Result<Inspection, ScaleProblem> {
    let sections = || [timber.small_end(), timber.middle(), timber.large_end()].into_iter().flatten();
    let held = [
        Held::depth("score mark", timber.score_mark_depth_in, tolerances.score_mark_depth_in),
        Held::depth("bow", timber.straightness_in, tolerances.straightness_in),
        Held::depth("out of square", timber.out_of_square_in, tolerances.out_of_square_in),
        Held::inches("difference between the ends", ends_differ(timber)?, tolerances.size_difference_in),
        Held::inches(
            "under the ordered size",
            off_order(timber, sections(), false)?,
            tolerances.under_size_in,
        ),
        Held::inches("over the ordered size", off_order(timber, sections(), true)?, tolerances.over_size_in),
        Held {
            what: "wane",
            unit: " of a face",
            value: most_wane(sections())?,
            limit: tolerances.wane_of_face,
        },
    ];
    Ok(inspection(&held, recorder))
}

/// How far the ends differ, the wider way.
fn ends_differ(timber: &HewnTimber) -> Result<Option<Exact>, ScaleProblem> {
    let (Some(small), Some(large)) = (timber.small_end(), timber.large_end()) else { return Ok(None) };
    let apart = |one: Exact, other: Exact| one.max(other).minus(one.min(other));
    let width = apart(small.width_in().exact(), large.width_in().exact())?;
    let thickness = apart(small.thickness_in().exact(), large.thickness_in().exact())?;
    Ok(Some(width.max(thickness)))
}

/// How far a section is over or under the ordered size, at most; nothing where nothing was ordered.
fn off_order<'a>(
    timber: &HewnTimber,
    sections: impl Iterator<Item = &'a Section>,
    over: bool,
) -> Result<Option<Exact>, ScaleProblem> {
    if timber.ordered_width_in.is_none() && timber.ordered_thickness_in.is_none() {
        return Ok(None);
    }
    let mut most = Exact::ZERO;
    for section in sections {
        let sides = [
            (section.width_in(), timber.ordered_width_in),
            (section.thickness_in(), timber.ordered_thickness_in),
        ];
        for (side, ordered) in sides {
            let Some(ordered) = ordered else { continue };
            let beyond = side.exact().minus(ordered.exact())?;
            most = most.max(if over { beyond } else { Exact::ZERO.minus(beyond)? });
        }
    }
    Ok(Some(most))
}

/// The largest share of a face that the wane of one corner takes.
fn most_wane<'a>(sections: impl Iterator<Item = &'a Section>) -> Result<Option<Exact>, ScaleProblem> {
    let mut most = None;
    for section in sections {
        let (width, thickness) = (section.width_in().exact(), section.thickness_in().exact());
        most = most.max(Some(Exact::ZERO));
        for wane in section.wane() {
            let along_width = wane.width_in.exact().over(width)?;
            let along_thickness = wane.thickness_in.exact().over(thickness)?;
            most = most.max(Some(along_width.max(along_thickness)));
        }
    }
    Ok(most)
}

/// Holds a tie against its tolerances, and its size against its class.
pub(super) fn of_tie(
    tolerances: &TieTolerances,
    tie: &Tie,
    length: Exact,
    class: Option<&TieClass>,
    recorder: &mut impl Recorder,
) -> Result<Inspection, ScaleProblem> {
    let over = |size: Exact, least: Option<Exact>| least.map(|least| size.minus(least)).transpose();
    let thicker = over(tie.thickness_in.exact(), class.map(|class| class.thickness_in.exact()))?;
    let wider = over(tie.width_in.exact(), class.map(|class| class.width_in.exact()))?;
    let longer = over(length, class.map(|class| class.length_ft.exact()))?;
    let longer = longer.map(|feet| feet.times(Exact::of(12))).transpose()?;
    let held = [
        Held::depth("score mark", tie.score_mark_depth_in, tolerances.score_mark_depth_in),
        Held::depth("bow", tie.straightness_in, tolerances.straightness_in),
        Held::depth("out of square", tie.out_of_square_in, tolerances.out_of_square_in),
        Held::inches("thicker than its class", thicker, tolerances.thicker_in),
        Held::inches("wider than its class", wider, tolerances.wider_in),
        Held::inches("longer than its class", longer, tolerances.longer_in),
    ];
    Ok(inspection(&held, recorder))
}

impl Inspection {
    /// Why the stick is cull, if it is refused.
    pub(super) fn refusal(&self) -> Option<String> {
        (self.outcome == Outcome::Refused).then(|| format!("refused: {}", self.reasons.join("; ")))
    }
}
