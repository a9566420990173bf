//! What each kind of rate makes of a piece, and the reason given where there is no price.

use kernel::{Product, VolumeUnit};
use settlement::{
    AccrualError, Accrued, PieceFacts, PieceVolume, Rates, Task, TurnFacts, UnpricedReason, Work, accrue,
};

use crate::common::{log, read};

fn rates(list: &str) -> Rates {
    serde_json::from_str(list).unwrap()
}

/// One rate for hauling, from its unit and what else is said of it.
fn one(fields: &str) -> Rates {
    rates(&format!(r#"[{{"name": "haul", "task": "hauling", "price": "1", {fields}}}]"#))
}

fn haul(rates: &Rates, pieces: &[PieceFacts], turn: Option<&TurnFacts>) -> Accrued {
    let numbers = pieces.iter().map(|piece| piece.number).collect();
    accrue(rates, &[Work { task: Task::Hauling, pieces: numbers }], pieces, turn).unwrap()
}

/// The quantity of the one accrual, or the code of the one reason with the piece it is about.
fn outcome(accrued: &Accrued) -> String {
    match (accrued.accruals.as_slice(), accrued.unpriced.as_slice()) {
        ([accrual], []) => accrual.quantity.to_string(),
        ([], [unpriced]) => match unpriced.piece {
            Some(piece) => format!("{} {piece}", unpriced.reason.code()),
            None => format!("{} turn", unpriced.reason.code()),
        },
        _ => format!("{accrued:?}"),
    }
}

#[test]
fn each_unit_counts_its_own_thing() {
    // The log holds 60 board feet gross, 40 net, and is 16 feet long.
    let cubic = PieceFacts {
        volume: Some(PieceVolume { unit: VolumeUnit::CubicFoot, gross: read("9.5"), net: read("8") }),
        ..log(1)
    };
    let cull = PieceFacts { cull: true, ..log(1) };
    let unscaled = PieceFacts { volume: None, unscaled: Some("not measured".into()), ..log(1) };
    let cull_unscaled = PieceFacts { cull: true, ..unscaled.clone() };
    let no_length = PieceFacts { length_ft: None, ..log(1) };
    let thousand_gross = r#""unit": "thousand_board_feet", "basis": "gross", "product": "log""#;
    let thousand_net = r#""unit": "thousand_board_feet", "basis": "net", "product": "log""#;
    let hundred_net = r#""unit": "hundred_cubic_feet", "basis": "net", "product": "log""#;
    let cubic_gross = r#""unit": "cubic_foot", "basis": "gross", "product": "log""#;
    let metre = r#""unit": "cubic_metre", "basis": "gross", "product": "log""#;
    let piece = r#""unit": "piece", "product": "log""#;
    let foot = r#""unit": "linear_foot", "product": "log""#;
    let foot_and_cull = r#""unit": "linear_foot", "product": "log", "pays_cull": true"#;
    let gross_without_cull =
        r#""unit": "cubic_foot", "basis": "gross", "product": "log", "pays_cull": false"#;
    let tie = r#""unit": "piece", "product": "tie""#;
    let table = [
        (thousand_gross, log(1), "60"),
        (thousand_net, log(1), "40"),
        (thousand_gross, cull.clone(), "60"),
        (thousand_net, cull.clone(), "0"),
        (thousand_net, cull_unscaled, "0"),
        (thousand_net, cubic.clone(), "other_volume_unit 1"),
        (thousand_net, unscaled.clone(), "no_volume 1"),
        (hundred_net, cubic.clone(), "8"),
        (hundred_net, log(1), "other_volume_unit 1"),
        (cubic_gross, cubic.clone(), "9.5"),
        (gross_without_cull, PieceFacts { cull: true, ..cubic.clone() }, "0"),
        (metre, cubic, "other_volume_unit 1"),
        (piece, log(1), "1"),
        (piece, unscaled, "1"),
        (piece, cull.clone(), "0"),
        (foot, log(1), "16"),
        (foot, cull.clone(), "0"),
        (foot_and_cull, cull, "16"),
        (foot, no_length, "no_length 1"),
        (tie, log(1), "no_rate 1"),
    ];
    for (fields, piece, expected) in table {
        let accrued = haul(&one(fields), std::slice::from_ref(&piece), None);
        assert_eq!(outcome(&accrued), expected, "{fields} {piece:?}");
    }
}

#[test]
fn piles_are_counted_by_the_space_they_fill() {
    let pile = PieceFacts {
        product: Product::RankedPile,
        diameter_in: None,
        length_ft: Some(read("4")),
        volume: Some(PieceVolume { unit: VolumeUnit::Cord, gross: read("1.06"), net: read("1.01") }),
        ..log(1)
    };
    let stacked = PieceFacts {
        volume: Some(PieceVolume {
            unit: VolumeUnit::StackedCubicMetre,
            gross: read("6.19"),
            net: read("6"),
        }),
        ..pile.clone()
    };
    let cord_gross = r#""unit": "cord", "basis": "gross", "product": "ranked_pile""#;
    let cord_net = r#""unit": "cord", "basis": "net", "product": "ranked_pile""#;
    let metre_net = r#""unit": "stacked_cubic_metre", "basis": "net", "product": "ranked_pile""#;
    let cord_by_stick = |band: &str| format!(r#"{cord_net}, "covers": {{"length_ft": {band}}}"#);
    let (short, long) = (cord_by_stick(r#"{"below": "6"}"#), cord_by_stick(r#"{"from": "6"}"#));
    let table = [
        (cord_gross, pile.clone(), "1.06"),
        (cord_net, pile.clone(), "1.01"),
        (cord_net, PieceFacts { cull: true, ..pile.clone() }, "0"),
        (cord_net, stacked.clone(), "other_volume_unit 1"),
        (metre_net, stacked, "6"),
        (metre_net, pile.clone(), "other_volume_unit 1"),
        (&short, pile.clone(), "1.01"),
        (&long, pile, "no_rate 1"),
    ];
    for (fields, piece, expected) in table {
        let accrued = haul(&one(fields), std::slice::from_ref(&piece), None);
        assert_eq!(outcome(&accrued), expected, "{fields} {piece:?}");
    }
}

#[test]
fn a_missing_fact_is_named() {
    let table = [
        (r#"{"diameter_in": {"from": "8"}}"#, PieceFacts { diameter_in: None, ..log(1) }, "no_diameter 1"),
        (r#"{"diameter_in": {"from": "12"}}"#, log(1), "no_rate 1"),
        (r#"{"length_ft": {"from": "8"}}"#, PieceFacts { length_ft: None, ..log(1) }, "no_length 1"),
        (r#"{"grades": ["1"]}"#, PieceFacts { grade: None, ..log(1) }, "no_grade 1"),
        (r#"{"grades": ["2"]}"#, log(1), "no_rate 1"),
        (r#"{"species": ["Pine"]}"#, log(1), "1"),
        (r#"{"species": ["fir"]}"#, log(1), "no_rate 1"),
        // Apart in one respect is apart, whatever is missing in another.
        (r#"{"species": ["fir"], "grades": ["1"]}"#, PieceFacts { grade: None, ..log(1) }, "no_rate 1"),
    ];
    for (covers, piece, expected) in table {
        let rates = one(&format!(r#""unit": "piece", "product": "log", "covers": {covers}"#));
        assert_eq!(outcome(&haul(&rates, &[piece], None)), expected, "{covers}");
    }
}

#[test]
fn distance_is_asked_of_the_turn() {
    let near = r#""covers": {"haul_distance_mi": {"below": "5"}}"#;
    let hauled = |miles: &str| TurnFacts { haul_distance_mi: Some(read(miles)), skid_distance_ft: None };
    let table = [
        (r#""unit": "turn""#.to_owned(), None, "no_turn turn"),
        (r#""unit": "turn""#.to_owned(), Some(TurnFacts::default()), "1"),
        (format!(r#""unit": "turn", {near}"#), Some(TurnFacts::default()), "no_distance turn"),
        (format!(r#""unit": "turn", {near}"#), Some(hauled("4.999999")), "1"),
        (format!(r#""unit": "turn", {near}"#), Some(hauled("5")), "no_rate 1"),
        (format!(r#""unit": "piece", "product": "log", {near}"#), None, "no_turn 1"),
        (
            format!(r#""unit": "piece", "product": "log", {near}"#),
            Some(TurnFacts::default()),
            "no_distance 1",
        ),
        (format!(r#""unit": "piece", "product": "log", {near}"#), Some(hauled("0")), "1"),
    ];
    for (fields, turn, expected) in table {
        assert_eq!(outcome(&haul(&one(&fields), &[log(1)], turn.as_ref())), expected, "{fields} {turn:?}");
    }
}

#[test]
fn a_turn_counts_once_for_all_its_pieces_cull_or_not() {
    let tie = PieceFacts { number: 2, product: Product::Tie, cull: true, ..log(2) };
    let accrued = haul(&one(r#""unit": "turn""#), &[log(1), tie, log(3)], Some(&TurnFacts::default()));
    assert_eq!(outcome(&accrued), "1");
    assert_eq!(accrued.accruals[0].pieces, [1, 2, 3]);
    let missing = haul(&one(r#""unit": "turn""#), &[log(1), log(2)], None);
    assert_eq!(outcome(&missing), "no_turn turn");
}

#[test]
fn each_piece_goes_to_its_own_rate_and_each_task_by_itself() {
    let rates = rates(
        r#"[
            {"name": "large", "task": "felling", "product": "log", "unit": "thousand_board_feet", "basis": "gross",
             "price": "8", "covers": {"diameter_in": {"from": "12"}}},
            {"name": "small", "task": "felling", "product": "log", "unit": "thousand_board_feet", "basis": "gross",
             "price": "10", "covers": {"diameter_in": {"below": "12"}}},
            {"name": "buck", "task": "bucking", "product": "log", "unit": "piece", "price": "0.05"}
        ]"#,
    );
    let large = PieceFacts { diameter_in: Some(read("12")), ..log(2) };
    let pieces = [log(1), large, PieceFacts { product: Product::Pole, ..log(3) }];
    let work = [
        Work { task: Task::Bucking, pieces: vec![2, 1, 2] },
        Work { task: Task::Felling, pieces: vec![3, 2] },
        Work { task: Task::Felling, pieces: vec![1, 2] },
        Work { task: Task::Loading, pieces: vec![] },
    ];
    let accrued = accrue(&rates, &work, &pieces, None).unwrap();
    let seen: Vec<_> = accrued
        .accruals
        .iter()
        .map(|one| (one.task, one.rate, one.quantity.to_string(), one.pieces.as_slice()))
        .collect();
    assert_eq!(
        seen,
        [
            (Task::Felling, 0, "60".to_owned(), [2].as_slice()),
            (Task::Felling, 1, "60".to_owned(), &[1]),
            (Task::Bucking, 2, "2".to_owned(), &[1, 2]),
        ]
    );
    let unpriced: Vec<_> = accrued.unpriced.iter().map(|one| (one.task, one.piece, &one.reason)).collect();
    assert_eq!(unpriced, [(Task::Felling, Some(3), &UnpricedReason::NoRate)]);
}

#[test]
fn a_ticket_that_contradicts_itself_is_refused() {
    let work = [Work { task: Task::Hauling, pieces: vec![1, 9] }];
    let rates = one(r#""unit": "piece", "product": "log""#);
    let unknown = AccrualError::UnknownPiece { task: Task::Hauling, piece: 9 };
    assert_eq!(accrue(&rates, &work, &[log(1)], None), Err(unknown));
    assert_eq!(accrue(&rates, &[], &[log(1), log(1)], None), Err(AccrualError::RepeatedPiece(1)));
}

#[test]
fn a_sum_too_large_is_refused_not_wrapped() {
    let huge =
        |number| PieceFacts { length_ft: Some(kernel::Fixed::from_millionths(i64::MAX)), ..log(number) };
    let work = [Work { task: Task::Hauling, pieces: vec![1, 2] }];
    let refused =
        accrue(&one(r#""unit": "linear_foot", "product": "log""#), &work, &[huge(1), huge(2)], None);
    assert_eq!(refused, Err(AccrualError::Number(kernel::NumberError::TooLarge)));
}

#[test]
fn every_reason_has_its_own_code_and_is_read_back() {
    let reasons = [
        UnpricedReason::NoContract,
        UnpricedReason::NoTerms,
        UnpricedReason::NoRate,
        UnpricedReason::NoVolume { why: "burnt".into() },
        UnpricedReason::OtherVolumeUnit { wanted: VolumeUnit::BoardFoot, found: VolumeUnit::CubicFoot },
        UnpricedReason::NoGrade,
        UnpricedReason::NoDiameter,
        UnpricedReason::NoLength,
        UnpricedReason::NoTurn,
        UnpricedReason::NoDistance,
    ];
    let codes: std::collections::BTreeSet<_> = reasons.iter().map(UnpricedReason::code).collect();
    assert_eq!(codes.len(), reasons.len());
    for reason in reasons {
        let text = serde_json::to_string(&reason).unwrap();
        assert!(text.starts_with(&format!(r#"{{"code":"{}""#, reason.code())), "{text}");
        assert_eq!(serde_json::from_str::<UnpricedReason>(&text).unwrap(), reason);
    }
    assert!(serde_json::from_str::<UnpricedReason>(r#"{"code": "no_rate", "why": "?"}"#).is_err());
}
