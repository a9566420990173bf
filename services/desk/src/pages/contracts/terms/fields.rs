//! The fields of the form: for each the place in the terms that it fills.

/// What a field takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A text.
    Text,
    /// A day.
    Day,
    /// A number, written as the service writes numbers: as text.
    Number,
    /// One of these: the value and its words. What is empty is left out of the terms.
    Choice(&'static [(&'static str, &'static str)]),
    /// One of the log rules that the service knows.
    Rule,
    /// Yes, no, or left out.
    YesNo,
    /// Several names with commas between them.
    Names,
}

/// A field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its name within the form.
    pub name: &'static str,
    /// Where its value lies, as a JSON pointer within the terms or the rate.
    pub pointer: &'static str,
    /// What people call it.
    pub label: &'static str,
    /// What it means; empty where the label says it.
    pub help: &'static str,
    /// What it takes.
    pub kind: Kind,
}

const fn field(
    name: &'static str,
    pointer: &'static str,
    label: &'static str,
    help: &'static str,
    kind: Kind,
) -> Field {
    Field { name, pointer, label, help, kind }
}

const INCH: Kind = Kind::Choice(&[
    ("", "as is usual"),
    ("half_up", "to the nearest, halves up"),
    ("half_down", "to the nearest, halves down"),
    ("half_even", "to the nearest, halves to the even inch"),
    ("down", "down"),
    ("up", "up"),
    ("alternating", "to the nearest, halves up and down in turn"),
]);

/// The fields of terms, beside the rates.
pub static TERMS: &[Field] = &[
    field(
        "effective_from",
        "/effective_from",
        "First day",
        "Tickets of this day and later go by the terms.",
        Kind::Day,
    ),
    field("rule", "/practice/log/rule", "Log rule", "How logs become volume.", Kind::Rule),
    field("one_reading", "/practice/log/one_reading", "One diameter reading to the inch", "", INCH),
    field("two_readings", "/practice/log/two_readings", "Two readings, averaged, to the inch", "", INCH),
    field("least_trim_in", "/practice/log/least_trim_in", "Least trim, inches", "", Kind::Number),
    field(
        "most_trim_in",
        "/practice/log/most_trim_in",
        "Most trim, inches",
        "Empty: no limit.",
        Kind::Number,
    ),
    field(
        "length_multiple_ft",
        "/practice/log/length_multiple_ft",
        "Lengths in",
        "",
        Kind::Choice(&[("", "as is usual"), ("1", "whole feet"), ("2", "even feet")]),
    ),
    field(
        "longest_scaling_length_ft",
        "/practice/log/longest_scaling_length_ft",
        "Longest scaling length, feet",
        "A longer log is scaled in segments.",
        Kind::Number,
    ),
    field(
        "least_diameter_in",
        "/practice/log/least_diameter_in",
        "Least diameter, inches",
        "Below it a log is cull.",
        Kind::Number,
    ),
    field(
        "least_length_ft",
        "/practice/log/least_length_ft",
        "Least length, feet",
        "Below it a log is cull.",
        Kind::Number,
    ),
    field(
        "cull_share",
        "/practice/log/cull_share",
        "Least sound share",
        "A log with less of its gross scale is cull, such as 1/3.",
        Kind::Number,
    ),
    field(
        "holdback_percent",
        "/holdback/percent",
        "Holdback, percent",
        "Only with a crew; local law limits it.",
        Kind::Number,
    ),
    field(
        "holdback_cap",
        "/holdback/cap",
        "Most that is held of one member",
        "Empty: no limit.",
        Kind::Number,
    ),
];

/// The fields of one rate.
pub static RATE: &[Field] = &[
    field("name", "/name", "Name", "", Kind::Text),
    field(
        "kind",
        "/kind",
        "It is a",
        "",
        Kind::Choice(&[
            ("", "price"),
            ("premium", "premium on top of a price"),
            ("dockage", "dockage off a price"),
        ]),
    ),
    field(
        "task",
        "/task",
        "Task",
        "",
        Kind::Choice(&[
            ("", "choose"),
            ("felling", "felling"),
            ("bucking", "bucking"),
            ("peeling", "peeling"),
            ("scoring", "scoring"),
            ("hewing", "hewing"),
            ("skidding", "skidding"),
            ("loading", "loading"),
            ("hauling", "hauling"),
            ("delivery", "delivery"),
        ]),
    ),
    field(
        "product",
        "/product",
        "Product",
        "None for a turn or for time.",
        Kind::Choice(&[
            ("", "none"),
            ("log", "log"),
            ("hewn_timber", "hewn timber"),
            ("tie", "tie"),
            ("pole", "pole"),
            ("ranked_pile", "ranked pile"),
        ]),
    ),
    field(
        "unit",
        "/unit",
        "Paid by the",
        "",
        Kind::Choice(&[
            ("", "choose"),
            ("thousand_board_feet", "thousand board feet"),
            ("thousand_board_feet_mile", "thousand board feet and mile"),
            ("cubic_foot", "cubic foot"),
            ("hundred_cubic_feet", "hundred cubic feet"),
            ("cubic_metre", "cubic metre"),
            ("cord", "cord"),
            ("stacked_cubic_metre", "stacked cubic metre"),
            ("linear_foot", "linear foot"),
            ("linear_metre", "linear metre"),
            ("piece", "piece"),
            ("turn", "turn"),
            ("hour", "hour"),
            ("day", "day"),
        ]),
    ),
    field(
        "basis",
        "/basis",
        "On",
        "Who bears defect: on gross the payer, on net the paid.",
        Kind::Choice(&[
            ("", "neither: it is not paid by volume"),
            ("gross", "gross scale"),
            ("net", "net scale"),
        ]),
    ),
    field("price", "/price", "Price", "", Kind::Number),
    field("pays_cull", "/pays_cull", "Culls are paid", "", Kind::YesNo),
    field(
        "species",
        "/covers/species",
        "Only these species",
        "With commas between them; empty: all.",
        Kind::Names,
    ),
    field(
        "grades",
        "/covers/grades",
        "Only these grades",
        "With commas between them; empty: all.",
        Kind::Names,
    ),
    field("diameter_from", "/covers/diameter_in/from", "Diameter from, inches", "", Kind::Number),
    field("diameter_below", "/covers/diameter_in/below", "Diameter below, inches", "", Kind::Number),
    field("length_from", "/covers/length_ft/from", "Length from, feet", "", Kind::Number),
    field("length_below", "/covers/length_ft/below", "Length below, feet", "", Kind::Number),
    field("skid_from", "/covers/skid_distance_ft/from", "Skidded from, feet", "", Kind::Number),
    field("skid_below", "/covers/skid_distance_ft/below", "Skidded less than, feet", "", Kind::Number),
];
