//! Money as it is sent to the service.

use serde_json::{Value, json};

use crate::facts::money::{Advance, Charge, Holdback, MoneyRecord, Payee, Payment, Recovery, Release};
use crate::reckoning::division::decimal;
use crate::service::forms::compact;
use crate::service::outfit::Outfit;

fn dollars(cents: i64) -> String {
    decimal(cents, 2)
}

pub fn charge(outfit: &Outfit, charge: &Charge) -> Value {
    let kind = if charge.is_board { "board" } else { "tools" };
    compact(json!({
        "worker_id": outfit.workers[charge.worker], "dated": charge.dated.to_string(), "kind": kind,
        "says": "from the camp", "amount": dollars(charge.cents), "most_a_week": charge.most_a_week.map(dollars),
        "cuts_into_minimum": charge.cuts_into_minimum.then_some(true)
    }))
}

pub fn advance(outfit: &Outfit, advance: &Advance) -> Value {
    let recovery = match advance.recovery {
        Recovery::Whole => None,
        Recovery::MostAWeek(cents) => Some(json!({"by": "most_a_week", "amount": dollars(cents)})),
        Recovery::PartOfPay(part) => Some(json!({"by": "part_of_pay", "percent": decimal(part, 2)})),
    };
    compact(json!({
        "worker_id": outfit.workers[advance.worker], "dated": advance.dated.to_string(),
        "says": "new boots", "amount": dollars(advance.cents), "recovery": recovery
    }))
}

pub fn payment(outfit: &Outfit, payment: &Payment) -> Value {
    let party = match payment.payee {
        Payee::Worker(worker) => json!({"worker_id": outfit.workers[worker]}),
        Payee::Mill(mill) => json!({"mill_id": outfit.mills[mill]}),
    };
    json!({"party": party, "dated": payment.dated.to_string(), "says": "cash", "amount": dollars(payment.cents)})
}

pub fn release(outfit: &Outfit, release: &Release) -> Value {
    json!({
        "worker_id": outfit.workers[release.worker], "contract_id": outfit.contracts[release.contract],
        "dated": release.dated.to_string(), "says": "the tract is done", "amount": dollars(release.cents)
    })
}

pub fn reversal(outfit: &Outfit, record: MoneyRecord) -> Value {
    let record = match record {
        MoneyRecord::Charge(place) => json!({"charge_id": outfit.charges[place]}),
        MoneyRecord::Advance(place) => json!({"advance_id": outfit.advances[place]}),
        MoneyRecord::Payment(place) => json!({"payment_id": outfit.payments[place]}),
        MoneyRecord::Release(place) => json!({"release_id": outfit.releases[place]}),
    };
    json!({"record": record, "reason": "written down for somebody else"})
}

pub fn holdback(holdback: Holdback) -> Value {
    compact(json!({"percent": decimal(holdback.percent, 2), "cap": holdback.cap.map(dollars)}))
}
