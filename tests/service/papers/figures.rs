//! Every figure and name of the reply that belongs on a paper is on the page and in the document, and no figure is on either
//! that is not in the reply.

use std::collections::{BTreeMap, BTreeSet};

use scraper::{ElementRef, Html, Node};
use serde_json::Value;

use super::camp::{Camp, Place};
use super::document::{Document, can_read, fonts_are_in_it};
use crate::auditing::page::all;

/// The text of a page's header and main part, its elements apart; without the outfit's line and the list of sections,
/// which stand at the head of each page of a document.
pub fn page_text(page: &Html) -> String {
    let mut text = String::new();
    for part in ["header", "main"] {
        for element in all(page, part) {
            gather(element, &mut text);
        }
    }
    text
}

fn gather(element: ElementRef<'_>, text: &mut String) {
    let left_out = ["style", "nav", "svg"].contains(&element.value().name())
        || element.value().classes().any(|class| class == "outfit");
    if left_out {
        return;
    }
    for child in element.children() {
        match child.value() {
            Node::Text(words) => text.push_str(words),
            _ => {
                if let Some(element) = ElementRef::wrap(child) {
                    gather(element, text);
                    text.push(' ');
                }
            }
        }
    }
}

/// The figures in a text: digits with a decimal point and a sign, as often as they stand there. A date is three of them.
fn figures(text: &str) -> BTreeMap<String, usize> {
    let mut found = BTreeMap::new();
    let mut token = String::new();
    for letter in text.chars().chain([' ']) {
        if letter.is_ascii_digit() || letter == '.' && token.ends_with(|one: char| one.is_ascii_digit()) {
            token.push(letter);
        } else if !token.is_empty() {
            *found.entry(token.trim_end_matches('.').to_owned()).or_default() += 1;
            token.clear();
        }
    }
    found
}

/// Every text and number of a reply, with the name of its member.
fn scalars<'a>(name: &'a str, value: &'a Value, found: &mut Vec<(&'a str, String)>) {
    match value {
        Value::String(text) => found.push((name, text.clone())),
        Value::Number(number) => found.push((name, number.to_string())),
        Value::Array(items) => items.iter().for_each(|item| scalars(name, item, found)),
        Value::Object(members) => members.iter().for_each(|(name, member)| scalars(name, member, found)),
        Value::Bool(_) | Value::Null => {}
    }
}

/// Members that are for programs: ids behind names, codes that are written in words, exact fractions beside what they are
/// rounded to, and addresses.
const FOR_PROGRAMS: [&str; 45] = [
    "set_aside_id",
    "made_at",
    "address",
    "agreement",
    "advice",
    "advance_id",
    "basis",
    "charge_id",
    "contract_id",
    "crew_id",
    "currency",
    "defect_share",
    "exact",
    "found_by",
    "job_id",
    "journal_entry_id",
    "kind",
    "landing_id",
    "mill_id",
    "owed_exact",
    "outcome",
    "parts_by_hours",
    "pieces_shown",
    "product",
    "protected",
    "rule",
    "rules",
    "scaler_certificate_id",
    "share_set_id",
    "stage",
    "state",
    "supplement",
    "terms_id",
    "ticket_id",
    "unit",
    "method",
    "worker_id",
    "role",
    "reason",
    "delivered_to",
    "corrects",
    "corrected_by",
    "per",
    "stages_say",
    "rate_number",
];

/// Members of a kind of paper that it leaves to the service, each for a reason.
fn left_out(kind: &str) -> &'static [&'static str] {
    match kind {
        // What a settlement comes to for him is what the statement foots to.
        "statement" => &["total"],
        // The facts of a stick are told in words; see `sizes_of_a_stick_are_all_there`.
        "ticket" => &["pieces", "sent_at", "device_clock_ahead_seconds", "totals", "work", "turn"],
        // Cells by week stand in the charts' tables; what is counted by kind where there is none is not told.
        "report" => &[
            "exceptions",
            "check_scales",
            "tickets_without_crew_cost",
            "tickets_without_price",
            "pay",
            "volumes",
            "cost_by_week",
            "margin",
            "rate_name",
            "made_of",
        ],
        _ => &[],
    }
}

