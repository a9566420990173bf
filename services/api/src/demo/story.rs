//! The story in its order: set up, post, settle, correct, settle again, audit.

use client::Client;
use jiff::civil::{Date, date};
use kernel::OutfitId;
use wire::{AccessTokenCreate, Name, Role};

use super::{auditing, checking, office, paying, scenario, sealing, setting_up, signing_in, yard};
use crate::http::caller::{Caller, Member};
use crate::service::Service;

const FIRST_WEEK: Date = date(2025, 5, 10);
const SECOND_WEEK: Date = date(2025, 5, 17);

/// The people of the story with their tokens.
pub(super) type People = Vec<(&'static str, String)>;

/// What whoever tries the demonstration is told at its end.
#[derive(Debug)]
pub(super) struct Told {
    pub(super) outfit: OutfitId,
    pub(super) people: People,
    pub(super) accounts: Vec<signing_in::Account>,
}

fn heading(text: &str) {
    println!("── {text} ──\n");
}

/// The manager's access, which nobody else could grant.
fn managers_token(service: &Service, outfit: OutfitId) -> anyhow::Result<String> {
    let subject = "manager".to_owned();
    let member = Member { outfit, role: Role::Manager, subject, mill: None, grant: None };
    let lifetime = jiff::SignedDuration::from_hours(8);
    let granted = service.tokens.grant(&Caller::Member(member), lifetime);
    Ok(granted.map_err(|error| anyhow::anyhow!("{error}"))?.0)
}

/// Tells it; answers with the tokens of its people, and who can sign in.
pub(super) async fn tell(base: &str, operator: Client, service: &Service) -> anyhow::Result<Told> {
    let scenario = scenario::outfit()?;
    println!("{}\n", scenario.note);

    heading("The manager sets up");
    let outfit = operator.open_outfit(&scenario.outfit).await?;
    let token = managers_token(service, outfit.outfit_id)?;
    let manager = Client::new(base, Some(token.clone()))?;
    let directory = setting_up::set_up(&manager, &scenario).await?;
    let accounts =
        signing_in::register(&manager, outfit.outfit_id, directory.mill, service.entropy.as_ref()).await?;
    let mut people: People = vec![("manager", token)];
    for role in [Role::Scaler, Role::Bookkeeper, Role::Contractor] {
        let subject = Name::try_from(role.name().to_owned())?;
        let asked = AccessTokenCreate { subject, role, mill_id: None, minutes: None };
        people.push((role.name(), manager.grant_access(&asked).await?.access_token));
    }
    let person = |role: Role| -> anyhow::Result<Client> {
        let token = people.iter().find(|(name, _)| *name == role.name()).map(|(_, token)| token.clone());
        Ok(Client::new(base, token)?)
    };
    let (scaler, bookkeeper, contractor) =
        (person(Role::Scaler)?, person(Role::Bookkeeper)?, person(Role::Contractor)?);

    heading("The scaler posts the first week from the yard");
    let mut posted = yard::Posted::new();
    yard::post(&scaler, &directory, &scenario::first_week()?, &mut posted).await?;

    heading("The bookkeeper settles the first week");
    office::mend(&bookkeeper, &scenario, &directory, FIRST_WEEK).await?;
    let first = office::settle(&bookkeeper, FIRST_WEEK).await?;
    let kept = sealing::keep(&contractor).await?;

    heading("The second week: a correction, and a ticket that comes late");
    yard::correct(&scaler, &directory, &scenario::correction()?, &mut posted).await?;
    yard::post(&scaler, &directory, &scenario::second_week()?, &mut posted).await?;

    heading("The bookkeeper settles the second week");
    paying::file(&bookkeeper).await?;
    let second = office::settle(&bookkeeper, SECOND_WEEK).await?;

    heading("Everybody's statement of the second week");
    office::statements(&bookkeeper, second).await?;

    heading("The contractor audits volume against pay");
    auditing::volume_against_pay(&contractor, FIRST_WEEK, SECOND_WEEK).await?;
    let first_day = FIRST_WEEK.saturating_sub(jiff::Span::new().days(6));
    auditing::exceptions(&contractor, first_day, SECOND_WEEK).await?;
    auditing::what_the_mill_sawed((&bookkeeper, &contractor), directory.mill, (first_day, SECOND_WEEK))
        .await?;

    heading("Somebody else scales three sticks again");
    checking::check(&scaler, &contractor).await?;

    heading("One pay line, followed down to the sticks");
    auditing::follow(&contractor, second).await?;

    heading("The first week, computed again; and one stick, followed up to the pay");
    auditing::compute_again(&contractor, first).await?;
    auditing::follow_up(&contractor, second).await?;
    heading("The contractor holds the books against the seal he kept");
    sealing::compare(&contractor, kept).await?;
    Ok(Told { outfit: outfit.outfit_id, people, accounts })
}
