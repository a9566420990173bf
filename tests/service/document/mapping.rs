//! The mapping to the open standards for wood measurement names only what is in the document; and what it promises of
//! volumes holds in every schema.

use std::collections::BTreeSet;

use super::document;

const MAPPING: &str = include_str!("../../../openapi/wood_measurement_mapping.csv");

#[test]
fn every_field_of_the_mapping_is_in_the_document() {
    let document = document();
    let schemas = &document["components"]["schemas"];
    let mut reader = csv::Reader::from_reader(MAPPING.as_bytes());
    assert_eq!(
        reader.headers().expect("a head"),
        ["ours", "says", "papinet", "drmdat", "stanford"].as_slice()
    );
    let mut seen = BTreeSet::new();
    for row in reader.records() {
        let row = row.expect("as many cells as the head");
        let (component, member) = row[0].split_once('.').unwrap_or((&row[0], ""));
        let schema = &schemas[component];
        assert!(schema.is_object(), "there is no {component} in the document");
        assert!(member.is_empty() || schema["properties"].get(member).is_some(), "there is no {}", &row[0]);
        assert!(
            !row[1].is_empty() && seen.insert(row[0].to_owned()),
            "{}: twice, or without a word",
            &row[0]
        );
    }
    assert!(seen.len() > 30, "{seen:?}");
}

/// Wherever a volume is answered there are two: before and after what is taken off for defect.
#[test]
fn gross_and_net_are_apart_everywhere() {
    let document = document();
    let mut both = 0;
    for (name, schema) in document["components"]["schemas"].as_object().expect("schemas") {
        let Some(members) = schema["properties"].as_object() else { continue };
        assert_eq!(
            members.contains_key("gross"),
            members.contains_key("net"),
            "{name} has one volume of two"
        );
        if members.contains_key("gross") {
            both += 1;
        }
        let one = members.keys().find(|member| *member == "volume" && members[*member]["type"] == "string");
        assert_eq!(one, None, "{name}: a volume that is neither gross nor net");
    }
    assert!(both >= 4, "{both}");
}
