//! What check scales added to the lines of a posted week or took from them, computed again.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use audit::Number;
use kernel::{DerivationId, Fixed, TermsId, VolumeAdjustmentId};
use settlement::{LineKey, Side, week_ending};
use storage::{AdjustedQuantity, Books, ContractParty, PostedLine, Terms, VolumeAdjustment};

use super::counting::Counts;
use super::differences::{At, Differences};
use super::posted::Posted;
use crate::books::checking::explaining::adjustment_of;
use crate::http::refusal::Refusal;

/// Every adjustment of the outfit's books, with the terms that they name.
#[derive(Debug)]
pub struct Adjustments {
    by_id: BTreeMap<VolumeAdjustmentId, VolumeAdjustment>,
    terms: HashMap<TermsId, Terms>,
}

impl Adjustments {
    /// Reads them.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn read(books: &mut Books) -> Result<Self, Refusal> {
        let all = books.volume_adjustments(None).await?;
        let named: BTreeSet<TermsId> =
            all.iter().flat_map(|one| &one.quantities).map(|one| one.terms).collect();
        let named: Vec<_> = named.into_iter().collect();
        let terms = books.terms_by_id(&named).await?;
        Ok(Self {
            by_id: all.into_iter().map(|one| (one.id, one)).collect(),
            terms: terms.into_iter().map(|one| (one.id, one)).collect(),
        })
    }

    /// The adjustment that a line counts under this id, if it is one.
    pub fn find(&self, counted: DerivationId) -> Option<&VolumeAdjustment> {
        self.by_id.get(&adjustment_of(counted))
    }

    /// The line that a day's quantity falls under: none where the terms are not there, or the crew had no division of its
    /// pay for the day.
    fn key(&self, posted: &Posted, day: &AdjustedQuantity) -> Option<LineKey> {
        let contract = self.terms.get(&day.terms)?.contract;
        let party = posted.names.contracts().into_iter().find(|one| one.id == contract)?.party;
        let side = match party {
            ContractParty::Mill(mill) => Side::Mill { mill },
            ContractParty::Crew(crew) => {
                let set = posted.sharing.on(crew, day.scaled_on, &posted.names).ok()?;
                Side::Crew { crew, share_set: set.id }
            }
        };
        let week = week_ending(day.scaled_on, posted.outfit.week_ends_on);
        Some(LineKey { week, contract, terms: day.terms, rate: day.rate_number.checked_sub(1)?, side })
    }

    /// Adds to every line what the adjustments come to that it counts, each worked out from what the lot held.
    ///
    /// # Errors
    ///
    /// [`wire::Code::TooLarge`].
    pub fn count(
        &self,
        posted: &Posted,
        counts: &mut Counts,
        found: &mut Differences,
    ) -> Result<(), Refusal> {
        for (key, count) in counts.iter_mut() {
            let counted: Vec<_> = count.counted.iter().filter_map(|id| self.find(*id)).collect();
            for adjustment in counted {
                let mut falls_here = false;
                for day in adjustment.quantities.iter().filter(|day| self.key(posted, day) == Some(*key)) {
                    falls_here = true;
                    let what = format!("what a check scale changed on {}", day.scaled_on);
                    let derived = worked_out(day);
                    found.compare_if_any(
                        At::line(count.line, "adjusted", &what),
                        Some(&day.quantity),
                        derived.as_ref(),
                    );
                    let quantity = derived.unwrap_or(day.quantity);
                    count.quantity = count.quantity.plus(quantity)?;
                    let sum = count.days.entry(day.scaled_on).or_default();
                    *sum = sum.plus(quantity)?;
                }
                if !falls_here {
                    let at = At::line(count.line, "counted", "what it counts");
                    found.add(at.says(format!("{} changes nothing of the line's work", adjustment.id)));
                }
            }
        }
        Ok(())
    }

    /// Finds what stood when the week was posted and no line counts, and what lines count that did not stand.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn look(
        &self,
        books: &mut Books,
        posted: &Posted,
        found: &mut Differences,
    ) -> Result<(), Refusal> {
        let taken_back = books.adjustments_taken_back_before(posted.moment).await?;
        let stood = |one: &&VolumeAdjustment| posted.moment.is_after(one.id) && !taken_back.contains(&one.id);
        let mut expected: BTreeSet<(LineKey, VolumeAdjustmentId)> = BTreeSet::new();
        for one in self.by_id.values().filter(stood) {
            let keys = one.quantities.iter().filter_map(|day| self.key(posted, day));
            let due = keys.filter(|key| key.week <= posted.week.week_ends_on);
            expected.extend(due.map(|key| (key, one.id)));
        }
        let counted = self.counted(posted.before.iter().chain(&posted.own));
        let says = |(key, id): &(LineKey, VolumeAdjustmentId), says: &str| {
            let pointer = format!("/volume-adjustments/{id}/weeks/{}/posted", key.week);
            let contract = posted.names.contract(key.contract);
            let rate = key.rate.saturating_add(1);
            At::new(pointer, format!("an adjustment after a check scale, rate {rate} of {contract}"))
                .says(says)
        };
        for one in expected.difference(&counted) {
            found.add(says(one, "stood when the week was posted, and no posted line counts it"));
        }
        for one in counted.difference(&expected) {
            found.add(says(one, "did not stand when the week was posted, and is counted by a posted line"));
        }
        Ok(())
    }

    /// The adjustments that posted lines count, taken together.
    fn counted<'a>(
        &self,
        lines: impl Iterator<Item = &'a PostedLine>,
    ) -> BTreeSet<(LineKey, VolumeAdjustmentId)> {
        let mut counted = BTreeSet::new();
        for line in lines {
            let known = |ids: &[DerivationId]| -> Vec<_> {
                ids.iter().filter_map(|id| self.find(*id)).map(|one| (line.key, one.id)).collect()
            };
            for gone in known(&line.withdrawn) {
                counted.remove(&gone);
            }
            counted.extend(known(&line.entered));
        }
        counted
    }
}

/// What the lot held × (ratio - 1), to six decimals, halves away from zero; none where it cannot be read.
fn worked_out(day: &AdjustedQuantity) -> Option<Fixed> {
    let (over, under) = day.ratio.split_once('/').unwrap_or((&day.ratio, "1"));
    let whole = |text: &str| text.parse::<i128>().ok().map(Number::whole);
    let ratio = whole(over)?.over(&whole(under)?).ok()?;
    Number::from(day.held).times(&ratio.minus(&Number::whole(1))).shown(6).ok()
}
