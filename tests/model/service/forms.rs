//! The record's facts as they are sent to the service.

use serde_json::{Value, json};

use crate::facts::hours::{TimeEntry, TimeUse};
use crate::facts::record::{
    NO_END, Party, Product, Rate, RateKind, Rule, SetAside, ShareBy, ShareSet, Species, Stick, Terms, Ticket,
    Unit, Work,
};
use crate::facts::wage_terms::WageTerms;
use crate::reckoning::division::decimal;
use crate::service::forms_of_money::holdback;
use crate::service::outfit::Outfit;

/// Takes out the members that are null: what is not there is left out.
pub fn compact(mut value: Value) -> Value {
    if let Value::Object(members) = &mut value {
        members.retain(|_, member| !member.is_null());
    }
    value
}

pub fn species(species: Species) -> &'static str {
    match species {
        Species::Pine => "white pine",
        Species::Hemlock => "hemlock",
    }
}

pub fn product(product: Product) -> &'static str {
    match product {
        Product::Log => "log",
        Product::Pole => "pole",
        Product::Tie => "tie",
    }
}

fn stick(stick: Stick) -> Value {
    match stick {
        Stick::Log { species: kind, diameter, length, cut, grade } => {
            let rot = json!({"kind": "butt_rot", "method": "length_cut", "length_ft": cut.to_string()});
            compact(json!({
                "product": "log", "species": species(kind), "small_diameter_in": [diameter.to_string()],
                "length_ft": length.to_string(), "defects": (cut > 0).then(|| json!([rot])),
                "grade": grade
            }))
        }
        Stick::Tie { species: kind, width, thickness, refused } => compact(json!({
            "product": "tie", "species": species(kind), "width_in": width.to_string(),
            "thickness_in": thickness.to_string(), "length_ft": "8",
            "refused": refused.then_some("a knothole where the rail lies")
        })),
        Stick::Pole { species: kind, half_feet } => {
            json!({"product": "pole", "species": species(kind), "length_ft": decimal(half_feet * 5, 1)})
        }
    }
}

/// A ticket; the rest of the sticks is spelled out or left to be understood.
pub fn ticket(outfit: &Outfit, ticket: &Ticket, spelled_out: bool) -> Value {
    let work = ticket.work.iter().map(|Work { task, crew, sticks, is_rest, parts }| {
        let pieces = (spelled_out || !is_rest).then_some(sticks);
        compact(json!({"task": task.name(), "crew_id": outfit.crews[*crew], "pieces": pieces,
                       "parts": parts.map(|parts| decimal(parts, 3))}))
    });
    let turn = ticket.turn.map(|feet| {
        compact(json!({"moved_by": "team", "skid_distance_ft": feet.map(|feet| feet.to_string())}))
    });
    compact(json!({
        "book": "A", "number": ticket.number, "job_id": outfit.job, "landing_id": outfit.landing,
        "scaled_on": ticket.day.to_string(), "scaler": "Yard scaler", "work": work.collect::<Vec<_>>(),
        "turn": turn, "delivered_to": ticket.mill.map(|mill| &outfit.mills[mill]),
        "pieces": ticket.sticks.iter().copied().map(stick).collect::<Vec<_>>()
    }))
}

/// A contract with its first terms.
pub fn contract(outfit: &Outfit, party: Party, first: &Terms) -> Value {
    let (title, with) = match party {
        Party::Crew(crew) => (format!("With crew {crew}"), json!({"crew_id": outfit.crews[crew]})),
        Party::Mill(mill) => (format!("With mill {mill}"), json!({"mill_id": outfit.mills[mill]})),
    };
    json!({"title": title, "job_id": outfit.job, "party": with, "terms": terms(first)})
}

pub fn terms(terms: &Terms) -> Value {
    let rule = match terms.rule {
        Rule::Doyle => "doyle",
        Rule::DecimalC => "scribner-decimal-c",
    };
    compact(json!({
        "effective_from": terms.from.to_string(), "practice": {"log": {"rule": rule}, "tie": {}},
        "rates": terms.rates.iter().map(rate).collect::<Vec<_>>(), "holdback": terms.holdback.map(holdback)
    }))
}

