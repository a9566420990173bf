//! Settling a week: the preview and the posting, beside the plain sum over the same accruals, and beside themselves
//! without history.
//!
//! The yardstick is what anybody with SQL would write: quantities and pieces by day, contract, terms and rate, of the tickets
//! that stand. The last week is worked and settled twice: in books where nothing lies behind it, and in others where so many
//! posted weeks of the same size do.

use std::time::{Duration, Instant};

use anyhow::Result;
use client::Client;
use jiff::ToSpan as _;
use jiff::civil::Date;
use kernel::{OutfitId, SettlementId};
use serde_json::json;

use crate::arguments::Arguments;
use crate::books::{Books, FIRST_WEEK};
use crate::frame::Frame;
use crate::report::{Ratio, Reach, Report, median, milliseconds};
use crate::tickets;

/// The plain sum. It is asked under the role and the row-level security that the service works with.
const PLAIN_SUM: &str = "
SELECT accrual.scaled_on, contract_id, terms_id, rate_number, sum(quantity), sum(cardinality(piece_numbers))
FROM accrual
JOIN standing_derivation USING (outfit_id, derivation_id)
WHERE outfit_id = current_outfit() AND accrual.scaled_on BETWEEN $1::text::date AND $2::text::date
GROUP BY accrual.scaled_on, contract_id, terms_id, rate_number";

/// What settling a week took, and its yardstick at the same moments.
#[derive(Clone, Copy, Debug)]
struct Settled {
    settlement: SettlementId,
    /// The middle of the rounds.
    plain: Duration,
    /// The preview, likewise.
    preview: Duration,
    /// The posting, of which there is one: without the seal of the tickets, which was made just before.
    posting: Duration,
    /// That seal.
    sealing: Duration,
}

/// A week that was posted, and in whose books.
pub struct Posted {
    /// What else is said of it in the report.
    pub how: &'static str,
    /// Whose books.
    pub outfit: OutfitId,
    /// Who may compute it again.
    pub manager: Client,
    /// What was posted.
    pub settlement: SettlementId,
}

/// Works a week, settles it without and with history, and answers with what was posted.
pub async fn measure(frame: &Frame, arguments: &Arguments, report: &mut Report) -> Result<[Posted; 2]> {
    let alone = Books::open(&frame.service).await?;
    let week = FIRST_WEEK.checked_add(i64::from(7 * i32::from(arguments.history)).days())?;
    let without = settle(frame, &alone, week, arguments).await?;
    let start = Instant::now();
    for behind in 0..arguments.history {
        let past = FIRST_WEEK.checked_add(i64::from(7 * i32::from(behind)).days())?;
        tickets::load(&frame.books, past, arguments.tickets).await?;
        frame.books.settle(past).await?;
    }
    println!("{} weeks behind it worked and posted in {}", arguments.history, milliseconds(start.elapsed()));
    let with = settle(frame, &frame.books, week, arguments).await?;
    tell(report, arguments, without, with);
    let posted = |how, books: &Books, settlement| {
        let manager = books.manager.clone();
        Posted { how, outfit: books.outfit, manager, settlement }
    };
    Ok([posted("", &alone, without.settlement), posted(" with history", &frame.books, with.settlement)])
}

/// Works the week and settles it.
async fn settle(frame: &Frame, books: &Books, week: Date, arguments: &Arguments) -> Result<Settled> {
    tickets::load(books, week, arguments.tickets).await?;
    let database = frame.database.connect().await?;
    // Statistics and visibility as the database's own upkeep makes them in time, so that no round meets it half done.
    database.batch_execute("VACUUM (ANALYZE)").await?;
    let draft = serde_json::from_value(json!({ "week_ends_on": week }))?;
    let _first = books.manager.draft_settlement(&draft).await?;
    let (mut plain, mut preview) = (Vec::new(), Vec::new());
    let mut last = None;
    for _ in 0..arguments.rounds {
        plain.push(plain_sum(&database, books.outfit, week).await?);
        let start = Instant::now();
        last = Some(books.manager.draft_settlement(&draft).await?.settlement_id);
        preview.push(start.elapsed());
        plain.push(plain_sum(&database, books.outfit, week).await?);
    }
    let settlement = last.ok_or_else(|| anyhow::anyhow!("no round was asked for"))?;
    let start = Instant::now();
    let _seal = books.manager.make_seal(&wire::SealCreate {}).await?;
    let sealing = start.elapsed();
    let start = Instant::now();
    books.manager.post_settlement(settlement).await?;
    let posting = start.elapsed();
    Ok(Settled { settlement, plain: median(plain), preview: median(preview), posting, sealing })
}

async fn plain_sum(database: &tokio_postgres::Client, outfit: OutfitId, week: Date) -> Result<Duration> {
    let (from, to) = (week.checked_sub(6.days())?.to_string(), week.to_string());
    let begin =
        format!("BEGIN READ ONLY; SET LOCAL ROLE skidway_service; SET LOCAL skidway.outfit = '{outfit}'");
    database.batch_execute(&begin).await?;
    let start = Instant::now();
    let rows = database.query(PLAIN_SUM, &[&from, &to]).await?;
    let took = start.elapsed();
    database.batch_execute("COMMIT").await?;
    anyhow::ensure!(!rows.is_empty(), "the week has no accruals");
    Ok(took)
}

fn tell(report: &mut Report, arguments: &Arguments, without: Settled, with: Settled) {
    let three = Reach::AtMost(Ratio(300));
    let same = Reach::AtMost(Ratio(110));
    let weeks = arguments.history;
    for (what, settled) in [("", without), (" with history", with)] {
        let plain = format!("the plain sum, {}", milliseconds(settled.plain));
        let of = |time: Duration| Ratio::of(time.as_micros(), settled.plain.as_micros());
        let preview = milliseconds(settled.preview);
        report.row(&format!("preview of a week{what}"), preview, plain.clone(), of(settled.preview), three);
        let posting = milliseconds(settled.posting);
        report.row(&format!("posting it{what}"), posting, plain, of(settled.posting), three);
    }
    for (what, now, before) in [
        ("preview", with.preview, without.preview),
        ("posting", with.posting, without.posting),
        ("the seal of its tickets", with.sealing, without.sealing),
    ] {
        let ratio = Ratio::of(now.as_micros(), before.as_micros());
        let what = format!("{what} with {weeks} such weeks behind it");
        report.row(&what, milliseconds(now), format!("without, {}", milliseconds(before)), ratio, same);
    }
}
