//! The service's replies in the model's words.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::facts::calendar::Day;
use crate::facts::hours::Hours;
use crate::facts::record::{Party, Product, Species, Task};
use crate::reckoning::division::{cents, exact, fraction, millionths, nearest};
use crate::reckoning::earning::{Key, Kind, Payee, Scale, Side, Unpriced};
use crate::reckoning::keeping_back::{For, Kept};
use crate::reckoning::ledger::{AuditedPay, Line, Statement};
use crate::reckoning::pay::{Pay, Supplement};
use crate::reckoning::wages::Added;
use crate::service::outfit::{Outfit, list, place, text};

/// An amount of dollars, in cents.
pub fn money(value: &Value) -> i64 {
    assert_eq!(value["currency"], "USD", "{value}");
    cents(value["amount"].as_str().unwrap_or_else(|| panic!("{value} is no amount")))
}

fn quantity(value: &Value) -> i64 {
    millionths(value.as_str().unwrap_or_else(|| panic!("{value} is no quantity")))
}

fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap_or_else(|| panic!("{value} is no whole number"))
}

fn index(value: &Value) -> usize {
    usize::try_from(whole(value)).expect("a place")
}

/// A date among the days that these histories can reach.
pub fn day(value: &Value) -> Day {
    (-30..60)
        .map(Day)
        .find(|day| *value == day.to_string())
        .unwrap_or_else(|| panic!("{value} is no day here"))
}

fn payee(outfit: &Outfit, view: &Value) -> Payee {
    match view.get("mill_id") {
        Some(mill) => Payee::Mill(place(&outfit.mills, mill)),
        None => Payee::Worker(place(&outfit.workers, &view["worker_id"])),
    }
}

/// Each worker's pay in a settlement, by place.
pub fn pays(outfit: &Outfit, settlement: &Value) -> Vec<Pay> {
    list(settlement, "pays").iter().map(|shown| pay(outfit, shown)).collect()
}

fn pay(outfit: &Outfit, shown: &Value) -> Pay {
    let hundredths = |of: &Value, member: &str| {
        let hours = exact(&text(of, member)) * fraction(100, 1);
        assert!(hours.is_integer(), "{of:#} is finer than hundredths");
        nearest(&hours)
    };
    let hours = shown.get("hours").map(|of| {
        let hours = Hours {
            piece_work: hundredths(of, "piece_work"),
            paid: hundredths(of, "paid_by_time"),
            rest: hundredths(of, "rest"),
        };
        assert_eq!(hours.all(), hundredths(of, "all"), "{of:#}");
        (hours, hundredths(of, "overtime"))
    });
    let pay = Pay {
        worker: place(&outfit.workers, &shown["payee"]["worker_id"]),
        earned: money(&shown["earned"]),
        hours,
        regular_rate: shown.get("regular_rate").map(|rate| exact(rate.as_str().expect("a rate is text"))),
        supplements: list(shown, "supplements").iter().map(supplement).collect(),
        protected: money(&shown["protected"]),
        kept_back: list(shown, "take_offs").iter().map(|one| kept(outfit, one)).collect(),
    };
    let sums = (money(&shown["added"]), money(&shown["kept_back"]), money(&shown["total"]));
    assert_eq!((pay.added(), pay.kept(), pay.total()), sums, "{shown:#}");
    pay
}

fn kept(outfit: &Outfit, shown: &Value) -> Kept {
    let what = match (shown.get("contract_id"), shown.get("advance_id"), shown.get("charge_id")) {
        (Some(contract), None, None) => For::Holdback(place(&outfit.contracts, contract)),
        (None, Some(advance), None) => For::Advance(place(&outfit.advances, advance)),
        (None, None, Some(charge)) => For::Charge(place(&outfit.charges, charge)),
        _ => panic!("{shown:#} is kept back for one thing"),
    };
    let (due, taken) = (money(&shown["due"]), money(&shown["taken"]));
    assert_eq!(money(&shown["carried"]), due - taken, "{shown:#}");
    Kept { what, due, taken }
}

