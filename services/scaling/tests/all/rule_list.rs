//! The list of rules holds together: names, facts, editions.

use std::collections::BTreeSet;

use kernel::VolumeUnit;
use scaling::RuleName;

#[test]
fn names_read_back_and_agree_with_json() {
    for rule in RuleName::ALL {
        assert_eq!(rule.name().parse(), Ok(rule));
        assert_eq!(serde_json::to_value(rule).unwrap(), rule.name());
    }
    let said = "dolly".parse::<RuleName>().unwrap_err().to_string();
    assert!(
        said.starts_with("\"dolly\" is not a log rule: write one of scribner-decimal-c, scribner, doyle,")
    );
}

#[test]
fn facts_belong_to_their_rule_and_editions_are_distinct() {
    let mut editions = BTreeSet::new();
    for rule in RuleName::ALL {
        let facts = rule.facts();
        assert_eq!(facts.name, rule);
        assert!(facts.edition.starts_with(rule.name()));
        assert!(editions.insert(facts.edition));
        assert!(!facts.units.is_empty());
        assert!(!facts.source.is_empty());
    }
    assert_eq!(editions.len(), 31);
}

#[test]
fn board_foot_rules_alone_take_whole_inches_by_custom() {
    for rule in RuleName::ALL {
        let facts = rule.facts();
        assert_eq!(facts.whole_inches, facts.units == [VolumeUnit::BoardFoot] && !facts.solid, "{rule}");
    }
}
