//! Laws of rates against one another: no piece has two prices, every clash is real, every hole is reported.

use kernel::{Fixed, Product};
use proptest::option;
use proptest::prelude::{Just, Strategy, any, prop_assert, prop_assert_eq, proptest};
use proptest::sample::{select, subsequence};
use settlement::{
    Band, Basis, Coverage, Covers, Label, PieceFacts, Rate, RateClash, RateDraft, RateKind, RateUnit, Rates,
    Soundness, Task, TurnFacts,
};

use crate::common::{log, read, whole};

/// Bands between whole numbers up to 8, so that meeting, touching and lying apart are all common.
pub fn band() -> impl Strategy<Value = Band> {
    (option::of(0_i64..8), option::of(1_i64..9))
        .prop_filter_map("no band", |(from, below)| Band::new(from.map(whole), below.map(whole)).ok())
}

fn labels(of: &'static [&'static str]) -> impl Strategy<Value = Vec<Label>> {
    proptest::prop_oneof![
        Just(Vec::new()),
        subsequence(of, 1..=of.len()).prop_map(|of| of.into_iter().map(read).collect())
    ]
}

fn covers() -> impl Strategy<Value = Covers> {
    let bands = (option::of(band()), option::of(band()), option::of(band()), option::of(band()));
    let soundness = option::of(select(vec![Soundness::Sound, Soundness::Cull]));
    (labels(&["pine", "Oak"]), labels(&["1", "2"]), soundness, bands).prop_map(
        |(species, grades, soundness, (diameter_in, length_ft, skid_distance_ft, haul_distance_mi))| Covers {
            species,
            grades,
            soundness,
            diameter_in,
            length_ft,
            skid_distance_ft,
            haul_distance_mi,
            ..Covers::default()
        },
    )
}

/// Any rate that makes sense on its own, of one of two tasks and two products, or of ranked piles where it goes by the
/// space they fill.
pub fn rate() -> impl Strategy<Value = Rate> {
    let task = select(vec![Task::Felling, Task::Hauling]);
    let product = select(vec![Product::Log, Product::Tie]);
    let basis = select(vec![Basis::Gross, Basis::Net]);
    let kind = (task, product, select(RateUnit::ALL.to_vec()), basis, option::of(any::<bool>()));
    let does = select(vec![RateKind::Price, RateKind::Price, RateKind::Premium, RateKind::Dockage]);
    (kind, does, covers(), any::<bool>(), any::<u64>()).prop_map(
        |((task, product, unit, basis, pays_cull), kind, covers, metric, name)| {
            let (by_turn, by_time) = (unit == RateUnit::Turn, unit.is_time());
            let metric = unit == RateUnit::LinearMetre || (metric && unit != RateUnit::LinearFoot);
            let pays_cull = pays_cull.filter(|_| covers.soundness.is_none());
            let product = if unit.is_stacked() { Product::RankedPile } else { product };
            let covers = if unit.is_stacked() { Covers { diameter_in: None, ..covers } } else { covers };
            let covers = match (by_turn, by_time, metric) {
                (true, ..) => Covers {
                    skid_distance_ft: covers.skid_distance_ft,
                    haul_distance_mi: covers.haul_distance_mi,
                    ..Covers::default()
                },
                (_, true, _) => Covers::default(),
                (.., true) => Covers {
                    diameter_cm: covers.diameter_in,
                    length_m: covers.length_ft,
                    diameter_in: None,
                    length_ft: None,
                    ..covers
                },
                (.., false) => covers,
            };
            let draft = RateDraft {
                name: read(&format!("rate {name}")),
                kind: if by_time { RateKind::Price } else { kind },
                task: if unit == RateUnit::ThousandBoardFeetMile { Task::Hauling } else { task },
                product: (!by_turn && !by_time).then_some(product),
                unit,
                basis: unit.volume_unit().map(|_| basis),
                price: read("1.5"),
                pays_cull: if by_turn || by_time { None } else { pays_cull },
                least_quantity_a_turn: None,
                covers,
            };
            Rate::try_from(draft).unwrap()
        },
    )
}

/// Lists of rates that are accepted: each rate is kept if it clashes with none before it.
pub fn rates() -> impl Strategy<Value = Rates> {
    proptest::collection::vec(rate(), 0..12).prop_map(|candidates| {
        let mut kept = Vec::new();
        for candidate in candidates {
            kept.push(candidate);
            if Rates::new(kept.clone()).is_err() {
                kept.pop();
            }
        }
        Rates::new(kept).unwrap()
    })
}

/// Any figure up to 9 in halves, so that the ends of bands and what lies between are both met.
fn figure() -> impl Strategy<Value = Fixed> {
    (0_i64..18).prop_map(|halves| Fixed::from_millionths(halves * 500_000))
}

/// Any piece, with or without the facts that rates ask about.
pub fn piece(number: u16) -> impl Strategy<Value = PieceFacts> {
    let words = (select(vec!["pine", " OAK ", "elm"]), option::of(select(vec!["1", "2", "3"])));
    let sizes = (option::of(figure()), option::of(figure()), option::of(figure()), option::of(figure()));
    let product = select(vec![Product::Log, Product::Tie]);
    (product, words, sizes, any::<bool>(), any::<bool>()).prop_map(
        move |(product, (species, grade), (diameter_in, length_ft, diameter_cm, length_m), cull, scaled)| {
            PieceFacts {
                product,
                species: species.into(),
                grade: grade.map(Into::into),
                diameter_in,
                length_ft,
                diameter_cm,
                length_m,
                unscaled: (!scaled).then(|| "burnt".to_owned()),
                volume: log(number).volume.filter(|_| scaled),
                cull,
                ..log(number)
            }
        },
    )
}

