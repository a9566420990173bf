//! The document of a ranked pile: the members of both systems, and the check that they are of one.

use serde::{Deserialize, Serialize};

use super::ranked_pile::{InchFootPile, MetricPile, PileSizes, RankedPile, RankedPileError};
use crate::{
    Defects, Feet, FurtherInches, Grade, Heights, Marks, Metres, PileHeight, Refusal, Species, StickNumber,
    member,
};

/// A pile of sticks of one length, ranked side by side, measured as it stands. Sizes are in feet and inches, or all of
/// them in metres: the length along the pile, its heights and the length of the sticks are needed in the one or the
/// other. Of the methods of deduction it takes estimate and noted.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub(super) struct PileForm {
    /// The kind of tree.
    #[serde(deserialize_with = "member::species")]
    species: Species,
    /// The grade the scaler gave.
    #[serde(default, deserialize_with = "member::grade", skip_serializing_if = "Option::is_none")]
    grade: Option<Grade>,
    /// What is chalked or painted on it.
    #[serde(default, deserialize_with = "member::marks", skip_serializing_if = "Option::is_none")]
    marks: Option<Marks>,
    /// The number chalked on the stick when it was first scaled, by which it is known wherever it is scaled again on the
    /// same job.
    #[serde(default, deserialize_with = "member::stick_number", skip_serializing_if = "Option::is_none")]
    stick_number: Option<StickNumber>,
    /// Length along the pile in feet, across the ends of the sticks.
    #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
    length_ft: Option<Feet>,
    /// Further inches of that length.
    #[serde(default, deserialize_with = "member::length_in", skip_serializing_if = "Option::is_none")]
    length_in: Option<FurtherInches>,
    /// Heights in feet and inches, read at places evenly spaced along the pile.
    #[serde(default, deserialize_with = "member::heights", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<Vec<PileHeight>>, min_items = 1, max_items = 20))]
    heights: Option<Heights<PileHeight>>,
    /// Length of the sticks in feet: how deep the pile is.
    #[serde(default, deserialize_with = "member::stick_length_ft", skip_serializing_if = "Option::is_none")]
    stick_length_ft: Option<Feet>,
    /// Further inches of the sticks.
    #[serde(default, deserialize_with = "member::stick_length_in", skip_serializing_if = "Option::is_none")]
    stick_length_in: Option<FurtherInches>,
    /// Length along the pile in metres, across the ends of the sticks.
    #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
    length_m: Option<Metres>,
    /// Heights in metres, read at places evenly spaced along the pile.
    #[serde(default, deserialize_with = "member::heights_m", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<Vec<Metres>>, min_items = 1, max_items = 20))]
    heights_m: Option<Heights<Metres>>,
    /// Length of the sticks in metres: how deep the pile is.
    #[serde(default, deserialize_with = "member::stick_length_m", skip_serializing_if = "Option::is_none")]
    stick_length_m: Option<Metres>,
    /// What is wrong with it.
    #[serde(default, deserialize_with = "member::defects", skip_serializing_if = "Defects::is_empty")]
    defects: Defects,
    /// Why an inspector refused it, if one did.
    #[serde(default, deserialize_with = "member::refused", skip_serializing_if = "Option::is_none")]
    refused: Option<Refusal>,
}

impl PileForm {
    /// Whether any size is in feet and inches, and the first one that is in metres.
    fn given(&self) -> (bool, Option<&'static str>) {
        let inch_foot = self.length_ft.is_some()
            || self.length_in.is_some()
            || self.heights.is_some()
            || self.stick_length_ft.is_some()
            || self.stick_length_in.is_some();
        let metric = [
            ("length_m", self.length_m.is_some()),
            ("heights_m", self.heights_m.is_some()),
            ("stick_length_m", self.stick_length_m.is_some()),
        ];
        (inch_foot, metric.into_iter().find(|(_, given)| *given).map(|(member, _)| member))
    }

    fn sizes(&self) -> Result<PileSizes, RankedPileError> {
        use RankedPileError::Missing;
        match self.given() {
            (true, Some(member)) => Err(RankedPileError::MixedSystems(member)),
            (_, None) => Ok(PileSizes::InchFoot(InchFootPile {
                length_ft: self.length_ft.ok_or(Missing("length_ft"))?,
                length_in: self.length_in,
                heights: self.heights.clone().ok_or(Missing("heights"))?,
                stick_length_ft: self.stick_length_ft.ok_or(Missing("stick_length_ft"))?,
                stick_length_in: self.stick_length_in,
            })),
            (false, Some(_)) => Ok(PileSizes::Metric(MetricPile {
                length_m: self.length_m.ok_or(Missing("length_m"))?,
                heights_m: self.heights_m.clone().ok_or(Missing("heights_m"))?,
                stick_length_m: self.stick_length_m.ok_or(Missing("stick_length_m"))?,
            })),
        }
    }

    /// Refuses the methods that go by the shape of a single stick.
    fn check_methods(&self) -> Result<(), RankedPileError> {
        for (place, defect) in (1..).zip(self.defects.as_slice()) {
            let method = defect.method();
            if !matches!(method, "estimate" | "noted") {
                return Err(RankedPileError::Method { method, place });
            }
        }
        Ok(())
    }
}

impl TryFrom<PileForm> for RankedPile {
    type Error = RankedPileError;

    fn try_from(form: PileForm) -> Result<Self, RankedPileError> {
        let sizes = form.sizes()?;
        form.check_methods()?;
        let PileForm { species, grade, marks, stick_number, defects, refused, .. } = form;
        Ok(Self { species, grade, marks, stick_number, sizes, defects, refused })
    }
}

impl From<RankedPile> for PileForm {
    fn from(pile: RankedPile) -> Self {
        let RankedPile { species, grade, marks, stick_number, sizes, defects, refused } = pile;
        let (inch_foot, metric) = match sizes {
            PileSizes::InchFoot(sizes) => (Some(sizes), None),
            PileSizes::Metric(sizes) => (None, Some(sizes)),
        };
        Self {
            species,
            grade,
            marks,
            stick_number,
            length_ft: inch_foot.as_ref().map(|pile| pile.length_ft),
            length_in: inch_foot.as_ref().and_then(|pile| pile.length_in),
            stick_length_ft: inch_foot.as_ref().map(|pile| pile.stick_length_ft),
            stick_length_in: inch_foot.as_ref().and_then(|pile| pile.stick_length_in),
            heights: inch_foot.map(|pile| pile.heights),
            length_m: metric.as_ref().map(|pile| pile.length_m),
            stick_length_m: metric.as_ref().map(|pile| pile.stick_length_m),
            heights_m: metric.map(|pile| pile.heights_m),
            defects,
            refused,
        }
    }
}
