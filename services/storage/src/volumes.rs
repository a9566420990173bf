//! The volumes of a ticket's pieces as a derivation's row keeps them: what follows from the rest of the row is left out.
//!
//! The unit is said once where all volumes share it, and net only where it is not the gross. In SQL the function
//! `volumes_of` says the same.

use diesel::deserialize::{FromSql, FromSqlRow};
use diesel::pg::{Pg, PgValue};
use diesel::sql_types::Text;
use kernel::{Fixed, VolumeUnit};
use serde::Deserialize;
use serde::de::IntoDeserializer;
use serde::de::value::StrDeserializer;

use crate::{PieceVolume, StorageError};

/// The columns `units`, `gross`, `net` and `culls` as they are read.
pub(crate) type VolumeColumns =
    (Vec<Option<UnitName>>, Vec<Option<i64>>, Vec<Option<i64>>, Vec<Option<String>>);

/// A unit by its name.
#[derive(Clone, Copy, Debug, FromSqlRow)]
pub(crate) struct UnitName(VolumeUnit);

impl FromSql<Text, Pg> for UnitName {
    fn from_sql(value: PgValue<'_>) -> diesel::deserialize::Result<Self> {
        let name: StrDeserializer<'_, serde::de::value::Error> =
            std::str::from_utf8(value.as_bytes())?.into_deserializer();
        Ok(Self(VolumeUnit::deserialize(name)?))
    }
}

/// The units of volumes: of each piece, the one of all, or none.
pub(crate) fn units(volumes: &[PieceVolume]) -> Vec<Option<&'static str>> {
    let each = || volumes.iter().map(|piece| piece.volume.map(|(unit, ..)| unit));
    let mut scaled = each().flatten();
    match scaled.next() {
        None => Vec::new(),
        Some(first) if scaled.all(|unit| unit == first) => vec![Some(first.name())],
        Some(_) => each().map(|unit| unit.map(VolumeUnit::name)).collect(),
    }
}

/// The gross volumes, in millionths.
pub(crate) fn gross(volumes: &[PieceVolume]) -> impl Iterator<Item = Option<i64>> {
    volumes.iter().map(|piece| piece.volume.map(|(_, gross, _)| gross.millionths()))
}

/// The net volumes where they are not the gross ones, in millionths.
pub(crate) fn net(volumes: &[PieceVolume]) -> impl Iterator<Item = Option<i64>> {
    volumes
        .iter()
        .map(|piece| piece.volume.filter(|(_, gross, net)| gross != net).map(|(.., net)| net.millionths()))
}

