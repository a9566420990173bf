//! What a sheet calls by name: jobs, landings, crews and mills.

use std::collections::HashMap;

use kernel::{Id, JobId};
use serde_json::{Value, json};
use storage::{Books, Named, Page};
use wire::{Code, TicketCreate};

use super::rows::SheetTicket;
use crate::books::batch::SentTicket;
use crate::http::body::parse;
use crate::http::refusal::Refusal;

/// The ids of an outfit's jobs, landings, crews and mills by their names.
#[derive(Debug, Default)]
pub struct Places {
    jobs: HashMap<String, uuid::Uuid>,
    landings: HashMap<(uuid::Uuid, String), uuid::Uuid>,
    crews: HashMap<String, uuid::Uuid>,
    mills: HashMap<String, uuid::Uuid>,
}

fn whole<I>() -> Page<I> {
    Page { after: None, limit: u16::MAX }
}

fn by_name<I: Id>(named: Vec<Named<I>>) -> HashMap<String, uuid::Uuid> {
    named.into_iter().map(|one| (one.name, one.id.uuid())).collect()
}

impl Places {
    /// Reads them.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn read(books: &mut Books) -> Result<Self, Refusal> {
        let jobs = by_name(books.jobs(whole()).await?);
        let mut landings = HashMap::new();
        for job in jobs.values() {
            let of_job = books.landings(JobId::from_uuid(*job)).await?;
            landings.extend(of_job.into_iter().map(|one| ((*job, one.name), one.id.uuid())));
        }
        let crews = by_name(books.crews(whole()).await?);
        Ok(Self { jobs, landings, crews, mills: by_name(books.mills(whole()).await?) })
    }

    /// The ticket as it would be sent in JSON, or what is wrong with it, cell by cell.
    #[must_use]
    pub fn send(&self, ticket: &SheetTicket) -> SentTicket {
        let line = ticket.cells.first_row();
        if let Some(problem) = ticket.refused(Code::TicketInconsistent) {
            return SentTicket { line, read: Err(problem) };
        }
        let read = self.with_ids(ticket).and_then(|content| {
            let text = serde_json::to_vec(&content).map_err(Refusal::internal)?;
            parse::<TicketCreate>(&text)
        });
        let read = read.map(Box::new).map_err(|refusal| Box::new(ticket.cells.name(&refusal.problem)));
        SentTicket { line, read }
    }

    fn with_ids(&self, ticket: &SheetTicket) -> Result<Value, Refusal> {
        let mut content = ticket.content.clone();
        let job = find(&self.jobs, "job", ticket.says("job"), "/job")?;
        let landing = ticket.says("landing");
        let by_name = self.landings.get(&(job, landing.to_owned())).copied();
        let landing = by_name
            .or_else(|| landing.parse().ok())
            .ok_or_else(|| missing("landing", landing, "/landing"))?;
        let mut work = Vec::new();
        for ((task, crew), pieces) in &ticket.work {
            let id = find(&self.crews, "crew", crew, &format!("/crew/{}/{crew}", task.name()))?;
            work.push(json!({"task": task, "crew_id": id, "pieces": pieces}));
        }
        if let Value::Object(members) = &mut content {
            members.remove("job");
            members.remove("landing");
            members.insert("job_id".to_owned(), json!(job));
            members.insert("landing_id".to_owned(), json!(landing));
            members.insert("work".to_owned(), Value::Array(work));
            let number = ticket.says("number");
            if let Ok(number) = number.parse::<u32>() {
                members.insert("number".to_owned(), json!(number));
            }
            let mill = ticket.says("delivered_to");
            if !mill.is_empty() {
                let mill = find(&self.mills, "mill", mill, "/delivered_to")?;
                members.insert("delivered_to".to_owned(), json!(mill));
            }
        }
        Ok(content)
    }
}

fn missing(kind: &str, name: &str, pointer: &str) -> Refusal {
    let name: String = name.chars().take(80).collect();
    let detail = if name.is_empty() {
        format!("the {kind} is missing")
    } else {
        format!("there is no {kind} \"{name}\" in your outfit's books")
    };
    let problem = wire::FieldProblem { pointer: format!("#{pointer}"), detail: detail.clone() };
    Refusal::new(Code::NamesMissingRecord, detail).at(vec![problem])
}

/// By its name, or by its id; whether such an id is there is found out when the ticket is taken in.
fn find(
    named: &HashMap<String, uuid::Uuid>,
    kind: &str,
    says: &str,
    pointer: &str,
) -> Result<uuid::Uuid, Refusal> {
    named.get(says).copied().or_else(|| says.parse().ok()).ok_or_else(|| missing(kind, says, pointer))
}
