//! Cruises whose figures were worked out by hand, and estimates held against a library of statistics.
#![expect(
    clippy::float_arithmetic,
    clippy::as_conversions,
    reason = "the independent reckoning is one in floating point"
)]

use audit::{
    Confidence, CruiseEstimate, CutOut, Incomparable, LogScale, LumberState, Number, SampledTract, ScaleBase,
    StatisticError, Tally, TallyTree, Tract, UnitName, hold_against, overrun, still_standing,
};
use kernel::{Fixed, VolumeUnit};
use proptest::prelude::*;
use statrs::distribution::{ContinuousCDF, StudentsT};
use statrs::statistics::Statistics;

fn fixed(text: &str) -> Fixed {
    text.parse().expect("a number")
}

fn some(text: &str) -> Option<Fixed> {
    Some(fixed(text))
}

fn tree(species: &str, stems: i128, volume: i128) -> TallyTree {
    TallyTree { species: species.to_owned(), stems: Number::whole(stems), volume: Number::whole(volume) }
}

/// Four plots of a fifth of an acre on 40 acres: each tree stands for five on an acre. Constructed.
fn four_plots() -> SampledTract {
    let tract = Tract::Plots { area: Number::whole(40), plot: fixed("0.2").into() };
    let plots = vec![
        vec![tree("pine", 10, 100), tree("oak", 5, 60)],
        vec![tree("pine", 20, 100)],
        vec![tree("oak", 5, 120), tree("pine", 5, 300)],
        vec![],
    ];
    SampledTract::new(tract, plots).expect("four plots of two hundred")
}

/// By hand: the plots hold 1300, 2000, 2100 and 0 board feet an acre, 1350 on the mean, 54000 on the tract. Squared differences
/// 2500, 422500, 562500 and 1822500 are 2810000 together; a third of that is the variance, its fourth part times 196/200 the
/// squared error of the mean: 229483.33…, whose root is 479.044… an acre and 19161.77… on 40 acres.
#[test]
fn four_plots_by_hand() {
    let cruise = four_plots();
    assert_eq!((cruise.plots(), cruise.room()), (4, Ok(Some(200))));
    assert_eq!(cruise.species().into_iter().collect::<Vec<_>>(), ["oak", "pine"]);
    let all = cruise.estimate(None, Confidence::NinetyFive).expect("an estimate");
    assert_eq!((all.volume_per_area, all.volume), (some("1350"), fixed("54000")));
    assert_eq!((all.stems_per_area, all.stems), (some("11.25"), fixed("450")));
    let error = all.sampling_error.expect("several plots");
    assert_eq!(error.standard_error, fixed("19161.76749"));
    // Student's t of three degrees at 95 percent is 3.1824.
    assert_eq!(error.percent, some("112.9267"));
    assert_eq!(Number::from(error.from).plus(&error.to.into()), Number::whole(108_000));
    // Oak: 300, 0, 600 and 0 an acre; the plots without it count.
    let oak = cruise.estimate(Some("oak"), Confidence::NinetyFive).expect("an estimate");
    assert_eq!((oak.volume_per_area, oak.volume), (some("225"), fixed("9000")));
    let pine = cruise.estimate(Some("pine"), Confidence::NinetyFive).expect("an estimate");
    assert_eq!(oak.volume.plus(pine.volume), Ok(all.volume));
    let none = cruise.estimate(Some("elm"), Confidence::NinetyFive).expect("an estimate");
    assert_eq!((none.volume, none.sampling_error.and_then(|error| error.percent)), (Fixed::ZERO, None));
}