/// A reply without what is not for the paper.
///
/// What was before and what is now stands on adjustments alone: of a line of this week both are the line itself.
fn for_paper(value: &Value, kind: &str) -> Value {
    match value {
        Value::Object(members) => members
            .iter()
            .filter(|(name, _)| {
                value["kind"] != "regular" || !(name.starts_with("now_") || name.starts_with("formerly_"))
            })
            .filter(|(name, _)| {
                !FOR_PROGRAMS.contains(&name.as_str()) && !left_out(kind).contains(&name.as_str())
            })
            .map(|(name, member)| (name.clone(), for_paper(member, kind)))
            .collect(),
        Value::Array(items) => items.iter().map(|item| for_paper(item, kind)).collect(),
        other => other.clone(),
    }
}

fn words(text: &str) -> BTreeSet<String> {
    text.split_whitespace().map(str::to_owned).collect()
}

/// The figures that may be on a paper: those of the reply, sticks by their place, and percentages of defect.
fn allowed(reply: &Value) -> BTreeSet<String> {
    let mut scalars_of_it = Vec::new();
    scalars("", reply, &mut scalars_of_it);
    let mut allowed: BTreeSet<String> =
        scalars_of_it.iter().flat_map(|(_, text)| figures(text).into_keys()).collect();
    percentages(reply, &mut allowed);
    if let Some(pieces) = reply.pointer("/ticket/pieces").and_then(Value::as_array) {
        allowed.extend((1..=pieces.len()).map(|place| place.to_string()));
        // Corners of wane are counted in words.
        allowed.extend((1..=4).map(|corners| corners.to_string()));
    }
    allowed
}

/// Gross less net in percent of gross, to a tenth, halves up, the plainest way.
fn percentages(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(members) => {
            let millionths = |name: &str| {
                let fixed: Option<kernel::Fixed> = members.get(name)?.as_str()?.parse().ok();
                fixed.map(|fixed| i128::from(fixed.millionths()))
            };
            if let (Some(gross), Some(net)) = (millionths("gross"), millionths("net"))
                && gross > 0
            {
                let tenths = ((gross - net) * 2000 + gross) / (2 * gross);
                let (whole, tenth) = (tenths / 10, tenths % 10);
                found.insert(if tenth == 0 { whole.to_string() } else { format!("{whole}.{tenth}") });
            }
            members.values().for_each(|member| percentages(member, found));
        }
        Value::Array(items) => items.iter().for_each(|item| percentages(item, found)),
        _ => {}
    }
}

/// What the report adds up or counts itself: charts' captions, places in a sample, thresholds in words.
fn counted_by_the_report(page: &Html, text: &str) -> BTreeSet<String> {
    let captions = all(page, "figcaption").into_iter().map(|one| one.text().collect::<String>());
    let places = all(page, "table[id^=table-check-] tbody th").into_iter().map(|one| one.text().collect());
    let counts = captions.chain(places).flat_map(|text: String| figures(&text).into_keys());
    let mut counts: BTreeSet<_> = counts.collect();
    if text.contains("thousand") {
        counts.insert("12".to_owned());
    }
    counts
}

/// What differs between a reply and its paper.
fn compare(camp: &Camp, place: &Place, faults: &mut BTreeSet<String>) {
    let office = &camp.busy.outfit.manager;
    let reply = office.get(&place.path).expect(200);
    let page = office.get(&place.form("format=html"));
    assert_eq!(page.status, 200, "{}", page.text);
    let html = Html::parse_document(&page.text);
    assert!(html.errors.is_empty(), "{:?}", html.errors);
    let text = page_text(&html);
    let told: String = text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let mut belongs = Vec::new();
    let for_paper = for_paper(&reply, place.kind);
    scalars("", &for_paper, &mut belongs);
    assert!(belongs.len() > 3, "{place:?}");
    for (name, value) in &belongs {
        let value: String = value.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        let outfit = *name == "outfit_name";
        if !outfit && !told.contains(&value) {
            faults.insert(format!("{place:?}: {name} is {value:?}, and not on the page"));
        }
    }
    let mut allowed = allowed(&reply);
    if place.kind == "report" {
        allowed.extend(counted_by_the_report(&html, &text));
    }
    for figure in figures(&text).into_keys() {
        if !allowed.contains(&figure) {
            faults.insert(format!("{place:?}: {figure} is on the page, and not in the reply"));
        }
    }
    if can_read() {
        in_the_document(camp, place, &text, &belongs, faults);
    }
}

