//! Adjustments after check scales where lines of pay count them.

use std::collections::BTreeMap;

use kernel::{CheckScaleId, DerivationId, Fixed, Id, VolumeAdjustmentId};
use settlement::week_ending;
use storage::{AdjustedQuantity, Books, Outfit, PostedLine, VolumeAdjustment};
use wire::{AdjustedQuantityView, AdjustmentReference, ExplainedAdjustment, VolumeAdjustmentView};

use crate::books::money::reversed_view;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;

/// The adjustment that a line counts under this id, where other ids are of derivations.
#[must_use]
pub fn adjustment_of(counted: DerivationId) -> VolumeAdjustmentId {
    VolumeAdjustmentId::from_uuid(counted.uuid())
}

/// The check scales of all adjustments, to tell the adjustments among what lines count.
#[derive(Debug)]
pub struct Adjustments(BTreeMap<VolumeAdjustmentId, CheckScaleId>);

impl Adjustments {
    /// Reads them.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn read(books: &mut Books) -> Result<Self, Refusal> {
        let all = books.volume_adjustments(None).await?;
        Ok(Self(all.into_iter().map(|one| (one.id, one.check_scale)).collect()))
    }

    /// Those among what a line counts.
    #[must_use]
    pub fn among(&self, counted: &[DerivationId]) -> Vec<AdjustmentReference> {
        let ids = counted.iter().copied().map(adjustment_of);
        ids.filter_map(|id| {
            let check_scale_id = *self.0.get(&id)?;
            Some(AdjustmentReference { volume_adjustment_id: id, check_scale_id })
        })
        .collect()
    }
}

/// The adjustments that a posted line counts or takes back, with their arithmetic.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn adjustments(books: &mut Books, line: &PostedLine) -> Result<Vec<ExplainedAdjustment>, Refusal> {
    let outfit = own(books).await?;
    let mut explained = Vec::new();
    for one in books.volume_adjustments(None).await? {
        let counted = |ids: &[DerivationId]| ids.iter().any(|id| adjustment_of(*id) == one.id);
        let withdrawn = counted(&line.withdrawn);
        if withdrawn || counted(&line.entered) {
            explained.push(explain(books, &outfit, line, &one, withdrawn).await?);
        }
    }
    Ok(explained)
}

async fn explain(
    books: &mut Books,
    outfit: &Outfit,
    line: &PostedLine,
    one: &VolumeAdjustment,
    withdrawn: bool,
) -> Result<ExplainedAdjustment, Refusal> {
    let check = books.check_scale(one.check_scale).await?;
    let check = check.ok_or_else(|| Refusal::not_found("check scale", one.check_scale))?.record;
    let mut says = vec![format!(
        "check scale of {} by {}, of what {} scaled from {} to {}: {}",
        check.checked_on,
        check.checker,
        check.scaler.as_deref().unwrap_or("several scalers"),
        check.lot.from,
        check.lot.to,
        one.reason
    )];
    says.extend(one.although.iter().map(|why| format!("although the tolerance does not ask for it: {why}")));
    says.extend(one.reversed.iter().map(|gone| format!("taken back by {}: {}", gone.made.by, gone.reason)));
    let mut sum = Fixed::ZERO;
    for day in one.quantities.iter().filter(|day| is_of(day, line, outfit)) {
        sum = sum.plus(day.quantity)?;
        says.push(format!(
            "{}: {} held × ({} - 1) = {}, rounded to six decimals, halves away from zero",
            day.scaled_on, day.held, day.ratio, day.quantity
        ));
    }
    let reference = AdjustmentReference { volume_adjustment_id: one.id, check_scale_id: one.check_scale };
    Ok(ExplainedAdjustment { adjustment: reference, withdrawn, quantity: sum, says })
}

/// Whether a day's quantity falls under a line. A crew that divides its pay otherwise within the week has two lines for
/// the week and the rate; both then show the days of both.
fn is_of(day: &AdjustedQuantity, line: &PostedLine, outfit: &Outfit) -> bool {
    day.terms == line.key.terms
        && day.rate_number == line.key.rate.saturating_add(1)
        && week_ending(day.scaled_on, outfit.week_ends_on) == line.key.week
}

/// An adjustment as it is shown.
#[must_use]
pub fn view(one: VolumeAdjustment) -> VolumeAdjustmentView {
    VolumeAdjustmentView {
        volume_adjustment_id: one.id,
        check_scale_id: one.check_scale,
        reason: one.reason,
        although: one.although,
        quantities: one
            .quantities
            .into_iter()
            .map(|day| AdjustedQuantityView {
                scaled_on: day.scaled_on,
                terms_id: day.terms,
                rate_number: day.rate_number,
                held: day.held,
                ratio: day.ratio,
                quantity: day.quantity,
            })
            .collect(),
        made_by: one.made.by,
        made_at: one.made.at,
        reversed: reversed_view(one.reversed),
    }
}
