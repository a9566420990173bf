//! The page on which a ticket is entered: its head, a stick, the sticks so far with the running scale.

use maud::{Markup, html};

use super::choices::Choices;
use super::draft::{Draft, TASKS, Wrong};
use super::fields::{self, DEFECT, DEFECT_KINDS, Field, Kind, METHODS, PRODUCTS, STICK};
use super::running::ContractRunning;
use super::schema;
use crate::form::key_field;
use crate::session::person::Person;

/// What the page is made of.
#[derive(Debug)]
pub struct Entry<'a> {
    /// Whoever enters.
    pub person: &'a Person,
    /// What can be chosen.
    pub choices: &'a Choices,
    /// The ticket so far.
    pub draft: &'a Draft,
    /// What is wrong with what was sent.
    pub wrong: &'a [Wrong],
    /// A refusal of the service.
    pub refusal: Option<Markup>,
    /// What was done.
    pub done: Option<String>,
    /// The running scale.
    pub running: &'a [ContractRunning],
    /// Whether the ticket is looked over before it is posted.
    pub look: bool,
}

/// Where the form goes.
pub const ACTION: &str = "/desk/yard";

impl Entry<'_> {
    /// The page below its heading.
    #[must_use]
    pub fn markup(&self) -> Markup {
        html! {
            (self.said())
            div id="yard-signal" role="status" aria-live="polite" hidden {}
            form id="yard" method="post" action=(ACTION) autocomplete="off" data-owner=(self.person.owner())
                data-schema=(schema::json()) data-practices=(schema::practices(self.choices))
                data-books=(schema::books(self.choices)) data-crews=(schema::names(self.choices))
                data-shown-on=(self.choices.today) {
                (key_field(self.person))
                input type="hidden" id="sticks-held" name="sticks" value=(serde_json::to_string(&self.draft.sticks).unwrap_or_default());
                @for name in ["editing", "corrects", "measured_at", "turn"] {
                    input type="hidden" name=(name) value=(self.draft.values.get(name));
                }
                @if self.look { (self.look_over()) } @else {
                    (self.head())
                    (self.stick())
                }
                section aria-labelledby="sticks-title" {
                    h2 id="sticks-title" { "Sticks on the ticket" }
                    (self.sticks())
                    (self.totals())
                }
                div.row id="finish" {
                    @if self.look {
                        button type="submit" name="do" value="post" id="do-post" { "Post the ticket" }
                        button.second type="submit" name="do" value="back" id="do-back" { "Back to the ticket" }
                    } @else {
                        button type="submit" name="do" value="look" id="do-look" { "Look the ticket over" }
                    }
                }
            }
            section id="queue" aria-labelledby="queue-title" hidden {
                h2 id="queue-title" tabindex="-1" { "Tickets on this phone" }
                div id="queue-list" {}
            }
            p { a href="/desk/yard/tickets" { "Tickets of the day" } " · " a href="/desk/yard/books" { "Scale books and missing numbers" } }
        }
    }

    fn said(&self) -> Markup {
        html! {
            @if let Some(refusal) = &self.refusal { (refusal) }
            @if !self.wrong.is_empty() {
                div.refusal role="alert" {
                    p { strong { "Something is missing or wrong; nothing is lost." } }
                    ul { @for one in self.wrong { li {
                        @match &one.field {
                            Some(field) => { a href={ "#" (field) } { (one.says) } },
                            None => { (one.says) },
                        }
                    } } }
                }
            }
            @if let Some(done) = &self.done { div.done role="status" { p { (done) } } }
        }
    }

    fn wrong_with(&self, field: &str) -> Option<&str> {
        self.wrong.iter().find(|one| one.field.as_deref() == Some(field)).map(|one| one.says.as_str())
    }

    /// One field with its label.
    fn input(&self, name: &str, label: &str, number: bool, help: Option<&str>) -> Markup {
        let wrong = self.wrong_with(name);
        let describes = match (wrong, help) {
            (Some(_), _) => Some(format!("{name}-wrong")),
            (None, Some(_)) => Some(format!("{name}-help")),
            (None, None) => None,
        };
        html! {
            div {
                label for=(name) { (label) }
                input id=(name) name=(name) value=(self.draft.values.get(name)) inputmode=[number.then_some("decimal")]
                    enterkeyhint="next" spellcheck="false" aria-invalid=[wrong.map(|_| "true")] aria-describedby=[describes];
                @if let Some(wrong) = wrong { p.help id={ (name) "-wrong" } { strong { (wrong) } } }
                @else if let Some(help) = help { p.help id={ (name) "-help" } { (help) } }
            }
        }
    }

    fn select(&self, name: &str, label: &str, options: &Markup) -> Markup {
        let wrong = self.wrong_with(name);
        html! {
            div {
                label for=(name) { (label) }
                select id=(name) name=(name) aria-invalid=[wrong.map(|_| "true")] { (options) }
                @if let Some(wrong) = wrong { p.help { strong { (wrong) } } }
            }
        }
    }

    fn option(&self, name: &str, value: &str, text: &str) -> Markup {
        let chosen = self.draft.values.get(name) == value;
        html! { option value=(value) selected[chosen] { (text) } }
    }

    fn head(&self) -> Markup {
        html! {
            fieldset id="head" {
                legend { "The ticket" }
                @if self.draft.values.filled("corrects").is_some() {
                    div.notice { p { "This corrects a ticket. It takes its place under a number of its own; both stay readable." } }
                    (self.input("reason", "What was wrong with the ticket", false, None))
                }
                div.row {
                    (self.input("book", "Scale book", false, None))
                    (self.input("number", "Number", true, None))
                }
                div.row {
                    (self.select("landing_id", "Job and landing", &self.landings()))
                    div {
                        label for="scaled_on" { "Day scaled" }
                        input id="scaled_on" name="scaled_on" type="date" value=(self.draft.values.get("scaled_on"));
                    }
                    (self.input("scaler", "Scaled by", false, None))
                }
                (self.work())
                (self.load())
            }
        }
    }

    fn landings(&self) -> Markup {
        html! {
            (self.option("landing_id", "", "choose"))
            @for job in &self.choices.jobs {
                optgroup label=(job.name) {
                    @for landing in &job.landings {
                        @let id = landing.landing_id.to_string();
                        option value=(id) data-job=(job.job_id) selected[self.draft.values.get("landing_id") == id] {
                            (landing.name) ", " (job.name)
                        }
                    }
                }
            }
        }
    }

    fn crews(&self, name: &str) -> Markup {
        html! {
            (self.option(name, "", "nobody"))
            @for crew in &self.choices.crews { (self.option(name, &crew.crew_id.to_string(), &crew.name)) }
        }
    }

    fn work(&self) -> Markup {
        html! {
            details id="work" open[TASKS.iter().all(|task| self.draft.values.filled(&format!("crew_{}", task.name())).is_none())] {
                summary { "Crews, by task" }
                div.row { @for task in TASKS {
                    @let name = format!("crew_{}", task.name());
                    (self.select(&name, &capital(task.name()), &self.crews(&name)))
                } }
                details open[self.draft.values.filled("w1_task").is_some()] {
                    summary { "Crews that shared a task, or did part of the sticks" }
                    input type="hidden" id="work_rows" name="work_rows" value=(self.draft.work_rows());
                    div id="work-rows" { @for row in 1..=self.draft.work_rows() { (self.shared(row)) } }
                    button.second type="submit" name="do" value="work" id="do-work" { "One more row" }
                }
            }
        }
    }

    fn shared(&self, row: usize) -> Markup {
        let name = |of: &str| format!("w{row}_{of}");
        let task = name("task");
        let tasks = html! {
            (self.option(&task, "", "none"))
            @for one in TASKS { (self.option(&task, one.name(), one.name())) }
        };
        html! {
            fieldset.row {
                legend { "Row " (row) }
                (self.select(&task, "Task", &tasks))
                (self.select(&name("crew"), "Crew", &self.crews(&name("crew"))))
                (self.input(&name("pieces"), "Sticks", false, Some("Like 1-3, 7; empty: the others")))
                (self.input(&name("parts"), "Parts", true, Some("Where crews share a stick")))
            }
        }
    }

    fn load(&self) -> Markup {
        let mills = html! {
            (self.option("delivered_to", "", "no mill"))
            @for mill in &self.choices.mills { (self.option("delivered_to", &mill.mill_id.to_string(), &mill.name)) }
        };
        html! {
            details id="load" {
                summary { "Turn, mill, remarks" }
                div.row {
                    (self.input("moved_by", "Moved by", false, Some("Team, tractor, sled")))
                    (self.input("skid_distance_ft", "Skidded, feet", true, None))
                    (self.input("haul_distance_mi", "Hauled, miles", true, None))
                    (self.select("delivered_to", "Delivered to", &mills))
                    (self.input("remarks", "Remarks", false, None))
                }
            }
        }
    }

    fn named(&self, name: &str) -> Markup {
        let known = STICK.iter().find(|field| field.name == name);
        html! { @if let Some(field) = known { (self.stick_field(field)) } }
    }

    fn stick_field(&self, field: &Field) -> Markup {
        let help = match (field.kind, field.name) {
            (Kind::Wanes, _) => Some("Corners like 2x1.5, 2x2, in inches"),
            (Kind::Heights, _) => Some("Feet and inches like 4 3, 4; or metres like 1.2, 1.25"),
            _ => None,
        };
        self.input(field.name, field.label, field.kind == Kind::Number, help)
    }

    fn stick(&self) -> Markup {
        let products = html! { @for (value, text) in PRODUCTS { (self.option("product", value, text)) } };
        let product = match self.draft.values.get("product") {
            "" => "log",
            other => other,
        };
        html! {
            fieldset id="stick" {
                legend id="stick-legend" {
                    @match self.draft.editing() {
                        Some(place) => { "Change stick " (place) },
                        None => { "Stick " (self.draft.sticks.len().saturating_add(1)) },
                    }
                }
                div.row { (self.select("product", "Piece", &products)) (self.named("species")) }
                div.row data-of="log" { (self.named("small_1")) (self.named("small_2")) }
                div.row { (self.named("length")) (self.named("length_in")) }
                (self.system())
                (self.more("More of a log", "log", product, LOG_MORE))
                (self.more("Hewn timber", "hewn_timber", product, HEWN))
                (self.more("Tie", "tie", product, TIE))
                (self.more("Hewn timber and ties", "hewn_timber tie", product, SQUARED))
                (self.more("Pole or pile", "pole", product, &["top_diameter"]))
                (self.more("Ranked pile", "ranked_pile", product, &["heights", "stick_length", "stick_length_in"]))
                (self.more("Grade, marks, numbers", "", product, WORDS))
                (self.defects())
                button type="submit" name="do" value="add" id="do-add" {
                    @if self.draft.editing().is_some() { "Put the stick back" } @else { "Add a stick" }
                }
                p id="stick-said" role="status" aria-live="polite" {}
            }
        }
    }

    fn more(&self, title: &str, of: &str, product: &str, names: &[&str]) -> Markup {
        let filled = names.iter().any(|name| self.draft.values.filled(name).is_some());
        let own = !matches!(of, "" | "log") && of.split(' ').any(|one| one == product);
        html! {
            details data-of=[(!of.is_empty()).then_some(of)] open[filled || own] {
                summary { (title) }
                div.row { @for name in names { (self.named(name)) } }
            }
        }
    }

    /// In which system logs and ranked piles are measured; the fields are the same.
    fn system(&self) -> Markup {
        let options = html! {
            (self.option("system", "inch_foot", "inches and feet"))
            (self.option("system", "metric", "centimetres and metres"))
        };
        let metric = self.draft.values.get("system") == "metric";
        html! {
            details data-of="log ranked_pile" open[metric] {
                summary { "Inches and feet, or metric" }
                (self.select("system", "Measured in", &options))
            }
        }
    }

    fn defects(&self) -> Markup {
        let rows = fields::defect_rows(&self.draft.values);
        let filled = self.draft.values.iter().any(|(name, _)| name.starts_with("d1_"));
        html! {
            details id="defects" data-of="log hewn_timber ranked_pile" open[filled || rows > 1] {
                summary { "Defects" }
                input type="hidden" id="defect_rows" name="defect_rows" value=(rows);
                div id="defect-rows" { @for row in 1..=rows { (self.defect(row)) } }
                button.second type="submit" name="do" value="defect" id="do-defect" { "One more defect" }
            }
        }
    }

    fn defect(&self, row: usize) -> Markup {
        let name = |of: &str| format!("d{row}_{of}");
        let kinds = html! {
            (self.option(&name("kind"), "", "none"))
            @for kind in DEFECT_KINDS { (self.option(&name("kind"), kind, &kind.replace('_', " "))) }
        };
        let methods = html! {
            (self.option(&name("method"), "", "none"))
            @for (value, text) in METHODS { (self.option(&name("method"), value, text)) }
        };
        html! {
            fieldset.row.defect {
                legend { "Defect " (row) }
                (self.select(&name("kind"), "What", &kinds))
                (self.select(&name("method"), "Reckoned as", &methods))
                @for field in DEFECT {
                    div data-method=[(!field.of.is_empty()).then(|| field.of.join(" "))] {
                        (self.input(&name(field.name), field.label, field.kind == Kind::Number, None))
                    }
                }
            }
        }
    }

    fn sticks(&self) -> Markup {
        html! {
            div.wide tabindex="0" role="region" aria-label="Sticks on the ticket" {
                table id="sticks" {
                    thead { tr {
                        th scope="col" { "No." } th scope="col" { "Stick" } th.figure scope="col" { "Gross" }
                        th.figure scope="col" { "Net" } th scope="col" { @if !self.look { "Change" } }
                    } }
                    tbody {
                        @for (place, stick) in (1..).zip(&self.draft.sticks) { (self.row(place, stick)) }
                        @if self.draft.sticks.is_empty() { tr { td colspan="5" { "No stick yet." } } }
                    }
                }
            }
        }
    }

    fn row(&self, place: usize, stick: &serde_json::Value) -> Markup {
        let on = |one: &&super::running::PieceRunning| usize::from(one.piece) == place;
        let scaled: Vec<_> =
            self.running.iter().filter_map(|by| Some((by, by.pieces.iter().find(on)?))).collect();
        html! {
            tr id={ "stick-" (place) } {
                th scope="row" { (place) }
                td { (super::said::stick(stick))
                    @for (by, one) in &scaled {
                        @if let Some(cull) = &one.cull { br; "Cull (" (by.title) "): " (cull) }
                        @if let Some(cannot) = &one.cannot { br; "Not scaled (" (by.title) "): " (cannot) }
                    }
                }
                td.figure { @for (_, one) in &scaled { @if let Some(gross) = &one.gross { (gross) br; } } }
                td.figure { @for (_, one) in &scaled { @if let Some(net) = &one.net { (net) br; } } }
                td { @if !self.look {
                    button.plain type="submit" name="do" value={ "edit-" (place) } aria-label={ "Correct stick " (place) } { "Correct" }
                    " "
                    button.plain type="submit" name="do" value={ "drop-" (place) } aria-label={ "Drop stick " (place) } { "Drop" }
                } }
            }
        }
    }

    fn totals(&self) -> Markup {
        html! {
            ul.totals id="totals" aria-live="polite" {
                @for by in self.running {
                    @if let (Some(gross), Some(net), Some(unit)) = (&by.gross, &by.net, by.unit) {
                        li { span { (by.title) } strong { (net) " net" } span { (gross) " gross, " (unit) } }
                    }
                }
            }
            @if self.running.is_empty() && !self.draft.sticks.is_empty() {
                p.small id="no-contract" { "No contract scales these sticks yet: name the crews, or the mill, whose contract does." }
            }
        }
    }

    /// The head once more in words, with everything carried along unseen.
    fn look_over(&self) -> Markup {
        let carried = ["sticks", "editing", "corrects", "measured_at", "turn", "form_key", "do"];
        html! {
            @for (name, value) in self.draft.values.iter().filter(|(name, _)| !carried.contains(name)) {
                input type="hidden" name=(name) value=(value);
            }
            dl.facts {
                @for (name, says) in super::said::head(self.draft, self.choices) { div { dt { (name) } dd { (says) } } }
            }
        }
    }
}

const LOG_MORE: &[&str] = &["middle_1", "middle_2", "large_1", "large_2", "butt_1", "butt_2"];
const HEWN: &[&str] = &[
    "small_end_width",
    "small_end_thickness",
    "small_end_wane",
    "mid_width",
    "mid_thickness",
    "mid_wane",
    "large_end_width",
    "large_end_thickness",
    "large_end_wane",
    "ordered_width",
    "ordered_thickness",
];
const TIE: &[&str] = &["width", "thickness", "log_diameter"];
const SQUARED: &[&str] = &["score_mark_depth", "straightness", "out_of_square"];
const WORDS: &[&str] = &["grade", "marks", "stick_number", "hewn_from", "refused"];

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
