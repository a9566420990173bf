//! Names on the command line in the place of ids.

use anyhow::{Context, anyhow, bail};
use client::text::WorkerNames;
use client::{Client, PageQuery, TicketQuery, all_pages};
use kernel::{ContractId, CrewId, JobId, MillId, TicketId, WorkerId};
use serde::de::DeserializeOwned;
use serde_json::Value;

/// Reads an argument as the API reads the text of a member: amounts, kinds, remarks.
pub(crate) fn parsed<T: DeserializeOwned>(text: &str) -> Result<T, String> {
    serde_json::from_value(Value::String(text.to_owned())).map_err(|error| error.to_string())
}

/// A page of a list of names.
fn page(after: Option<String>) -> PageQuery {
    PageQuery { after, limit: Some(500) }
}

/// Whether some whole word of a name, or several in a row, are the text; case does not matter.
fn holds(name: &str, text: &str) -> bool {
    let split = |text: &str| text.to_lowercase().split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let (name, text) = (split(name), split(text));
    !text.is_empty() && name.windows(text.len()).any(|words| words == text.as_slice())
}

/// The one that a text names: by id, by the whole name, or by words of it that only one name has.
fn one<I: Copy + ToString>(what: &str, text: &str, known: &[(I, String)]) -> anyhow::Result<I> {
    let same = |name: &str| name.trim().to_lowercase() == text.trim().to_lowercase();
    if let Some((id, _)) = known.iter().find(|(id, _)| id.to_string() == text.trim()) {
        return Ok(*id);
    }
    for matching in [
        known.iter().filter(|(_, name)| same(name)).collect::<Vec<_>>(),
        known.iter().filter(|(_, name)| holds(name, text)).collect(),
    ] {
        match matching.as_slice() {
            [] => {}
            [(id, _)] => return Ok(*id),
            several => {
                let names: Vec<_> =
                    several.iter().map(|(id, name)| format!("\n    {name}  {}", id.to_string())).collect();
                bail!("\"{text}\" may be any of these; write the whole name, or the id:{}", names.concat());
            }
        }
    }
    bail!("there is no {what} called \"{text}\" in the books");
}

/// The worker of a name or id.
pub(crate) async fn worker(client: &Client, text: &str) -> anyhow::Result<WorkerId> {
    if let Ok(id) = text.trim().parse() {
        // Without signal an id does too.
        return Ok(id);
    }
    let known = all_pages(async |after| client.list_workers(&page(after)).await).await?;
    one("worker", text, &known.into_iter().map(|one| (one.worker_id, one.name)).collect::<Vec<_>>())
}

/// The same where one may be named.
pub(crate) async fn worker_if_any(client: &Client, text: Option<&str>) -> anyhow::Result<Option<WorkerId>> {
    match text {
        None => Ok(None),
        Some(text) => worker(client, text).await.map(Some),
    }
}

/// The mill of a name or id.
pub(crate) async fn mill(client: &Client, text: &str) -> anyhow::Result<MillId> {
    if let Ok(id) = text.trim().parse() {
        // Without signal an id does too.
        return Ok(id);
    }
    let known = all_pages(async |after| client.list_mills(&page(after)).await).await?;
    one("mill", text, &known.into_iter().map(|one| (one.mill_id, one.name)).collect::<Vec<_>>())
}

/// The contract of a title or id.
pub(crate) async fn contract(client: &Client, text: &str) -> anyhow::Result<ContractId> {
    if let Ok(id) = text.trim().parse() {
        // Without signal an id does too.
        return Ok(id);
    }
    let known = all_pages(async |after| client.list_contracts(&page(after)).await).await?;
    one("contract", text, &known.into_iter().map(|one| (one.contract_id, one.title)).collect::<Vec<_>>())
}

/// The ticket of a book and number, or of an id.
pub(crate) async fn ticket(client: &Client, words: &[String]) -> anyhow::Result<TicketId> {
    match words {
        [id] => id.parse().map_err(|_| anyhow!("\"{id}\" is no id: write a book and a number")),
        [book, number] => in_book(client, book, number).await,
        _ => bail!("name one ticket: by its book and number, or by its id"),
    }
}

/// The ticket with this number in this book.
pub(crate) async fn in_book(client: &Client, book: &str, number: &str) -> anyhow::Result<TicketId> {
    let wanted: u32 = number.parse().with_context(|| format!("{number} is no number of a ticket"))?;
    let query = TicketQuery {
        book: Some(book.to_owned()),
        pieces: Some(wire::PiecesShown::None),
        limit: Some(500),
        ..TicketQuery::default()
    };
    let found =
        all_pages(async |after| client.list_tickets(&TicketQuery { after, ..query.clone() }).await).await?;
    let found = found.into_iter().find(|one| one.ticket.number == wanted);
    found.map(|one| one.ticket_id).with_context(|| format!("no ticket {book} {number} is in the books"))
}

/// Names that are looked up once, for many rows.
pub(crate) struct Names {
    workers: Vec<(WorkerId, String)>,
    crews: Vec<(CrewId, String)>,
    jobs: Vec<(JobId, String)>,
}

impl Names {
    /// Those of the outfit.
    pub(crate) async fn of(client: &Client) -> anyhow::Result<Self> {
        let workers = all_pages(async |after| client.list_workers(&page(after)).await).await?;
        let crews = all_pages(async |after| client.list_crews(&page(after)).await).await?;
        let jobs = all_pages(async |after| client.list_jobs(&page(after)).await).await?;
        Ok(Self {
            workers: workers.into_iter().map(|one| (one.worker_id, one.name)).collect(),
            crews: crews.into_iter().map(|one| (one.crew_id, one.name)).collect(),
            jobs: jobs.into_iter().map(|one| (one.job_id, one.name)).collect(),
        })
    }

    /// The worker of a name or id.
    pub(crate) fn worker(&self, text: &str) -> anyhow::Result<WorkerId> {
        one("worker", text, &self.workers)
    }

    /// The crew of a name or id.
    pub(crate) fn crew(&self, text: &str) -> anyhow::Result<CrewId> {
        one("crew", text, &self.crews)
    }

    /// The job of a name or id.
    pub(crate) fn job(&self, text: &str) -> anyhow::Result<JobId> {
        one("job", text, &self.jobs)
    }

    /// The workers by id.
    pub(crate) fn workers_by_id(&self) -> WorkerNames {
        self.workers.iter().cloned().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_told_where_only_one_can_be_meant() {
        let known: Vec<_> = [(1, "Asa Thornby"), (2, "Otto Lind"), (3, "Otto Lind the younger"), (4, "Asa")]
            .map(|(id, name)| (id, name.to_owned()))
            .into();
        let id = |text: &str| one("worker", text, &known);
        assert_eq!(id("asa thornby").unwrap(), 1);
        assert_eq!(id("Thornby").unwrap(), 1);
        assert_eq!(id("Otto Lind").unwrap(), 2, "the whole name is meant before a part of another");
        assert_eq!(id("asa").unwrap(), 4);
        assert_eq!(id("3").unwrap(), 3);
        let told = id("Otto").unwrap_err().to_string();
        assert!(told.contains("Otto Lind  2") && told.contains("Otto Lind the younger  3"), "{told}");
        assert!(id("Thorn").unwrap_err().to_string().contains("no worker called"), "no part of a word");
        assert!(id("").is_err());
    }
}
