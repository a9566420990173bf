//! What defect took, scaler by scaler, each on one scale.

use std::collections::BTreeMap;

use kernel::Product;
use wire::{ScalerDefect, ScalerTimber};

use crate::books::auditing::Audited;
use crate::books::auditing::addresses::scaler_tickets;
use crate::books::auditing::sums::{OneScale, VolumeSum, defect_share};
use crate::http::refusal::Refusal;

/// A scaler's pieces on one scale: all of them, and by kind.
#[derive(Default)]
struct Sums {
    all: VolumeSum,
    timber: BTreeMap<(Product, String), VolumeSum>,
}

/// The rows: by scale first, for only scalers on one scale can be held against each other. Pieces without a volume are
/// left out.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn by_scaler(audited: &Audited) -> Result<Vec<ScalerDefect>, Refusal> {
    let mut sums: BTreeMap<(OneScale, &str), Sums> = BTreeMap::new();
    // Every piece once, at whatever stage it is.
    for cell in audited.cells.iter().filter(|cell| cell.stage.is_none()) {
        // For scalers it makes no difference whose own scale it is.
        let Some(scale) = cell.scale.map(|scale| OneScale { stands_in: false, ..scale.into() }) else {
            continue;
        };
        let sum = sums.entry((scale, &cell.scaler)).or_default();
        sum.all.add(cell)?;
        sum.timber.entry((cell.product, cell.species.clone())).or_default().add(cell)?;
    }
    sums.into_iter().map(|((scale, scaler), sum)| row(audited, (scale, scaler), &sum)).collect()
}

fn row(audited: &Audited, (scale, scaler): (OneScale, &str), sums: &Sums) -> Result<ScalerDefect, Refusal> {
    let Sums { all, timber } = sums;
    let timber = timber.iter().map(|((product, species), sum)| {
        Ok(ScalerTimber {
            product: *product,
            species: species.clone(),
            pieces: sum.pieces,
            culls: sum.culls,
            gross: sum.gross,
            net: sum.net,
            defect_share: defect_share(sum.gross, sum.net)?,
        })
    });
    Ok(ScalerDefect {
        scaler: scaler.to_owned(),
        scaled_by: all.scaled_by(scale, &audited.names, &audited.terms),
        pieces: all.pieces,
        culls: all.culls,
        gross: all.gross,
        net: all.net,
        defect_share: defect_share(all.gross, all.net)?,
        timber: timber.collect::<Result<_, Refusal>>()?,
        made_of: vec![scaler_tickets(scaler, audited.scope)],
    })
}
