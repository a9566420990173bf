//! The wood at each stage of the work, on the scale of one stated contract.

use jiff::civil::Date;
use kernel::{ContractId, Exact, Fixed, Product, VolumeUnit};
use serde::{Deserialize, Serialize};
use settlement::Task;

use crate::MadeOf;

/// How far wood has come.
///
/// ```
/// use wire::Stage;
/// assert_eq!(serde_json::to_string(&Stage::Skidded)?, "\"skidded\"");
/// assert_eq!(Stage::ALL.map(Stage::name).last(), Some(&"delivered"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Stage {
    /// Somebody brought the tree down.
    Felled,
    /// Somebody squared it.
    Hewn,
    /// Somebody dragged it to the landing.
    Skidded,
    /// Somebody took it to the railhead or the mill.
    Hauled,
    /// A mill got it.
    Delivered,
}

impl Stage {
    /// Every stage, in the order of the work.
    pub const ALL: [Self; 5] = [Self::Felled, Self::Hewn, Self::Skidded, Self::Hauled, Self::Delivered];

    /// The name used in JSON.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Felled => "felled",
            Self::Hewn => "hewn",
            Self::Skidded => "skidded",
            Self::Hauled => "hauled",
            Self::Delivered => "delivered",
        }
    }

    /// The task that brings wood to it.
    ///
    /// ```
    /// assert_eq!(wire::Stage::Hauled.task(), settlement::Task::Hauling);
    /// ```
    #[must_use]
    pub const fn task(self) -> Task {
        match self {
            Self::Felled => Task::Felling,
            Self::Hewn => Task::Hewing,
            Self::Skidded => Task::Skidding,
            Self::Hauled => Task::Hauling,
            Self::Delivered => Task::Delivery,
        }
    }

    /// The stage that a task brings wood to; none for bucking, peeling, scoring and loading.
    ///
    /// ```
    /// use settlement::Task;
    /// use wire::Stage;
    /// assert_eq!(Stage::after(Task::Delivery), Some(Stage::Delivered));
    /// assert_eq!(Stage::after(Task::Loading), None);
    /// ```
    #[must_use]
    pub fn after(task: Task) -> Option<Self> {
        Self::ALL.into_iter().find(|stage| stage.task() == task)
    }
}

/// On whose scale a volume is told.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScaledBy {
    /// The contract whose practice scaled the pieces.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// The unit of its volumes.
    pub unit: VolumeUnit,
    /// The log rules of the terms that scaled them, for logs; more than one where the terms changed within the span, none
    /// for other timber, which goes by the contract's own practice.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<String>,
    /// Whether it is the contract of whoever did the work, or of the mill that got the wood. Where it is not, their own
    /// contract measures no volume (a teamster is paid by the turn), and another contract's scale stands in.
    pub own: bool,
}

/// The pieces of one kind at one stage, on one scale. Rows of different scales are never to be added up: the rules
/// differ.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct StageRow {
    /// How far the pieces came. A piece that went on stands at every stage that it passed.
    pub stage: Stage,
    /// What they are.
    pub product: Product,
    /// Their species, in small letters.
    pub species: String,
    /// On whose scale; absent where no contract measures a volume of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaled_by: Option<ScaledBy>,
    /// How many, each once.
    pub pieces: i64,
    /// How many of them are culls on that scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub culls: Option<i64>,
    /// Gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Fixed>,
    /// Net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<Fixed>,
    /// The share of the gross scale that defect took, exactly; absent where there is no gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub defect_share: Option<Exact>,
    /// The tickets that it is the sum of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub made_of: Vec<MadeOf>,
}

/// The stages in one settlement week.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct StageWeek {
    /// The week's last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// The rows, in the order of the work.
    pub stages: Vec<StageRow>,
}
