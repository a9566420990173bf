//! What must hold afterwards, whatever broke in between.

mod books;
mod tickets;
mod weeks;

use client::Client;

use crate::report::Report;
use crate::work::crowd::Work;
use crate::work::sent::Sent;

/// Holds the books against the record of what was sent and acknowledged. Everybody at work has come to an end.
pub async fn all(report: &mut Report, work: &Work, address: &str) -> anyhow::Result<()> {
    let client = Client::new(address, Some(work.outfit.token.clone()))?;
    let sent = work.record(std::mem::take::<Sent>);
    let kept = tickets::each_once_and_equal(report, &client, &sent).await?;
    weeks::postings_stand(report, &client, &sent).await?;
    weeks::pay_equals_the_record(report, &client, work, &sent, &kept).await?;
    weeks::come_out_again(report, &client).await?;
    books::balance(report, &client).await
}
