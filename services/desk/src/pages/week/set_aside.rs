//! Setting aside what nothing pays for, one or several at once, with a reason.

use std::collections::BTreeMap;

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::{Data, Path};
use actix_web::{HttpResponse, post};
use client::ClientError;
use jiff::civil::Date;
use kernel::TicketId;
use maud::html;
use wire::{Remark, SetAsideCreate};

use super::held_up::Typed;
use super::show::{Said, page};
use crate::desk::Desk;
use crate::form::Sent;
use crate::trouble::{Trouble, refused};

/// Sets aside what is ticked, each as a filing of its own: what is sent again is done once.
///
/// # Errors
///
/// [`Trouble`]; what the service refuses is said on the week's page, with the reason as it was typed.
#[post("/week/{week}/set-aside")]
pub async fn file(
    sent: Sent<BTreeMap<String, String>>,
    desk: Data<Desk>,
    week: Path<Date>,
) -> Result<HttpResponse, Trouble> {
    let Sent { person, form } = sent;
    let typed = |name: &str| form.get(name).map(String::as_str).unwrap_or_default();
    let (reason, once) = (typed("reason"), typed("once"));
    let kept = || Typed {
        reason: reason.to_owned(),
        ticked: form.keys().filter(|name| name.starts_with("aside.")).cloned().collect(),
    };
    let says = |says: String| Said {
        markup: html! { p role="alert" { (says) } },
        typed: kept(),
        status: StatusCode::BAD_REQUEST,
    };
    let remark = match Remark::try_from(reason.trim().to_owned()) {
        Ok(remark) => remark,
        Err(error) => return page(&person, &desk, *week, says(format!("Reason: {error}."))).await,
    };
    let ticked: Vec<_> = form.keys().filter_map(|name| name.strip_prefix("aside.")).collect();
    if ticked.is_empty() {
        return page(&person, &desk, *week, says("Tick what is to be set aside.".to_owned())).await;
    }
    for name in ticked {
        let (ticket, decision) = decided(name, &remark)
            .ok_or_else(|| Trouble::Unreadable(format!("{name} is nothing that can be set aside")))?;
        let filing = person.filing(&format!("{once} {name}"));
        match filing.set_aside(ticket, &decision).await {
            Ok(_) => {}
            Err(ClientError::Refused(problem)) if problem.status == 422 || problem.status == 409 => {
                let status = StatusCode::from_u16(problem.status).map_err(Trouble::internal)?;
                let said = Said { markup: refused(&problem), typed: kept(), status };
                return page(&person, &desk, *week, said).await;
            }
            Err(error) => return Err(error.into()),
        }
    }
    let to = format!("/desk/week/{}", *week);
    Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish())
}

/// Ticket and decision out of a field's name: ticket, task, and piece or nothing.
fn decided(name: &str, reason: &Remark) -> Option<(TicketId, SetAsideCreate)> {
    let mut parts = name.split('.');
    let (ticket, task, piece) = (parts.next()?, parts.next()?, parts.next()?);
    let task = serde_json::from_value(serde_json::Value::String(task.to_owned())).ok()?;
    let piece = if piece.is_empty() { None } else { Some(piece.parse().ok()?) };
    Some((ticket.parse().ok()?, SetAsideCreate { task, piece, reason: reason.clone() }))
}
