//! The books of an invented outfit: four felling crews, four teams, one mill, and a contract with each.

use anyhow::Result;
use client::Client;
use jiff::civil::{Date, date};
use kernel::{CrewId, JobId, LandingId, MillId, OutfitId};
use serde_json::{Value, json};
use wire::{AccountName, NewPassword, PasswordCreate, SignInCreate};

use crate::frame::service::Service;

/// How many crews fell, and how many teams skid and haul.
pub const CREWS: usize = 4;
/// The last day of the first week that is worked.
pub const FIRST_WEEK: Date = date(2025, 1, 11);
/// What everybody signs in with; the books are gone afterwards.
const PASSWORD: &str = "eleven skidways by the river";

/// The books, and who works on them.
pub struct Books {
    /// Whose they are.
    pub outfit: OutfitId,
    /// Runs the outfit.
    pub manager: Client,
    /// The job.
    pub job: JobId,
    /// Where the logs lie.
    pub landing: LandingId,
    /// Who buys them.
    pub mill: MillId,
    /// Who fells.
    pub felling: Vec<CrewId>,
    /// Who skids and hauls.
    pub teams: Vec<CrewId>,
}

impl Books {
    /// Opens them.
    pub async fn open(service: &Service) -> Result<Self> {
        let operator = service.client(Some(service.token("operator", &[])?))?;
        let outfit = operator
            .open_outfit(&serde_json::from_value(json!({
                "name": "Bench Creek Timber (invented)", "currency": "USD", "time_zone": "UTC", "week_ends_on": "saturday"
            }))?)
            .await?
            .outfit_id;
        let manager = service.client(Some(service.token("manager", &["--outfit", &outfit.to_string()])?))?;
        let job = manager.file_job(&named("Long tract")?).await?.job_id;
        let landing = manager.file_landing(job, &named("Landing")?).await?.landing_id;
        let mill = manager.file_mill(&named("Mill at the bend")?).await?.mill_id;
        let mut books = Self { outfit, manager, job, landing, mill, felling: Vec::new(), teams: Vec::new() };
        for number in 1..=CREWS {
            let crew = books.crew(&format!("Felling crew {number}")).await?;
            books.contract(&format!("Felling {number}"), json!({"crew_id": crew}), &felling()).await?;
            books.felling.push(crew);
            let team = books.crew(&format!("Team {number}")).await?;
            books
                .contract(&format!("Skidding and hauling {number}"), json!({"crew_id": team}), &moving())
                .await?;
            books.teams.push(team);
        }
        books.contract("Delivered", json!({"mill_id": mill}), &delivered()).await?;
        Ok(books)
    }

    /// A crew of two, one of whom has three parts to the other's two.
    async fn crew(&self, name: &str) -> Result<CrewId> {
        let manager = &self.manager;
        let first = manager.file_worker(&named(&format!("{name}, first"))?).await?.worker_id;
        let second = manager.file_worker(&named(&format!("{name}, second"))?).await?.worker_id;
        let crew = manager.file_crew(&named(name)?).await?.crew_id;
        let shares = json!({"effective_from": "2024-01-01", "method": "parts", "shares": [
            {"worker_id": first, "parts": "3"}, {"worker_id": second, "parts": "2"}]});
        manager.file_share_set(crew, &serde_json::from_value(shares)?).await?;
        Ok(crew)
    }

    async fn contract(&self, title: &str, party: Value, terms: &Value) -> Result<()> {
        let contract = json!({"title": title, "job_id": self.job, "party": party, "terms": terms});
        self.manager.file_contract(&serde_json::from_value(contract)?).await?;
        Ok(())
    }

    /// Registers somebody with a role and signs in: an access token whose grant is asked about on every request.
    pub async fn sign_in(&self, name: &str, role: &str) -> Result<String> {
        let account = json!({"name": name, "role": role});
        let registered = self.manager.register_account(&serde_json::from_value(account)?).await?;
        let set = PasswordCreate {
            outfit_id: self.outfit,
            enrolment_code: registered.enrolment.enrolment_code,
            password: NewPassword::try_from(PASSWORD.to_owned())?,
        };
        let _set = self.manager.set_password(registered.account.account_id, &set).await?;
        self.sign_in_again(name).await
    }

    /// A new access token for somebody who was registered.
    pub async fn sign_in_again(&self, name: &str) -> Result<String> {
        let sign_in = SignInCreate {
            outfit_id: self.outfit,
            name: AccountName::try_from(name.to_owned())?,
            password: wire::Secret::try_from(PASSWORD.to_owned())?,
        };
        Ok(self.manager.sign_in(&sign_in).await?.access_token.reveal().to_owned())
    }

    /// Drafts the week that ends on a day and posts it.
    pub async fn settle(&self, week: Date) -> Result<kernel::SettlementId> {
        let week = serde_json::from_value(json!({"week_ends_on": week}))?;
        let draft = self.manager.draft_settlement(&week).await?;
        self.manager.post_settlement(draft.settlement_id).await?;
        Ok(draft.settlement_id)
    }
}

fn named<T: serde::de::DeserializeOwned>(name: &str) -> serde_json::Result<T> {
    serde_json::from_value(json!({ "name": name }))
}

fn felling() -> Value {
    json!({
        "effective_from": "2024-01-01",
        "practice": {"log": {"rule": "scribner-decimal-c", "least_trim_in": "3"}},
        "rates": [
            {"name": "under 12 inches", "task": "felling", "product": "log", "unit": "thousand_board_feet",
             "basis": "gross", "price": "14.50", "covers": {"diameter_in": {"below": "12"}}},
            {"name": "12 inches and up", "task": "felling", "product": "log", "unit": "thousand_board_feet",
             "basis": "gross", "price": "11.25", "covers": {"diameter_in": {"from": "12"}}}
        ]
    })
}

fn moving() -> Value {
    json!({
        "effective_from": "2024-01-01",
        "practice": {"log": {"rule": "scribner-decimal-c", "least_trim_in": "3"}},
        "rates": [
            {"name": "skidding", "task": "skidding", "product": "log", "unit": "thousand_board_feet",
             "basis": "gross", "price": "6.40"},
            {"name": "hauling, near", "task": "hauling", "unit": "turn", "price": "6.00",
             "covers": {"haul_distance_mi": {"below": "3"}}},
            {"name": "hauling, far", "task": "hauling", "unit": "turn", "price": "8.50",
             "covers": {"haul_distance_mi": {"from": "3"}}}
        ]
    })
}

fn delivered() -> Value {
    json!({
        "effective_from": "2024-01-01",
        "practice": {"log": {"rule": "doyle", "least_trim_in": "3"}},
        "rates": [
            {"name": "logs at the mill", "task": "delivery", "product": "log", "unit": "thousand_board_feet",
             "basis": "net", "price": "92.00"}
        ]
    })
}
