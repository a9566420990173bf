//! A check scale with everything that is worked out from it.

use audit::{Stratum, compare};
use storage::{Books, CheckScale};

use super::Standard;
use super::lot::{Lot, lot};
use super::sampling::{Sample, Working, sample};
use super::verdict::{Verdict, verdict};
use crate::http::refusal::Refusal;

/// A sample on both sides, what it adds up to, and the lot it stands for.
#[derive(Debug)]
pub struct Compared {
    /// The contract that both go by.
    pub standard: Standard,
    /// The sample.
    pub sample: Sample,
    /// The same added up.
    pub strata: Vec<Stratum>,
    /// The lot.
    pub lot: Lot,
    /// What the contract's tolerance makes of it.
    pub verdict: Verdict,
}

/// Compares both scales.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn compared(books: &mut Books, record: &CheckScale, working: Working) -> Result<Compared, Refusal> {
    let standard = Standard::read(books, record.contract).await?;
    let sample = sample(books, &standard, record, working).await?;
    let strata = added_up(&sample)?;
    let lot = lot(books, &standard, record).await?;
    let verdict = verdict(&standard, record, &strata)?;
    Ok(Compared { standard, sample, strata, lot, verdict })
}

/// A sample added up; pieces that one side cannot be scaled of are left out.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn added_up(sample: &Sample) -> Result<Vec<Stratum>, Refusal> {
    let pieces: Vec<_> = sample.pieces.iter().filter_map(super::sampling::Sampled::compared).collect();
    Ok(compare(&pieces)?)
}

impl Compared {
    /// How many pieces a stratum's sample is out of: those of the lot, and those that were one too many. None where the
    /// sample is larger, for the lot has changed since under other terms.
    #[must_use]
    pub fn population(&self, stratum: &Stratum) -> Option<u64> {
        let sampled = self.sample.pieces.iter().filter_map(super::sampling::Sampled::compared);
        let (mut count, mut too_many) = (0_u64, 0_u64);
        for one in sampled {
            let unit =
                |side: &Option<audit::OneScale>| side.as_ref().and_then(|one| one.volume).map(|one| one.0);
            let product = one.original.as_ref().or(one.check.as_ref()).map(|one| one.product);
            if product == Some(stratum.product) && unit(&one.original).or(unit(&one.check)) == stratum.unit {
                count = count.saturating_add(1);
                too_many = too_many.saturating_add(u64::from(one.original.is_none()));
            }
        }
        let held = self.lot.volumes.get(&(stratum.product, stratum.unit)).map_or(0, |volume| volume.pieces);
        let all = held.saturating_add(too_many);
        (all >= count).then_some(all)
    }
}
