//! What the paid pieces of a derivation add up to by kind of timber, as one document beside it.

use kernel::{Fixed, Product, VolumeUnit};
use serde_json::{Value, json};

use crate::StorageError;

/// What a contract pays for on one ticket, of one kind of timber.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimberSum {
    /// What the pieces are.
    pub product: Product,
    /// Their species, as the scaler wrote it.
    pub species: String,
    /// The unit of their volumes; none for pieces without one.
    pub unit: Option<VolumeUnit>,
    /// How many pieces.
    pub pieces: u16,
    /// How many of them are culls.
    pub culls: u16,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

/// The document: a list for each kind, since it lies beside every derivation and its members' names would be most of it.
pub(crate) fn document(sums: &[TimberSum]) -> Value {
    sums.iter()
        .map(|sum| {
            let unit = sum.unit.map(VolumeUnit::name);
            let (gross, net) = (sum.gross.millionths(), sum.net.millionths());
            json!([sum.product.name(), sum.species, unit, sum.pieces, sum.culls, gross, net])
        })
        .collect()
}

/// A kind as it stands in the document.
pub(crate) type Kind = (Product, String, Option<VolumeUnit>, u16, u16, i64, i64);

/// The sums that a document holds.
pub(crate) fn sums(document: &str) -> Result<Vec<TimberSum>, StorageError> {
    let kinds: Vec<Kind> =
        serde_json::from_str(document).map_err(|error| StorageError::inconsistent("derivation", error))?;
    Ok(kinds.into_iter().map(sum).collect())
}

/// One of them.
pub(crate) fn sum((product, species, unit, pieces, culls, gross, net): Kind) -> TimberSum {
    let (gross, net) = (Fixed::from_millionths(gross), Fixed::from_millionths(net));
    TimberSum { product, species, unit, pieces, culls, gross, net }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_document_holds_every_sum() {
        let sum = TimberSum {
            product: Product::Log,
            species: "white pine".to_owned(),
            unit: Some(VolumeUnit::BoardFoot),
            pieces: 3,
            culls: 1,
            gross: Fixed::from_millionths(480_000_000),
            net: Fixed::from_millionths(320_000_000),
        };
        let pole = TimberSum {
            product: Product::Pole,
            unit: None,
            gross: Fixed::ZERO,
            net: Fixed::ZERO,
            ..sum.clone()
        };
        let kept = document(&[sum.clone(), pole.clone()]);
        assert_eq!(kept[0], json!(["log", "white pine", "board_foot", 3, 1, 480_000_000, 320_000_000]));
        assert_eq!(sums(&kept.to_string()).expect("it reads back"), [sum, pole]);
    }
}
