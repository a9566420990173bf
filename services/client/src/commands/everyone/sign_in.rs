//! `skid sign-in`, `skid sign-out`, and setting the password before the first of them.

use clap::Args;
use client::Client;
use kernel::{AccountId, OutfitId};
use wire::{AccountName, NewPassword, PasswordCreate, RefreshTokenSent, SignInCreate};

use crate::commands::ending::Ending;
use crate::commands::kept::KeptFile;
use crate::commands::{output, typed};

/// Who signs in.
#[derive(Debug, Args)]
pub(crate) struct SignInOptions {
    /// The outfit.
    #[arg(long, value_name = "ID")]
    outfit: OutfitId,
    /// The account's name.
    #[arg(long, value_parser = name)]
    name: AccountName,
}

/// Whose password is set.
#[derive(Debug, Args)]
pub(crate) struct EnrolOptions {
    /// The outfit, as it stands with the code.
    #[arg(long, value_name = "ID")]
    outfit: OutfitId,
    /// The account, as it stands with the code.
    #[arg(long, value_name = "ID")]
    account: AccountId,
}

fn name(text: &str) -> Result<AccountName, wire::AccountNameError> {
    text.to_owned().try_into()
}

/// Signs in, and keeps that for the next commands.
pub(crate) async fn sign_in(options: &SignInOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let password = typed::secret("password")?;
    let sent = SignInCreate { outfit_id: options.outfit, name: options.name.clone(), password };
    let signed_in = client.sign_in(&sent).await?;
    KeptFile::of_user()?.keep(client.service(), (&signed_in).into())?;
    let told = serde_json::json!({"subject": signed_in.subject, "role": signed_in.role,
                                  "sign_in_expires_at": signed_in.sign_in_expires_at});
    output::paper(&told, json, |_| {
        format!("Signed in as {}, a {}.\n", signed_in.subject, signed_in.role.name())
    })?;
    Ok(Ending::Done)
}

/// Signs out, and forgets what was kept.
pub(crate) async fn sign_out(client: &Client, json: bool) -> anyhow::Result<Ending> {
    let file = KeptFile::of_user()?;
    let Some(kept) = file.find(client.service())? else {
        output::paper(&serde_json::json!({}), json, |_| "Nobody was signed in.\n".to_owned())?;
        return Ok(Ending::Done);
    };
    let ended = client.sign_out(&RefreshTokenSent { refresh_token: kept.refresh_token }).await;
    // A service that knows nothing of it has nothing to end; one that cannot be reached has, so it is kept for then.
    match ended {
        Err(error) if error.is_unreachable() => return Err(error.into()),
        _ => file.forget(client.service())?,
    }
    ended?;
    let told = serde_json::json!({"subject": kept.subject});
    output::paper(&told, json, |_| format!("{} is signed out.\n", kept.subject))?;
    Ok(Ending::Done)
}

/// Sets a password with an enrolment code.
pub(crate) async fn enrol(options: &EnrolOptions, client: &Client, json: bool) -> anyhow::Result<Ending> {
    let enrolment_code = typed::secret("enrolment code")?;
    let password = typed::secret("new password")?;
    let again = typed::secret("the same again")?;
    anyhow::ensure!(password == again, "the two passwords differ: nothing was set");
    let password = NewPassword::try_from(password.reveal().to_owned())?;
    let sent = PasswordCreate { outfit_id: options.outfit, enrolment_code, password };
    let set = client.set_password(options.account, &sent).await?;
    output::paper(&set, json, |set| {
        format!("Set. Sign in with: skid sign-in --outfit {} --name {}\n", options.outfit, set.name)
    })?;
    Ok(Ending::Done)
}
