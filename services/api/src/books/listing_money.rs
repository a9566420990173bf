//! Lists of records of money: charges, advances and payments are asked for and read in one way.

use jiff::civil::Date;
use kernel::{MillId, WorkerId};
use serde::Deserialize;
use settlement::Payee;
use storage::{Books, MoneyFilter, Outfit, Page, StorageError};
use utoipa::IntoParams;
use wire::Code;

use super::names::Names;
use crate::http::caller::Member;
use crate::http::parameters::check_span;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// Which records of workers' money.
#[derive(Clone, Copy, Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct MoneyQuery {
    /// Of this worker.
    #[param(value_type = Option<String>, format = Uuid)]
    pub worker_id: Option<WorkerId>,
    /// Of this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    pub from: Option<Date>,
    /// Of this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    pub to: Option<Date>,
}

impl MoneyQuery {
    /// The filter it stands for.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`] for a span that ends before it begins.
    pub fn filter(self) -> Result<MoneyFilter, Refusal> {
        filter(self.worker_id.map(Payee::Worker), self.from, self.to)
    }
}

/// The filter for one payee, or everybody, and a span of days.
///
/// # Errors
///
/// [`Code::WrongAddress`] for a span that ends before it begins.
pub fn filter(of: Option<Payee>, from: Option<Date>, to: Option<Date>) -> Result<MoneyFilter, Refusal> {
    check_span(from, to)?;
    Ok(MoneyFilter { of, from, to })
}

/// The one payee that is asked for, if one is.
///
/// # Errors
///
/// [`Code::WrongAddress`] when both a worker and a mill are.
pub fn payee_if_any(worker: Option<WorkerId>, mill: Option<MillId>) -> Result<Option<Payee>, Refusal> {
    match (worker, mill) {
        (Some(_), Some(_)) => {
            let says = "`worker_id` and `mill_id` cannot both be asked for: a payee is one of them";
            Err(Refusal::new(Code::WrongAddress, says))
        }
        (worker, mill) => Ok(worker.map(Payee::Worker).or(mill.map(Payee::Mill))),
    }
}

/// A page of records as they are shown.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn page_of_views<R, V, I>(
    service: &Service,
    member: &Member,
    (filter, page): (MoneyFilter, Page<I>),
    read: impl AsyncFnOnce(&mut Books, MoneyFilter, Page<I>) -> Result<Vec<R>, StorageError>,
    view: impl Fn(R, &Outfit, &Names) -> V,
) -> Result<Vec<V>, Refusal> {
    service
        .read(member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let found = read(books, filter, page).await?;
            Ok::<_, Refusal>(found.into_iter().map(|one| view(one, &outfit, &names)).collect())
        })
        .await
}
