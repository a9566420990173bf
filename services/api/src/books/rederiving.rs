//! Computing a posted week again from the measured facts with the editions of the time, and holding it against what was
//! posted.
//!
//! Each link of the chain is looked at by itself, so that a record that was changed shows at the links to its neighbours:
//! a ticket's content against its fingerprint; what contracts made of it against the stored volumes and quantities
//! (`scaling_again`); the quantities of what a line counts, priced and divided, against the line (`lines`); what a line
//! counts against what stood when the week was posted (`strays`, `adjusting`); the lines against the draft; additions and take-offs
//! against the hours, terms and charges of that moment (`pay`); the journal and the statements against the lines
//! (`papers`).

mod adjusting;
mod counting;
mod counting_work;
mod differences;
mod lines;
mod papers;
mod pay;
mod posted;
mod scaling_again;
mod strays;

use kernel::{Clock, ContractId, SettlementId};
use settlement::Line;
use storage::Books;
use wire::{Compared, Rederivation};

use crate::http::refusal::Refusal;
use differences::Differences;
use posted::Posted;

const OF_THE_WHOLE_WEEK: &str = "What is added to pay and kept back of it, the journal and the statements are of the \
whole week: they are compared when no contract is named.";
const NOTHING_TO_TELL_BY: &str = "The week paid nothing to nobody, so nothing tells when it was posted: the books were \
taken as they are now.";

/// Computes a posted week again.
///
/// # Errors
///
/// [`wire::Code::NotFound`] when there is no such posted settlement; [`wire::Code::TooLarge`]; whatever the books answer.
pub async fn rederive(
    books: &mut Books,
    settlement: SettlementId,
    contract: Option<ContractId>,
    clock: &dyn Clock,
) -> Result<Rederivation, Refusal> {
    let began = clock.now();
    let posted = Posted::read(books, settlement, contract).await?;
    let (mut compared, mut found) = (Compared::default(), Differences::default());
    let counts = counting::count(books, &posted, &mut compared, &mut found).await?;
    lines::compare(&posted, &counts, &mut compared, &mut found);
    lines::compare_draft(&posted, &counts, &mut found);
    let mut not_compared = Vec::new();
    if contract.is_none() {
        strays::look(books, &posted, &mut found).await?;
        whole_week(books, &posted, &mut compared, &mut found).await?;
    } else {
        not_compared.push(OF_THE_WHOLE_WEEK.to_owned());
    }
    if !posted.moment_known {
        not_compared.push(NOTHING_TO_TELL_BY.to_owned());
    }
    let took = clock.now().duration_since(began).as_millis();
    Ok(Rederivation {
        settlement_id: settlement,
        week_ends_on: posted.week.week_ends_on,
        posted_by: posted.week.posted.by,
        posted_at: posted.week.posted.at,
        contract_id: contract,
        agrees: found.count == 0,
        compared,
        took_milliseconds: u64::try_from(took).unwrap_or_default(),
        difference_count: found.count,
        differences: found.listed,
        not_compared,
    })
}

/// What belongs to no single contract.
async fn whole_week(
    books: &mut Books,
    posted: &Posted,
    compared: &mut Compared,
    found: &mut Differences,
) -> Result<(), Refusal> {
    let lines: Vec<Line> = posted.own.iter().filter_map(|line| posted.as_line(line)).collect();
    let statements = papers::statements(books, posted).await?;
    let pays = pay::compare(books, posted, &lines, &statements, compared, found).await?;
    papers::compare_journal(books, posted, (&lines, &pays), compared, found).await?;
    papers::compare_statements(books, posted, (&pays, &statements), compared, found).await
}
