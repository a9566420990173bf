//! Which pieces a rate is for: species, grades, and bands of size and distance.

use std::fmt;

use kernel::Fixed;
use serde::{Deserialize, Serialize};

use crate::{Band, Label, PieceFacts, Soundness, TurnFacts, UnpricedReason};

/// The pieces a rate is for. What is left out means any.
///
/// A piece must satisfy every part. A piece that lacks a fact which a part asks about is not covered: nobody
/// guesses a diameter that was not measured.
///
/// ```
/// use settlement::Covers;
/// let covers: Covers = serde_json::from_str(
///     r#"{"species": ["white oak", "red oak"], "diameter_in": {"from": "8", "below": "12"}}"#,
/// )?;
/// assert_eq!(covers.to_string(), "white oak or red oak, diameter from 8 below 12 in");
/// assert_eq!(Covers::default().to_string(), "every piece");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Covers {
    /// Species; empty for any.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub species: Vec<Label>,
    /// Grades; empty for any, also for ungraded pieces.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub grades: Vec<Label>,
    /// Sound pieces or cull alone; left out, both.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub soundness: Option<Soundness>,
    /// Band of the scaling diameter, in inches.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diameter_in: Option<Band>,
    /// Band of the scaling length, in feet; of a ranked pile the length its sticks count by.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_ft: Option<Band>,
    /// Band of the scaling diameter, in centimetres, for pieces scaled in metric units.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diameter_cm: Option<Band>,
    /// Band of the scaling length, in metres, for pieces scaled in metric units.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_m: Option<Band>,
    /// Band of the distance skidded, in feet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub skid_distance_ft: Option<Band>,
    /// Band of the distance hauled, in miles.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub haul_distance_mi: Option<Band>,
}

/// Whether a rate covers a piece.
///
/// ```
/// use settlement::{Coverage, UnpricedReason};
/// assert_ne!(Coverage::Unknown(UnpricedReason::NoDiameter), Coverage::Apart);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Coverage {
    /// It does.
    Covers,
    /// It does not, whatever else may become known of the piece.
    Apart,
    /// It would if a missing fact fell right: the piece or the ticket lacks something that the rate asks about.
    Unknown(UnpricedReason),
}

impl Coverage {
    /// Joins the answers about single parts: one part apart settles it, then the first missing fact counts.
    pub(crate) fn all(answers: impl IntoIterator<Item = Self>) -> Self {
        let mut joined = Self::Covers;
        for answer in answers {
            match answer {
                Self::Apart => return Self::Apart,
                Self::Unknown(_) if joined == Self::Covers => joined = answer,
                Self::Covers | Self::Unknown(_) => {}
            }
        }
        joined
    }

    fn of_band(band: Option<Band>, figure: Option<Fixed>, missing: UnpricedReason) -> Self {
        match (band, figure) {
            (None, _) => Self::Covers,
            (Some(_), None) => Self::Unknown(missing),
            (Some(band), Some(figure)) if band.contains(figure) => Self::Covers,
            (Some(_), Some(_)) => Self::Apart,
        }
    }

    fn of_labels(labels: &[Label], text: Option<&str>, missing: UnpricedReason) -> Self {
        match text {
            _ if labels.is_empty() => Self::Covers,
            None => Self::Unknown(missing),
            Some(text) if labels.iter().any(|label| label.matches(text)) => Self::Covers,
            Some(_) => Self::Apart,
        }
    }

    /// A piece that could not be scaled is neither sound nor cull as far as anybody knows.
    fn of_soundness(wanted: Option<Soundness>, piece: &PieceFacts) -> Self {
        match (wanted, &piece.unscaled) {
            (None, _) => Self::Covers,
            (Some(_), Some(why)) if piece.volume.is_none() && !piece.cull => {
                Self::Unknown(UnpricedReason::UnknownSoundness { why: why.clone() })
            }
            (Some(wanted), _) if wanted == Soundness::of(piece.cull) => Self::Covers,
            (Some(_), _) => Self::Apart,
        }
    }
}

