//! Lists tickets.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CrewId, JobId, LandingId, MillId, Product, TicketId};
use serde::Deserialize;
use settlement::Task;
use storage::{Outfit, TicketFilter, TicketStanding};
use utoipa::IntoParams;
use wire::{Code, Listing, PiecesShown, TicketState, TicketView};

use super::show::{READERS, view};
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation};
use crate::http::parameters::{check_span, name_if_any};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_tickets",
    method: Method::GET,
    path: "/v1/tickets",
    access: READERS,
    effect: Effect::None,
    refusals: &[],
};

/// The largest page of tickets with everything that was made of them.
const LARGEST_WHOLE_PAGE: u16 = 100;

/// Which tickets, and how much of them.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct TicketQuery {
    /// Of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
    /// Scaled on this landing.
    #[param(value_type = Option<String>, format = Uuid)]
    landing_id: Option<LandingId>,
    /// With work of this crew.
    #[param(value_type = Option<String>, format = Uuid)]
    crew_id: Option<CrewId>,
    /// With this task among the work; with `crew_id`, done by that crew.
    #[param(inline)]
    task: Option<Task>,
    /// With a piece of this kind.
    #[param(inline)]
    product: Option<Product>,
    /// With a piece of this species, in whatever letters it is written; with `product`, of that kind.
    species: Option<String>,
    /// Delivered to this mill. A mill is shown what was delivered to it, whatever it asks for.
    #[param(value_type = Option<String>, format = Uuid)]
    delivered_to: Option<MillId>,
    /// `true`: only tickets that were delivered to a mill; `false`: only the others.
    delivered: Option<bool>,
    /// From this scale book.
    book: Option<String>,
    /// By this scaler, as the name stands on the ticket.
    scaler: Option<String>,
    /// Scaled on this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Scaled on this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
    /// Accepted on this day or later, where the outfit is.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    accepted_from: Option<Date>,
    /// Accepted on this day or earlier, where the outfit is.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    accepted_to: Option<Date>,
    /// In this state.
    #[param(inline)]
    state: Option<TicketState>,
    /// `true`: only tickets that no other one corrects, void ones among them.
    standing: Option<bool>,
    /// `true`: only tickets with something that nothing pays for; a mill is shown those that lack a price of its own.
    unpriced: Option<bool>,
    /// The ticket that takes the place of this one.
    #[param(value_type = Option<String>, format = Uuid)]
    corrects: Option<TicketId>,
    /// `true`: only tickets that were accepted after their week was posted; `false`: only the others.
    late: Option<bool>,
    /// How much of the pieces is shown: `none`, `scaled`, or `measured` when it is left out. With `scaled` a page holds
    /// 100 tickets at the most.
    #[param(inline)]
    pieces: Option<PiecesShown>,
}

impl TicketQuery {
    fn filter(&self, member: &Member, outfit: &Outfit) -> Result<TicketFilter, Refusal> {
        check_span(self.from, self.to)?;
        check_span(self.accepted_from, self.accepted_to)?;
        let first_moment = |day: Date| outfit.time_zone.to_timestamp(day.at(0, 0, 0, 0));
        let out_of_range = |error| Refusal::new(Code::WrongAddress, format!("`accepted_to`: {error}"));
        Ok(TicketFilter {
            job: self.job_id,
            landing: self.landing_id,
            crew: self.crew_id,
            task: self.task,
            product: self.product,
            species: name_if_any("species", self.species.as_ref())?,
            book: name_if_any("book", self.book.as_ref())?,
            scaler: name_if_any("scaler", self.scaler.as_ref())?,
            from: self.from,
            to: self.to,
            accepted_from: self.accepted_from.map(first_moment).transpose().map_err(out_of_range)?,
            accepted_before: match self.accepted_to.map(Date::tomorrow) {
                None => None,
                // After the last day there is nothing to come.
                Some(Err(_)) => Some(Timestamp::MAX),
                Some(Ok(day)) => Some(first_moment(day).map_err(out_of_range)?),
            },
            delivered_to: member.mill.or(self.delivered_to),
            delivered: self.delivered,
            standing_only: self.standing.unwrap_or(false),
            state: self.state.map(|state| match state {
                TicketState::Standing => TicketStanding::Standing,
                TicketState::Corrected => TicketStanding::Corrected,
                TicketState::Void => TicketStanding::Void,
            }),
            unpriced_only: self.unpriced.unwrap_or(false),
            corrects: self.corrects,
            late: self.late,
        })
    }
}

/// List tickets, oldest accepted first
///
/// Corrected tickets are listed too, each with the ticket that took its place, unless they are filtered out. As `csv` there
/// is one row for each ticket, with the count of its pieces.
#[utoipa::path(
    tag = "tickets",
    operation_id = "list_tickets",
    params(TicketQuery, PageQuery),
    responses((status = 200, description = "A page of tickets.", body = Listing<TicketView>))
)]
#[get("/v1/tickets")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<TicketQuery>,
) -> Result<Shown<Listing<TicketView>>, Refusal> {
    let pieces = list.filter.pieces.unwrap_or(PiecesShown::Measured);
    let page = list.page()?;
    if pieces == PiecesShown::Scaled && page.limit > LARGEST_WHOLE_PAGE {
        let says = format!("with `pieces=scaled` `limit` is a number from 1 to {LARGEST_WHOLE_PAGE}");
        return Err(Refusal::new(Code::WrongAddress, says));
    }
    let items = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let mut items = Vec::new();
            for ticket in books.tickets(&list.filter.filter(&member, &outfit)?, page).await? {
                items.push(view(books, &ticket, member.mill, pieces).await?);
            }
            Ok::<_, Refusal>(items)
        })
        .await?;
    Ok(list.answer(items, |item: &TicketView| item.ticket_id))
}
