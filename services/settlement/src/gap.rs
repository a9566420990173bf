//! Holes between the bands of rates that are otherwise alike.

use std::collections::BTreeMap;
use std::fmt;

use kernel::{Fixed, Product};
use serde::{Deserialize, Serialize};

use crate::{Band, Covers, Label, Rate, Soundness, Task};

/// A size or distance that rates are banded by.
///
/// ```
/// assert_eq!(settlement::BandedBy::DiameterIn.to_string(), "diameter");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum BandedBy {
    /// The scaling diameter, in inches.
    DiameterIn,
    /// The scaling length, in feet.
    LengthFt,
    /// The scaling diameter, in centimetres.
    DiameterCm,
    /// The scaling length, in metres.
    LengthM,
    /// The distance skidded, in feet.
    SkidDistanceFt,
    /// The distance hauled, in miles.
    HaulDistanceMi,
}

impl BandedBy {
    const ALL: [Self; 6] = [
        Self::DiameterIn,
        Self::LengthFt,
        Self::DiameterCm,
        Self::LengthM,
        Self::SkidDistanceFt,
        Self::HaulDistanceMi,
    ];

    /// The unit that the band's figures are in.
    ///
    /// ```
    /// assert_eq!(settlement::BandedBy::HaulDistanceMi.unit(), "mi");
    /// ```
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::DiameterIn => "in",
            Self::LengthFt | Self::SkidDistanceFt => "ft",
            Self::DiameterCm => "cm",
            Self::LengthM => "m",
            Self::HaulDistanceMi => "mi",
        }
    }

    /// Takes the band out of what a rate covers, leaving the rest to compare.
    fn taken_from(self, covers: &mut Covers) -> Option<Band> {
        match self {
            Self::DiameterIn => covers.diameter_in.take(),
            Self::LengthFt => covers.length_ft.take(),
            Self::DiameterCm => covers.diameter_cm.take(),
            Self::LengthM => covers.length_m.take(),
            Self::SkidDistanceFt => covers.skid_distance_ft.take(),
            Self::HaulDistanceMi => covers.haul_distance_mi.take(),
        }
    }
}

impl fmt::Display for BandedBy {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::DiameterIn | Self::DiameterCm => "diameter",
            Self::LengthFt | Self::LengthM => "length",
            Self::SkidDistanceFt => "skidded",
            Self::HaulDistanceMi => "hauled",
        })
    }
}

/// A hole between two bands: work of that size has no price from these two rates.
///
/// Rates are alike when task, product, species, grades, soundness and all other bands are the same; unit, basis and
/// price may differ. Premiums and dockages are left out: where none of them is due, nothing is missing. What lies under the lowest band and over the highest is not called a hole. Another rate, not alike, may
/// still cover some of it.
///
/// ```
/// use settlement::Rates;
/// let rates: Rates = serde_json::from_str(
///     r#"[
///         {"name": "far", "task": "hauling", "unit": "turn", "price": "13",
///          "covers": {"haul_distance_mi": {"from": "6", "below": "9"}}},
///         {"name": "near", "task": "hauling", "unit": "turn", "price": "8",
///          "covers": {"haul_distance_mi": {"below": "5"}}}
///     ]"#,
/// )?;
/// let gap = &rates.gaps()[0];
/// assert_eq!((gap.after, gap.before), (1, 0));
/// assert_eq!(gap.hole.to_string(), "from 5 below 6");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Gap {
    /// What the two rates are banded by.
    pub banded_by: BandedBy,
    /// The hole.
    pub hole: Band,
    /// Position, from 0, of the rate whose band ends where the hole begins.
    pub after: usize,
    /// Its name.
    pub after_name: Label,
    /// Position, from 0, of the rate whose band begins where the hole ends.
    pub before: usize,
    /// Its name.
    pub before_name: Label,
}

impl fmt::Display for Gap {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { banded_by, hole, after_name, before_name, .. } = self;
        let unit = banded_by.unit();
        write!(formatter, "no rate between \"{after_name}\" and \"{before_name}\": {banded_by} {hole} {unit}")
    }
}

/// What must be the same for two rates to be alike but for one band.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Likeness {
    task: Task,
    product: Option<Product>,
    species: Vec<Label>,
    grades: Vec<Label>,
    soundness: Option<Soundness>,
    other_bands: [Option<Band>; 6],
}

impl Likeness {
    /// Splits a rate into its band in one respect and all the rest.
    fn split(rate: &Rate, banded_by: BandedBy) -> Option<(Self, Band)> {
        let mut rest = rate.covers().clone();
        let band = banded_by.taken_from(&mut rest)?;
        let likeness = Self {
            task: rate.task(),
            product: rate.product(),
            species: in_order(rest.species),
            grades: in_order(rest.grades),
            soundness: rest.soundness,
            other_bands: [
                rest.diameter_in,
                rest.length_ft,
                rest.diameter_cm,
                rest.length_m,
                rest.skid_distance_ft,
                rest.haul_distance_mi,
            ],
        };
        Some((likeness, band))
    }
}

/// The same list means the same however it was written down.
fn in_order(mut labels: Vec<Label>) -> Vec<Label> {
    labels.sort();
    labels.dedup();
    labels
}

/// Every hole, by what the rates are banded by and then by likeness and size.
pub(crate) fn gaps(rates: &[Rate]) -> Vec<Gap> {
    BandedBy::ALL.into_iter().flat_map(|banded_by| gaps_by(rates, banded_by)).collect()
}

fn gaps_by(rates: &[Rate], banded_by: BandedBy) -> Vec<Gap> {
    let mut families: BTreeMap<Likeness, Vec<(Band, usize, &Rate)>> = BTreeMap::new();
    for (position, rate) in rates.iter().enumerate().filter(|(_, rate)| rate.kind().is_price()) {
        if let Some((likeness, band)) = Likeness::split(rate, banded_by) {
            families.entry(likeness).or_default().push((band, position, rate));
        }
    }
    let mut found = Vec::new();
    for mut family in families.into_values() {
        // Bands of one family never overlap, so the order of their lower ends is their order.
        family.sort_by_key(|(band, position, _)| (band.from().unwrap_or(Fixed::ZERO), *position));
        for (lower, upper) in family.iter().zip(family.iter().skip(1)) {
            let hole =
                lower.0.below().zip(upper.0.from()).map(|(from, below)| Band::new(Some(from), Some(below)));
            if let Some(Ok(hole)) = hole {
                found.push(Gap {
                    banded_by,
                    hole,
                    after: lower.1,
                    after_name: lower.2.name().clone(),
                    before: upper.1,
                    before_name: upper.2.name().clone(),
                });
            }
        }
    }
    found
}
