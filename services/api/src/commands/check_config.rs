//! `skidway check-config`: says what the environment means, without doing anything.

use crate::config::secret_files::SECRETS;
use crate::config::{Config, VARIABLES};

pub(super) fn run(config: &Config) -> anyhow::Result<()> {
    println!("The environment is right. It means:");
    println!("  listen on    {}", config.listen);
    match config.database_url {
        Some(_) => println!("  database     the one in DATABASE_URL (not shown, it may hold a password)"),
        None => println!("  database     a private one in {}", config.data_dir.display()),
    }
    match config.token_seed {
        Some(_) => println!("  token key    from SKIDWAY_TOKEN_SEED (not shown)"),
        None => println!("  token key    kept in {}", config.data_dir.display()),
    }
    match config.secrets_key {
        Some(_) => println!("  secrets key  from SKIDWAY_SECRETS_KEY (not shown)"),
        None => println!("  secrets key  grown from the token key"),
    }
    match &config.reader {
        Some(reader) => {
            println!(
                "  books        only read; kept at {}",
                reader.keeper.as_deref().unwrap_or("(not known)")
            )
        }
        None => println!("  books        kept"),
    }
    println!("  workers      {}", config.workers);
    println!("  connections  {}", config.connections);
    println!("  log          {} ({:?})", config.log_filter, config.log_format);
    match config.metrics_listen {
        Some(listen) => println!("  metrics      on {listen}"),
        None => println!("  metrics      not served"),
    }
    let limits = &config.limits;
    println!("  at once      {} requests with {} bytes of bodies", limits.requests, limits.body_bytes);
    println!("  a body       comes within {} seconds", limits.body_wait.as_secs());
    println!(
        "  a minute     {} requests of one caller, {} of one address without a token",
        limits.rate_per_minute, limits.open_rate_per_minute
    );
    println!("  draining     {} seconds", config.drain.as_secs());
    println!("\nThe variables:");
    for (name, meaning) in VARIABLES {
        println!("  {name:<28} {meaning}");
    }
    println!("\nEach of {} may be told by a file:", SECRETS.join(", "));
    println!("the same name with _FILE behind it names one that holds it.");
    Ok(())
}
