//! Runs a target: a bounded number of cases from a fixed seed, or batches of them for as long as asked.

use std::time::{Duration, Instant};

use proptest::strategy::Strategy;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestRng, TestRunner};

/// A number from the environment.
fn asked(name: &str) -> Option<u64> {
    let text = std::env::var(name).ok()?;
    Some(text.parse().unwrap_or_else(|_| panic!("{name} is {text:?}: write a whole number")))
}

/// Tries the law on inputs, `cases` of them in a batch: one batch, or with `FUZZ_SECONDS` as many as fit.
pub fn run<Inputs: Strategy>(
    target: &str,
    cases: u32,
    inputs: &Inputs,
    law: impl Fn(Inputs::Value) -> Result<(), TestCaseError>,
) {
    let first = asked("FUZZ_SEED").unwrap_or(0);
    let Some(seconds) = asked("FUZZ_SECONDS") else { return batch(target, first, cases, inputs, &law) };
    let (start, mut next) = (Instant::now(), first);
    while start.elapsed() < Duration::from_secs(seconds) {
        batch(target, next, cases, inputs, &law);
        next += 1;
    }
    println!("{target}: {} cases in batches {first} to {}", (next - first) * u64::from(cases), next - 1);
}

fn batch<Inputs: Strategy>(
    target: &str,
    number: u64,
    cases: u32,
    inputs: &Inputs,
    law: impl Fn(Inputs::Value) -> Result<(), TestCaseError>,
) {
    let mut seed = [0; 32];
    seed[..8].copy_from_slice(&number.to_le_bytes());
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    let random = TestRng::from_seed(RngAlgorithm::ChaCha, &seed);
    if let Err(failure) = TestRunner::new_with_rng(config, random).run(inputs, law) {
        panic!("{target}, FUZZ_SEED={number}: {failure}");
    }
}
