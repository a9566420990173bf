//! How the crate's types look in an API document: the same members as the documents have, and texts where
//! numbers are texts.

use serde_json::Value;
use utoipa::PartialSchema;

fn schema<T: PartialSchema>() -> Value {
    serde_json::to_value(T::schema()).unwrap()
}

#[test]
fn a_log_is_described_member_by_member() {
    let log = schema::<scaling::Log>();
    // The small end and the length are needed in one of two systems, which the description says.
    assert_eq!(log["required"], serde_json::json!(["species"]));
    assert!(log["description"].as_str().unwrap().contains("needed in the one or the other"));
    assert_eq!(log["additionalProperties"], false);
    assert_eq!(log["properties"].as_object().unwrap().len(), 15);
}

#[test]
fn a_pile_is_described_member_by_member() {
    let pile = schema::<scaling::RankedPile>();
    assert_eq!(pile["required"], serde_json::json!(["species"]));
    assert_eq!(pile["additionalProperties"], false);
    assert_eq!(pile["properties"].as_object().unwrap().len(), 14);
    assert_eq!(
        (&pile["properties"]["heights"]["minItems"], &pile["properties"]["heights"]["maxItems"]),
        (&1.into(), &20.into())
    );
    let practice = schema::<scaling::RankedPilePractice>().to_string();
    assert!(practice.contains("stacked_cubic_metre"), "{practice}");
}

#[test]
fn tagged_documents_keep_their_tags() {
    let text = schema::<scaling::Defect>().to_string();
    for method in [
        "squared",
        "pie_cut",
        "length_cut",
        "diameter_cut",
        "sweep",
        "crook",
        "ellipse",
        "sound_core",
        "estimate",
        "noted",
    ] {
        assert!(text.contains(&format!("\"enum\":[\"{method}\"]")), "{text}");
    }
    let text = schema::<scaling::Piece>().to_string();
    assert!(text.contains("\"propertyName\":\"product\"") || text.contains("hewn_timber"), "{text}");
}

#[test]
fn only_the_rule_of_a_log_practice_is_required() {
    let practice = schema::<scaling::LogPractice>();
    assert_eq!(practice["required"], serde_json::json!(["rule"]));
    assert_eq!(schema::<scaling::RuleName>()["enum"].as_array().unwrap().len(), scaling::RuleName::ALL.len());
    assert_eq!(schema::<scaling::Inches>()["type"], "string");
    assert_eq!(schema::<scaling::DirectRequest>()["required"], serde_json::json!(["rule"]));
    assert!(schema::<scaling::HewnPractice>().get("required").is_none());
    assert!(schema::<scaling::TiePractice>().get("required").is_none());
}
