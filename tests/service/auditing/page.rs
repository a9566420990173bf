//! The page: well formed, complete for whoever cannot see it, of one piece, and with the report's own figures.

use std::collections::BTreeSet;

use scraper::{ElementRef, Html, Selector};
use serde_json::Value;
use tests::{Actor, TestApp};

use super::busy::{Busy, HOSTILE, SPAN};
use crate::world::text;

/// The page of a query, parsed, and as it came.
pub fn page(actor: &Actor, query: &str) -> (Html, String) {
    let reply = actor.get(&format!("/v1/reports/audit?{query}&format=html"));
    assert_eq!(reply.status, 200, "{}", reply.text);
    (Html::parse_document(&reply.text), reply.text)
}

/// What a selector finds.
pub fn all<'a>(page: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    let selector = Selector::parse(selector).expect("a selector");
    page.select(&selector).collect()
}

/// What a selector finds below an element.
pub fn within<'a>(element: ElementRef<'a>, selector: &str) -> Vec<ElementRef<'a>> {
    let selector = Selector::parse(selector).expect("a selector");
    element.select(&selector).collect()
}

/// The text of an element.
pub fn words(element: ElementRef<'_>) -> String {
    element.text().collect::<String>()
}

/// What holds for every page, whatever there is to report.
pub fn is_sound(page: &Html, source: &str) {
    assert!(page.errors.is_empty(), "{:?}", page.errors);
    assert_eq!(all(page, "h1").len(), 1);
    assert_eq!(all(page, "html[lang=en] > head > title").len(), 1);
    assert_eq!(all(page, "main").len(), 1);
    // No level of heading is left out.
    let levels = all(page, "h1, h2, h3, h4, h5, h6")
        .iter()
        .map(|one| one.value().name().to_owned())
        .collect::<Vec<_>>();
    for pair in levels.windows(2) {
        assert!(
            pair[1][1..].parse::<u8>().expect("a level") <= pair[0][1..].parse::<u8>().expect("a level") + 1,
            "{levels:?}"
        );
    }
    keeps_to_itself(page, source);
    names_its_parts(page);
    for svg in all(page, "svg") {
        is_labelled(svg);
    }
    // Every chart is followed by its table.
    for figure in all(page, "figure") {
        assert_eq!((within(figure, "svg").len(), within(figure, "figcaption").len()), (1, 1));
        let next = figure.next_siblings().find_map(ElementRef::wrap).expect("something follows");
        assert_eq!(within(next, "table").len(), 1, "{}", figure.html());
    }
}

/// Nothing is fetched, nothing runs, nothing is sent.
fn keeps_to_itself(page: &Html, source: &str) {
    for selector in [
        "script",
        "link",
        "iframe",
        "object",
        "embed",
        "img",
        "form",
        "base",
        "image",
        "use",
        "foreignObject",
        "[style]",
        "[src]",
        "meta[http-equiv]",
    ] {
        assert!(all(page, selector).is_empty(), "{selector}");
    }
    for element in all(page, "*") {
        for (name, value) in element.value().attrs() {
            assert!(!name.starts_with("on"), "{name}");
            let of_the_page = value.starts_with('#') || !matches!(name, "href" | "xlink:href" | "action");
            assert!(of_the_page, "{name}={value}");
            assert!(!value.contains("url(") || value.starts_with("url(#"), "{name}={value}");
        }
    }
    let outside = source.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
    assert!(!outside.contains("://") && !outside.contains("@import"), "an address of somewhere else");
}

/// Every id stands once and leads somewhere; every table has its caption and headings.
fn names_its_parts(page: &Html) {
    let ids: Vec<_> =
        all(page, "[id]").iter().filter_map(|one| one.value().id().map(str::to_owned)).collect();
    let known: BTreeSet<_> = ids.iter().cloned().collect();
    assert_eq!(known.len(), ids.len(), "an id stands twice");
    for element in all(page, "[aria-labelledby]") {
        for id in element.value().attr("aria-labelledby").expect("ids").split(' ') {
            assert!(known.contains(id), "nothing has the id {id}");
        }
    }
    for link in all(page, "a[href]") {
        let id =
            link.value().attr("href").and_then(|href| href.strip_prefix('#')).expect("a place on the page");
        assert!(known.contains(id), "{id}");
    }
    for table in all(page, "table") {
        assert_eq!(within(table, "caption").len(), 1);
        let heads = within(table, "thead th[scope=col]").len();
        for row in within(table, "tbody tr") {
            let cells: Vec<_> = row.children().filter_map(ElementRef::wrap).collect();
            assert_eq!((cells.len(), within(row, "th[scope=row]").len()), (heads, 1));
        }
    }
}

