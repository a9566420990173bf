//! The bookkeeper: drafts the open week, posts what was drafted, and goes on to the next.

use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

use client::{Client, ClientError, Patience};
use serde_json::json;
use wire::Code;

use super::crowd::{LONGEST, Work};
use super::outfit::{WEEKS, form, week_end};

/// Tickets between two postings.
const BETWEEN: u64 = 60;

/// Posts weeks until it is over or there are no more.
pub async fn keep(work: Arc<Work>, client: Client) {
    let client = client.with_patience(Patience::NONE);
    for week in 0..WEEKS {
        work.week.store(week, Ordering::Release);
        while !work.until_acknowledged(BETWEEN, Duration::from_millis(500)).await {
            if work.is_over() {
                return;
            }
        }
        if work.is_over() {
            return;
        }
        work.closing.store(true, Ordering::Release);
        let posted = close(&work, &client, week).await;
        work.closing.store(false, Ordering::Release);
        if let Err(error) = posted {
            work.fault(format!("week {week}: {error:#}"));
            return;
        }
    }
}

/// Drafts and posts a week, again and again until it is posted.
async fn close(work: &Work, client: &Client, week: u32) -> anyhow::Result<()> {
    let ends_on = week_end(week)?;
    let began = Instant::now();
    loop {
        anyhow::ensure!(began.elapsed() < LONGEST, "not posted for {} s", LONGEST.as_secs());
        tokio::time::sleep(Duration::from_millis(50)).await;
        let draft = match client.draft_settlement(&form(json!({"week_ends_on": ends_on}))?).await {
            Ok(draft) => draft,
            Err(error) => {
                pass(work, &error, "a draft")?;
                continue;
            }
        };
        let id = draft.settlement_id;
        work.record(|sent| sent.postings.insert(id, (ends_on, false)));
        // The posting is named by its draft: sent again until it is answered, it is done once.
        loop {
            match client.post_settlement(id).await {
                Ok(posted) => {
                    anyhow::ensure!(posted.settlement.week_ends_on == ends_on, "another week was posted");
                    work.record(|sent| sent.postings.insert(id, (ends_on, true)));
                    return Ok(());
                }
                Err(ClientError::Refused(problem)) if problem.code == Code::DraftOutOfDate => {
                    work.record(|sent| sent.ended("409 draft-out-of-date"));
                    break;
                }
                Err(error) => pass(work, &error, "a posting")?,
            }
            anyhow::ensure!(began.elapsed() < LONGEST, "not posted for {} s", LONGEST.as_secs());
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }
}

/// Goes on where an error passes by itself, as [`Work::will_pass`] judges it.
fn pass(work: &Work, error: &ClientError, what: &str) -> anyhow::Result<()> {
    anyhow::ensure!(work.error_will_pass(error, what), "{what}: {error}");
    Ok(())
}
