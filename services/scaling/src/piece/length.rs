//! A measured length, written in feet and perhaps further inches.

use kernel::{Exact, NumberError};

use crate::{Feet, FurtherInches};

/// The whole length in feet.
pub(crate) fn total_feet(feet: Feet, inches: Option<FurtherInches>) -> Result<Exact, NumberError> {
    match inches {
        // Decimals are added up more quickly than fractions.
        Some(inches) => {
            let inches = feet.fixed().times_whole(12)?.plus(inches.fixed())?;
            inches.exact().over(Exact::of(12))
        }
        None => Ok(feet.exact()),
    }
}
