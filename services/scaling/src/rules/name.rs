//! The names of the rules, as contracts, requests and the working write them.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::{
    EditionName, RuleFacts, adirondack_market, blodgett, board_measure, brereton, british_columbia,
    bruce_butt_log, constantine, cumberland_river, doyle, doyle_scribner, fifth_girth, huber, humphrey,
    inscribed_square, international_eighth_inch, international_quarter_inch, newton, ontario, quarter_girth,
    quebec, scribner, scribner_decimal_c, smalian, sorenson, spaulding, square_of_three_fourths,
    square_of_two_thirds, subneiloid, two_end_conic, two_thirds, vermont,
};

/// A log rule.
///
/// ```
/// use scaling::RuleName;
/// assert_eq!("two-thirds".parse(), Ok(RuleName::TwoThirds));
/// assert_eq!(RuleName::ScribnerDecimalC.to_string(), "scribner-decimal-c");
/// assert!("scribble".parse::<RuleName>().is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum RuleName {
    /// See [`scribner_decimal_c`].
    ScribnerDecimalC,
    /// See [`scribner`].
    Scribner,
    /// See [`doyle`].
    Doyle,
    /// See [`doyle_scribner`].
    DoyleScribner,
    /// See [`international_quarter_inch`].
    InternationalQuarterInch,
    /// See [`international_eighth_inch`].
    InternationalEighthInch,
    /// See [`vermont`].
    Vermont,
    /// See [`smalian`].
    Smalian,
    /// See [`huber`].
    Huber,
    /// See [`newton`].
    Newton,
    /// See [`two_end_conic`].
    TwoEndConic,
    /// See [`subneiloid`].
    Subneiloid,
    /// See [`quarter_girth`].
    QuarterGirth,
    /// See [`inscribed_square`].
    InscribedSquare,
    /// See [`two_thirds`].
    TwoThirds,
    /// See [`board_measure`].
    BoardMeasure,
    /// See [`sorenson`].
    Sorenson,
    /// See [`bruce_butt_log`].
    BruceButtLog,
    /// See [`fifth_girth`].
    FifthGirth,
    /// See [`adirondack_market`].
    AdirondackMarket,
    /// See [`blodgett`].
    Blodgett,
    /// See [`brereton`].
    Brereton,
    /// See [`british_columbia`].
    BritishColumbia,
    /// See [`constantine`].
    Constantine,
    /// See [`cumberland_river`].
    CumberlandRiver,
    /// See [`humphrey`].
    Humphrey,
    /// See [`ontario`].
    Ontario,
    /// See [`quebec`].
    Quebec,
    /// See [`spaulding`].
    Spaulding,
    /// See [`square_of_three_fourths`].
    SquareOfThreeFourths,
    /// See [`square_of_two_thirds`].
    SquareOfTwoThirds,
}

/// A name that no rule has.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a log rule: write one of {names}", names = all_names())]
pub struct UnknownRule(String);

fn all_names() -> String {
    RuleName::ALL.map(RuleName::name).join(", ")
}

impl RuleName {
    /// The rule as papers name it beside a figure: with the edition where it has several.
    ///
    /// ```
    /// use scaling::RuleName;
    /// assert_eq!(RuleName::Doyle.named(None), "doyle (edition half-up)");
    /// assert_eq!(RuleName::Smalian.named(None), "smalian");
    /// ```
    #[must_use]
    pub fn named(self, edition: Option<EditionName>) -> String {
        let facts = self.facts();
        match (facts.editions, facts.edition_named(edition)) {
            ([_, _, ..], Some(edition)) => format!("{self} (edition {})", edition.name),
            _ => self.to_string(),
        }
    }
    /// Every rule, in the order in which lists show them.
    pub const ALL: [Self; 31] = [
        Self::ScribnerDecimalC,
        Self::Scribner,
        Self::Doyle,
        Self::DoyleScribner,
        Self::InternationalQuarterInch,
        Self::InternationalEighthInch,
        Self::Vermont,
        Self::Smalian,
        Self::Huber,
        Self::Newton,
        Self::TwoEndConic,
        Self::Subneiloid,
        Self::QuarterGirth,
        Self::InscribedSquare,
        Self::TwoThirds,
        Self::BoardMeasure,
        Self::Sorenson,
        Self::BruceButtLog,
        Self::FifthGirth,
        Self::AdirondackMarket,
        Self::Blodgett,
        Self::Brereton,
        Self::BritishColumbia,
        Self::Constantine,
        Self::CumberlandRiver,
        Self::Humphrey,
        Self::Ontario,
        Self::Quebec,
        Self::Spaulding,
        Self::SquareOfThreeFourths,
        Self::SquareOfTwoThirds,
    ];

