//! The answer to one line: a volume, or the problem in its place.

use kernel::{Exact, VolumeUnit};
use scaling::{DirectAnswer, DirectRequest, EditionName, Label, RuleName, ScaleProblem, Step};
use serde::Serialize;
use serde_json::Value;

use crate::commands::lines::{LONGEST, Line};

/// Why a line has no volume.
#[derive(Debug, thiserror::Error)]
enum LineProblem {
    #[error("the line has more than {LONGEST} bytes: write one stick a line")]
    TooLong,
    #[error("the line is not text in UTF-8: save it so")]
    NotUtf8,
    #[error("{0}")]
    NotJson(String),
    #[error("{0}")]
    WrongForm(String),
    #[error(
        "the line is not an object: write one such as {{\"rule\": \"doyle\", \"diameter_in\": \"20\", \"length_ft\": \"16\"}}"
    )]
    NotAnObject,
    #[error(transparent)]
    CannotScale(#[from] ScaleProblem),
}

impl LineProblem {
    /// The stable name of the problem.
    const fn code(&self) -> &'static str {
        match self {
            Self::TooLong => "line-too-long",
            Self::NotUtf8 => "not-utf-8",
            Self::NotJson(_) => "not-json",
            Self::WrongForm(_) | Self::NotAnObject => "wrong-form",
            Self::CannotScale(problem) => problem.code(),
        }
    }
}

/// What a line is answered with.
pub(crate) struct Answer {
    line: u64,
    label: Option<Label>,
    outcome: Result<DirectAnswer, LineProblem>,
}

/// A volume as it is written.
#[derive(Serialize)]
struct Written<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    label: Option<&'a Label>,
    rule: RuleName,
    edition: EditionName,
    unit: VolumeUnit,
    gross: Exact,
    net: Exact,
    gross_unrounded: Exact,
    deduction: Exact,
    #[serde(skip_serializing_if = "Option::is_none")]
    working: Option<&'a [Step]>,
}

/// A problem as it is written.
#[derive(Serialize)]
struct WrittenProblem<'a> {
    problem: ProblemMembers<'a>,
}

#[derive(Serialize)]
struct ProblemMembers<'a> {
    code: &'static str,
    detail: String,
    line: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    label: Option<&'a Label>,
}

impl Answer {
    /// Reads and scales a line.
    pub(crate) fn of(number: u64, line: Line) -> Self {
        let text = match line {
            Line::Text(text) => text,
            Line::TooLong => return Self::unread(number, LineProblem::TooLong),
            Line::NotUtf8 => return Self::unread(number, LineProblem::NotUtf8),
        };
        match serde_json::from_str::<DirectRequest>(&text) {
            // An array would be read by the places of its items: a guess at which size is which.
            Ok(_) if !text.trim_start().starts_with('{') => Self::unread(number, LineProblem::NotAnObject),
            Ok(request) => Self {
                line: number,
                label: request.label.clone(),
                outcome: scaling::direct(&request).map_err(LineProblem::from),
            },
            Err(error) if error.is_data() && !text.trim_start().starts_with('{') => {
                Self::unread(number, LineProblem::NotAnObject)
            }
            Err(error) if error.is_data() => Self {
                line: number,
                label: label(&text),
                outcome: Err(LineProblem::WrongForm(at_column(&error))),
            },
            Err(error) => Self::unread(number, LineProblem::NotJson(at_column(&error))),
        }
    }

    const fn unread(line: u64, problem: LineProblem) -> Self {
        Self { line, label: None, outcome: Err(problem) }
    }

    /// Whether the line could not be scaled.
    pub(crate) const fn is_problem(&self) -> bool {
        self.outcome.is_err()
    }

    /// One line of JSON, without the line break.
    pub(crate) fn json(&self, with_working: bool) -> serde_json::Result<String> {
        let label = self.label.as_ref();
        match &self.outcome {
            Ok(answer) => serde_json::to_string(&Written {
                label,
                rule: answer.rule,
                edition: answer.edition,
                unit: answer.unit,
                gross: answer.gross,
                net: answer.net,
                gross_unrounded: answer.gross_unrounded,
                deduction: answer.deduction,
                working: with_working.then_some(answer.working.as_slice()),
            }),
            Err(problem) => serde_json::to_string(&WrittenProblem {
                problem: ProblemMembers {
                    code: problem.code(),
                    detail: problem.to_string(),
                    line: self.line,
                    label,
                },
            }),
        }
    }

    /// Lines for people, with the working, without the last line break.
    pub(crate) fn plain(&self) -> String {
        let label = self.label.as_ref().map(|label| format!(" ({label})")).unwrap_or_default();
        match &self.outcome {
            Ok(answer) => {
                let unit = match answer.unit {
                    VolumeUnit::BoardFoot => "board feet",
                    VolumeUnit::CubicFoot => "cubic feet",
                    VolumeUnit::CubicMetre => "cubic metres",
                    VolumeUnit::Cord => "cords",
                    VolumeUnit::StackedCubicMetre => "stacked cubic metres",
                };
                let steps: String =
                    answer.working.iter().map(|step| format!("\n    {}", step.says)).collect();
                let (rule, gross, net) = (answer.rule, answer.gross, answer.net);
                format!("{}{label}: {rule}, gross {gross}, net {net} {unit}{steps}", self.line)
            }
            Err(problem) => format!("{}{label}: not scaled, {}: {problem}", self.line, problem.code()),
        }
    }
}

/// What the reader of JSON says, with the column; it reads one line, so its line number would mislead.
fn at_column(error: &serde_json::Error) -> String {
    let text = error.to_string();
    let says = text.rsplit_once(" at line ").map_or(text.as_str(), |(says, _)| says);
    format!("{says} (column {})", error.column())
}

/// The label of a line whose other members are wrong.
fn label(text: &str) -> Option<Label> {
    let value: Value = serde_json::from_str(text).ok()?;
    Label::try_from(value.get("label")?.as_str()?.to_owned()).ok()
}
