//! Published weeks of wages: pieceworkers' overtime, guarantees, rest, and what may be kept back.

use kernel::{Exact, Fixed, Money};
use serde_json::json;
use settlement::{ChargeKind, Due, Hours, Keeping, Purse, WageTerms, WorkedWeek, take_off, wages};

use super::{cell, rows};

fn money(text: &str) -> Money {
    Money::parse(text, "USD".parse().expect("a currency")).expect("an amount")
}

fn hours(text: &str) -> Hours {
    Hours::try_from(text.parse::<Fixed>().expect("a number")).expect("hours of a week")
}

#[test]
fn every_published_week() {
    for row in rows("wages.csv") {
        let (id, text) = (cell(&row, 0), |column| cell(&row, column));
        let given = |column| Some(text(column)).filter(|text| !text.is_empty());
        let terms: WageTerms = serde_json::from_value(json!({
            "guarantee_an_hour": given(6),
            "minimum_an_hour": given(7),
            "overtime": given(8).map(|after| json!({"after_hours": after})),
            "rest": text(9),
            "regular_rate": text(10),
        }))
        .expect("wage terms");
        let week = WorkedWeek {
            by_pieces: money(text(1)),
            by_time: money(text(2)),
            piece_hours: hours(text(3)),
            time_hours: hours(text(4)),
            rest_hours: hours(text(5)),
        };
        let added = wages(&terms, &week).expect("wages");
        assert_eq!(added.guarantee_make_up, money(text(11)), "{id}: guarantee");
        assert_eq!(added.minimum_make_up, money(text(12)), "{id}: minimum");
        assert_eq!(added.rest_pay, money(text(13)), "{id}: rest");
        if id == "W032" || id == "W043" {
            // Printed are the rate before rest was added, or one rounded to the cent.
            assert!(added.working.iter().any(|says| says.contains(text(14))), "{id}: {:?}", added.working);
        } else {
            let rate: Exact = text(14).parse().expect("a rate");
            assert_eq!(added.regular_rate, Some(rate), "{id}: regular rate");
        }
        assert_eq!(added.overtime_premium, money(text(15)), "{id}: overtime");
        let sum = week.by_pieces.plus(week.by_time).and_then(|sum| sum.plus(added.added().expect("a sum")));
        assert_eq!(sum.expect("a sum"), money(text(16)), "{id}: total");
    }
}

#[test]
fn every_published_limit_to_charges() {
    let charge = |kind, amount: &str, cuts_into_minimum| Due {
        keeping: Keeping::Charge {
            charge: "0197a000-0000-7000-8000-000000000001".parse().expect("an id"),
            kind,
        },
        amount: money(amount),
        cuts_into_minimum,
    };
    for row in rows("charges.csv") {
        let (id, text) = (cell(&row, 0), |column| cell(&row, column));
        let number = |column| text(column).parse::<Fixed>().expect("a number").exact();
        let floor = number(2).times(number(3)).expect("a floor");
        let pay = money(text(1));
        let purse = Purse {
            pay,
            brought_forward: Money::zero(pay.currency()),
            protected: Money::from_exact(floor, pay.currency()).expect("an amount"),
        };
        // The charge that may not cut into the minimum comes first: the other is taken from what is left.
        let dues = [charge(ChargeKind::Tools, text(5), false), charge(ChargeKind::Board, text(4), true)];
        let kept = take_off(&purse, &dues).expect("what is kept");
        assert_eq!(kept[0].taken, money(text(7)), "{id}: tools");
        assert_eq!(kept[0].carried, money(text(8)), "{id}: carried");
        assert_eq!(kept[1].taken, money(text(6)), "{id}: board");
    }
}
