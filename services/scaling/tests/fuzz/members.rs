//! Objects whose members may each be there or not, and the sizes and words that stand in them.

use proptest::prelude::*;
use serde_json::{Map, Value, json};

/// A member: its name and what it may hold.
pub type Member = (&'static str, BoxedStrategy<Value>);

/// An object with all of the first members, and each of the others as often as not.
pub fn object(always: Vec<Member>, sometimes: Vec<Member>) -> BoxedStrategy<Value> {
    let always = always.into_iter().map(|member| maybe(member, 1.0));
    let members: Vec<_> = always.chain(sometimes.into_iter().map(|member| maybe(member, 0.4))).collect();
    members.prop_map(|members| Value::Object(members.into_iter().flatten().collect::<Map<_, _>>())).boxed()
}

fn maybe((name, value): Member, share: f64) -> BoxedStrategy<Option<(String, Value)>> {
    let named = move |value: Option<Value>| value.map(|value| (name.to_owned(), value));
    if share < 1.0 {
        prop::option::weighted(share, value).prop_map(named).boxed()
    } else {
        value.prop_map(move |value| named(Some(value))).boxed()
    }
}

/// One of these words.
pub fn word(words: &'static [&'static str]) -> BoxedStrategy<Value> {
    prop::sample::select(words).prop_map(Value::from).boxed()
}

/// Yes or no.
pub fn flag() -> BoxedStrategy<Value> {
    any::<bool>().prop_map(Value::from).boxed()
}

/// A decimal text of at least `least` and at most `most`: whole, halves, hundredths or ten-thousandths, and often one of
/// the two ends.
pub fn decimal(least: u64, most: u64) -> BoxedStrategy<Value> {
    const PARTS: u64 = 10_000;
    let (least, most) = (least * PARTS, most * PARTS);
    let text = move |parts: u64| {
        let parts = parts.clamp(least.max(1), most);
        let text = format!("{}.{:04}", parts / PARTS, parts % PARTS);
        json!(text.trim_end_matches('0').trim_end_matches('.'))
    };
    let finest = prop::sample::select(&[PARTS, PARTS, PARTS / 2, PARTS / 4, 100, 1][..]);
    prop_oneof![
        12 => (least..=most, finest).prop_map(move |(parts, finest)| text(parts / finest * finest)),
        1 => Just(text(least)),
        1 => Just(text(most)),
    ]
    .boxed()
}

/// The same, or nothing at all: `0`.
pub fn decimal_or_nothing(most: u64) -> BoxedStrategy<Value> {
    prop_oneof![1 => Just(json!("0")), 4 => decimal(0, most)].boxed()
}

/// A rounding to a step.
pub fn rounding() -> BoxedStrategy<Value> {
    let step = word(&["1", "0.5", "0.001", "1/3", "10", "7", "0.000001", "1000"]);
    object(vec![("step", step), ("mode", word(&MODES))], Vec::new())
}

/// A rounding in a word or to a step.
pub fn rounding_term() -> BoxedStrategy<Value> {
    prop_oneof![word(&["by_rule", "none"]), rounding()].boxed()
}

/// The ways of rounding.
pub const MODES: [&str; 5] = ["half_up", "half_down", "half_even", "down", "up"];

/// A list of so many.
pub fn list(of: BoxedStrategy<Value>, count: std::ops::Range<usize>) -> BoxedStrategy<Value> {
    prop::collection::vec(of, count).prop_map(Value::from).boxed()
}
