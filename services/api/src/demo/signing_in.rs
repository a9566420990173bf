//! Accounts for the demonstration's people, so that somebody can sign in at the desk as each of them.

use client::Client;
use kernel::{Entropy, MillId, OutfitId};
use wire::{AccountCreate, AccountName, Name, NewPassword, PasswordCreate, Role};

/// Who signs in, as what, and who that is. Everybody is invented.
const PEOPLE: [(&str, Role, &str); 4] = [
    ("ida", Role::Scaler, "Ida Holmquill, who scales at both landings"),
    ("otto", Role::Bookkeeper, "Otto Brandvik, who settles the week"),
    ("alma", Role::Contractor, "Alma Thessaly, who holds volume against pay"),
    ("gus", Role::Mill, "Gus Ferrant, of the mill that buys the timber"),
];

/// Somebody who can sign in at the desk.
#[derive(Debug)]
pub(super) struct Account {
    pub(super) name: &'static str,
    pub(super) role: Role,
    /// Made for this demonstration, and worth nothing after it.
    pub(super) password: String,
}

/// Registers them; each sets a password with the code that the manager got, as people would.
pub(super) async fn register(
    manager: &Client,
    outfit_id: OutfitId,
    mill: MillId,
    entropy: &dyn Entropy,
) -> anyhow::Result<Vec<Account>> {
    let mut accounts = Vec::new();
    for (name, role, says) in PEOPLE {
        let account = AccountCreate {
            name: AccountName::try_from(name.to_owned())?,
            says: Some(Name::try_from(says.to_owned())?),
            role,
            mill_id: (role == Role::Mill).then_some(mill),
            external: None,
        };
        let registered = manager.register_account(&account).await?;
        let password = made_up(entropy);
        let set = PasswordCreate {
            outfit_id,
            enrolment_code: registered.enrolment.enrolment_code,
            password: NewPassword::try_from(password.clone())?,
        };
        let _set = manager.set_password(registered.account.account_id, &set).await?;
        accounts.push(Account { name, role, password });
    }
    Ok(accounts)
}

/// A password that nobody has used before: sixteen hexadecimal digits in fours.
fn made_up(entropy: &dyn Entropy) -> String {
    let fours = [0; 4].map(|empty: u8| {
        let mut bytes = [empty; 2];
        entropy.fill(&mut bytes);
        kernel::hexadecimal(&bytes)
    });
    fours.join("-")
}

/// The page where they sign in.
pub(super) fn door(base: &str, outfit: OutfitId) -> String {
    format!("{base}{}", desk::mount::sign_in(outfit))
}