/// What is owed, held back and advanced, of everybody who has any of it.
pub fn balances(outfit: &Outfit, shown: &Value) -> BTreeMap<Payee, [i64; 3]> {
    let of_one = |one: &Value| {
        let amount = |member: &str| one.get(member).map_or(0, money);
        (payee(outfit, &one["payee"]), [amount("balance"), amount("held_back"), amount("advances")])
    };
    let all: BTreeMap<_, _> = list(shown, "items").iter().map(of_one).collect();
    all.into_iter().filter(|(_, standing)| *standing != [0; 3]).collect()
}

fn supplement(shown: &Value) -> Supplement {
    let mut known = Added::ALL.into_iter().filter(|(_, name)| shown["supplement"] == *name);
    let (what, _) = known.next().unwrap_or_else(|| panic!("{shown:#} is nothing that can be added"));
    let (now, formerly) = (money(&shown["now_amount"]), money(&shown["formerly_amount"]));
    assert_eq!(money(&shown["amount"]), now - formerly, "{shown:#}");
    Supplement { week: day(&shown["week_ends_on"]), what, is_regular: is_regular(shown), now, formerly }
}

fn is_regular(shown: &Value) -> bool {
    match text(shown, "kind").as_str() {
        "regular" => true,
        "adjustment" => false,
        other => panic!("{other} is no kind of line"),
    }
}

fn numbers(value: &Value, member: &str) -> Vec<u32> {
    list(value, member)
        .iter()
        .map(|ticket| u32::try_from(whole(&ticket["number"])).expect("a number"))
        .collect()
}

/// The lines of a settlement.
pub fn lines(outfit: &Outfit, settlement: &Value) -> Vec<Line> {
    let lines = list(settlement, "lines");
    lines.iter().enumerate().map(|(at, shown)| line(outfit, at, shown)).collect()
}

fn line(outfit: &Outfit, at: usize, shown: &Value) -> Line {
    assert_eq!(index(&shown["number"]), at + 1, "lines are numbered from 1: {shown:#}");
    let side = match (shown.get("mill_id"), shown.get("worker_id")) {
        (Some(mill), _) => Side::Mill(place(&outfit.mills, mill)),
        (None, Some(worker)) => Side::Member(place(&outfit.workers, worker)),
        (None, None) => Side::Shared(place(&outfit.share_sets, &shown["share_set_id"])),
    };
    let time = |member: &str| list(shown, member).iter().map(|id| place(&outfit.time, id)).collect();
    let part =
        |of: &Value| (Payee::Worker(place(&outfit.workers, &of["worker_id"])), exact(&text(of, "parts")));
    Line {
        key: Key {
            week: day(&shown["week_ends_on"]),
            contract: place(&outfit.contracts, &shown["contract_id"]),
            terms: place(&outfit.terms, &shown["terms_id"]),
            rate: index(&shown["rate_number"]) - 1,
            side,
        },
        is_regular: is_regular(shown),
        quantity: quantity(&shown["quantity"]),
        sticks: whole(&shown["pieces"]),
        cents: money(&shown["amount"]),
        shares: list(shown, "by_payee")
            .iter()
            .map(|share| (payee(outfit, &share["payee"]), money(&share["amount"])))
            .collect(),
        now: (quantity(&shown["now_quantity"]), money(&shown["now_amount"])),
        formerly: (quantity(&shown["formerly_quantity"]), money(&shown["formerly_amount"])),
        entered: numbers(shown, "entered"),
        withdrawn: numbers(shown, "withdrawn"),
        entered_time: time("entered_time"),
        withdrawn_time: time("withdrawn_time"),
        parts_by_hours: list(shown, "parts_by_hours").iter().map(part).collect(),
    }
}

/// What a list says is unpriced. Whether there was no contract or one without terms for the day is one thing here.
pub fn unpriced(outfit: &Outfit, views: &[Value]) -> BTreeSet<Unpriced> {
    let codes = [
        "no_rate",
        "no_volume",
        "no_diameter",
        "no_length",
        "no_grade",
        "unknown_soundness",
        "no_turn",
        "no_distance",
    ];
    let found = views.iter().map(|view| {
        let code = text(&view["reason"], "code");
        let known = codes.into_iter().find(|known| *known == code);
        Unpriced {
            day: day(&view["scaled_on"]),
            ticket: u32::try_from(whole(&view["number"])).expect("a number"),
            task: task(&view["task"]),
            stick: view.get("piece").map(index),
            party: party(outfit, &view["party"]),
            why: match code.as_str() {
                "no_contract" | "no_terms" => "no_contract_or_terms",
                other => {
                    known.unwrap_or_else(|| panic!("{other} is no reason that these histories can have"))
                }
            },
        }
    });
    let set: BTreeSet<_> = found.collect();
    assert_eq!(set.len(), views.len(), "something is listed twice: {views:#?}");
    set
}

