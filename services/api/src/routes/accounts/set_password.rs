//! Sets a password, with the code that the manager handed over.

use actix_web::http::Method;
use actix_web::post;
use actix_web::web::{Data, Json};
use kernel::{AccountId, EnrolmentId};
use storage::{Account, Books, Stamp};
use tracing_actix_web::RequestId;
use wire::{Code, PasswordCreate, PasswordSet};

use crate::access::accounts::find;
use crate::access::audit::{self, Author};
use crate::access::secrets;
use crate::http::body::Body;
use crate::http::operation::{Access, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "set_password",
    method: Method::POST,
    path: "/v1/accounts/{account_id}/password",
    access: Access::Open,
    effect: Effect::LetIn,
    refusals: &[Code::EnrolmentRefused],
};

/// Set your password
///
/// With the code that the manager handed over; it is good once. Whoever was signed in with the account is signed out.
#[utoipa::path(
    tag = "access",
    operation_id = "set_password",
    params(("account_id" = AccountId, Path, description = "Your account.")),
    request_body = PasswordCreate,
    responses((status = 200, description = "Set: sign in with it.", body = PasswordSet))
)]
#[post("/v1/accounts/{account_id}/password")]
pub async fn handle(
    service: Data<Service>,
    request_id: RequestId,
    path: InPath<AccountId>,
    body: Body<PasswordCreate>,
) -> Result<Json<PasswordSet>, Refusal> {
    let (account, sent) = (path.0, body.0);
    let code = secrets::enrolment_hash(sent.enrolment_code.reveal());
    // Looked at before the password is hashed, so that nobody without a code makes the service work hard.
    service
        .store
        .read(sent.outfit_id, async |books| enrolment(books, &service, account, &code).await)
        .await?;
    let phc = service.passwords.hash(sent.password.reveal()).await?;
    let set = service
        .store
        .write(sent.outfit_id, async |books| {
            books.hold_account(account).await?;
            let enrolment = enrolment(books, &service, account, &code).await?;
            let Account { name, role, .. } = find(books, account).await?.account;
            let now = service.clock.now();
            books.add_password(service.ids.make(), account, enrolment, &phc, now).await?;
            let made = Stamp { at: now, by: name.clone() };
            books.sign_out_everywhere(account, "the password was set anew", &made).await?;
            let author = Author { name: &name, role: &role };
            audit::enter(books, &service, author, &OPERATION, account, Some(*request_id)).await?;
            Ok::<_, Refusal>(PasswordSet { account_id: account, name })
        })
        .await?;
    tracing::info!(account.id = %account, "password set");
    Ok(Json(set))
}

/// The same words whatever is wrong: an account that is not there is none of the caller's business.
async fn enrolment(
    books: &mut Books,
    service: &Service,
    account: AccountId,
    code: &[u8; 32],
) -> Result<EnrolmentId, Refusal> {
    let found = books.enrolment(account, code, service.clock.now()).await?;
    found.ok_or_else(|| {
        Refusal::new(
            Code::EnrolmentRefused,
            "this code does not set this account's password, or not any more",
        )
    })
}
