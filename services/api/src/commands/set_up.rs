//! `skidway set-up`: opens the books of an outfit and makes its manager's account.

use std::sync::Arc;

use anyhow::anyhow;
use kernel::{Currency, SystemClock, SystemEntropy};
use wire::{AccountName, EnrolmentView, Name, OutfitCreate, WeekdayName};

use crate::access::first_run::{SetUp, set_up};
use crate::config::Config;
use crate::events::http_sender::HttpSender;
use crate::running::{Database, Parts, token_seed};

/// How it is called.
pub(super) const USAGE: &str =
    "skidway set-up --outfit NAME --currency USD --time-zone America/Detroit --manager NAME";

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// What the outfit is called
    #[arg(long, value_parser = name)]
    outfit: Name,
    /// The currency it pays in, by its code in ISO 4217
    #[arg(long)]
    currency: Currency,
    /// Where its days begin and end, by its name in the IANA time zone database, such as America/Detroit
    #[arg(long)]
    time_zone: String,
    /// The weekday its settlement weeks end on
    #[arg(long, default_value = "saturday", value_parser = weekday)]
    week_ends_on: WeekdayName,
    /// What the manager will sign in with
    #[arg(long, value_parser = account_name)]
    manager: AccountName,
}

fn name(text: &str) -> Result<Name, wire::TextError> {
    text.to_owned().try_into()
}

fn account_name(text: &str) -> Result<AccountName, wire::AccountNameError> {
    text.to_owned().try_into()
}

fn weekday(text: &str) -> Result<WeekdayName, String> {
    serde_json::from_value(text.to_lowercase().into())
        .map_err(|_| "this is no day of the week: write monday to sunday".to_owned())
}

pub(super) fn run(config: &Config, arguments: &Arguments) -> anyhow::Result<()> {
    let database = Database::open(config, &|line| eprintln!("{line}"))?;
    storage::migrate(database.url())?;
    let token_seed = token_seed(config, &SystemEntropy)?;
    let parts = Parts {
        url: database.url().to_owned(),
        connections: 1,
        token_seed,
        secrets_seed: config.secrets_key.unwrap_or(token_seed),
        sender: Arc::new(HttpSender::new(config.event_targets.clone())?),
        limits: config.limits.clone(),
        retired_token_seeds: Vec::new(),
        external: None,
        clock: Arc::new(SystemClock),
        entropy: Arc::new(SystemEntropy),
    };
    let outfit = OutfitCreate {
        name: arguments.outfit.clone(),
        currency: arguments.currency,
        time_zone: arguments.time_zone.clone(),
        week_ends_on: arguments.week_ends_on,
        cut_off_hours: settlement::CutOff::default(),
    };
    let done = actix_web::rt::System::new().block_on(async {
        let service = parts.service()?;
        set_up(&service, database.url(), outfit, arguments.manager.clone()).await
    })?;
    match done {
        SetUp::Opened(enrolment) => tell(config, arguments, &enrolment),
        SetUp::ThereAlready(outfit) => {
            println!("The outfit \"{}\" is there already: {outfit}. Nothing was changed.", arguments.outfit);
            println!("Whoever lost the manager's code gets in with: skidway token manager --outfit {outfit}");
        }
    }
    database.close().map_err(|error| anyhow!("the database does not stop: {error}"))
}

fn tell(config: &Config, arguments: &Arguments, enrolment: &EnrolmentView) {
    let (outfit, account) = (enrolment.outfit_id, enrolment.account_id);
    println!("The books of \"{}\" are open.\n", arguments.outfit);
    println!("  outfit          {outfit}");
    println!("  manager         {} (account {account})", arguments.manager);
    println!("  enrolment code  {}", enrolment.enrolment_code.reveal());
    println!("                  good once, until {}\n", enrolment.expires_at);
    println!("What to do next:");
    println!("  1. skidway serve");
    println!("  2. The manager sets a password of 12 characters or more, and signs in:");
    println!("     skid enrol --outfit {outfit} --account {account}");
    println!("     skid sign-in --outfit {outfit} --name {}", arguments.manager);
    println!("     or at the desk, in a browser on this machine:");
    println!("     http://{}{}", config.listen, desk::mount::enrol(outfit, account));
    println!("     or, with any program: POST http://{}/v1/accounts/{account}/password", config.listen);
    println!("  3. The manager registers everybody else: POST /v1/accounts");
}