/// A turn with or without its distances, or none.
pub fn turn() -> impl Strategy<Value = Option<TurnFacts>> {
    option::of(
        (option::of(figure()), option::of(figure())).prop_map(|(skid_distance_ft, haul_distance_mi)| {
            TurnFacts { skid_distance_ft, haul_distance_mi }
        }),
    )
}

/// A figure in a band, or any figure where there is no band.
fn inside(band: Option<Band>) -> Fixed {
    band.map_or(Fixed::ZERO, |band| {
        band.from().unwrap_or_else(|| band.below().unwrap().minus(Fixed::from_millionths(1)).unwrap())
    })
}

proptest! {
    #[test]
    fn no_piece_has_two_prices(rates in rates(), piece in piece(1), turn in turn()) {
        for task in Task::ALL {
            let covering = rates.as_slice().iter()
                .filter(|rate| rate.kind() == RateKind::Price && rate.task() == task)
                .filter(|rate| rate.coverage(&piece, turn.as_ref()) == Coverage::Covers);
            prop_assert!(covering.count() <= 1);
        }
    }

    #[test]
    fn every_clash_has_a_piece_that_both_cover(one in rate(), two in rate()) {
        match Rates::new(vec![one.clone(), two.clone()]) {
            Err(clashes) => for clash in clashes {
                let RateClash::Overlap { meeting, .. } = clash else { continue };
                let at = &meeting.pieces;
                let piece = PieceFacts {
                    product: meeting.product.unwrap_or(Product::Pole),
                    species: at.species.first().map_or("elm", |species| species.as_str()).into(),
                    grade: at.grades.first().map(|grade| grade.as_str().into()),
                    diameter_in: Some(inside(at.diameter_in)),
                    length_ft: Some(inside(at.length_ft)),
                    diameter_cm: Some(inside(at.diameter_cm)),
                    length_m: Some(inside(at.length_m)),
                    cull: at.soundness == Some(Soundness::Cull),
                    ..log(1)
                };
                let turn = TurnFacts {
                    skid_distance_ft: Some(inside(at.skid_distance_ft)),
                    haul_distance_mi: Some(inside(at.haul_distance_mi)),
                };
                prop_assert_eq!(one.task(), two.task());
                prop_assert_eq!((one.kind(), two.kind()), (RateKind::Price, RateKind::Price));
                if meeting.by_time {
                    prop_assert!(one.is_by_time() && two.is_by_time());
                    continue;
                }
                prop_assert_eq!(one.coverage(&piece, Some(&turn)), Coverage::Covers);
                prop_assert_eq!(two.coverage(&piece, Some(&turn)), Coverage::Covers);
            },
            Ok(rates) => prop_assert_eq!(rates.as_slice(), &[one, two]),
        }
    }

    #[test]
    fn a_band_shared_holds_what_both_hold(one in band(), two in band(), figure in figure()) {
        let shared = one.common(two).is_some_and(|shared| shared.contains(figure));
        prop_assert_eq!(shared, one.contains(figure) && two.contains(figure));
    }

    #[test]
    fn every_hole_between_bands_is_reported_and_nothing_else(bands in proptest::collection::vec(band(), 1..7)) {
        let mut kept = Vec::new();
        for (number, band) in bands.into_iter().enumerate() {
            kept.push(banded(number, band));
            if Rates::new(kept.clone()).is_err() {
                kept.pop();
            }
        }
        let rates = Rates::new(kept).unwrap();
        let bands: Vec<Band> = rates.as_slice().iter().filter_map(|rate| rate.covers().diameter_in).collect();
        let gaps = rates.gaps();
        for halves in 0..20 {
            let figure = Fixed::from_millionths(halves * 500_000);
            let covered = bands.iter().any(|band| band.contains(figure));
            let some_below = bands.iter().any(|band| band.below().is_some_and(|below| below <= figure));
            let some_above = bands.iter().any(|band| band.from().is_some_and(|from| figure < from));
            let reported = gaps.iter().filter(|gap| gap.hole.contains(figure)).count();
            prop_assert_eq!(reported, usize::from(!covered && some_below && some_above), "at {}", figure);
        }
    }

    #[test]
    fn rates_come_back_from_json_as_they_were(rates in rates()) {
        let text = serde_json::to_string(&rates).unwrap();
        prop_assert_eq!(serde_json::from_str::<Rates>(&text).unwrap(), rates);
    }
}

/// A rate that is like the others but for its band of diameters.
fn banded(number: usize, band: Band) -> Rate {
    Rate::try_from(RateDraft {
        name: read(&format!("band {number}")),
        kind: RateKind::Price,
        task: Task::Felling,
        product: Some(Product::Log),
        unit: RateUnit::Piece,
        basis: None,
        price: read("0.10"),
        pays_cull: None,
        least_quantity_a_turn: None,
        covers: Covers { diameter_in: Some(band), ..Covers::default() },
    })
    .unwrap()
}
