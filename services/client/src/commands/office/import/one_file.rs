//! One file, portion by portion.

use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use anyhow::Context;
use client::Client;

use super::ImportOptions;
use super::portion::{Portion, Portions};
use super::progress::{KeptProgress, Progress};
use super::refused::RefusedFiles;
use super::source::{self, Survey};
use super::telling::Telling;
use crate::commands::ending::Ending;
use crate::commands::service::ServiceOptions;

/// How long a client is used: an import may last longer than an access token.
const ONE_CLIENT: Duration = Duration::from_secs(60);

/// A file on its way.
struct Import<'a> {
    file: &'a Path,
    survey: Survey,
    together: usize,
    service: &'a ServiceOptions,
    client: (Client, Instant),
    kept: KeptProgress,
    telling: Telling,
}

/// Imports a file from the beginning, or from where it was stopped.
pub(super) async fn import(
    file: &Path,
    options: &ImportOptions,
    service: &ServiceOptions,
    (stopping, json): (&AtomicBool, bool),
) -> anyhow::Result<Ending> {
    let survey = source::survey(file).with_context(|| format!("{} cannot be read", file.display()))?;
    let client = service.client().await?;
    let kept = KeptProgress::of(client.service(), &survey.fingerprint)?;
    let telling = Telling::begin(file, survey.rows, json);
    let together = usize::from(options.portion);
    let client = (client, Instant::now());
    let mut import = Import { file, survey, together, service, client, kept, telling };
    let begun = if options.anew { None } else { import.kept.read()? };
    let progress = import.begin(begun).await?;
    import.go_on(progress, stopping).await
}

impl Import<'_> {
    async fn client(&mut self) -> anyhow::Result<&Client> {
        if self.client.1.elapsed() >= ONE_CLIENT {
            self.client = (self.service.client().await?, Instant::now());
        }
        Ok(&self.client.0)
    }

    /// Where to begin: where it stopped, if the books hold what was sent last before that.
    async fn begin(&mut self, begun: Option<Progress>) -> anyhow::Result<Progress> {
        if let Some(progress) = begun {
            let mut before = source::open(self.file, self.survey.form, progress.before)?;
            if let Some(portion) = before.next(progress.together)? {
                let taken = portion.send(self.client().await?).await?;
                if taken.replayed > 0 && taken.accepted == 0 {
                    progress.refused_files.cut_back()?;
                    return Ok(progress);
                }
            }
        }
        Ok(Progress::begin(RefusedFiles::beside(self.file)))
    }

    async fn go_on(&mut self, mut progress: Progress, stopping: &AtomicBool) -> anyhow::Result<Ending> {
        let mut portions = source::open(self.file, self.survey.form, progress.done)?;
        self.telling.begun(progress.done.row)?;
        loop {
            if stopping.load(Ordering::Relaxed) {
                self.telling.ended("stopped", &progress)?;
                return Ok(Ending::Stopped);
            }
            let Some(portion) = next(portions.as_mut(), self.together, self.file)? else { break };
            let taken = match portion.send(self.client().await?).await {
                Ok(taken) => taken,
                Err(error) if Ending::from(&error) == Ending::Unreachable => {
                    self.telling.ended("unreachable", &progress)?;
                    return Err(error.into());
                }
                Err(error) => return Err(error.into()),
            };
            progress.accepted += taken.accepted;
            progress.replayed += taken.replayed;
            progress.refused += u64::try_from(taken.refused.len()).unwrap_or(u64::MAX);
            progress.refused_files.add(&portion, &taken.refused)?;
            (progress.before, progress.done) = (progress.done, portion.end);
            progress.together = self.together;
            self.kept.keep(&progress)?;
            self.telling.portion(&progress, &taken)?;
        }
        self.kept.forget()?;
        self.telling.ended("finished", &progress)?;
        Ok(if progress.refused > 0 { Ending::Refused } else { Ending::Done })
    }
}

fn next(portions: &mut dyn Portions, most: usize, file: &Path) -> anyhow::Result<Option<Portion>> {
    portions.next(most).with_context(|| format!("{} cannot be read", file.display()))
}
