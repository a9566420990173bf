//! What the paid pieces of a derivation add up to by kind of timber, as one document beside it.

use kernel::{Fixed, Product, VolumeUnit};
use serde_json::Value;

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

/// A kind as it is written: a list, since it lies beside every derivation and its members' names would be most of it.
type Kind<Species> = (Product, Species, Option<VolumeUnit>, u16, u16, i64, i64);

fn kinds(sums: &[TimberSum]) -> Vec<Kind<&str>> {
    let kinds = sums.iter().map(|sum| {
        let (gross, net) = (sum.gross.millionths(), sum.net.millionths());
        (sum.product, sum.species.as_str(), sum.unit, sum.pieces, sum.culls, gross, net)
    });
    kinds.collect()
}

/// The document.
pub(crate) fn document(sums: &[TimberSum]) -> Result<Value, StorageError> {
    serde_json::to_value(kinds(sums)).map_err(unreadable)
}

/// The document as text.
pub(crate) fn text(sums: &[TimberSum]) -> Result<String, StorageError> {
    serde_json::to_string(&kinds(sums)).map_err(unreadable)
}

fn unreadable(error: serde_json::Error) -> StorageError {
    StorageError::inconsistent("derivation", error)
}

/// The sums that a document holds.
pub(crate) fn sums(document: &str) -> Result<Vec<TimberSum>, StorageError> {
    let kinds: Vec<Kind<String>> = serde_json::from_str(document).map_err(unreadable)?;
    Ok(kinds
        .into_iter()
        .map(|(product, species, unit, pieces, culls, gross, net)| TimberSum {
            product,
            species,
            unit,
            pieces,
            culls,
            gross: Fixed::from_millionths(gross),
            net: Fixed::from_millionths(net),
        })
        .collect())
}

#[cfg(test)]
mod tests {
    use serde_json::json;

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
        let kept = document(&[sum.clone(), pole.clone()]).expect("it has a form");
        assert_eq!(text(&[sum.clone(), pole.clone()]).ok(), Some(kept.to_string()));
        assert_eq!(kept[0], json!(["log", "white pine", "board_foot", 3, 1, 480_000_000, 320_000_000]));
        assert_eq!(sums(&kept.to_string()).expect("it reads back"), [sum, pole]);
    }
}
