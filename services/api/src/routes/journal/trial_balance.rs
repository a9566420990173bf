//! Shows the trial balance.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use jiff::civil::Date;
use kernel::Money;
use serde::Deserialize;
use storage::{Books, Outfit};
use utoipa::IntoParams;
use wire::{Code, TrialBalance, TrialBalanceRow};

use crate::books::account_titles::account_title;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::InQuery;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_trial_balance",
    method: Method::GET,
    path: "/v1/journal/trial-balance",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// When.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct OnQuery {
    /// The day, at whose end the books are looked at; today, where the outfit is, when left out. A day to come shows what
    /// is dated up to it by now.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    on: Option<Date>,
}

impl OnQuery {
    /// The day that was named, or else today.
    #[must_use]
    pub fn day(&self, outfit: &Outfit, service: &Service) -> Date {
        self.on.unwrap_or_else(|| outfit.time_zone.to_datetime(service.clock.now()).date())
    }
}

/// Show the trial balance at the end of a day
///
/// What every account stands at. Debits equal credits, always: every entry is balanced, and the database keeps none that
/// is not.
#[utoipa::path(
    tag = "journal",
    operation_id = "show_trial_balance",
    params(OnQuery),
    responses((status = 200, description = "The trial balance.", body = TrialBalance))
)]
#[get("/v1/journal/trial-balance")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<OnQuery>,
) -> Result<Json<TrialBalance>, Refusal> {
    let shown = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let day = query.0.day(&outfit, &service);
            trial_balance(books, &outfit, day).await
        })
        .await?;
    Ok(Json(shown))
}

async fn trial_balance(books: &mut Books, outfit: &Outfit, on: Date) -> Result<TrialBalance, Refusal> {
    let names = Names::read(books).await?;
    let nothing = Money::zero(outfit.currency);
    let (mut debits, mut credits) = (nothing, nothing);
    let mut accounts = Vec::new();
    for (account, minor) in books.account_balances(on).await? {
        let balance = Money::from_minor(minor, outfit.currency);
        let (debit, credit) = if minor < 0 { (nothing, balance.negated()?) } else { (balance, nothing) };
        debits = debits.plus(debit)?;
        credits = credits.plus(credit)?;
        accounts.push(TrialBalanceRow {
            account,
            class: account.class(),
            title: account_title(account, &names),
            debit,
            credit,
        });
    }
    Ok(TrialBalance { on, accounts, debits, credits, difference: debits.minus(credits)? })
}
