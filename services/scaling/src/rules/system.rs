//! The two systems in which the cubic rules work, and the circle factor of each.

use kernel::{Exact, VolumeUnit};

/// Inches and feet, or centimetres and metres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Diameters in inches, lengths in feet, volumes in cubic feet.
    Inch,
    /// Diameters in centimetres, lengths in metres, volumes in cubic metres.
    Metric,
}

impl System {
    /// What lengths along the wood are in, as it stands in a sentence.
    pub(crate) const fn length_in_words(self) -> &'static str {
        match self {
            Self::Inch => "feet",
            Self::Metric => "metres",
        }
    }

    /// What turns a squared diameter into the area of its circle: a quarter of pi and the change of unit,
    /// rounded as it stands in print (Briggs, table 2-1). The exact value of pi / 576 is 0.00545415…
    ///
    /// ```
    /// use scaling::rules::System;
    /// assert_eq!(System::Inch.circle_factor().to_string(), "0.005454");
    /// assert_eq!(System::Metric.circle_factor().to_string(), "0.00007854");
    /// ```
    #[must_use]
    pub const fn circle_factor(self) -> Exact {
        const INCH: Exact = Exact::fraction(5454, 1_000_000);
        const METRIC: Exact = Exact::fraction(7854, 100_000_000);
        match self {
            Self::Inch => INCH,
            Self::Metric => METRIC,
        }
    }

    /// The unit of volume.
    ///
    /// ```
    /// use scaling::rules::System;
    /// assert_eq!(System::Metric.unit(), kernel::VolumeUnit::CubicMetre);
    /// ```
    #[must_use]
    pub const fn unit(self) -> VolumeUnit {
        match self {
            Self::Inch => VolumeUnit::CubicFoot,
            Self::Metric => VolumeUnit::CubicMetre,
        }
    }
}
