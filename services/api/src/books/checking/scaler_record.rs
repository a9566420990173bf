//! A scaler's running record: how his checks came out, one after another.

use audit::CheckOutcome;
use storage::{Books, CheckScale};
use wire::{ScalerCheckView, ScalerRecordView};

use super::Standard;
use super::comparing::added_up;
use super::sampling::{Working, sample};
use super::verdict::verdict;
use crate::http::refusal::Refusal;

/// How many checks are looked back at.
const MOST: u16 = 20;
/// So many failures in a row bring action (U.S. Bureau of Land Management, check scale clause).
const BRINGS_ACTION: u32 = 2;

/// The record of the scaler whose scale is checked, up to this check; none where the sample is of several scalers. A mill
/// is shown the checks under its own contract only.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn scaler_record(
    books: &mut Books,
    record: &CheckScale,
    of_its_contract_only: bool,
) -> Result<Option<ScalerRecordView>, Refusal> {
    let Some(scaler) = &record.scaler else { return Ok(None) };
    let mut checks = Vec::new();
    for state in books.check_scales_of_scaler(scaler, record, MOST).await? {
        let one = state.record;
        if of_its_contract_only && one.contract != record.contract {
            continue;
        }
        let standard = Standard::read(books, one.contract).await?;
        let sampled = sample(books, &standard, &one, Working::Dropped).await?;
        let outcome = verdict(&standard, &one, &added_up(&sampled)?)?.outcome();
        checks.push(ScalerCheckView { check_scale_id: one.id, checked_on: one.checked_on, outcome });
    }
    let told = checks.iter().filter_map(|check| check.outcome);
    let failures = told.take_while(|outcome| *outcome == CheckOutcome::Beyond).count();
    let failures_in_a_row = u32::try_from(failures).unwrap_or(u32::MAX);
    let says = (failures_in_a_row >= BRINGS_ACTION).then(|| {
        format!(
            "{failures_in_a_row} checks in a row lie beyond their tolerance: two or more bring action, by a published \
             clause (U.S. Bureau of Land Management); talk the differences over, and see what contract and licensing say"
        )
    });
    Ok(Some(ScalerRecordView { scaler: scaler.clone(), checks, failures_in_a_row, says }))
}