    /// The name used in JSON and on the command line.
    ///
    /// ```
    /// assert_eq!(scaling::RuleName::QuarterGirth.name(), "quarter-girth");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ScribnerDecimalC => "scribner-decimal-c",
            Self::Scribner => "scribner",
            Self::Doyle => "doyle",
            Self::DoyleScribner => "doyle-scribner",
            Self::InternationalQuarterInch => "international-quarter-inch",
            Self::InternationalEighthInch => "international-eighth-inch",
            Self::Vermont => "vermont",
            Self::Smalian => "smalian",
            Self::Huber => "huber",
            Self::Newton => "newton",
            Self::TwoEndConic => "two-end-conic",
            Self::Subneiloid => "subneiloid",
            Self::QuarterGirth => "quarter-girth",
            Self::InscribedSquare => "inscribed-square",
            Self::TwoThirds => "two-thirds",
            Self::BoardMeasure => "board-measure",
            Self::Sorenson => "sorenson",
            Self::BruceButtLog => "bruce-butt-log",
            Self::FifthGirth => "fifth-girth",
            Self::AdirondackMarket => "adirondack-market",
            Self::Blodgett => "blodgett",
            Self::Brereton => "brereton",
            Self::BritishColumbia => "british-columbia",
            Self::Constantine => "constantine",
            Self::CumberlandRiver => "cumberland-river",
            Self::Humphrey => "humphrey",
            Self::Ontario => "ontario",
            Self::Quebec => "quebec",
            Self::Spaulding => "spaulding",
            Self::SquareOfThreeFourths => "square-of-three-fourths",
            Self::SquareOfTwoThirds => "square-of-two-thirds",
        }
    }

    /// What is known about the rule.
    ///
    /// ```
    /// use scaling::RuleName;
    /// assert!(RuleName::Scribner.facts().from_memory);
    /// assert_eq!(RuleName::Doyle.facts().edition, "doyle 1");
    /// ```
    #[must_use]
    pub const fn facts(self) -> &'static RuleFacts {
        match self {
            Self::ScribnerDecimalC => &scribner_decimal_c::FACTS,
            Self::Scribner => &scribner::FACTS,
            Self::Doyle => &doyle::FACTS,
            Self::DoyleScribner => &doyle_scribner::FACTS,
            Self::InternationalQuarterInch => &international_quarter_inch::FACTS,
            Self::InternationalEighthInch => &international_eighth_inch::FACTS,
            Self::Vermont => &vermont::FACTS,
            Self::Smalian => &smalian::FACTS,
            Self::Huber => &huber::FACTS,
            Self::Newton => &newton::FACTS,
            Self::TwoEndConic => &two_end_conic::FACTS,
            Self::Subneiloid => &subneiloid::FACTS,
            Self::QuarterGirth => &quarter_girth::FACTS,
            Self::InscribedSquare => &inscribed_square::FACTS,
            Self::TwoThirds => &two_thirds::FACTS,
            Self::BoardMeasure => &board_measure::FACTS,
            Self::Sorenson => &sorenson::FACTS,
            Self::BruceButtLog => &bruce_butt_log::FACTS,
            Self::FifthGirth => &fifth_girth::FACTS,
            Self::AdirondackMarket => &adirondack_market::FACTS,
            Self::Blodgett => &blodgett::FACTS,
            Self::Brereton => &brereton::FACTS,
            Self::BritishColumbia => &british_columbia::FACTS,
            Self::Constantine => &constantine::FACTS,
            Self::CumberlandRiver => &cumberland_river::FACTS,
            Self::Humphrey => &humphrey::FACTS,
            Self::Ontario => &ontario::FACTS,
            Self::Quebec => &quebec::FACTS,
            Self::Spaulding => &spaulding::FACTS,
            Self::SquareOfThreeFourths => &square_of_three_fourths::FACTS,
            Self::SquareOfTwoThirds => &square_of_two_thirds::FACTS,
        }
    }
}

impl fmt::Display for RuleName {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.name())
    }
}

impl FromStr for RuleName {
    type Err = UnknownRule;

    fn from_str(text: &str) -> Result<Self, UnknownRule> {
        Self::ALL
            .into_iter()
            .find(|rule| rule.name() == text)
            .ok_or_else(|| UnknownRule(text.chars().take(40).collect()))
    }
}
