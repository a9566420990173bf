//! Terms taken apart into the form and put together again are the same terms.

use desk::pages::contracts::terms::split::{put_together, rows, take_apart};
use proptest::prelude::*;
use serde_json::{Value, json};
use tests::{Furnished, TestApp};

/// Any JSON at all, as deep as terms are.
fn anything() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::Bool),
        (-1000_i64..1000).prop_map(|number| json!(number)),
        prop_oneof![
            "[a-z_ ,\"\\\\\n\t/~é]{0,12}".prop_map(|text| json!(text)),
            proptest::sample::select(vec![
                "log", "gross", "half_up", "price", "", " ", "a, b", "1/3", "0010"
            ])
            .prop_map(|text| json!(text)),
        ],
    ];
    leaf.prop_recursive(3, 24, 4, |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 0..4).prop_map(Value::Array),
            proptest::collection::btree_map("[a-z_]{1,8}", inner, 0..4)
                .prop_map(|members| Value::Object(members.into_iter().collect())),
        ]
    })
}

/// An object with the members that the form knows among others, and anything in them.
fn object(members: &'static [&'static str], inner: BoxedStrategy<Value>) -> BoxedStrategy<Value> {
    proptest::collection::btree_map(
        prop_oneof![4 => proptest::sample::select(members).prop_map(str::to_owned), 1 => "[a-z_]{1,8}"],
        inner,
        0..6,
    )
    .prop_map(|members| Value::Object(members.into_iter().collect()))
    .boxed()
}

fn rate() -> impl Strategy<Value = Value> {
    const OWN: &[&str] =
        &["name", "kind", "task", "product", "unit", "basis", "price", "pays_cull", "covers"];
    const COVERS: &[&str] =
        &["species", "grades", "diameter_in", "length_ft", "skid_distance_ft", "soundness"];
    const BAND: &[&str] = &["from", "below"];
    let names =
        proptest::collection::vec("[a-z ,]{0,6}".prop_map(|name| json!(name)), 0..3).prop_map(Value::Array);
    let band = object(BAND, anything().boxed());
    let covers = object(COVERS, prop_oneof![names, band, anything()].boxed());
    let inner = prop_oneof![3 => anything().boxed(), 1 => covers.clone()].boxed();
    // A rate that says nothing at all is a row that was left empty.
    (object(OWN, inner), covers, "[a-z]{1,5}").prop_map(|(mut rate, covers, name)| {
        rate["covers"] = covers;
        rate["name"] = json!(name);
        rate
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]
    #[test]
    fn nothing_is_lost(
        log in object(&["rule", "one_reading", "least_trim_in", "cull_share", "length_multiple_ft"], anything().boxed()),
        holdback in object(&["percent", "cap"], anything().boxed()),
        other in anything(),
        rates in proptest::collection::vec(rate(), 0..5),
        day in anything(),
    ) {
        let terms = json!({"effective_from": day, "practice": {"log": log, "tie": other.clone()},
                           "holdback": holdback, "check_tolerance": other, "rates": rates});
        let filled = take_apart(&terms);
        let together = put_together(&filled).expect("what was taken apart fits together");
        prop_assert_eq!(&together.terms, &terms);
        prop_assert_eq!(rows(&filled).len(), together.rows.len());
        // A browser sends line breaks as CR and LF, and blanks around a text do no harm.
        let sent = filled.into_iter().map(|(name, text)| (name, text.replace('\n', "\r\n"))).collect();
        prop_assert_eq!(put_together(&sent).expect("as a browser sends it").terms, terms);
    }
}

#[test]
fn all_furnished_terms_come_through() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    for contract in outfit.manager.get("/v1/contracts").expect(200)["items"].as_array().expect("a list") {
        for terms in contract["terms"].as_array().expect("terms") {
            assert_eq!(&put_together(&take_apart(terms)).expect("terms").terms, terms);
        }
    }
}