/// Reads what the columns say.
///
/// # Errors
///
/// [`StorageError::Inconsistent`] when they do not fit together.
pub(crate) fn read((units, gross, net, culls): VolumeColumns) -> Result<Vec<PieceVolume>, StorageError> {
    let unreadable = |why| StorageError::inconsistent("derivation", why);
    if gross.len() != net.len() || gross.len() != culls.len() {
        return Err(unreadable("volumes of unlike numbers of pieces"));
    }
    let shared = (units.len() <= 1).then(|| units.first().copied().flatten());
    if shared.is_none() && units.len() != gross.len() {
        return Err(unreadable("units of another number of pieces"));
    }
    let mut each = units.into_iter();
    gross
        .into_iter()
        .zip(net)
        .zip(culls)
        .map(|((gross, net), cull)| {
            let unit = shared.unwrap_or_else(|| each.next().flatten());
            let volume = match (unit, gross, net) {
                (Some(UnitName(unit)), Some(gross), net) => {
                    Some((unit, Fixed::from_millionths(gross), Fixed::from_millionths(net.unwrap_or(gross))))
                }
                (unit, None, None) if unit.is_none() || shared.is_some() => None,
                _ => return Err(unreadable("a volume is only partly there")),
            };
            Ok(PieceVolume { volume, cull })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(volume: Option<(VolumeUnit, i64, i64)>) -> PieceVolume {
        let volume = volume
            .map(|(unit, gross, net)| (unit, Fixed::from_millionths(gross), Fixed::from_millionths(net)));
        PieceVolume { volume, cull: None }
    }

    fn kept(volumes: &[PieceVolume]) -> VolumeColumns {
        let names = units(volumes).into_iter().map(|name| {
            name.map(|name| {
                let name: StrDeserializer<'_, serde::de::value::Error> = name.into_deserializer();
                UnitName(VolumeUnit::deserialize(name).expect("it is the name of a unit"))
            })
        });
        let culls = volumes.iter().map(|piece| piece.cull.clone()).collect();
        (names.collect(), gross(volumes).collect(), net(volumes).collect(), culls)
    }

    /// Every way in which three pieces can share units, be without a volume, or lose some of it.
    #[test]
    fn whatever_is_left_out_is_read_back() {
        let units = [VolumeUnit::BoardFoot, VolumeUnit::CubicFoot];
        let mut choices = vec![piece(None)];
        for unit in units {
            choices.extend(
                [(0, 0), (120, 120), (120, 90), (120, 0)].map(|(gross, net)| piece(Some((unit, gross, net)))),
            );
        }
        for first in &choices {
            for second in &choices {
                for third in &choices {
                    let volumes = [first.clone(), second.clone(), third.clone()];
                    assert_eq!(read(kept(&volumes)).expect("it was just written"), volumes);
                }
                let one = [first.clone()];
                assert_eq!(read(kept(&one)).expect("it was just written"), one);
            }
        }
        assert_eq!(read(kept(&[])).expect("nothing is something"), []);
    }

    #[test]
    fn a_unit_is_said_once_and_net_where_it_differs() {
        let volumes = [
            piece(Some((VolumeUnit::BoardFoot, 120, 120))),
            piece(None),
            piece(Some((VolumeUnit::BoardFoot, 90, 60))),
        ];
        assert_eq!(units(&volumes), [Some("board_foot")]);
        assert_eq!(gross(&volumes).collect::<Vec<_>>(), [Some(120), None, Some(90)]);
        assert_eq!(net(&volumes).collect::<Vec<_>>(), [None, None, Some(60)]);
    }

    /// A row of the version before said everything.
    #[test]
    fn rows_that_say_everything_are_read_too() {
        let unit = Some(UnitName(VolumeUnit::BoardFoot));
        let said = (
            vec![unit, None, unit],
            vec![Some(120), None, Some(90)],
            vec![Some(120), None, Some(60)],
            vec![None, None, Some("broken".to_owned())],
        );
        let volumes: Vec<_> =
            read(said).expect("it is whole").into_iter().map(|piece| piece.volume).collect();
        let bf = |gross, net| {
            Some((VolumeUnit::BoardFoot, Fixed::from_millionths(gross), Fixed::from_millionths(net)))
        };
        assert_eq!(volumes, [bf(120, 120), None, bf(90, 60)]);
    }

    #[test]
    fn rows_that_do_not_fit_together_are_refused() {
        let unit = Some(UnitName(VolumeUnit::BoardFoot));
        let none = || vec![None; 2];
        for wrong in [
            (vec![unit], vec![Some(1), Some(2)], vec![None], vec![None, None]),
            (vec![unit], vec![Some(1), Some(2)], none(), vec![None]),
            (vec![unit, unit, unit], vec![Some(1), Some(2)], none(), vec![None, None]),
            (vec![unit, None], vec![Some(1), Some(2)], none(), vec![None, None]),
            (vec![unit, unit], vec![Some(1), None], none(), vec![None, None]),
            (vec![unit], vec![Some(1), None], vec![None, Some(1)], vec![None, None]),
            (vec![], vec![Some(1), None], none(), vec![None, None]),
        ] {
            assert!(read(wrong).is_err());
        }
    }
}