/// A chart has its title and its description, and nothing but black, white, greys and patterns.
fn is_labelled(svg: ElementRef<'_>) {
    assert_eq!(svg.value().attr("role"), Some("img"));
    assert!(svg.value().attr("viewBox").is_some() && svg.value().attr("width").is_none());
    let labels = svg.value().attr("aria-labelledby").expect("labels");
    let named: Vec<_> = ["title", "desc"]
        .iter()
        .map(|part| within(svg, part).first().and_then(|one| one.value().id()).expect("it is there"))
        .collect();
    assert_eq!(labels.split(' ').collect::<Vec<_>>(), named);
    assert!(
        within(svg, "title").iter().chain(&within(svg, "desc")).all(|one| !words(*one).trim().is_empty())
    );
    // Black, white, greys, and the two patterns.
    for element in within(svg, "[fill], [stroke]") {
        for paint in ["fill", "stroke"].iter().filter_map(|name| element.value().attr(name)) {
            assert!(
                ["none", "#000", "#333", "#666", "#fff"].contains(&paint) || paint.starts_with("url(#"),
                "{paint}"
            );
        }
    }
}

/// The rows of a table by its id, as the texts of their cells; `–` where there is none.
pub fn rows(page: &Html, id: &str) -> Vec<Vec<String>> {
    let found = all(page, &format!("table[id=\"{id}\"] tbody tr"));
    assert!(!found.is_empty(), "no rows in {id}");
    found.into_iter().map(|row| row.children().filter_map(ElementRef::wrap).map(words).collect()).collect()
}

/// A figure of the report as it stands in a cell.
pub fn shown(figure: &Value) -> String {
    match figure {
        Value::String(text) => text.clone(),
        Value::Number(number) => number.to_string(),
        Value::Object(money) => money["amount"].as_str().expect("an amount").to_owned(),
        _ => "–".to_owned(),
    }
}

/// Percent to a tenth, halves up, from gross and net in the plainest way; `–` where there is no gross scale.
fn percent(row: &Value) -> String {
    let (gross, net) = (super::naive::millionths(&row["gross"]), super::naive::millionths(&row["net"]));
    if gross == 0 {
        return "–".to_owned();
    }
    let (gross, net) = (i128::from(gross), i128::from(net));
    let tenths = ((gross - net) * 2000 + gross) / (2 * gross);
    if tenths % 10 == 0 { (tenths / 10).to_string() } else { format!("{}.{}", tenths / 10, tenths % 10) }
}

fn volumes(row: &Value) -> Vec<String> {
    let mut figures: Vec<_> = ["pieces", "culls", "gross", "net"].map(|member| shown(&row[member])).to_vec();
    figures.push(percent(row));
    figures
}

#[test]
fn the_page_is_sound_and_its_tables_hold_the_reports_figures() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    let (page, source) = page(actor, SPAN);
    is_sound(&page, &source);
    let report = actor.get(&format!("/v1/reports/audit?{SPAN}")).expect(200);
    let list = |pointer: &str| report.pointer(pointer).and_then(Value::as_array).expect("rows").clone();

    let mut by_table: std::collections::BTreeMap<String, Vec<Vec<String>>> = Default::default();
    for row in list("/volume_by_week") {
        let unit = match row["scaled_by"]["unit"].as_str() {
            Some("board_foot") => "board-feet",
            Some("cubic_foot") => "cubic-feet",
            _ => "pieces",
        };
        let figures = [vec![text(&row, "week_ends_on")], volumes(&row)].concat();
        by_table.entry(format!("table-{}-{unit}", text(&row, "stage"))).or_default().push(figures);
    }
    assert!(by_table.len() > 6, "{by_table:?}");
    for (table, expected) in &by_table {
        let found: Vec<Vec<String>> =
            rows(&page, table).iter().map(|row| [vec![row[0].clone()], row[2..].to_vec()].concat()).collect();
        assert_eq!(&found, expected, "{table}");
    }
    let found: Vec<Vec<String>> = rows(&page, "table-stages").iter().map(|row| row[4..].to_vec()).collect();
    assert_eq!(found, list("/volume_against_pay/stages").iter().map(volumes).collect::<Vec<_>>());
    let mut expected = Vec::new();
    for scaler in list("/defect_by_scaler") {
        let name = text(&scaler, "scaler");
        for row in std::iter::once(&scaler).chain(scaler["timber"].as_array().expect("timber")) {
            expected.push([vec![name.clone()], volumes(row)].concat());
        }
    }
    let found: Vec<Vec<String>> = rows(&page, "table-defect")
        .iter()
        .map(|row| [vec![row[0].clone()], row[4..].to_vec()].concat())
        .collect();
    assert_eq!(found, expected);
    for (table, pointer, members, from) in [
        ("table-contracts", "/volume_against_pay/contracts", &["earned", "posted", "open"][..], 2),
        ("table-payees", "/volume_against_pay/payees", &["earned", "posted", "open", "paid", "balance"], 1),
    ] {
        let found: Vec<Vec<String>> = rows(&page, table).iter().map(|row| row[from..].to_vec()).collect();
        let expected: Vec<Vec<String>> = list(pointer)
            .iter()
            .map(|row| members.iter().map(|member| shown(&row[member])).collect())
            .collect();
        assert_eq!(found, expected, "{table}");
    }
    let margins: Vec<Vec<String>> =
        rows(&page, "table-margin").iter().map(|row| row[3..6].to_vec()).collect();
    let mut expected: Vec<Vec<String>> = list("/margin/rows")
        .iter()
        .map(|row| ["owed", "cost", "margin"].map(|one| shown(&row[one])).to_vec())
        .collect();
    expected.push(["owed", "cost", "margin"].map(|one| shown(&report["margin"][one])).to_vec());
    assert_eq!(margins, expected);
    costs(&page, &list("/cost_by_week"));
}