fn party(outfit: &Outfit, view: &Value) -> Party {
    match view.get("mill_id") {
        Some(mill) => Party::Mill(place(&outfit.mills, mill)),
        None => Party::Crew(place(&outfit.crews, &view["crew_id"])),
    }
}

fn task(value: &Value) -> Task {
    Task::ALL
        .into_iter()
        .find(|task| *value == task.name())
        .unwrap_or_else(|| panic!("{value} is no task here"))
}

/// Statements, each checked to foot by itself.
pub fn statements(outfit: &Outfit, listing: &Value) -> Vec<Statement> {
    assert!(listing.get("next").is_none(), "there are more statements than fit a page");
    list(listing, "items")
        .iter()
        .map(|item| Statement {
            payee: payee(outfit, &item["payee"]),
            opening: money(&item["opening"]),
            earned: money(&item["earned"]),
            moved: money(&item["moved"]),
            added: money(&item["added"]),
            kept_back: money(&item["kept_back"]),
            closing: money(&item["closing"]),
        })
        .collect()
}

/// Pay in an audit, by contract, terms and rate. Which of a contract's terms a row is about, it does not say: rows of
/// one rate number come in the order of filing, as all rows do.
pub fn audited_pay(outfit: &Outfit, audit: &Value) -> BTreeMap<usize, Vec<(usize, AuditedPay)>> {
    let contracts = list(audit, "contracts").iter();
    contracts
        .map(|contract| {
            let rows = list(contract, "pay").iter().map(|row| {
                let pay = AuditedPay {
                    quantity: quantity(&row["quantity"]),
                    sticks: whole(&row["pieces"]),
                    earned: money(&row["earned"]),
                    posted: money(&row["posted"]),
                };
                assert_eq!(money(&row["open"]), pay.earned - pay.posted, "{row:#}");
                (index(&row["rate_number"]) - 1, pay)
            });
            let rows: Vec<_> = rows.collect();
            let sum = |of: fn(&AuditedPay) -> i64| rows.iter().map(|(_, pay)| of(pay)).sum::<i64>();
            assert_eq!(money(&contract["earned"]), sum(|pay| pay.earned), "{contract:#}");
            assert_eq!(money(&contract["posted"]), sum(|pay| pay.posted), "{contract:#}");
            assert_eq!(money(&contract["open"]), sum(|pay| pay.earned - pay.posted), "{contract:#}");
            (place(&outfit.contracts, &contract["contract_id"]), rows)
        })
        .collect()
}

/// Volumes in an audit, by contract and kind of timber.
pub fn audited_scale(outfit: &Outfit, audit: &Value) -> BTreeMap<(usize, Kind), Scale> {
    let mut scale = BTreeMap::new();
    for contract in list(audit, "contracts") {
        let place = place(&outfit.contracts, &contract["contract_id"]);
        for row in list(contract, "volumes") {
            let kind = (product(&row["product"]), species(&row["species"]), row.get("unit").is_some());
            let counted = Scale {
                sticks: whole(&row["pieces"]),
                culls: whole(&row["culls"]),
                gross: quantity(&row["gross"]),
                net: quantity(&row["net"]),
            };
            let again = scale.insert((place, kind), counted);
            assert!(again.is_none(), "{kind:?} is listed twice: {contract:#}");
        }
    }
    scale
}

fn product(value: &Value) -> Product {
    let products = [Product::Log, Product::Pole, Product::Tie].into_iter();
    let mut named = products.filter(|product| *value == crate::service::forms::product(*product));
    named.next().unwrap_or_else(|| panic!("{value} is no product here"))
}

fn species(value: &Value) -> Species {
    let kinds = [Species::Pine, Species::Hemlock].into_iter();
    let mut named = kinds.filter(|kind| *value == crate::service::forms::species(*kind));
    named.next().unwrap_or_else(|| panic!("{value} is no species here"))
}
