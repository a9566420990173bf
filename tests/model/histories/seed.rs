//! How many histories are run, from which seed, and how one that fails is made shorter.

use std::fmt::Debug;
use std::panic::{AssertUnwindSafe, catch_unwind};

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::histories::history::Checked;

/// The environment variable that asks for more histories than the few of a default run.
const HISTORIES: &str = "SKIDWAY_MODEL_HISTORIES";
/// The environment variable that says from which seed the first is made; each further one adds one to it.
const SEED: &str = "SKIDWAY_MODEL_SEED";

/// What is run.
#[derive(Debug)]
pub struct Runs {
    test: &'static str,
    histories: u64,
    first_seed: u64,
    are_default: bool,
}

impl Runs {
    /// What the environment asks for, or these few; printed, so that a failure can be had again.
    pub fn asked_for(test: &'static str, histories: u64, first_seed: u64) -> Self {
        let number = |name: &str| {
            let text = std::env::var(name).ok()?;
            Some(text.parse::<u64>().unwrap_or_else(|_| panic!("{name} is \"{text}\": write a whole number")))
        };
        let (asked, seeded) = (number(HISTORIES), number(SEED));
        let are_default = asked.is_none() && seeded.is_none();
        let (histories, first_seed) = (asked.unwrap_or(histories), seeded.unwrap_or(first_seed));
        println!("{test}: {HISTORIES}={histories} {SEED}={first_seed}");
        Self { test, histories, first_seed, are_default }
    }

    /// Whether nobody asked for other histories than those of a plain run.
    pub fn are_default(&self) -> bool {
        self.are_default
    }

    /// Runs a check on random histories. The first that fails is told at once, then made shorter and told again.
    pub fn hold<T: Clone + Debug>(
        &self,
        histories: &impl Strategy<Value = Vec<T>>,
        check: impl Fn(&[T]) -> Checked,
    ) {
        let fails = |history: &[T]| -> Option<String> {
            let outcome = catch_unwind(AssertUnwindSafe(|| check(history)));
            outcome.map_or_else(|_| Some("it panicked; see above".to_owned()), Result::err)
        };
        for seed in (self.first_seed..).take(usize::try_from(self.histories).expect("fewer")) {
            let mut bytes = [0; 32];
            bytes[..8].copy_from_slice(&seed.to_le_bytes());
            let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &bytes);
            let mut runner = TestRunner::new_with_rng(Config::default(), rng);
            let history = histories.new_tree(&mut runner).expect("histories can be made").current();
            if let Some(why) = fails(&history) {
                let again = format!("{}: {HISTORIES}=1 {SEED}={seed}", self.test);
                println!("{again}: the model and the service disagree; making it shorter\n{why}");
                let (shortest, why) = shortened(history, why, fails);
                panic!("{again}: the model and the service disagree\n{why}\nin this history: {shortest:#?}");
            }
        }
    }
}

/// Leaves out as many steps as can be left out with something still failing: runs of them first, then single ones.
fn shortened<T: Clone>(
    mut history: Vec<T>,
    mut why: String,
    fails: impl Fn(&[T]) -> Option<String>,
) -> (Vec<T>, String) {
    let mut run = history.len() / 2;
    while run > 0 {
        let mut at = 0;
        let before = history.len();
        while at < history.len() {
            let mut shorter = history.clone();
            shorter.drain(at..(at + run).min(history.len()));
            match fails(&shorter) {
                Some(still) => (history, why) = (shorter, still),
                None => at += run,
            }
        }
        // Single steps are tried again as long as one could be left out.
        if run > 1 || history.len() == before {
            run /= 2;
        }
    }
    (history, why)
}

#[test]
fn a_failing_history_is_made_as_short_as_it_can_be() {
    let fails = |history: &[u32]| (history.contains(&7) && history.contains(&3)).then(|| "both".to_owned());
    let (shortest, why) = shortened((0..40).collect(), "both".to_owned(), fails);
    assert_eq!((shortest, why), (vec![3, 7], "both".to_owned()));
}
