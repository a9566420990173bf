//! The form for terms: fields for what people usually set, rates as rows, everything else as JSON; and the faults of it, each at
//! the field that it is about.

use std::collections::BTreeMap;

use maud::{Markup, html};
use wire::{Problem, RuleView};

use super::terms::fields::{Field, Kind, RATE, TERMS};
use super::terms::split::{Fault, Filled, REST, of_rate, rows};

/// What is said of each field.
pub type Faults = BTreeMap<String, Vec<String>>;

/// Faults by their fields.
#[must_use]
pub fn by_field(faults: Vec<Fault>) -> Faults {
    let mut found = Faults::new();
    for fault in faults {
        found.entry(fault.field).or_default().push(fault.says);
    }
    found
}

/// What the service refuses, at the fields that its pointers lead to; `rows` are the rows of the rates as they were sent.
#[must_use]
pub fn of_problem(problem: &Problem, rows: &[usize]) -> Faults {
    let mut found = Faults::new();
    for one in &problem.errors {
        found
            .entry(field_at(&one.pointer, rows))
            .or_default()
            .push(super::super::audit::sentence(&one.detail));
    }
    found
}

/// The field that a pointer leads to.
///
/// ```
/// use desk::pages::contracts::form::field_at;
/// assert_eq!(field_at("#/terms/rates/1/price", &[0, 4]), "rate-4-price");
/// assert_eq!(field_at("#/practice/log/rule", &[]), "rule");
/// assert_eq!(field_at("#/practice/tie/classes", &[]), "rest");
/// ```
#[must_use]
pub fn field_at(pointer: &str, rows: &[usize]) -> String {
    let pointer = pointer.trim_start_matches('#');
    let pointer = pointer.strip_prefix("/terms").unwrap_or(pointer);
    if let Some(rest) = pointer.strip_prefix("/rates/") {
        let (place, within) = rest.split_once('/').unwrap_or((rest, ""));
        let row = place.parse::<usize>().ok().and_then(|place| rows.get(place)).copied();
        let within = format!("/{within}");
        let field = RATE.iter().find(|field| field.pointer == within);
        let name = match field {
            Some(field) => field.name,
            None if within == "/" => "name",
            None => REST,
        };
        return row.map_or_else(|| "rates".to_owned(), |row| of_rate(row, name));
    }
    let field = TERMS.iter().find(|field| field.pointer == pointer);
    match (field, pointer) {
        (Some(field), _) => field.name.to_owned(),
        (None, "/practice/log") => "rule".to_owned(),
        (None, "/holdback") => "holdback_percent".to_owned(),
        (None, "/rates") => "rates".to_owned(),
        (None, "/title" | "/job_id" | "/party" | "/from" | "/to") => pointer.replace('/', ""),
        (None, _) => REST.to_owned(),
    }
}

/// Adds an empty row for a rate, or takes one away, if that is what the form asks for; whether it was.
pub fn change_rows(filled: &mut Filled, asked: &str) -> bool {
    if asked == "add" {
        let next = rows(filled).last().map_or(0, |last| last.saturating_add(1));
        for field in RATE {
            filled.insert(of_rate(next, field.name), String::new());
        }
        filled.insert(of_rate(next, REST), String::new());
        return true;
    }
    let Some(row) = asked.strip_prefix("remove-").and_then(|row| row.parse::<usize>().ok()) else {
        return false;
    };
    let of_row = of_rate(row, "");
    filled.retain(|name, _| !name.starts_with(&of_row));
    true
}

/// What the form is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct Drawn<'a> {
    /// What is filled in.
    pub filled: &'a Filled,
    /// What is wrong with it.
    pub faults: &'a Faults,
    /// The log rules to choose from.
    pub rules: &'a [RuleView],
}

