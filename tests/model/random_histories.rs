//! Random histories, step by step.

use std::cell::RefCell;
use std::collections::BTreeMap;

use proptest::collection::vec;

use crate::histories::carrying_out::run;
use crate::histories::opening::opening;
use crate::histories::seed::Runs;
use crate::histories::step::step;

/// How many steps a history has after its opening.
const STEPS: std::ops::Range<usize> = 20..29;

/// What the histories of a default run must have met between them; a run that misses one of these tests less than it
/// seems to.
const WORTH_MEETING: [&str; 59] = [
    "a regular line",
    "an adjustment",
    "an adjustment that takes money back",
    "an adjustment of a line that stays",
    "a line that changes tickets and no figure",
    "a line below zero",
    "a part that does not come out even",
    "the least quantity of a turn",
    "a line of no money",
    "a line of a member's time",
    "a line shared by hours",
    "added: GuaranteeMakeUp",
    "added: MinimumMakeUp",
    "added: RestPay",
    "added: OvertimePremium",
    "added to a past week: MinimumMakeUp",
    "added to a past week: OvertimePremium",
    "time paid by the day",
    "a line shared unevenly",
    "a cull",
    "computed again",
    "a premium",
    "a dockage",
    "half a cent",
    "holdback taken",
    "holdback given back",
    "holdback let go",
    "advance taken",
    "advance taken in part",
    "advance carried forward",
    "advance given back",
    "charge taken",
    "charge taken in part",
    "charge carried forward",
    "charge given back",
    "posted",
    "repeated",
    "refused: draft-out-of-date",
    "refused: earlier-week-open",
    "refused: more-than-held",
    "refused: no-hours",
    "refused: no-share-set",
    "refused: reversed-already",
    "refused: ticket-corrected",
    "refused: ticket-differs",
    "refused: time-corrected",
    "refused: time-inconsistent",
    "refused: unpriced-pieces",
    "refused: unpriced-time",
    "refused: week-not-over",
    "refused: week-posted",
    "unpriced: no_contract_or_terms",
    "unpriced: no_diameter",
    "unpriced: no_distance",
    "unpriced: no_grade",
    "unpriced: no_rate",
    "unpriced: no_turn",
    "unpriced: no_volume",
    "unpriced: unknown_soundness",
];

/// After every step the service says what the model says: drafts, refusals, audits, the journal, statements; and at
/// the end everybody has been settled what the record comes to.
#[test]
fn pay_equals_the_record_after_every_step() {
    let runs = Runs::asked_for("pay_equals_the_record_after_every_step", 4, 60);
    let met = RefCell::new(BTreeMap::<String, u32>::new());
    runs.hold(&vec(step(), STEPS), |steps| {
        let history = run(&[opening(), steps.to_vec()].concat(), 30)?;
        for (what, times) in history.met {
            *met.borrow_mut().entry(what).or_default() += times;
        }
        Ok(())
    });
    let met = met.into_inner();
    println!("met: {met:#?}");
    if runs.are_default() {
        let missed: Vec<_> = WORTH_MEETING.into_iter().filter(|what| !met.contains_key(*what)).collect();
        assert!(
            missed.is_empty(),
            "never met: {missed:?}; give a default run a seed that meets them: {runs:?}"
        );
    }
}
