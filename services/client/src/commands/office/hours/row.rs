//! One entry of hours as it is written down: with names, as texts.

use anyhow::{Context, bail};
use serde::Deserialize;
use settlement::DayHours;
use wire::{Remark, TimeCorrectionCreate, TimeEntryCreate, TimeFor};

use crate::commands::naming::{Names, parsed};

/// One entry, as it stands on a row of a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Row {
    /// Whose hours: a name or an id.
    pub(super) worker: String,
    /// The day.
    pub(super) worked_on: String,
    /// How many; empty where an entry is only taken out.
    #[serde(default)]
    pub(super) hours: String,
    /// `piece_work`, `rest` or `paid`.
    pub(super) what_for: String,
    /// For paid hours: the job, the crew and the task.
    #[serde(default)]
    pub(super) job: String,
    #[serde(default)]
    pub(super) crew: String,
    #[serde(default)]
    pub(super) task: String,
    /// The entry that it takes the place of, and what was wrong with that.
    #[serde(default)]
    pub(super) corrects: String,
    #[serde(default)]
    pub(super) reason: String,
}

impl Row {
    /// All of it in one text for the key that it is filed under.
    pub(super) fn parts(&self) -> [&str; 9] {
        let Self { worker, worked_on, hours, what_for, job, crew, task, corrects, reason } = self;
        [worker, worked_on, hours, what_for, job, crew, task, corrects, reason].map(|part| part.trim())
    }

    /// What is sent.
    pub(super) fn entry(&self, names: &Names) -> anyhow::Result<TimeEntryCreate> {
        let [_, worked_on, hours, _, _, _, _, corrects, reason] = self.parts();
        let corrects = match (corrects, reason) {
            ("", "") => None,
            ("", _) => bail!("reason: there is one, and no entry that it corrects"),
            (_, "") => bail!("reason: say what was wrong with the entry that it corrects"),
            (id, reason) => Some(TimeCorrectionCreate {
                time_entry_id: id.parse().context("corrects: it is no id")?,
                reason: parsed::<Remark>(reason).map_err(|error| anyhow::anyhow!("reason: {error}"))?,
            }),
        };
        let hours = match hours {
            "" => None,
            hours => Some(parsed::<DayHours>(hours).map_err(|error| anyhow::anyhow!("hours: {error}"))?),
        };
        Ok(TimeEntryCreate {
            worker_id: names.worker(self.worker.trim()).context("worker")?,
            worked_on: wire::day(worked_on).map_err(|error| anyhow::anyhow!("worked_on: {error}"))?,
            hours,
            what_for: self.what_for(names)?,
            corrects,
        })
    }

    fn what_for(&self, names: &Names) -> anyhow::Result<TimeFor> {
        let [_, _, _, what_for, job, crew, task, ..] = self.parts();
        match what_for {
            "piece_work" | "piece-work" | "rest" if ![job, crew, task].concat().is_empty() => {
                bail!("job, crew and task: they are for hours that are paid by time")
            }
            "piece_work" | "piece-work" => Ok(TimeFor::PieceWork {}),
            "rest" => Ok(TimeFor::Rest {}),
            "paid" => Ok(TimeFor::Paid {
                job_id: names.job(job).context("job")?,
                crew_id: names.crew(crew).context("crew")?,
                task: parsed(task).map_err(|error| anyhow::anyhow!("task: {error}"))?,
            }),
            other => bail!("what_for: \"{other}\" is none of piece_work, rest and paid"),
        }
    }
}
