//! Tolerances that somebody published, under plain names of our own, each with its source and what of it is recalled.

use serde::{Deserialize, Serialize};

use super::{
    Allowance, AllowedPercent, AtAllowance, ByDefect, Consequence, PercentBase, Reach, ToleranceRule,
};

/// A published tolerance.
///
/// ```
/// use audit::{AtAllowance, PublishedTolerance};
/// // Exactly ten percent does not trip it, the source says "more than".
/// assert_eq!(PublishedTolerance::ReplacedBeyondTenPercent.rule().at_limit, AtAllowance::Within);
/// assert_eq!(PublishedTolerance::ALL.len(), 5);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PublishedTolerance {
    /// Net within 2 percent for timber with 10 percent of defect or less; beyond that within a fifth of the percentage
    /// of defect, 5 percent at the most.
    NetByDefect,
    /// Gross within 1 percent and net within 2.
    GrossOneNetTwoPercent,
    /// A check that is over the original by 5 percent or more adjusts the volume by the difference.
    AdjustedFromFivePercent,
    /// A check that differs by more than 10 percent takes the place of the original.
    ReplacedBeyondTenPercent,
    /// A check that differs by more than 3 percent has the timber scaled again.
    ScaledAgainBeyondThreePercent,
}

/// Where a published tolerance comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ToleranceFacts {
    /// Who published it, and where.
    pub source: &'static str,
    /// What of it is recalled, our reading, or not stated there.
    pub reading: &'static str,
}

impl PublishedTolerance {
    /// Every published tolerance.
    pub const ALL: [Self; 5] = [
        Self::NetByDefect,
        Self::GrossOneNetTwoPercent,
        Self::AdjustedFromFivePercent,
        Self::ReplacedBeyondTenPercent,
        Self::ScaledAgainBeyondThreePercent,
    ];

    /// What it says, spelled out.
    #[must_use]
    pub const fn rule(self) -> ToleranceRule {
        let [one, two, three, five, ten, twenty] = WHOLE;
        match self {
            Self::NetByDefect => {
                let by_defect = ByDefect { sound_to: ten, sound: two, of_defect: twenty, most: five };
                let (gross, net) = (None, Some(Allowance::ByDefect(by_defect)));
                rule(gross, net, AtAllowance::Within, PercentBase::Check, Consequence::Nothing)
            }
            Self::GrossOneNetTwoPercent => {
                let (gross, net) = (Some(Allowance::Percent(one)), Some(Allowance::Percent(two)));
                rule(gross, net, AtAllowance::Within, PercentBase::Check, Consequence::Nothing)
            }
            Self::AdjustedFromFivePercent => {
                let net = Some(Allowance::Percent(five));
                let either = rule(
                    None,
                    net,
                    AtAllowance::Beyond,
                    PercentBase::Original,
                    Consequence::AdjustByDifference,
                );
                ToleranceRule { reach: Reach::CheckAbove, ..either }
            }
            Self::ReplacedBeyondTenPercent => {
                let net = Some(Allowance::Percent(ten));
                rule(None, net, AtAllowance::Within, PercentBase::Original, Consequence::Replace)
            }
            Self::ScaledAgainBeyondThreePercent => {
                let net = Some(Allowance::Percent(three));
                rule(None, net, AtAllowance::Within, PercentBase::Original, Consequence::ScaleAgain)
            }
        }
    }

    /// Where it comes from.
    #[must_use]
    pub const fn facts(self) -> ToleranceFacts {
        match self {
            Self::NetByDefect => ToleranceFacts {
                source: "U.S. Bureau of Land Management, check scale clause of timber contracts",
                reading: "the allowance beyond 10 percent of defect was seen in print; 2 percent up to there is \
                          recalled and fits it. Net as the measure, the check as the base and the sample's whole \
                          defect are our reading. Two or more failures in a row bring action",
            },
            Self::GrossOneNetTwoPercent => ToleranceFacts {
                source: "an encyclopaedia's article on log scalers, on what certificates usually ask for",
                reading: "seen in a tertiary text only; base and strictness are our reading",
            },
            Self::AdjustedFromFivePercent => ToleranceFacts {
                source: "check scale clause of a state's timber contracts, in a collection of clauses",
                reading: "seen in print: under five percent the seller bears the check, at or over it the volume is \
                          adjusted and the purchaser bears it. That exactly five percent trips is our reading; a \
                          check that lies below the original is not provided for",
            },
            Self::ReplacedBeyondTenPercent => ToleranceFacts {
                source: "Minnesota Statutes 90.281, rescales",
                reading: "seen in print: only if it varies more than ten percent; made by two or more appraisers. The \
                          original as the base is our reading",
            },
            Self::ScaledAgainBeyondThreePercent => ToleranceFacts {
                source: "Quebec, Regulation respecting the scaling of timber, section 33",
                reading: "seen in print: a discrepancy greater than 3 percent; corrected, scaled again or cancelled. \
                          The base is not stated, the reported volume is taken",
            },
        }
    }
}

/// 1, 2, 3, 5, 10 and 20 percent.
const WHOLE: [AllowedPercent; 6] = [
    AllowedPercent::whole(1),
    AllowedPercent::whole(2),
    AllowedPercent::whole(3),
    AllowedPercent::whole(5),
    AllowedPercent::whole(10),
    AllowedPercent::whole(20),
];

const fn rule(
    gross: Option<Allowance>,
    net: Option<Allowance>,
    at_limit: AtAllowance,
    base: PercentBase,
    follows: Consequence,
) -> ToleranceRule {
    ToleranceRule { gross, net, at_limit, base, reach: Reach::Either, follows }
}
