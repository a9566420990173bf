//! What the pieces that a contract pays for add up to by kind of timber.

use kernel::{Fixed, NumberError};
use scaling::Piece;
use storage::{PieceVolume, TimberSum};

/// Adds up the pieces that something is paid for, by their numbers, kinds in the order in which they first stand on the ticket.
///
/// # Errors
///
/// [`NumberError::TooLarge`].
pub fn timber_of<'a>(
    pieces: &[Piece],
    volumes: &[PieceVolume],
    paid_for: impl Iterator<Item = &'a u16>,
) -> Result<Vec<TimberSum>, NumberError> {
    let mut paid = vec![false; pieces.len()];
    for number in paid_for {
        if let Some(is_paid) = usize::from(*number).checked_sub(1).and_then(|place| paid.get_mut(place)) {
            *is_paid = true;
        }
    }
    let mut sums: Vec<TimberSum> = Vec::new();
    for ((piece, volume), _) in pieces.iter().zip(volumes).zip(paid).filter(|(_, is_paid)| *is_paid) {
        let unit = volume.volume.map(|(unit, ..)| unit);
        let (product, species) = (piece.product(), piece.species());
        let is_same =
            |sum: &TimberSum| sum.product == product && sum.unit == unit && sum.species == species.as_str();
        let place = match sums.iter().position(is_same) {
            Some(place) => place,
            None => {
                let species = species.as_str().to_owned();
                let (gross, net) = (Fixed::ZERO, Fixed::ZERO);
                sums.push(TimberSum { product, species, unit, pieces: 0, culls: 0, gross, net });
                sums.len().saturating_sub(1)
            }
        };
        let Some(sum) = sums.get_mut(place) else { continue };
        sum.pieces = sum.pieces.saturating_add(1);
        sum.culls = sum.culls.saturating_add(volume.cull.is_some().into());
        if let Some((_, gross, net)) = volume.volume {
            sum.gross = sum.gross.plus(gross)?;
            sum.net = sum.net.plus(net)?;
        }
    }
    Ok(sums)
}