/// Five points whose volumes are a tenth of those of five loads (constructed, common textbook formulas from memory): mean
/// 4.6, standard error 0.254951, sampling error 15.388 percent with t = 2.7764. Points have no size, so nothing lessens it.
#[test]
fn five_points_have_the_sampling_error_of_five_loads() {
    let points = ["4.2", "5.1", "3.8", "4.9", "5.0"].map(|volume| {
        vec![TallyTree {
            species: "pine".to_owned(),
            stems: Number::whole(1),
            volume: Number::from(fixed(volume)),
        }]
    });
    let cruise =
        SampledTract::new(Tract::Points { area: Number::whole(10) }, points.to_vec()).expect("points");
    assert_eq!(cruise.room(), Ok(None));
    let all = cruise.estimate(None, Confidence::NinetyFive).expect("an estimate");
    assert_eq!((all.volume_per_area, all.volume), (some("4.6"), fixed("46")));
    let error = all.sampling_error.expect("several points");
    assert_eq!((error.standard_error, error.percent), (fixed("2.54951"), some("15.388")));
    assert_eq!(error.variation_percent, some("12.3932"));
    // (2.7764 × 12.3932 / 10)² = 11.84: twelve points for 10 percent.
    let needed = cruise.plots_needed(fixed("10"), Confidence::NinetyFive).expect("a count").expect("points");
    assert_eq!((needed.plots, needed.t), (12, fixed("2.7764")));
}

#[test]
fn a_complete_tally_leaves_nothing_to_chance() {
    let trees = vec![tree("ash", 3, 200), tree("elm", 1, 90)];
    let cruise = SampledTract::new(Tract::Complete { area: None }, vec![trees]).expect("a tally");
    let all = cruise.estimate(None, Confidence::NinetyFive).expect("an estimate");
    assert_eq!((all.stems, all.volume, all.volume_per_area), (fixed("4"), fixed("690"), None));
    let error = all.sampling_error.expect("known to be nothing");
    assert_eq!((error.from, error.to, error.standard_error), (fixed("690"), fixed("690"), Fixed::ZERO));
    assert_eq!(cruise.plots_needed(fixed("10"), Confidence::NinetyFive), Ok(None));
}

#[test]
fn one_plot_says_nothing_of_others() {
    let tract = Tract::Plots { area: Number::whole(10), plot: Number::whole(1) };
    let cruise = SampledTract::new(tract.clone(), vec![vec![tree("ash", 1, 200)]]).expect("a plot");
    let all = cruise.estimate(None, Confidence::NinetyFive).expect("an estimate");
    assert_eq!((all.volume, all.sampling_error), (fixed("2000"), None));
    assert_eq!(cruise.plots_needed(fixed("10"), Confidence::NinetyFive), Ok(None));
    assert_eq!(SampledTract::new(tract.clone(), vec![]), Err(StatisticError::TooFew { needed: 1, found: 0 }));
    let too_many = SampledTract::new(tract, vec![vec![]; 11]);
    assert_eq!(too_many, Err(StatisticError::SampleExceedsAll { sample: 11, population: 10 }));
}

#[test]
fn the_cut_is_within_the_interval_or_it_is_not() {
    let all: CruiseEstimate = four_plots().estimate(None, Confidence::Ninety).expect("an estimate");
    let error = all.sampling_error.expect("several plots");
    let held = |gross: Fixed| {
        hold_against(&all, CutOut { gross, net: Fixed::ZERO }, ScaleBase::Gross).expect("small")
    };
    // The ends belong to it, and a millionth past them does not.
    let millionth = Fixed::from_millionths(1);
    for (cut, within) in [
        (error.from, true),
        (error.to, true),
        (error.from.minus(millionth).expect("small"), false),
        (error.to.plus(millionth).expect("small"), false),
    ] {
        assert_eq!(held(cut).within_interval, Some(within), "{cut}");
    }
    assert_eq!(
        (held(fixed("40500")).percent, held(fixed("40500")).difference),
        (some("-25"), fixed("-13500"))
    );
    let left = |gross: &str| still_standing(&all, CutOut { gross: fixed(gross), net: Fixed::ZERO });
    assert_eq!(
        (left("40500"), left("54000"), left("60000")),
        (Ok(fixed("13500")), Ok(Fixed::ZERO), Ok(Fixed::ZERO))
    );
}

