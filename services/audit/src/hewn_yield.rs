//! What a round log could give when it is hewn, held against what was scaled of the timber.
//!
//! The largest rectangle without wane that a circle holds is the square inscribed in it, half the diameter squared
//! (Woodsman's Handbook, Forest Service Bulletin 36); with wane a section can come near the circle itself.

use kernel::{Exact, NumberError};

/// Diameters are read to the whole inch, and practice differs on the fraction: a log can be up to an inch thicker than its
/// reading. Common practice, no source.
const READING_INCHES: Exact = Exact::ONE;

/// Above the true ratio of a circle's circumference to its diameter (Archimedes' 22/7 is coarser; 355/113 is Metius').
const PI_FROM_ABOVE: Exact = Exact::fraction(355, 113);

/// One section of a hewn piece, and its log where it lay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HewnSection {
    /// Width, in inches.
    pub width_in: Exact,
    /// Thickness, in inches.
    pub thickness_in: Exact,
    /// What wane takes off, in square inches; zero where none was seen.
    pub wane_in2: Exact,
    /// The log's diameter at the same place, as it was read, in inches.
    pub log_diameter_in: Exact,
}

/// How a section stands to its log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Fit {
    /// The log could give it.
    Fits,
    /// No log of that diameter holds it, even read an inch short.
    Impossible,
    /// Less than the square of two thirds of the diameter, which allows for crook and rough logs.
    Short,
}

impl HewnSection {
    /// The area of wood, in square inches.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    pub fn area(&self) -> Result<Exact, NumberError> {
        self.width_in.times(self.thickness_in)?.minus(self.wane_in2)
    }

    /// The area of wood over the square inscribed in the log as it was read.
    ///
    /// # Errors
    ///
    /// [`NumberError::DividedByZero`] for a log without thickness, [`NumberError::TooLarge`].
    ///
    /// ```
    /// use audit::HewnSection;
    /// use kernel::Exact;
    /// let section = HewnSection {
    ///     width_in: Exact::of(12),
    ///     thickness_in: Exact::of(12),
    ///     wane_in2: Exact::ZERO,
    ///     log_diameter_in: Exact::of(18),
    /// };
    /// assert_eq!(section.share_of_inscribed()?, Exact::fraction(8, 9));
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    pub fn share_of_inscribed(&self) -> Result<Exact, NumberError> {
        self.area()?.over(self.log_diameter_in.squared()?.over(Exact::of(2))?)
    }

    /// Holds it against its log. Without wane the diagonal must lie within the log; with wane the area must.
    ///
    /// # Errors
    ///
    /// [`NumberError::TooLarge`].
    ///
    /// ```
    /// use audit::{Fit, HewnSection};
    /// use kernel::Exact;
    /// let square = |side: i128, diameter: i128| HewnSection {
    ///     width_in: Exact::of(side),
    ///     thickness_in: Exact::of(side),
    ///     wane_in2: Exact::ZERO,
    ///     log_diameter_in: Exact::of(diameter),
    /// };
    /// // 12 by 12 has a diagonal of 16.97 inches: a log read as 16 may have been that, one of 15 was not.
    /// assert_eq!(square(12, 16).fit()?, Fit::Fits);
    /// assert_eq!(square(12, 15).fit()?, Fit::Impossible);
    /// // With its corners left round it comes out of 15 inches.
    /// assert_eq!(HewnSection { wane_in2: Exact::of(8), ..square(12, 15) }.fit()?, Fit::Fits);
    /// assert_eq!(square(12, 19).fit()?, Fit::Short);
    /// # Ok::<(), kernel::NumberError>(())
    /// ```
    pub fn fit(&self) -> Result<Fit, NumberError> {
        let largest = self.log_diameter_in.plus(READING_INCHES)?.squared()?;
        let impossible = if self.wane_in2.is_zero() {
            self.width_in.squared()?.plus(self.thickness_in.squared()?)? > largest
        } else {
            self.area()? > largest.times(PI_FROM_ABOVE)?.over(Exact::of(4))?
        };
        let two_thirds = self.log_diameter_in.squared()?.times(Exact::fraction(4, 9))?;
        Ok(match () {
            () if impossible => Fit::Impossible,
            () if self.area()? < two_thirds => Fit::Short,
            () => Fit::Fits,
        })
    }
}
