//! Every address that an audit names is followed; what lies there adds up to the figure it stands beside.

use std::collections::BTreeMap;

use serde_json::Value;
use tests::{Actor, TestApp};

use super::busy::{Busy, SPAN};
use super::naive::{all, figures, key, millionths, stages};
use crate::world::text;

fn cents(money: &Value) -> i64 {
    let amount = text(money, "amount");
    let negative = amount.starts_with('-');
    let digits: i64 = amount.replace(['.', '-'], "").parse().expect("cents");
    if negative { -digits } else { digits }
}

/// The addresses of one kind beside a row.
fn addresses(row: &Value, kind: &str) -> Vec<String> {
    let made_of = row["made_of"].as_array().unwrap_or_else(|| panic!("nothing is said of {row:#}"));
    made_of.iter().filter(|one| one["kind"] == kind).map(|one| text(one, "address")).collect()
}

/// How many addresses were followed, by kind.
#[derive(Debug, Default)]
struct Followed(BTreeMap<String, usize>);

impl Followed {
    fn list(&mut self, actor: &Actor, row: &Value, kind: &str) -> Vec<Value> {
        let addresses = addresses(row, kind);
        *self.0.entry(kind.to_owned()).or_default() += addresses.len();
        addresses.iter().flat_map(|address| all(actor, address)).collect()
    }

    fn count(&self, kind: &str) -> usize {
        self.0.get(kind).copied().unwrap_or(0)
    }
}

fn stage(actor: &Actor, row: &Value, followed: &mut Followed) {
    let tickets = followed.list(actor, row, "tickets");
    assert!(!tickets.is_empty(), "{row:#}");
    let found = stages(actor, &tickets);
    assert_eq!(found.get(&key(row)), Some(&figures(row)), "{row:#}");
    // Each of them has the row's timber at the row's stage: nothing was fetched for nothing.
    for ticket in &tickets {
        let alone = stages(actor, std::slice::from_ref(ticket));
        let wanted = key(row);
        assert!(
            alone.keys().any(|one| (&one.0, &one.1, &one.2) == (&wanted.0, &wanted.1, &wanted.2)),
            "{row:#}"
        );
    }
}

/// A contract's volume: the pieces of its tickets that it pays for.
fn volume(actor: &Actor, contract: &str, row: &Value, followed: &mut Followed) {
    let mut sum = (0, 0, 0, 0);
    for ticket in followed.list(actor, row, "tickets") {
        let Some(scaled) = of_contract(&ticket, contract) else { continue };
        for (place, piece) in ticket["ticket"]["pieces"].as_array().expect("pieces").iter().enumerate() {
            let paid = scaled["accruals"].as_array().expect("accruals").iter().any(|accrual| {
                accrual["pieces"].as_array().expect("pieces").iter().any(|number| *number == place + 1)
            });
            let volume = &scaled["pieces"][place];
            let same = piece["product"] == row["product"]
                && text(piece, "species").to_lowercase() == text(row, "species")
                && volume.get("unit") == row.get("unit");
            if paid && same {
                sum.0 += 1;
                sum.1 += i64::from(volume.get("cull").is_some());
                sum.2 += millionths(&volume["gross"]);
                sum.3 += millionths(&volume["net"]);
            }
        }
    }
    assert_eq!(sum, figures(row), "{row:#}");
}

fn of_contract<'a>(ticket: &'a Value, contract: &str) -> Option<&'a Value> {
    ticket["scaled"].as_array()?.iter().find(|one| one["contract_id"] == contract)
}

/// A rate's quantity, pieces and earnings from the tickets; what was posted from the lines.
fn pay(actor: &Actor, contract: &Value, row: &Value, followed: &mut Followed) {
    let id = text(contract, "contract_id");
    let (mut quantity, mut pieces) = (0, 0);
    for ticket in followed.list(actor, row, "tickets") {
        let Some(scaled) = of_contract(&ticket, &id).filter(|one| one["terms_id"] == row["terms_id"]) else {
            continue;
        };
        for accrual in scaled["accruals"].as_array().expect("accruals") {
            if accrual["rate_number"] == row["rate_number"] {
                quantity += millionths(&accrual["quantity"]);
                pieces += i64::try_from(accrual["pieces"].as_array().expect("pieces").len()).expect("few");
            }
        }
    }
    assert_eq!((quantity, pieces), (millionths(&row["quantity"]), row["pieces"].as_i64().expect("pieces")));
    let mut posted = 0;
    for address in addresses(row, "settlement_line") {
        *followed.0.entry("settlement_line".to_owned()).or_default() += 1;
        let line = &actor.get(&address).expect(200)["line"];
        assert_eq!((&line["terms_id"], &line["rate_number"]), (&row["terms_id"], &row["rate_number"]));
        posted += cents(&line["amount"]);
    }
    for statement in followed.list(actor, row, "statements") {
        if statement["payee"].get("mill_id") != contract["party"].get("mill_id") {
            continue;
        }
        let id = text(&statement, "statement_id");
        let statement = actor.get(&format!("/v1/statements/{id}")).expect(200);
        for line in statement["lines"].as_array().expect("lines") {
            let same = ["contract_title", "rate_name"].map(|member| line[member].clone())
                == [contract["contract_title"].clone(), row["rate_name"].clone()];
            // A rate filed anew goes by the same name; its price tells it from the one before.
            if same && line["price"] == row["price"] {
                posted += cents(&line["amount"]);
            }
        }
    }
    assert_eq!(posted, cents(&row["posted"]), "{row:#}");
    assert_eq!(cents(&row["open"]), cents(&row["earned"]) - posted, "{row:#}");
}