#[test]
fn overrun_is_not_computed_across_units_nor_on_nothing() {
    let tally = Tally { board_feet: fixed("100"), state: LumberState::Dressed };
    let scale =
        |unit, net: &str| LogScale { rule: "r".to_owned(), unit, gross: fixed("80"), net: fixed(net) };
    let cubic = overrun(tally, &scale(VolumeUnit::CubicMetre, "80"), ScaleBase::Net);
    assert_eq!(cubic, Err(Incomparable::Unit(UnitName(VolumeUnit::CubicMetre))));
    let culls = scale(VolumeUnit::BoardFoot, "0");
    assert_eq!(overrun(tally, &culls, ScaleBase::Net), Err(Incomparable::NothingScaled(ScaleBase::Net)));
    let gross = overrun(tally, &culls, ScaleBase::Gross).expect("there is a gross scale");
    assert_eq!((gross.percent, gross.lumber), (fixed("25"), LumberState::Dressed));
}

fn shown(fixed: Fixed) -> f64 {
    fixed.to_string().parse().expect("a decimal")
}

proptest! {
    /// Whatever the plots hold, the estimate is what a library of statistics makes of them.
    #[test]
    fn estimates_are_those_of_a_library(volumes in proptest::collection::vec(0_u32..5_000, 2..30), area in 30_u32..500) {
        let plots: Vec<_> = volumes.iter().map(|volume| vec![tree("ash", 4, i128::from(*volume))]).collect();
        let tract = Tract::Plots { area: Number::whole(area.into()), plot: Number::whole(1) };
        let cruise = SampledTract::new(tract, plots).expect("plots");
        let all = cruise.estimate(None, Confidence::NinetyFive).expect("an estimate");
        let (n, room) = (volumes.len() as f64, f64::from(area));
        let on_tract: Vec<f64> = volumes.iter().map(|volume| f64::from(*volume) * 4.0 * room).collect();
        let mean = Statistics::mean(&on_tract);
        let error = Statistics::std_dev(&on_tract) / n.sqrt() * (1.0 - n / room).sqrt();
        let t = StudentsT::new(0.0, 1.0, n - 1.0).expect("degrees").inverse_cdf(0.975);
        let found = all.sampling_error.expect("several plots");
        let close = |found: Fixed, expected: f64| (shown(found) - expected).abs() <= 1e-4 * expected.abs().max(1.0);
        prop_assert!(close(all.volume, mean), "{} {mean}", all.volume);
        prop_assert!(close(found.standard_error, error), "{} {error}", found.standard_error);
        prop_assert!((shown(found.to) - (mean + t * error)).abs() <= 1e-4 * (mean + t * error).max(1.0));
        prop_assert!((shown(found.from) - (mean - t * error)).abs() <= 1e-4 * (mean + t * error).max(1.0));
    }

    /// Species add up to all of them, and the order of plots is nothing.
    #[test]
    fn species_add_up(plots in proptest::collection::vec(proptest::collection::vec((0_u8..3, 1_u8..9, 1_u16..900), 0..6), 1..12)) {
        let species = ["ash", "elm", "oak"];
        let trees = |plot: &Vec<(u8, u8, u16)>| {
            plot.iter()
                .filter_map(|(kind, stems, volume)| {
                    Some(tree(species.get(usize::from(*kind))?, (*stems).into(), (*volume).into()))
                })
                .collect::<Vec<_>>()
        };
        let mut sampled: Vec<_> = plots.iter().map(trees).collect();
        let tract = Tract::Points { area: Number::whole(7) };
        let cruise = SampledTract::new(tract.clone(), sampled.clone()).expect("points");
        let all = cruise.estimate(None, Confidence::NinetyNine).expect("an estimate");
        let mut sum = Number::whole(0);
        for one in species {
            sum = sum.plus(&cruise.estimate(Some(one), Confidence::NinetyNine).expect("an estimate").volume.into());
        }
        // Each is rounded by itself to six decimals.
        let off = sum.minus(&all.volume.into()).magnitude();
        prop_assert!(off <= Number::from(Fixed::from_millionths(2)), "{off}");
        sampled.reverse();
        let turned = SampledTract::new(tract, sampled).expect("points");
        prop_assert_eq!(turned.estimate(None, Confidence::NinetyNine), Ok(all));
    }
}
