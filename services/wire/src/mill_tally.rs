//! What a mill sawed out of the logs of some days, as it was tallied.

use audit::LumberState;
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{Fixed, JobId, MillId, MillTallyId};
use scaling::Species;
use serde::{Deserialize, Serialize};

use crate::columns::columns;
use crate::{Name, Remark};

/// Lumber of one species.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SpeciesLumber {
    /// The species, as tickets name it; capitals make no difference.
    pub species: Species,
    /// How much, in board feet; more than nothing.
    pub board_feet: Fixed,
}

/// Lumber in board feet: in all, or by species.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
enum LumberForm {
    /// All of it together, in board feet; more than nothing.
    InAll(Fixed),
    /// Each species by itself, each once: at most 100.
    BySpecies(Vec<SpeciesLumber>),
}

/// Lumber as a mill tallied it.
///
/// ```
/// use wire::Lumber;
/// let lumber: Lumber = serde_json::from_str(
///     r#"{"by_species": [{"species": "ash", "board_feet": "800"}, {"species": "elm", "board_feet": "250.5"}]}"#,
/// )?;
/// assert_eq!(lumber.total().to_string(), "1050.5");
/// let twice = r#"{"by_species": [{"species": "ash", "board_feet": "1"}, {"species": "Ash", "board_feet": "2"}]}"#;
/// assert!(serde_json::from_str::<Lumber>(twice).is_err());
/// assert!(serde_json::from_str::<Lumber>(r#"{"in_all": "0"}"#).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "LumberForm", into = "LumberForm")]
pub struct Lumber {
    form: LumberForm,
    total: Fixed,
}

/// Why lumber was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LumberError {
    /// Nothing, or less.
    #[error("lumber is more than nothing: write what was tallied")]
    NotPositive,
    /// No line, or more than a mill has species.
    #[error("by_species has 1 to {MOST_SPECIES} lines")]
    Lines,
    /// A species on two lines.
    #[error("{0} stands on two lines: add them up")]
    Twice(Species),
    /// The sum cannot be held.
    #[error(transparent)]
    Number(#[from] kernel::NumberError),
}

/// The most species of one tally.
const MOST_SPECIES: usize = 100;

impl Lumber {
    /// All of it, in board feet.
    #[must_use]
    pub const fn total(&self) -> Fixed {
        self.total
    }

    /// Its lines: one without a species, or one for each species.
    pub fn lines(&self) -> Vec<(Option<&Species>, Fixed)> {
        match &self.form {
            LumberForm::InAll(all) => vec![(None, *all)],
            LumberForm::BySpecies(lines) => {
                lines.iter().map(|line| (Some(&line.species), line.board_feet)).collect()
            }
        }
    }

    /// Lumber from its lines, as they lie in the books.
    ///
    /// # Errors
    ///
    /// [`LumberError`].
    pub fn of_lines(lines: Vec<(Option<Species>, Fixed)>) -> Result<Self, LumberError> {
        let form = match lines.as_slice() {
            [(None, all)] => LumberForm::InAll(*all),
            _ => LumberForm::BySpecies(
                lines
                    .into_iter()
                    .map(|(species, board_feet)| {
                        species.map(|species| SpeciesLumber { species, board_feet }).ok_or(LumberError::Lines)
                    })
                    .collect::<Result<_, _>>()?,
            ),
        };
        form.try_into()
    }
}

impl TryFrom<LumberForm> for Lumber {
    type Error = LumberError;

    fn try_from(form: LumberForm) -> Result<Self, LumberError> {
        let amounts: Vec<Fixed> = match &form {
            LumberForm::InAll(all) => vec![*all],
            LumberForm::BySpecies(lines) => {
                if lines.is_empty() || lines.len() > MOST_SPECIES {
                    return Err(LumberError::Lines);
                }
                for (place, line) in lines.iter().enumerate() {
                    if lines.iter().take(place).any(|before| before.species == line.species) {
                        return Err(LumberError::Twice(line.species.clone()));
                    }
                }
                lines.iter().map(|line| line.board_feet).collect()
            }
        };
        let mut total = Fixed::ZERO;
        for amount in amounts {
            if amount.is_negative() || amount.is_zero() {
                return Err(LumberError::NotPositive);
            }
            total = total.plus(amount)?;
        }
        Ok(Self { form, total })
    }
}

impl From<Lumber> for LumberForm {
    fn from(lumber: Lumber) -> Self {
        lumber.form
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Lumber {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        LumberForm::schema()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Lumber {
    fn schemas(schemas: &mut Vec<(String, utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>)>) {
        LumberForm::schemas(schemas);
    }
}

/// Files what a mill sawed out of the logs that were delivered to it on some days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MillTallyCreate {
    /// The mill.
    pub mill_id: MillId,
    /// The job whose logs they were; left out where logs of all jobs were sawn together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// The first day whose logs are in it, by the day they were scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub from: Date,
    /// The last.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub to: Date,
    /// What was tallied, in board feet.
    pub lumber: Lumber,
    /// In which state it was tallied.
    pub lumber_state: LumberState,
    /// Who says so.
    pub tallied_by: Name,
    /// What else there is to say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<Remark>,
}

/// Takes back a record that should not have been made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WithdrawalCreate {
    /// Why.
    pub reason: Remark,
}

/// What a record shows of its having been taken back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WithdrawnView {
    /// Why.
    pub reason: String,
    /// Who took it back.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

/// A mill tally.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MillTallyView {
    /// Its id.
    pub mill_tally_id: MillTallyId,
    /// The mill.
    pub mill_id: MillId,
    /// Its name.
    pub mill_name: String,
    /// The job whose logs they were; absent where logs of all jobs were sawn together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Its name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub job_name: Option<String>,
    /// The first day whose logs are in it.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// The last.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub to: Date,
    /// What was tallied.
    pub lumber: Lumber,
    /// All of it, in board feet.
    pub board_feet: Fixed,
    /// In which state it was tallied.
    pub lumber_state: LumberState,
    /// Who says so.
    pub tallied_by: String,
    /// What else there is to say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
    /// Who filed it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
    /// That it was taken back, and counts no more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<WithdrawnView>,
}

columns!(MillTallyView: one for line in one.lumber.lines().into_iter(), {
    "mill_tally_id" => one.mill_tally_id,
    "mill_id" => one.mill_id,
    "mill_name" => one.mill_name,
    "job_id" => one.job_id,
    "job_name" => one.job_name,
    "from" => one.from,
    "to" => one.to,
    "species" => line.as_ref().and_then(|(species, _)| *species).map(|species| species.as_str()),
    "board_feet" => line.as_ref().map(|(_, board_feet)| *board_feet),
    "lumber_state" => one.lumber_state.name(),
    "tallied_by" => one.tallied_by,
    "remarks" => one.remarks,
    "made_by" => one.made_by,
    "made_at" => one.made_at,
    "withdrawn_because" => one.withdrawn.as_ref().map(|withdrawn| withdrawn.reason.as_str()),
});