fn in_the_document(
    camp: &Camp,
    place: &Place,
    page: &str,
    belongs: &[(&str, String)],
    faults: &mut BTreeSet<String>,
) {
    // The same on both papers; tickets and sheets are many, and one paper of them will do.
    let sizes =
        if ["statement", "report"].contains(&place.kind) { &["letter", "a4"][..] } else { &["letter"] };
    for paper in sizes {
        let reply = camp.busy.outfit.manager.get(&place.form(&format!("format=pdf&paper={paper}")));
        assert_eq!(reply.status, 200, "{}", reply.text);
        fonts_are_in_it(&reply.bytes);
        let document = Document::read(&reply.bytes);
        let text = document.text();
        let heads = document.heads.join("\n");
        let all_words = words(&format!("{text}\n{heads}").to_lowercase());
        let joined: String = text.split_whitespace().collect::<String>().to_lowercase();
        for (name, value) in belongs {
            for word in value.to_lowercase().split_whitespace() {
                if !all_words.contains(word) && !joined.contains(word) {
                    faults.insert(format!("{place:?}: {word} of {name} is not in the document"));
                }
            }
        }
        if place.kind == "report" {
            // Its charts' letters are text in the document too: there must be no less than on the page.
            let (page, document) = (figures(page), figures(&text));
            for (figure, count) in page {
                if document.get(&figure).is_none_or(|found| *found < count) {
                    faults.insert(format!("{place:?}: {figure} is missing from the document"));
                }
            }
        } else {
            let (document, page) = (figures(&text), figures(page));
            for figure in document.keys().chain(page.keys()) {
                let counts = (document.get(figure), page.get(figure));
                if counts.0 != counts.1 {
                    faults
                        .insert(format!("{place:?}: {figure} stands {counts:?} times in document and page"));
                }
            }
        }
    }
}

#[test]
fn every_paper_says_what_the_service_says_and_nothing_else() {
    let camp = Camp::new();
    let places = camp.everything();
    for (kind, least) in [("ticket", 12), ("statement", 12), ("crew sheet", 9), ("report", 1)] {
        assert!(places.iter().filter(|place| place.kind == kind).count() >= least, "{kind}: {places:?}");
    }
    let mut faults = BTreeSet::new();
    for place in &places {
        compare(&camp, place, &mut faults);
    }
    let told: Vec<_> = faults.iter().map(|fault| format!("{fault}\n")).collect();
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), told.concat());
}

#[test]
fn sizes_of_a_stick_are_all_there() {
    let camp = Camp::new();
    for place in camp.everything().iter().filter(|place| place.kind == "ticket") {
        let reply = camp.busy.outfit.scaler.get(&place.path).expect(200);
        let page = camp.busy.outfit.scaler.get(&place.form("format=html"));
        let html = Html::parse_document(&page.text);
        let pieces = reply["ticket"]["pieces"].as_array().expect("pieces");
        let rows = all(&html, "#table-sticks tbody");
        assert_eq!(rows.len(), pieces.len(), "{place:?}");
        for (row, piece) in rows.iter().zip(pieces) {
            let says: String = row.text().collect::<Vec<_>>().join(" ");
            let mut facts = Vec::new();
            scalars("", piece, &mut facts);
            let sizes = facts
                .iter()
                .filter(|(name, _)| name.ends_with("_in") || name.ends_with("_ft") || *name == "species");
            for (name, size) in sizes.filter(|(name, _)| !["height_in", "width_in"].contains(name)) {
                let of_a_defect = piece["defects"].to_string().contains(&format!("\"{name}\":\"{size}\""));
                assert!(of_a_defect || says.contains(size.as_str()), "{name} {size}: {says}");
            }
        }
        // Gross and net of each contract, and what they add up to.
        for scale in reply["scaled"].as_array().into_iter().flatten() {
            for total in scale["totals"].as_array().into_iter().flatten() {
                let sum = |member: &str| -> kernel::Fixed {
                    let pieces = scale["pieces"].as_array().expect("pieces").iter();
                    let of_unit = pieces.filter(|piece| piece["unit"] == total["unit"]);
                    let figures = of_unit
                        .map(|piece| piece[member].as_str().expect("a figure").parse().expect("a figure"));
                    figures.fold(kernel::Fixed::ZERO, |sum, one: kernel::Fixed| sum.plus(one).expect("a sum"))
                };
                for member in ["gross", "net"] {
                    assert_eq!(total[member], sum(member).to_string(), "{scale:#}");
                }
            }
        }
    }
}
