//! The outfit whose books are worked on. Everything in it is invented.

use client::Client;
use jiff::civil::{Date, date};
use jiff::{Span, ToSpan};
use kernel::OutfitId;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use crate::ground::instance::Instance;

/// The last day of the first week.
const FIRST_WEEK: Date = date(2025, 1, 11);
/// Weeks there are before today's.
pub const WEEKS: u32 = 90;

/// An outfit with two crews: two sawyers who share, paid by the stick, and a teamster, paid by the thousand.
#[derive(Clone, Debug)]
pub struct Outfit {
    /// Its id.
    pub id: OutfitId,
    /// A manager's access token, good for a day.
    pub token: String,
    job: String,
    landing: String,
    sawyers: String,
    teamster: String,
    /// The teamster, who is owed by himself.
    pub teamster_name: &'static str,
}

/// A document as one of the client's types.
pub fn form<T: DeserializeOwned>(value: Value) -> anyhow::Result<T> {
    Ok(serde_json::from_value(value)?)
}

/// The last day of a week, counted from 0.
pub fn week_end(week: u32) -> anyhow::Result<Date> {
    Ok(FIRST_WEEK.checked_add(Span::new().weeks(i64::from(week)))?)
}

/// A day of a week, both counted from 0; there are seven.
pub fn day(week: u32, day: u64) -> anyhow::Result<Date> {
    let back = 6_i64.saturating_sub(i64::try_from(day)?);
    Ok(week_end(week)?.checked_sub(back.days())?)
}

impl Outfit {
    /// Opens its books through a service.
    pub async fn open(instance: &Instance) -> anyhow::Result<Self> {
        let operator = Client::new(&instance.address(), Some(instance.token(&["operator"])?))?;
        let outfit = json!({"name": "Invented outfit", "currency": "USD", "time_zone": "UTC", "week_ends_on": "saturday"});
        let id = operator.open_outfit(&form(outfit)?).await?.outfit_id;
        let outfit = id.to_string();
        let token =
            instance.token(&["manager", "--minutes", "1440", "--outfit", &outfit, "--subject", "manager"])?;
        let manager = Client::new(&instance.address(), Some(token.clone()))?;
        let named = |name: &str| json!({"name": name});
        let job = manager.file_job(&form(named("Invented tract"))?).await?.job_id;
        let landing = manager.file_landing(job, &form(named("North landing"))?).await?.landing_id;
        let mut crews = Vec::new();
        for (crew, workers) in [("Sawyers", ["Asa", "Eli"].as_slice()), ("Team", &["Nils"])] {
            let crew = manager.file_crew(&form(named(crew))?).await?.crew_id;
            let mut shares = Vec::new();
            for worker in workers {
                let worker = manager.file_worker(&form(named(worker))?).await?.worker_id;
                shares.push(json!({"worker_id": worker, "parts": "1"}));
            }
            let shares = json!({"effective_from": "2025-01-01", "shares": shares});
            manager.file_share_set(crew, &form(shares)?).await?;
            crews.push(crew.to_string());
        }
        let [sawyers, teamster] = crews.try_into().map_err(|_| anyhow::anyhow!("there are two crews"))?;
        let by_the_stick = json!([
            {"name": "poles", "task": "felling", "product": "pole", "unit": "piece", "price": "1.00"},
            {"name": "logs", "task": "felling", "product": "log", "unit": "piece", "price": "0.75"}
        ]);
        let by_the_thousand = json!([
            {"name": "logs", "task": "skidding", "product": "log", "unit": "thousand_board_feet", "basis": "gross",
             "price": "10.00"}
        ]);
        for (title, crew, rates) in
            [("Felling", &sawyers, by_the_stick), ("Skidding", &teamster, by_the_thousand)]
        {
            let practice = json!({"log": {"rule": "scribner-decimal-c"}});
            let terms = json!({"effective_from": "2025-01-01", "practice": practice, "rates": rates});
            let contract = json!({"title": title, "job_id": job, "party": {"crew_id": crew}, "terms": terms});
            manager.file_contract(&form(contract)?).await?;
        }
        let (job, landing) = (job.to_string(), landing.to_string());
        Ok(Self { id, token, job, landing, sawyers, teamster, teamster_name: "Nils" })
    }

    /// A ticket of these pieces, all of them felled; `logs` are the places of its logs, which are skidded.
    pub fn ticket(
        &self,
        book: &str,
        number: u32,
        scaled_on: Date,
        pieces: Vec<Value>,
        logs: &[u16],
    ) -> anyhow::Result<Value> {
        let all: Vec<u16> = (1..=u16::try_from(pieces.len())?).collect();
        let felled = json!({"task": "felling", "crew_id": self.sawyers, "pieces": all});
        let skidded = json!({"task": "skidding", "crew_id": self.teamster, "pieces": logs});
        let work = match (pieces.as_slice(), logs) {
            ([], _) => Vec::new(),
            (_, []) => vec![felled],
            _ => vec![felled, skidded],
        };
        Ok(json!({"book": book, "number": number, "job_id": self.job, "landing_id": self.landing,
                  "scaled_on": scaled_on, "scaler": "Yard scaler", "work": work, "pieces": pieces}))
    }
}
