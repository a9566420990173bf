//! Volume by week and stage: all products and species of one scale together.

use std::collections::BTreeMap;

use jiff::civil::Date;
use kernel::{ContractId, Fixed, VolumeUnit};
use wire::{ScaledBy, Stage, StageRow, StageWeek, VolumeWeekRow};

use crate::books::auditing::sums::defect_share;
use crate::http::refusal::Refusal;

/// One stage on one scale; what has none comes last.
type Key = (Stage, bool, Option<(bool, ContractId, VolumeUnit)>);

/// The rows of the weeks, in their order; of each week in the order of the work.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn by_week(weeks: &[StageWeek]) -> Result<Vec<VolumeWeekRow>, Refusal> {
    let mut rows = Vec::new();
    for week in weeks {
        let mut sums: BTreeMap<Key, VolumeWeekRow> = BTreeMap::new();
        for row in &week.stages {
            let scale = row.scaled_by.as_ref().map(|scale| (!scale.own, scale.contract_id, scale.unit));
            let sum = sums
                .entry((row.stage, scale.is_none(), scale))
                .or_insert_with(|| nothing(week.week_ends_on, row));
            add(sum, row)?;
        }
        for mut row in sums.into_values() {
            row.defect_share =
                row.gross.zip(row.net).map(|(gross, net)| defect_share(gross, net)).transpose()?.flatten();
            rows.push(row);
        }
    }
    Ok(rows)
}

/// A row of the same stage and scale that holds nothing yet.
fn nothing(week_ends_on: Date, row: &StageRow) -> VolumeWeekRow {
    let scaled_by = row.scaled_by.as_ref().map(|scale| ScaledBy { rules: Vec::new(), ..scale.clone() });
    let zero = scaled_by.as_ref().map(|_| Fixed::ZERO);
    VolumeWeekRow {
        week_ends_on,
        stage: row.stage,
        culls: scaled_by.as_ref().map(|_| 0),
        scaled_by,
        pieces: 0,
        gross: zero,
        net: zero,
        defect_share: None,
    }
}

fn add(sum: &mut VolumeWeekRow, row: &StageRow) -> Result<(), kernel::NumberError> {
    let plus =
        |sum: Option<Fixed>, more: Option<Fixed>| sum.zip(more).map(|(sum, more)| sum.plus(more)).transpose();
    sum.pieces = sum.pieces.saturating_add(row.pieces);
    sum.culls = sum.culls.zip(row.culls).map(|(sum, more)| sum.saturating_add(more));
    sum.gross = plus(sum.gross, row.gross)?;
    sum.net = plus(sum.net, row.net)?;
    if let (Some(sum), Some(more)) = (&mut sum.scaled_by, &row.scaled_by) {
        sum.rules.extend(more.rules.iter().cloned());
        sum.rules.sort();
        sum.rules.dedup();
    }
    Ok(())
}
