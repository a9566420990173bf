//! A settlement on the command line: by its id, or by the last day of its week.

use anyhow::Context;
use client::{Client, SettlementQuery, all_pages};
use jiff::civil::Date;
use kernel::SettlementId;
use wire::{SettlementState, SettlementView};

/// A settlement by its id, or by the last day of its week.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Week {
    /// By the last day.
    EndsOn(Date),
    /// By its id.
    Id(SettlementId),
}

/// Reads one.
pub(crate) fn week(text: &str) -> Result<Week, String> {
    let id = || text.parse().map(Week::Id);
    let day = text.parse().map(Week::EndsOn);
    day.or_else(|_| id()).map_err(|_| "it is neither a day, such as 2031-06-07, nor an id".to_owned())
}

/// The settlements of a week, or of all weeks, without their lines.
pub(crate) async fn all(client: &Client, week_ends_on: Option<Date>) -> anyhow::Result<Vec<SettlementView>> {
    Ok(all_pages(async |after| {
        let query = SettlementQuery { week_ends_on, after, limit: Some(500), ..SettlementQuery::default() };
        client.list_settlements(&query).await
    })
    .await?)
}

impl Week {
    /// Its id: of a week that is posted, the posted settlement; of another, the draft that was made last.
    pub(crate) async fn id(self, client: &Client) -> anyhow::Result<SettlementId> {
        let day = match self {
            Self::Id(id) => return Ok(id),
            Self::EndsOn(day) => day,
        };
        let found = all(client, Some(day)).await?;
        let best = found.iter().max_by_key(|one| (one.state == SettlementState::Posted, one.drafted_at));
        best.map(|one| one.settlement_id).with_context(|| {
            format!(
                "there is no settlement of a week that ends on {day}: skid week list shows those there are"
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_week_is_a_day_or_an_id() {
        assert_eq!(week("2031-06-07"), Ok(Week::EndsOn(jiff::civil::date(2031, 6, 7))));
        assert!(matches!(week("0197a000-0000-7000-8000-000000000001"), Ok(Week::Id(_))));
        assert!(week("last").is_err());
    }
}
