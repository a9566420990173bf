//! The wood at each stage, on the scale of one stated contract.

use std::collections::BTreeMap;

use jiff::civil::Date;
use kernel::Product;
use settlement::Week;
use storage::{Outfit, StageCell};
use wire::{Stage, StageRow, StageWeek};

use super::Scope;
use super::addresses::TicketsOf;
use super::sums::{OneScale, VolumeSum, defect_share};
use crate::books::entitling::TermsById;
use crate::books::names::Names;
use crate::http::refusal::Refusal;

/// How it is chosen on whose scale a row stands.
pub const SAYS: &str = "Each piece stands once at every stage that it passed, on one scale: that of the contract of \
whoever did the work (of more than one, the contract that was filed first), at delivery that of the mill's contract. Where \
that contract measures no volume of the piece, another one that does stands in and is marked: a mill's if there is one, \
else the one that was filed first. Rows of different contracts are scaled by different rules and are not to be added up. \
Where no contract measures a volume there are pieces alone.";

/// What rows of stages are named from, and what was asked about.
#[derive(Clone, Copy, Debug)]
pub struct StageNaming<'a> {
    /// The names.
    pub names: &'a Names,
    /// The terms that scaled.
    pub terms: &'a TermsById,
    /// What was asked about.
    pub scope: Scope,
}

type Key = (Stage, Product, String, Option<OneScale>);

/// The rows of some days, in the order of the work; at each stage by product, species and scale.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn rows<'a>(
    cells: impl IntoIterator<Item = &'a StageCell>,
    days: (Date, Date),
    naming: &StageNaming<'_>,
) -> Result<Vec<StageRow>, Refusal> {
    let mut sums: BTreeMap<(Stage, Product, String, bool, Option<OneScale>), VolumeSum> = BTreeMap::new();
    for cell in cells {
        let Some(stage) = cell.stage.and_then(Stage::after) else { continue };
        let scale = cell.scale.map(OneScale::from);
        // Without a scale comes last.
        let key = (stage, cell.product, cell.species.clone(), scale.is_none(), scale);
        sums.entry(key).or_default().add(cell)?;
    }
    let rows = sums.into_iter().map(|((stage, product, species, _, scale), sum)| {
        row((stage, product, species, scale), &sum, days, naming)
    });
    rows.collect()
}

fn row(
    (stage, product, species, scale): Key,
    sum: &VolumeSum,
    days: (Date, Date),
    naming: &StageNaming<'_>,
) -> Result<StageRow, Refusal> {
    let scope = naming.scope;
    let tickets = TicketsOf {
        job: scope.job,
        crew: scope.crew,
        mill: scope.mill,
        // What a mill got is no task of a crew.
        task: (stage != Stage::Delivered).then_some(stage.task()),
        delivered: stage == Stage::Delivered,
        timber: Some((product, &species)),
        ..TicketsOf::days(days.0, days.1)
    };
    Ok(StageRow {
        stage,
        product,
        scaled_by: scale.map(|scale| sum.scaled_by(scale, naming.names, naming.terms)),
        pieces: sum.pieces,
        culls: scale.map(|_| sum.culls),
        gross: scale.map(|_| sum.gross),
        net: scale.map(|_| sum.net),
        defect_share: defect_share(sum.gross, sum.net)?,
        made_of: vec![tickets.made_of()],
        species,
    })
}

/// The rows of each settlement week that has any.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn by_week(
    cells: &[StageCell],
    outfit: &Outfit,
    naming: &StageNaming<'_>,
) -> Result<Vec<StageWeek>, Refusal> {
    let mut weeks: BTreeMap<Date, (Week, Vec<&StageCell>)> = BTreeMap::new();
    for cell in cells.iter().filter(|cell| cell.stage.is_some()) {
        let week = Week::containing(cell.scaled_on, outfit.week_ends_on);
        weeks.entry(week.last_day()).or_insert_with(|| (week, Vec::new())).1.push(cell);
    }
    weeks
        .into_iter()
        .map(|(week_ends_on, (week, cells))| {
            let days = (week.first_day(), week_ends_on);
            Ok(StageWeek { week_ends_on, stages: rows(cells, days, naming)? })
        })
        .collect()
}
