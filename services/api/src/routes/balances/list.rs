//! Lists what every payee's account stands at.

use std::collections::BTreeMap;

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::Money;
use settlement::{Account, Payee};
use storage::{Books, Outfit};
use wire::{Balances, Code, PayeeBalance};

use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::listing::{FormatQuery, InWhole, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::routes::journal::trial_balance::OnQuery;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_balances",
    method: Method::GET,
    path: "/v1/balances",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// List what every payee's account stands at when a day ends
///
/// Everybody to whose account anything was posted by then, workers before mills; all come on one page. What is held back
/// and what was advanced stand beside the balance and are not part of it.
#[utoipa::path(
    tag = "journal",
    operation_id = "list_balances",
    params(OnQuery, FormatQuery),
    responses((status = 200, description = "The balances.", body = Balances))
)]
#[get("/v1/balances")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InWhole<OnQuery>,
) -> Result<Shown<Balances>, Refusal> {
    let shown = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let day = list.filter.day(&outfit, &service);
            balances(books, &outfit, day).await
        })
        .await?;
    Ok(list.answer(shown))
}

/// What stands on a payee's accounts: as it is owed, as it is held back, as it was advanced.
#[derive(Clone, Copy)]
struct Standing {
    balance: Money,
    held_back: Money,
    advances: Money,
}

async fn balances(books: &mut Books, outfit: &Outfit, on: Date) -> Result<Balances, Refusal> {
    let nothing = Money::zero(outfit.currency);
    let names = Names::read(books).await?;
    let mut standings: BTreeMap<Payee, Standing> = BTreeMap::new();
    let mut sums = Balances {
        on,
        items: Vec::new(),
        owed_to_workers: nothing,
        held_back: nothing,
        advances: nothing,
        owed_by_mills: nothing,
    };
    for (account, minor) in books.account_balances(on).await? {
        let amount = Money::from_minor(minor, outfit.currency);
        match account {
            Account::PayableToWorker(worker) => {
                let owed = amount.negated()?;
                standing(&mut standings, nothing, Payee::Worker(worker)).balance = owed;
                sums.owed_to_workers = sums.owed_to_workers.plus(owed)?;
            }
            Account::HoldbackPayable(worker) => {
                let held = amount.negated()?;
                standing(&mut standings, nothing, Payee::Worker(worker)).held_back = held;
                sums.held_back = sums.held_back.plus(held)?;
            }
            Account::AdvanceToWorker(worker) => {
                standing(&mut standings, nothing, Payee::Worker(worker)).advances = amount;
                sums.advances = sums.advances.plus(amount)?;
            }
            Account::ReceivableFromMill(mill) => {
                standing(&mut standings, nothing, Payee::Mill(mill)).balance = amount;
                sums.owed_by_mills = sums.owed_by_mills.plus(amount)?;
            }
            Account::WorkExpense(_)
            | Account::WageExpense(_)
            | Account::ChargesRecovered(_)
            | Account::TimberIncome
            | Account::Cash => {}
        }
    }
    sums.items = standings.into_iter().map(|(payee, standing)| view(payee, standing, &names)).collect();
    sums.items.sort_by(|left, right| {
        let order = |one: &PayeeBalance| (one.payee.mill_id.is_some(), one.payee.name.clone());
        order(left).cmp(&order(right))
    });
    Ok(sums)
}

/// The payee's standing, which begins with nothing.
fn standing(standings: &mut BTreeMap<Payee, Standing>, nothing: Money, payee: Payee) -> &mut Standing {
    let none = Standing { balance: nothing, held_back: nothing, advances: nothing };
    standings.entry(payee).or_insert(none)
}

fn view(payee: Payee, standing: Standing, names: &Names) -> PayeeBalance {
    let is_worker = matches!(payee, Payee::Worker(_));
    PayeeBalance {
        payee: names.payee(payee),
        balance: standing.balance,
        held_back: is_worker.then_some(standing.held_back),
        advances: is_worker.then_some(standing.advances),
    }
}
