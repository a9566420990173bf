//! The check scales of a span, as `show_check_scale` works them out.

use storage::{Books, CheckScaleFilter};
use wire::ReportedCheckScale;

use crate::books::auditing::Scope;
use crate::books::checking::comparing::compared;
use crate::books::checking::sampling::Working;
use crate::books::checking::showing::{self, Precision};
use crate::http::refusal::Refusal;

/// How many a report shows at the most: each has a chart and a table of its own.
const MOST: u16 = 12;

/// The latest check scales of lots that have a day of the span, and how many more there are. A mill's are those of its own
/// contracts.
///
/// # Errors
///
/// [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn latest(
    books: &mut Books,
    scope: Scope,
) -> Result<(Vec<ReportedCheckScale>, Option<u32>), Refusal> {
    let filter = CheckScaleFilter {
        job: scope.job,
        mill: scope.mill,
        lot_touches: Some((scope.from, scope.to)),
        ..CheckScaleFilter::default()
    };
    let (states, count) = books.latest_check_scales(&filter, MOST).await?;
    let further = count.saturating_sub(MOST.into());
    let mut shown = Vec::with_capacity(states.len());
    for state in states {
        let compared = compared(books, &state.record, Working::Dropped).await?;
        shown.push(ReportedCheckScale {
            check_scale: showing::check_scale(&state, &compared.standard.contract)?,
            strata: showing::strata(&compared, Precision::USUAL)?,
            points: showing::points(&compared),
            confidence_percent: Precision::USUAL.confidence.percent(),
            verdict: compared.verdict.view(),
        });
    }
    let further = (further > 0).then(|| u32::try_from(further).unwrap_or(u32::MAX));
    Ok((shown, further))
}
