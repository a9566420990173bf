//! Accounts: registering them, giving leave to set a password, and how they are shown.

use jiff::SignedDuration;
use kernel::{AccountId, MillId};
use storage::{Account, AccountState, Books, Enrolment, ExternalName, Stamp};
use wire::{AccountCreate, AccountView, Code, EnrolmentView, ExternalIdentity, FieldProblem, Remark, Role};

use super::grants::{ended, role};
use super::secrets;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// How long an enrolment code is good.
const CODE_LASTS: SignedDuration = SignedDuration::from_hours(7 * 24);

/// Refuses a role that nobody within an outfit can have, and a mill without the role of one or the other way round.
///
/// # Errors
///
/// [`Code::WrongForm`].
pub fn check_role(role: Role, mill: Option<MillId>) -> Result<(), Refusal> {
    let wrong = |pointer: &str, detail: &str| {
        Err(Refusal::new(Code::WrongForm, detail)
            .at(vec![FieldProblem { pointer: pointer.to_owned(), detail: detail.to_owned() }]))
    };
    if role == Role::Operator {
        return wrong("#/role", "an operator belongs to no outfit; only the service's own program makes one");
    }
    if (role == Role::Mill) != mill.is_some() {
        return wrong("#/mill_id", "name a mill for the role `mill`, and only for it");
    }
    Ok(())
}

/// Refuses a mill that is not there.
///
/// # Errors
///
/// [`Code::NamesMissingRecord`].
pub async fn check_mill(books: &mut Books, mill: Option<MillId>) -> Result<(), Refusal> {
    match mill {
        Some(mill) if books.mill(mill).await?.is_none() => {
            Err(Refusal::new(Code::NamesMissingRecord, format!("there is no mill {mill}")))
        }
        _ => Ok(()),
    }
}

/// Registers an account; answers with it.
///
/// # Errors
///
/// [`Code::NameTaken`]; [`Code::NamesMissingRecord`] for a mill that is not there.
pub async fn register(
    books: &mut Books,
    service: &Service,
    sent: &AccountCreate,
    made: &Stamp,
) -> Result<AccountId, Refusal> {
    check_mill(books, sent.mill_id).await?;
    let id = service.ids.make();
    let external = sent.external.as_ref().map(|one| ExternalName {
        issuer: one.issuer.as_str().to_owned(),
        subject: one.subject.as_str().to_owned(),
    });
    let account = Account {
        id,
        name: sent.name.as_str().to_owned(),
        says: sent.says.as_ref().map(|says| says.as_str().to_owned()),
        role: sent.role.name().to_owned(),
        mill: sent.mill_id,
        external,
        made: made.clone(),
    };
    books.add_account(&account).await?;
    Ok(id)
}

/// Gives leave to set an account's password.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn enrol(
    books: &mut Books,
    service: &Service,
    account: AccountId,
    reason: &str,
    made: &Stamp,
) -> Result<EnrolmentView, Refusal> {
    let code = secrets::enrolment_code(service.entropy.as_ref())?;
    let expires = made.at.checked_add(CODE_LASTS).map_err(Refusal::internal)?;
    // Only the latest code is good, and which it is the ids tell.
    books.go_on(&service.ids).await?;
    let enrolment = Enrolment {
        id: service.ids.make(),
        account,
        code_hash: secrets::enrolment_hash(code.reveal()),
        reason: reason.to_owned(),
        expires,
        made: made.clone(),
    };
    books.add_enrolment(&enrolment).await?;
    Ok(EnrolmentView {
        outfit_id: books.outfit(),
        account_id: account,
        enrolment_code: code,
        expires_at: expires,
    })
}

/// An account that must be there.
///
/// # Errors
///
/// [`Code::NotFound`].
pub async fn find(books: &mut Books, id: AccountId) -> Result<AccountState, Refusal> {
    books.account(id).await?.ok_or_else(|| Refusal::not_found("account", id))
}

/// An account as it is shown.
///
/// # Errors
///
/// [`Code::Internal`] when the books hold a role or a text that is none.
pub fn view(state: AccountState) -> Result<AccountView, Refusal> {
    let account = state.account;
    let remark = |text: String| Remark::try_from(text).map_err(Refusal::internal);
    let external = account
        .external
        .map(|name| Ok(ExternalIdentity { issuer: remark(name.issuer)?, subject: remark(name.subject)? }))
        .transpose();
    Ok(AccountView {
        account_id: account.id,
        name: account.name,
        says: account.says,
        role: role(&account.role)?,
        mill_id: account.mill,
        external: external.map_err(|refusal: Refusal| refusal)?,
        has_password: state.has_password,
        enrolment_expires_at: state.enrolment_expires,
        closed: state.closed.map(ended),
        made_at: account.made.at,
        made_by: account.made.by,
    })
}