impl Drawn<'_> {
    /// The faults above the form, each a link to its field.
    #[must_use]
    pub fn summary(&self) -> Markup {
        html! {
            @if !self.faults.is_empty() {
                div.refusal role="alert" {
                    p { strong { "Nothing was filed: look at these fields." } }
                    ul {
                        @for (field, says) in self.faults {
                            @for one in says { li { a href={ "#" (field) } { (one) } } }
                        }
                    }
                }
            }
        }
    }

    /// All fields of the terms, with their rates.
    #[must_use]
    pub fn fields(&self) -> Markup {
        let rows = rows(self.filled);
        html! {
            fieldset {
                legend { "How timber is scaled, and from when" }
                div.row { @for field in TERMS { div { (self.one(field, field.name)) } } }
            }
            h2 id="rates" tabindex="-1" { "Rates" }
            (self.said("rates"))
            p.help { "No two prices may cover the same stick. A row that is left empty is no rate." }
            @for (number, row) in (1_u32..).zip(&rows) { (self.rate(number, *row)) }
            button.second #add-rate type="submit" name="do" value="add" formnovalidate { "Add a rate" }
            h2 { "Everything else" }
            label for=(REST) { "Everything else that the terms say, as JSON" }
            textarea id=(REST) name=(REST) rows="10" spellcheck="false" aria-invalid=[self.invalid(REST)]
                aria-describedby=[self.described(REST, true)] { (self.text(REST)) }
            p.help id={ (REST) "-help" } { "What has no field above: other products, defects, the tolerance of check scales. It is kept as it is \
        unless you change it." }
            (self.said(REST))
        }
    }

    fn rate(&self, number: u32, row: usize) -> Markup {
        let rest = of_rate(row, REST);
        let open = self.faults.contains_key(&rest);
        html! {
            fieldset.rate {
                legend { "Rate " (number) }
                div.row { @for field in RATE { div { (self.one(field, &of_rate(row, field.name))) } } }
                details open[open] {
                    summary { "Everything else of this rate" }
                    label for=(rest) { "As JSON" }
                    textarea id=(rest) name=(rest) rows="4" spellcheck="false" aria-invalid=[self.invalid(&rest)]
                        aria-describedby=[self.described(&rest, false)] { (self.text(&rest)) }
                    (self.said(&rest))
                }
                button.second type="submit" name="do" value={ "remove-" (row) } formnovalidate { "Take rate " (number) " away" }
            }
        }
    }

    fn text(&self, name: &str) -> &str {
        self.filled.get(name).map_or("", String::as_str)
    }

    fn invalid(&self, name: &str) -> Option<&'static str> {
        self.faults.contains_key(name).then_some("true")
    }

    fn described(&self, name: &str, has_help: bool) -> Option<String> {
        let mut by = Vec::new();
        by.extend(self.faults.contains_key(name).then(|| format!("{name}-fault")));
        by.extend(has_help.then(|| format!("{name}-help")));
        (!by.is_empty()).then(|| by.join(" "))
    }

    /// What is wrong with a field, beside it.
    #[must_use]
    pub fn said(&self, name: &str) -> Markup {
        html! {
            @if let Some(says) = self.faults.get(name) {
                p.fault id={ (name) "-fault" } { @for one in says { (one) " " } }
            }
        }
    }

    fn one(&self, field: &Field, name: &str) -> Markup {
        let (now, invalid) = (self.text(name), self.invalid(name));
        let described = self.described(name, !field.help.is_empty());
        let chosen = |choices: &[(String, String)]| {
            html! {
                select id=(name) name=(name) aria-invalid=[invalid] aria-describedby=[described.as_deref()] {
                    @if !choices.iter().any(|(value, _)| value == now) { option value=(now) selected { (now) } }
                    @for (value, says) in choices { option value=(value) selected[value == now] { (says) } }
                }
            }
        };
        let owned = |all: &[(&str, &str)]| -> Vec<(String, String)> {
            all.iter().map(|(value, says)| ((*value).to_owned(), (*says).to_owned())).collect()
        };
        html! {
            label for=(name) { (field.label) }
            @match field.kind {
                Kind::Choice(choices) => { (chosen(&owned(choices))) }
                Kind::YesNo => { (chosen(&owned(&[("", "as is usual"), ("true", "yes"), ("false", "no")]))) }
                Kind::Rule => { (chosen(&self.rule_choices())) }
                Kind::Day => { input type="date" id=(name) name=(name) value=(now) aria-invalid=[invalid] aria-describedby=[described.as_deref()]; }
                Kind::Number => { input id=(name) name=(name) value=(now) inputmode="decimal" autocomplete="off" aria-invalid=[invalid]
                    aria-describedby=[described.as_deref()]; }
                Kind::Text | Kind::Names => { input id=(name) name=(name) value=(now) autocomplete="off" aria-invalid=[invalid]
                    aria-describedby=[described.as_deref()]; }
            }
            @if !field.help.is_empty() { p.help id={ (name) "-help" } { (field.help) } }
            (self.said(name))
        }
    }

    fn rule_choices(&self) -> Vec<(String, String)> {
        let none = (String::new(), "none: no logs, or a rule of your own below".to_owned());
        let known = self.rules.iter().map(|rule| (rule.name.name().to_owned(), rule.title.clone()));
        std::iter::once(none).chain(known).collect()
    }
}
