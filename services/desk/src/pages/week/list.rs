//! The weeks: the open ones first, then those that were posted.

use actix_web::http::header::LOCATION;
use actix_web::web::{Data, Query};
use actix_web::{HttpResponse, get};
use client::{SettlementQuery, all_pages};
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use jiff::tz::TimeZone;
use maud::html;
use serde::Deserialize;
use wire::{OutfitView, SettlementState, words};

use crate::desk::Desk;
use crate::page::{Page, Place};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// The last day of the week that a day is in.
fn week_of(day: Date, outfit: &OutfitView) -> Result<Date, Trouble> {
    let last = Weekday::from(outfit.week_ends_on);
    if day.weekday() == last { Ok(day) } else { day.nth_weekday(1, last).map_err(Trouble::internal) }
}

/// Lists them.
///
/// # Errors
///
/// [`Trouble`].
#[get("/week")]
pub async fn show(person: Person, desk: Data<Desk>) -> Result<HttpResponse, Trouble> {
    let service = &person.service;
    let outfit = service.show_outfit().await?;
    let query = SettlementQuery { limit: Some(500), ..SettlementQuery::default() };
    let all =
        all_pages(async |after| service.list_settlements(&SettlementQuery { after, ..query.clone() }).await)
            .await?;
    let mut posted: Vec<_> = all.iter().filter(|one| one.state == SettlementState::Posted).collect();
    posted.sort_by_key(|one| std::cmp::Reverse(one.week_ends_on));
    let zone = TimeZone::get(&outfit.time_zone).map_err(Trouble::internal)?;
    let today = desk.now().to_zoned(zone).date();
    let mut open = vec![week_of(today, &outfit)?];
    if let Some(last) = posted.first() {
        open.push(last.week_ends_on.checked_add(7.days()).map_err(Trouble::internal)?);
    }
    open.extend(all.iter().map(|one| one.week_ends_on));
    open.retain(|week| posted.iter().all(|one| one.week_ends_on != *week));
    open.sort();
    open.dedup();
    let content = html! {
        h2 { "Open" }
        ul.plain { @for week in &open { li { a href={ "/desk/week/" (week) } { "Week ending " (words::day(*week)) } } } }
        form.narrow id="find" method="get" action="/desk/week-of" {
            label for="day" { "The week of another day" }
            input id="day" name="day" type="date" required value=(today);
            button.second type="submit" { "Go to the week" }
        }
        h2 { "Posted" }
        @if posted.is_empty() { p { "No week has been posted yet." } }
        ul.plain { @for one in &posted {
            li { a href={ "/desk/week/" (one.week_ends_on) } { "Week ending " (words::day(one.week_ends_on)) }
                ": crews " (one.paid_to_crews) ", mills owe " (one.owed_by_mills) }
        } }
    };
    Ok(Page { title: "The week", person: Some(&person), here: Some(Place::Week), scripts: &[], content }
        .found())
}

/// A day.
#[derive(Debug, Deserialize)]
pub struct Asked {
    day: Date,
}

/// Leads to the week that a day is in.
///
/// # Errors
///
/// [`Trouble`].
#[get("/week-of")]
pub async fn find(person: Person, asked: Query<Asked>) -> Result<HttpResponse, Trouble> {
    let week = week_of(asked.day, &person.service.show_outfit().await?)?;
    Ok(HttpResponse::SeeOther().insert_header((LOCATION, format!("/desk/week/{week}"))).finish())
}
