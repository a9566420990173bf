//! Figures from outside: constructed examples whose inputs are invented and whose formulas are named, and a published
//! table of Student's t.

use audit::{Confidence, Number, Ratio, Sample, sample_size, students_t};
use kernel::Fixed;

fn fixed(text: &str) -> Fixed {
    text.parse().expect("a number")
}

fn numbers(texts: &[&str]) -> Vec<Number> {
    texts.iter().map(|text| fixed(text).into()).collect()
}

/// Two-sided points at 95 percent, as the NIST/SEMATECH e-Handbook of Statistical Methods prints them in section
/// 1.3.6.7.2 to three decimals (recalled, not seen again; the next module holds all of them against a library).
#[test]
fn students_t_is_the_printed_table() {
    for (degrees, printed) in
        [(1, "12.706"), (2, "4.303"), (4, "2.776"), (9, "2.262"), (10, "2.228"), (30, "2.042"), (60, "2.000")]
    {
        let point = students_t(Confidence::NinetyFive, degrees).expect("a point");
        assert_eq!(Number::from(point).shown(3).expect("it fits"), fixed(printed), "{degrees}");
    }
}

/// Five loads; the formulas are those of forest measurement handbooks (from memory): `s / √n` and `t × se / mean`. With
/// t = 2.776 to three decimals the error is 15.3857 percent; the fourth decimal of t makes it 15.388.
#[test]
fn five_loads_have_their_sampling_error() {
    let loads = Sample::new(numbers(&["4.2", "5.1", "3.8", "4.9", "5.0"]), None).expect("a sample");
    assert_eq!(loads.mean().to_string(), "23/5");
    assert_eq!(loads.standard_deviation(), Ok(fixed("0.570088")));
    assert_eq!(loads.standard_error(), Ok(fixed("0.254951")));
    assert_eq!(loads.variation_percent(), Ok(fixed("12.3932")));
    assert_eq!(loads.error_percent(Confidence::NinetyFive), Ok(fixed("15.388")));
}

/// The standard error that a state asks of sample scaling for its timber tax: 2.5 percent at the 95 percent level
/// (Washington's rules for stumpage, as far as seen). The count is constructed.
#[test]
fn so_many_loads_come_within_the_allowance() {
    assert_eq!(sample_size(fixed("12.393"), fixed("2.5"), fixed("2.0"), None), Ok(99));
}

#[test]
fn three_check_scales_make_a_ratio() {
    let pairs = [("500", "480"), ("500", "510"), ("320", "300")];
    let pairs = pairs.map(|(x, y)| (fixed(x).into(), fixed(y).into())).to_vec();
    let ratio = Ratio::new(pairs, None).expect("a ratio");
    assert_eq!(ratio.shown(), Ok(fixed("0.977273")));
    assert_eq!(ratio.estimate(&fixed("60000").into()), Ok(fixed("58636.363636")));
}