impl Covers {
    /// Whether a piece, moved with a turn or without one on record, is among those meant.
    ///
    /// ```
    /// use settlement::{Coverage, Covers, PieceFacts, UnpricedReason};
    /// let covers: Covers = serde_json::from_str(r#"{"diameter_in": {"below": "12"}}"#)?;
    /// let mut log = PieceFacts {
    ///     number: 1,
    ///     product: kernel::Product::Log,
    ///     species: "pine".into(),
    ///     grade: None,
    ///     diameter_in: Some("11".parse()?),
    ///     length_ft: Some("16".parse()?),
    ///     diameter_cm: None,
    ///     length_m: None,
    ///     volume: None,
    ///     cull: false,
    ///     unscaled: None,
    /// };
    /// assert_eq!(covers.coverage(&log, None), Coverage::Covers);
    /// log.diameter_in = Some("12".parse()?);
    /// assert_eq!(covers.coverage(&log, None), Coverage::Apart);
    /// log.diameter_in = None;
    /// assert_eq!(covers.coverage(&log, None), Coverage::Unknown(UnpricedReason::NoDiameter));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn coverage(&self, piece: &PieceFacts, turn: Option<&TurnFacts>) -> Coverage {
        if *self == Self::default() {
            return Coverage::Covers;
        }
        Coverage::all([
            Coverage::of_labels(&self.species, Some(&piece.species), UnpricedReason::NoRate),
            Coverage::of_band(self.diameter_in, piece.diameter_in, UnpricedReason::NoDiameter),
            Coverage::of_band(self.length_ft, piece.length_ft, UnpricedReason::NoLength),
            Coverage::of_band(self.diameter_cm, piece.diameter_cm, UnpricedReason::NoDiameter),
            Coverage::of_band(self.length_m, piece.length_m, UnpricedReason::NoLength),
            Coverage::of_soundness(self.soundness, piece),
            Coverage::of_labels(&self.grades, piece.grade.as_deref(), UnpricedReason::NoGrade),
            self.distance_coverage(turn),
        ])
    }

    /// The part that asks about the turn alone.
    pub(crate) fn distance_coverage(&self, turn: Option<&TurnFacts>) -> Coverage {
        let missing = if turn.is_some() { UnpricedReason::NoDistance } else { UnpricedReason::NoTurn };
        let skid = turn.and_then(|turn| turn.skid_distance_ft);
        let haul = turn.and_then(|turn| turn.haul_distance_mi);
        Coverage::all([
            Coverage::of_band(self.skid_distance_ft, skid, missing.clone()),
            Coverage::of_band(self.haul_distance_mi, haul, missing),
        ])
    }

    /// The pieces that both mean, if a piece could be among both.
    ///
    /// ```
    /// use settlement::Covers;
    /// let small: Covers = serde_json::from_str(r#"{"diameter_in": {"below": "12"}}"#)?;
    /// let pine: Covers = serde_json::from_str(r#"{"species": ["pine"]}"#)?;
    /// let large: Covers = serde_json::from_str(r#"{"diameter_in": {"from": "12"}}"#)?;
    /// let both = small.common(&pine).ok_or("they meet")?;
    /// assert_eq!(both.to_string(), "pine, diameter below 12 in");
    /// assert_eq!(small.common(&large), None);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn common(&self, other: &Self) -> Option<Self> {
        Some(Self {
            species: common_labels(&self.species, &other.species)?,
            grades: common_labels(&self.grades, &other.grades)?,
            diameter_in: common_band(self.diameter_in, other.diameter_in)?,
            length_ft: common_band(self.length_ft, other.length_ft)?,
            soundness: match (self.soundness, other.soundness) {
                (Some(one), Some(two)) if one != two => return None,
                (one, two) => one.or(two),
            },
            diameter_cm: common_band(self.diameter_cm, other.diameter_cm)?,
            length_m: common_band(self.length_m, other.length_m)?,
            skid_distance_ft: common_band(self.skid_distance_ft, other.skid_distance_ft)?,
            haul_distance_mi: common_band(self.haul_distance_mi, other.haul_distance_mi)?,
        })
    }

    /// Whether anything but the two distances is restricted.
    pub(crate) fn asks_about_the_piece(&self) -> bool {
        !self.species.is_empty()
            || !self.grades.is_empty()
            || self.soundness.is_some()
            || self.asks_in_feet()
            || self.asks_in_metres()
    }

    /// Whether sizes are asked for in inches or feet.
    pub(crate) const fn asks_in_feet(&self) -> bool {
        self.diameter_in.is_some() || self.length_ft.is_some()
    }

    /// Whether sizes are asked for in centimetres or metres.
    pub(crate) const fn asks_in_metres(&self) -> bool {
        self.diameter_cm.is_some() || self.length_m.is_some()
    }
}

/// The band that two optional bands share: the outer `None` when they are apart, the inner one for any size.
fn common_band(one: Option<Band>, two: Option<Band>) -> Option<Option<Band>> {
    match (one, two) {
        (Some(one), Some(two)) => one.common(two).map(Some),
        (one, two) => Some(one.or(two)),
    }
}

/// The labels that two lists share, an empty list meaning any; `None` when they share none.
fn common_labels(one: &[Label], two: &[Label]) -> Option<Vec<Label>> {
    if one.is_empty() || two.is_empty() {
        return Some(if one.is_empty() { two } else { one }.to_vec());
    }
    let shared: Vec<Label> = one.iter().filter(|label| two.contains(label)).cloned().collect();
    (!shared.is_empty()).then_some(shared)
}

impl fmt::Display for Covers {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let labels = |labels: &[Label]| labels.iter().map(Label::as_str).collect::<Vec<_>>().join(" or ");
        let band = |name: &str, band: Option<Band>, unit: &str| {
            band.map_or_else(String::new, |band| format!("{name} {band} {unit}"))
        };
        let grades = if self.grades.is_empty() { "" } else { "grade " };
        let parts = [
            labels(&self.species),
            format!("{grades}{}", labels(&self.grades)),
            self.soundness.map(Soundness::name).unwrap_or_default().to_owned(),
            band("diameter", self.diameter_in, "in"),
            band("length", self.length_ft, "ft"),
            band("diameter", self.diameter_cm, "cm"),
            band("length", self.length_m, "m"),
            band("skidded", self.skid_distance_ft, "ft"),
            band("hauled", self.haul_distance_mi, "mi"),
        ];
        let said: Vec<&str> = parts.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
        formatter.write_str(if said.is_empty() { "every piece" } else { "" })?;
        formatter.write_str(&said.join(", "))
    }
}