/// The costs of the first wood that the report tells of: a column for each task, then both sides.
fn costs(page: &Html, report: &[Value]) {
    let first = (&report[0]["job_id"], &report[0]["mill_id"]);
    let of_first: Vec<_> = report.iter().filter(|row| (&row["job_id"], &row["mill_id"]) == first).collect();
    let heads: Vec<String> = all(page, "#table-tasks-1 thead th").into_iter().map(words).collect();
    for (row, said) in rows(page, "table-tasks-1").iter().zip(&of_first) {
        assert_eq!(row[0], text(said, "week_ends_on"));
        for (head, figure) in heads.iter().zip(row).skip(3) {
            let task = said["tasks"]
                .as_array()
                .expect("tasks")
                .iter()
                .find(|one| one["task"] == head.to_lowercase());
            assert_eq!(*figure, shown(task.map_or(&Value::Null, |task| &task["per_unit"])), "{head}");
        }
    }
    for (row, said) in rows(page, "table-sides-1").iter().zip(&of_first) {
        assert_eq!(row[3..], ["owed", "cost", "margin"].map(|one| shown(&said["per_unit"][one])));
    }
    assert_eq!(rows(page, "table-sides-1").len(), of_first.len());
}

#[test]
fn names_are_text_wherever_they_stand() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let (page, source) = page(&busy.outfit.contractor, &format!("{SPAN}&job_id={}", busy.other_job));
    is_sound(&page, &source);
    assert!(!source.contains("<script") && source.contains("&lt;script&gt;"), "{source}");
    let facts: Vec<String> = all(&page, "header dd").into_iter().map(words).collect();
    assert!(facts.iter().any(|fact| fact == HOSTILE), "{facts:?}");
    let (page, source) = self::page(&busy.outfit.contractor, SPAN);
    is_sound(&page, &source);
    let heads: Vec<String> = all(&page, "#table-defect tbody th").into_iter().map(words).collect();
    assert!(heads.iter().any(|head| head == HOSTILE), "{heads:?}");
    // In the chart a long name is cut, and is text still.
    let drawn: Vec<String> = all(&page, "#defect svg text").into_iter().map(words).collect();
    assert!(drawn.iter().any(|drawn| drawn.starts_with("<script>alert('x')")), "{drawn:?}");
}

#[test]
fn no_wood_one_week_and_a_year_are_pages_too() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    for (query, charts) in [
        ("from=2030-01-01&to=2030-01-01", false),
        ("from=2026-06-02&to=2026-06-02", true),
        ("from=2026-01-01&to=2026-12-31", true),
    ] {
        for actor in [&busy.outfit.contractor, &busy.outfit.mill, &busy.upper] {
            let (page, source) = page(actor, query);
            is_sound(&page, &source);
            let upper_and_early = std::ptr::eq(actor, &busy.upper) && query.contains("06-02");
            assert_eq!(!all(&page, "svg").is_empty(), charts && !upper_and_early, "{query}");
        }
    }
}

#[test]
fn a_browser_is_told_to_run_and_fetch_nothing() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let reply = busy.outfit.contractor.get(&format!("/v1/reports/audit?{SPAN}&format=html"));
    assert_eq!(reply.header("content-type"), Some("text/html; charset=utf-8"));
    let policy = reply.header("content-security-policy").expect("a policy");
    assert!(policy.starts_with("default-src 'none'; style-src 'unsafe-inline'"), "{policy}");
    assert!(!policy.contains("script-src"), "{policy}");
    assert_eq!(reply.header("x-content-type-options"), Some("nosniff"));
    for says in
        ["not legal advice", "licensing of scalers", "halves up", "standing in", "thousand board feet"]
    {
        assert!(reply.text.contains(says), "{says}");
    }
}
