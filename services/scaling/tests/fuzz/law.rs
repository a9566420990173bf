//! What holds of every answer, whatever was asked.

use kernel::Exact;
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;
use scaling::{
    Alternation, DirectRequest, Piece, Practice, ScaleProblem, Scaled, Step, direct, scale, scale_in_turn,
    scale_without_working_in_turn,
};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Scales a piece every way there is and holds the answers to one another.
pub fn of_a_piece(practice: &Practice, piece: &Piece, place: Alternation) -> Result<(), TestCaseError> {
    let (mut after, mut after_without, mut after_again) = (place, place, place);
    let answer = scale_in_turn(practice, piece, &mut after);
    prop_assert_eq!(&answer, &scale_in_turn(practice, piece, &mut after_again), "asked again");
    let without = scale_without_working_in_turn(practice, piece, &mut after_without);
    prop_assert_eq!(&answer.clone().map(|scaled| Scaled { working: Vec::new(), ..scaled }), &without);
    prop_assert!(after == after_again && after == after_without);
    match scale(practice, piece) {
        // Only where halves go in turn does the place on the ticket matter.
        Err(ScaleProblem::PlaceOnTicketNeeded { .. }) => {}
        unplaced => prop_assert_eq!(&answer, &unplaced, "without its place"),
    }
    match &answer {
        Ok(scaled) => scaled_well(scaled, &after, place),
        Err(problem) => told_well(problem),
    }
}

fn scaled_well(scaled: &Scaled, after: &Alternation, place: Alternation) -> Result<(), TestCaseError> {
    if let Some(volume) = scaled.volume {
        prop_assert!(Exact::ZERO <= volume.net && volume.net <= volume.gross, "{volume:?}");
        // The working ends where the answer stands.
        prop_assert_eq!(last_figure(&scaled.working, "gross"), Some(volume.gross));
        prop_assert_eq!(last_figure(&scaled.working, "net").unwrap_or(volume.gross), volume.net);
    }
    prop_assert!(after.halves() >= place.halves());
    prop_assert!(!scaled.working.is_empty());
    read_well(&scaled.working)?;
    there_and_back(scaled)
}

/// What the last step with a figure of this name made of it.
fn last_figure(working: &[Step], name: &str) -> Option<Exact> {
    let mut figures = working.iter().rev().flat_map(|step| &step.figures);
    figures.find(|figure| figure.name == name).map(|figure| figure.value)
}

/// Applies a rule to a request twice and holds the answer to what it says of itself.
pub fn of_a_request(request: &DirectRequest) -> Result<(), TestCaseError> {
    let answer = direct(request);
    prop_assert_eq!(&answer, &direct(request), "asked again");
    match &answer {
        Ok(answer) => {
            prop_assert!(Exact::ZERO <= answer.net && answer.net <= answer.gross, "{answer:?}");
            prop_assert_eq!(answer.gross.minus(answer.deduction), Ok(answer.net));
            prop_assert_eq!(answer.rule, request.rule);
            read_well(&answer.working)?;
            there_and_back(answer)
        }
        Err(problem) => told_well(problem),
    }
}

/// A step is one line that says something.
fn read_well(working: &[Step]) -> Result<(), TestCaseError> {
    for step in working {
        let says = step.says.as_str();
        prop_assert!(!says.trim().is_empty() && !says.contains(['\n', '\r']), "{step:?}");
    }
    Ok(())
}

/// A refusal is one line with a code of its own.
fn told_well(problem: &ScaleProblem) -> Result<(), TestCaseError> {
    let (code, says) = (problem.code(), problem.to_string());
    prop_assert!(!code.is_empty() && !says.trim().is_empty() && !says.contains('\n'), "{problem:?}");
    Ok(())
}

/// What is written as JSON and read again is the same, and is written the same.
pub fn there_and_back<Document>(document: &Document) -> Result<(), TestCaseError>
where
    Document: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug,
{
    let text = serde_json::to_string(document).unwrap();
    let back: Document = match serde_json::from_str(&text) {
        Ok(back) => back,
        Err(refused) => return Err(TestCaseError::fail(format!("{refused} in {text}"))),
    };
    prop_assert_eq!(document, &back);
    prop_assert_eq!(text, serde_json::to_string(&back).unwrap());
    Ok(())
}
