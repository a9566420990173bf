//! Lists the journal's entries.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::{Currency, MillId, Money, WorkerId};
use serde::Deserialize;
use settlement::{Account, AccountKind};
use storage::{JournalEntry, JournalFilter};
use utoipa::IntoParams;
use wire::{Code, JournalEntryView, JournalPostingView, Listing};

use crate::books::account_titles::account_title;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::check_span;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_journal",
    method: Method::GET,
    path: "/v1/journal",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Which entries.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct JournalQuery {
    /// Dated on this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Dated on this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
    /// With a posting on an account of this kind.
    #[param(inline)]
    account: Option<AccountKind>,
    /// On an account of this worker; together with `account`, on that account of his.
    #[param(value_type = Option<String>, format = Uuid)]
    worker_id: Option<WorkerId>,
    /// On an account of this mill; together with `account`, on that account of it.
    #[param(value_type = Option<String>, format = Uuid)]
    mill_id: Option<MillId>,
}

/// List the journal's entries, oldest written first
///
/// Each comes whole, with all its postings, as soon as one of them fits. They are listed in the order they were written;
/// the day that an entry belongs to may be an earlier one.
#[utoipa::path(
    tag = "journal",
    operation_id = "list_journal",
    params(JournalQuery, PageQuery),
    responses((status = 200, description = "A page of entries.", body = Listing<JournalEntryView>))
)]
#[get("/v1/journal")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<JournalQuery>,
) -> Result<Shown<Listing<JournalEntryView>>, Refusal> {
    let query = &list.filter;
    check_span(query.from, query.to)?;
    let page = list.page()?;
    let filter = JournalFilter {
        entry: None,
        from: query.from,
        to: query.to,
        kind: query.account,
        worker: query.worker_id,
        mill: query.mill_id,
    };
    let items = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let entries = books.journal(&filter, page).await?;
            entries
                .into_iter()
                .map(|entry| view(entry, outfit.currency, &names))
                .collect::<Result<Vec<_>, _>>()
        })
        .await?;
    Ok(list.answer(items, |item: &JournalEntryView| item.journal_entry_id))
}

/// An entry as it is shown.
///
/// # Errors
///
/// [`Code::TooLarge`] for the one amount that has no opposite.
pub fn view(entry: JournalEntry, currency: Currency, names: &Names) -> Result<JournalEntryView, Refusal> {
    let posting = |(account, minor): &(Account, i64)| {
        let (debit, credit) = sides(Money::from_minor(*minor, currency))?;
        Ok(JournalPostingView {
            account: *account,
            class: account.class(),
            title: account_title(*account, names),
            debit,
            credit,
        })
    };
    Ok(JournalEntryView {
        journal_entry_id: entry.id,
        dated: entry.dated,
        postings: entry.postings.iter().map(posting).collect::<Result<_, Refusal>>()?,
        says: entry.says,
        made_by: entry.made.by,
        made_at: entry.made.at,
    })
}

/// A debit or a credit.
fn sides(amount: Money) -> Result<(Option<Money>, Option<Money>), Refusal> {
    if amount.minor() < 0 { Ok((None, Some(amount.negated()?))) } else { Ok((Some(amount), None)) }
}
