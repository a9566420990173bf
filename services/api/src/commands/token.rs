//! `skidway token`: prints an access token, for whoever has the machine in hand.

use std::sync::Arc;

use anyhow::bail;
use clap::ValueEnum;
use jiff::SignedDuration;
use kernel::{Clock, IdSource, OutfitId, SystemClock, SystemEntropy};
use wire::Role;

use crate::config::Config;
use crate::http::caller::{Caller, Member};
use crate::http::token::Tokens;
use crate::running::token_seed;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// What the token is for
    #[arg(value_enum)]
    role: Granted,
    /// The outfit a manager runs
    #[arg(long, required_if_eq("role", "manager"))]
    outfit: Option<OutfitId>,
    /// Who will use it; stands on every record made with it
    #[arg(long, default_value = "operator")]
    subject: String,
    /// How long it is good for, in minutes
    #[arg(long, default_value_t = 480, value_parser = clap::value_parser!(u16).range(1..=1440))]
    minutes: u16,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Granted {
    /// Opens the books of new outfits
    Operator,
    /// Runs one outfit, and grants access to its people
    Manager,
}

pub(super) fn run(config: &Config, arguments: &Arguments) -> anyhow::Result<()> {
    let seed = token_seed(config, &SystemEntropy)?;
    let clock: Arc<dyn Clock> = Arc::new(SystemClock);
    let ids = IdSource::new(clock.clone(), Arc::new(SystemEntropy));
    let tokens = Tokens::new(&seed, clock, ids)?;
    let subject = arguments.subject.clone();
    let caller = match (arguments.role, arguments.outfit) {
        (Granted::Operator, None) => Caller::Operator { subject },
        (Granted::Manager, Some(outfit)) => {
            Caller::Member(Member { outfit, role: Role::Manager, subject, mill: None, grant: None })
        }
        (Granted::Operator, Some(_)) => bail!("an operator belongs to no outfit: leave --outfit out"),
        (Granted::Manager, None) => bail!("name the outfit with --outfit"),
    };
    let lifetime = SignedDuration::from_mins(arguments.minutes.into());
    let (token, expires) = tokens.grant(&caller, lifetime).map_err(|refusal| anyhow::anyhow!("{refusal}"))?;
    eprintln!("Good until {expires}. Whoever holds it can do what it may do.");
    println!("{token}");
    Ok(())
}