#[test]
fn every_address_leads_to_what_its_figure_is_made_of() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    let shown = actor.get(&format!("/v1/audit/volume-against-pay?{SPAN}")).expect(200);
    let mut followed = Followed::default();
    let weeks = shown["weeks"].as_array().expect("weeks").iter();
    let of_weeks = weeks.flat_map(|week| week["stages"].as_array().expect("rows"));
    for row in shown["stages"].as_array().expect("rows").iter().chain(of_weeks) {
        stage(actor, row, &mut followed);
    }
    for contract in shown["contracts"].as_array().expect("contracts") {
        for row in contract["volumes"].as_array().expect("volumes") {
            volume(actor, &text(contract, "contract_id"), row, &mut followed);
        }
        for row in contract["pay"].as_array().expect("pay") {
            pay(actor, contract, row, &mut followed);
        }
    }
    for row in shown["payees"].as_array().expect("payees") {
        payee(actor, row, &mut followed);
    }
    for row in shown["margin"]["rows"].as_array().expect("rows") {
        let tickets = followed.list(actor, row, "tickets");
        assert_eq!(i64::try_from(tickets.len()).ok(), row["tickets"].as_i64());
        let mut exact = 0;
        for ticket in &tickets {
            assert_eq!(ticket["ticket"]["delivered_to"], row["mill_id"]);
            exact += mills_net(ticket, &busy);
        }
        let net: i64 =
            row["volumes"].as_array().expect("volumes").iter().map(|one| millionths(&one["net"])).sum();
        assert_eq!(exact, net, "{row:#}");
    }
    for (kind, least) in
        [("tickets", 60), ("settlement_line", 8), ("statements", 8), ("payments", 5), ("balances", 5)]
    {
        assert!(followed.count(kind) >= least, "{followed:?}");
    }
}

/// The net volume of the pieces that a ticket's mill pays for, in millionths.
fn mills_net(ticket: &Value, busy: &Busy) -> i64 {
    let mill =
        if ticket["ticket"]["delivered_to"] == *busy.upper_mill { &busy.upper } else { &busy.outfit.mill };
    // A mill is shown its own scale and no other.
    let seen = mill.get(&format!("/v1/tickets/{}", text(ticket, "ticket_id"))).expect(200);
    let Some(scaled) = seen["scaled"].get(0) else { return 0 };
    let paid = scaled["accruals"].as_array().expect("accruals").iter();
    paid.flat_map(|accrual| accrual["pieces"].as_array().expect("pieces"))
        .map(|number| {
            let place = usize::try_from(number.as_u64().expect("a number") - 1).expect("a place");
            millionths(&scaled["pieces"][place]["net"])
        })
        .sum()
}

/// What was paid and what the account stands at; statements carry what was posted.
fn payee(actor: &Actor, row: &Value, followed: &mut Followed) {
    let payments = followed.list(actor, row, "payments");
    let paid = payments.iter().filter(|one| one.get("reversed").is_none()).map(|one| cents(&one["amount"]));
    assert_eq!(paid.sum::<i64>(), cents(&row["paid"]), "{row:#}");
    let payee = &row["payee"];
    for address in addresses(row, "balances") {
        *followed.0.entry("balances".to_owned()).or_default() += 1;
        let balances = actor.get(&address).expect(200);
        let own = balances["items"].as_array().expect("items").iter().find(|one| one["payee"] == *payee);
        assert_eq!(own.map_or(0, |one| cents(&one["balance"])), cents(&row["balance"]), "{row:#}");
    }
    // All that was ever posted falls into the span here.
    let statements = followed.list(actor, row, "statements");
    let earned = statements.iter().map(|one| cents(&one["earned"]));
    assert_eq!(earned.sum::<i64>(), cents(&row["posted"]), "{row:#}");
}

#[test]
fn a_mill_can_follow_what_it_is_shown() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    for mill in [&busy.outfit.mill, &busy.upper] {
        let shown = mill.get(&format!("/v1/audit/volume-against-pay?{SPAN}")).expect(200);
        let mut followed = Followed::default();
        for row in shown["stages"].as_array().expect("rows") {
            stage(mill, row, &mut followed);
        }
        for contract in shown["contracts"].as_array().expect("contracts") {
            for row in contract["volumes"].as_array().expect("volumes") {
                volume(mill, &text(contract, "contract_id"), row, &mut followed);
            }
            for row in contract["pay"].as_array().expect("pay") {
                pay(mill, contract, row, &mut followed);
            }
        }
        for row in shown["payees"].as_array().expect("payees") {
            assert!(addresses(row, "payments").is_empty() && addresses(row, "balances").is_empty());
            let _statements = followed.list(mill, row, "statements");
        }
        let report = mill.get(&format!("/v1/reports/audit?{SPAN}")).expect(200);
        for row in report["defect_by_scaler"].as_array().expect("rows") {
            let _tickets = followed.list(mill, row, "tickets");
        }
        assert!(followed.count("tickets") > 3, "{followed:?}");
    }
}
