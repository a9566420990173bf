//! Divides a log that is too long to be scaled as one: how many segments, and how long each.

use kernel::Exact;

use crate::practice::{Division, LengthMultiple};
use crate::{LogPractice, ScaleProblem};

/// How a log is divided: so many segments, as near equal as the step allows, the longer ones at the butt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Plan {
    /// How many segments.
    pub(super) count: i128,
    /// The step of their lengths, in feet.
    step: i128,
    /// Steps in each of the shorter segments.
    steps: i128,
    /// How many segments have a step more.
    longer: i128,
}

/// Lengths past 16 feet that cannot be divided into segments of 12 to 16 even feet. Forest Service practice of the 1910s
/// was none under 12 feet as far as practicable, and leaves these open; the fallback is the near-equal division that
/// stands beside them.
pub(super) const UNDER_TWELVE_FEET: [(i128, &[i128]); 4] =
    [(18, &[8, 10]), (20, &[10, 10]), (22, &[10, 12]), (34, &[10, 12, 12])];

impl Plan {
    /// A log of so many feet in so many segments.
    fn near_equal(feet: i128, count: i128, step: i128) -> Self {
        let steps = feet / step;
        Self { count, step, steps: steps / count, longer: steps % count }
    }

    /// The length of a segment, counted from 0 at the small end, in feet.
    pub(super) const fn length(&self, segment: i128) -> Exact {
        let longer = if segment >= self.count - self.longer { 1 } else { 0 };
        Exact::of((self.steps + longer) * self.step)
    }

    /// Whether all segments are of one length, so that none has to lie at the butt.
    pub(super) const fn is_even(&self) -> bool {
        self.longer == 0
    }

    /// The longest segment, in feet.
    const fn longest(&self) -> Exact {
        self.length(self.count - 1)
    }
}

/// The segments of a log of this scaling length under a practice; none where the log is scaled as one.
#[inline]
pub(super) fn plan(practice: &LogPractice, length: Exact) -> Result<Option<Plan>, ScaleProblem> {
    let longest = practice.longest_scaling_length_ft.exact();
    if length <= longest && practice.division != Division::Georgia {
        return Ok(None);
    }
    let too_long = || ScaleProblem::TooLong { length_ft: length, longest_ft: longest };
    // Scaling lengths are whole feet: a multiple of one foot or of two.
    let feet = length.floor();
    let first = match practice.division {
        Division::None => return Err(too_long()),
        Division::NearEqual => 1,
        Division::Georgia if feet < 18 => 1,
        Division::Georgia if feet < 34 => 2,
        Division::Georgia => 3,
    };
    let step = match practice.length_multiple_ft {
        LengthMultiple::OneFoot => 1,
        LengthMultiple::TwoFeet => 2,
    };
    for count in first..=(feet / step).max(first) {
        let plan = Plan::near_equal(feet, count, step);
        if plan.longest() <= longest {
            return Ok((count > 1).then_some(plan));
        }
    }
    Err(too_long())
}

/// What the working says of a division that cannot keep every segment at 12 feet, where the longest length is the 16
/// feet to which that rule belongs.
pub(super) fn remark(practice: &LogPractice, length: Exact) -> Option<String> {
    if practice.longest_scaling_length_ft.exact() != Exact::of(16) {
        return None;
    }
    let (_, parts) = UNDER_TWELVE_FEET.iter().find(|(feet, _)| Exact::of(*feet) == length)?;
    let parts = parts.iter().map(i128::to_string).collect::<Vec<_>>().join(" and ");
    Some(format!("; no division into 12 to 16 even feet exists, so near equal: {parts}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lengths(plan: Plan) -> Vec<i128> {
        (0..plan.count).map(|segment| plan.length(segment).whole().unwrap()).collect()
    }

    fn practice(longest: u32) -> LogPractice {
        let document = format!(r#"{{"rule": "doyle", "longest_scaling_length_ft": "{longest}"}}"#);
        serde_json::from_str(&document).unwrap()
    }

    /// Whether even parts of 12 to 16 feet can make up a length.
    fn can_keep_twelve(feet: i128) -> bool {
        (1..=feet / 12).any(|count| 12 * count <= feet && feet <= 16 * count)
    }

    #[test]
    fn the_lengths_under_twelve_feet_are_all_there_are() {
        let practice = practice(16);
        for feet in (18..=200).step_by(2) {
            let plan = plan(&practice, Exact::of(feet)).unwrap().unwrap();
            let open = UNDER_TWELVE_FEET.iter().find(|(length, _)| *length == feet);
            assert_eq!(open.is_some(), !can_keep_twelve(feet), "{feet} feet");
            match open {
                Some((_, parts)) => assert_eq!(lengths(plan), *parts),
                None => assert!(lengths(plan).iter().all(|part| (12..=16).contains(part)), "{feet} feet"),
            }
        }
    }

    #[test]
    fn segments_make_up_the_log_and_grow_towards_the_butt() {
        for longest in [8, 16, 20, 32, 40] {
            for feet in (2..=200).step_by(2) {
                let Some(plan) = plan(&practice(longest), Exact::of(feet)).unwrap() else { continue };
                let parts = lengths(plan);
                assert_eq!(parts.iter().sum::<i128>(), feet);
                assert!(parts.is_sorted() && parts.iter().all(|part| *part % 2 == 0));
                assert!(parts.last().unwrap() - parts.first().unwrap() <= 2);
                assert!(*parts.last().unwrap() <= i128::from(longest));
            }
        }
    }
}