fn rate(rate: &Rate) -> Value {
    let (unit, basis) = match rate.unit {
        Unit::ThousandGross => ("thousand_board_feet", Some("gross")),
        Unit::ThousandNet => ("thousand_board_feet", Some("net")),
        Unit::Piece => ("piece", None),
        Unit::LinearFoot => ("linear_foot", None),
        Unit::Turn => ("turn", None),
        Unit::Hour => ("hour", None),
        Unit::Day => ("day", None),
    };
    let covers = compact(json!({
        "species": rate.species.map(|kind| [species(kind)]),
        "grades": (!rate.grades.is_empty()).then_some(rate.grades),
        "soundness": rate.cull.map(|cull| if cull { "cull" } else { "sound" }),
        "diameter_in": rate.diameter.map(band), "skid_distance_ft": rate.skidded.map(band)
    }));
    let kind = match rate.kind {
        RateKind::Price => None,
        RateKind::Premium => Some("premium"),
        RateKind::Dockage => Some("dockage"),
    };
    compact(json!({
        "name": rate.name, "kind": kind, "task": rate.task.name(), "product": rate.product.map(product), "unit": unit,
        "basis": basis, "price": decimal(rate.price, 4), "pays_cull": rate.says_of_cull,
        "least_quantity_a_turn": rate.least_a_turn.map(|least| decimal(least, 6)), "covers": covers
    }))
}

fn band((from, below): (i64, i64)) -> Value {
    let below = (below < NO_END).then(|| below.to_string());
    compact(json!({"from": (from > 0).then(|| from.to_string()), "below": below}))
}

pub fn share_set(outfit: &Outfit, set: &ShareSet) -> Value {
    let method = match set.by {
        ShareBy::Parts => None,
        ShareBy::Equally => Some("equally"),
        ShareBy::Hours => Some("by_hours"),
    };
    let shares = set.shares.iter().map(|(worker, parts)| {
        let parts = method.is_none().then(|| decimal(*parts, 3));
        compact(json!({"worker_id": outfit.workers[*worker], "parts": parts}))
    });
    let shares = shares.collect::<Vec<_>>();
    compact(json!({"effective_from": set.from.to_string(), "method": method, "shares": shares}))
}

pub fn time(outfit: &Outfit, entry: &TimeEntry) -> Value {
    let what_for = match entry.what_for {
        TimeUse::PieceWork => json!({"kind": "piece_work"}),
        TimeUse::Rest => json!({"kind": "rest"}),
        TimeUse::Paid { crew, task } => {
            json!({"kind": "paid", "job_id": outfit.job, "crew_id": outfit.crews[crew], "task": task.name()})
        }
    };
    let corrects = entry
        .corrects
        .map(|wrong| json!({"time_entry_id": outfit.time[wrong], "reason": "it was written down wrong"}));
    compact(json!({
        "worker_id": outfit.workers[entry.worker], "worked_on": entry.day.to_string(),
        "hours": entry.hundredths.map(|hundredths| decimal(hundredths, 2)), "what_for": what_for,
        "corrects": corrects
    }))
}

pub fn wage_terms(terms: &WageTerms) -> Value {
    let filed = compact(json!({
        "guarantee_an_hour": terms.guarantee.map(|rate| decimal(rate, 4)),
        "minimum_an_hour": terms.minimum.map(|rate| decimal(rate, 4)),
        "rest": terms.rest_apart.then_some("by_the_average"),
        "overtime": terms.overtime_after.map(|hours| json!({"after_hours": decimal(hours, 2)})),
        "regular_rate": terms.to_the_cent.then_some("half_up_to_the_cent")
    }));
    json!({"effective_from": terms.from.to_string(), "terms": filed})
}

pub fn set_aside(aside: &SetAside) -> Value {
    compact(json!({"task": aside.task.name(), "piece": aside.stick, "reason": "kept for the camp"}))
}
