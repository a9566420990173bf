//! How units, money and dates are written on paper.

use kernel::{Product, VolumeUnit};
pub(crate) use wire::words::{count, day, quantity, unit};

/// The unit of a volume.
pub(crate) const fn volume_unit(unit: VolumeUnit) -> &'static str {
    unit.words()
}

/// A kind of timber.
pub(crate) const fn product(product: Product) -> &'static str {
    product.words()
}

/// What every paper about pay says of itself, where the service does not say it.
pub(crate) const CAUTION: &str = "This is arithmetic from the recorded scale and the contracts' rates, not legal \
advice. What must be paid, and who may scale, is for local law and licensed professionals to decide.";
