//! Which columns a sheet has, and where in a ticket each belongs.

use settlement::Task;

/// The columns of the template: those that most tickets need.
pub const TEMPLATE: [&str; 33] = [
    "book",
    "number",
    "job",
    "landing",
    "scaled_on",
    "scaler",
    "delivered_to",
    "turn.moved_by",
    "turn.skid_distance_ft",
    "turn.haul_distance_mi",
    "remarks",
    "crew.felling",
    "crew.hewing",
    "crew.skidding",
    "crew.hauling",
    "product",
    "stick_number",
    "hewn_from",
    "species",
    "grade",
    "length_ft",
    "length_in",
    "small_diameter_in.1",
    "small_diameter_in.2",
    "small_end.width_in",
    "small_end.thickness_in",
    "large_end.width_in",
    "large_end.thickness_in",
    "defects.1.kind",
    "defects.1.method",
    "defects.1.width_in",
    "defects.1.height_in",
    "defects.1.length_ft",
];

/// A sheet that holds nothing but the head.
#[must_use]
pub fn template() -> String {
    let mut text = TEMPLATE.join(",");
    text.push_str("\r\n");
    text
}

/// What stands in a ticket once.
const OF_TICKET: [&str; 11] = [
    "book",
    "number",
    "job",
    "landing",
    "scaled_on",
    "scaler",
    "delivered_to",
    "turn.moved_by",
    "turn.skid_distance_ft",
    "turn.haul_distance_mi",
    "remarks",
];

/// Columns that no sheet can do without.
pub const NEEDED: [&str; 7] = ["book", "number", "job", "landing", "scaled_on", "scaler", "product"];

/// The members of pieces, as the API document names them; what stands within them follows after a full stop.
pub const OF_PIECE: [&str; 35] = [
    "butt_diameter_in",
    "defects",
    "grade",
    "heights",
    "heights_m",
    "hewn_from",
    "large_diameter_cm",
    "large_diameter_in",
    "large_end",
    "length_ft",
    "length_in",
    "length_m",
    "log_diameter_in",
    "marks",
    "middle",
    "middle_diameter_cm",
    "middle_diameter_in",
    "ordered_thickness_in",
    "ordered_width_in",
    "out_of_square_in",
    "product",
    "refused",
    "score_mark_depth_in",
    "small_diameter_cm",
    "small_diameter_in",
    "small_end",
    "species",
    "stick_length_ft",
    "stick_length_in",
    "stick_length_m",
    "stick_number",
    "straightness_in",
    "thickness_in",
    "top_diameter_in",
    "width_in",
];

/// The highest place in a list that a column may name: more than any list of a piece holds.
const LAST_PLACE: usize = 100;

/// A step from the whole to a part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// To a member by its name.
    Member(String),
    /// To an item by its place, counted from 0.
    Item(usize),
}

/// Where a column's cells belong.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// In the ticket.
    Ticket(Vec<Step>),
    /// The crew that did this task to the piece.
    Crew(Task),
    /// In the piece.
    Piece(Vec<Step>),
}

impl Column {
    /// The column with this title; none when there is no such column.
    #[must_use]
    pub fn titled(title: &str) -> Option<Self> {
        if OF_TICKET.contains(&title) {
            let steps = title.split('.').map(|part| Step::Member(part.to_owned()));
            return Some(Self::Ticket(steps.collect()));
        }
        if let Some(task) = title.strip_prefix("crew.") {
            return Task::ALL.into_iter().find(|one| one.name() == task).map(Self::Crew);
        }
        let steps: Vec<_> = title.split('.').map(step).collect::<Option<_>>()?;
        match steps.first() {
            Some(Step::Member(first)) if OF_PIECE.contains(&first.as_str()) => Some(Self::Piece(steps)),
            _ => None,
        }
    }
}

fn step(part: &str) -> Option<Step> {
    if part.starts_with(|first: char| first.is_ascii_digit()) {
        let place: usize = part.parse().ok().filter(|place| (1..=LAST_PLACE).contains(place))?;
        return Some(Step::Item(place.checked_sub(1)?));
    }
    (!part.is_empty()).then(|| Step::Member(part.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_is_the_way_to_its_member() {
        let member = |name: &str| Step::Member(name.to_owned());
        assert_eq!(Column::titled("book"), Some(Column::Ticket(vec![member("book")])));
        assert_eq!(
            Column::titled("turn.moved_by"),
            Some(Column::Ticket(vec![member("turn"), member("moved_by")]))
        );
        assert_eq!(Column::titled("crew.felling"), Some(Column::Crew(Task::Felling)));
        assert_eq!(
            Column::titled("defects.2.kind"),
            Some(Column::Piece(vec![member("defects"), Step::Item(1), member("kind")]))
        );
        for wrong in [
            "",
            "Book",
            "crew.cooking",
            "crew.",
            "defects.0.kind",
            "defects.101.kind",
            "defects..kind",
            "lenght_ft",
            "1",
            "turn",
            "turn.speed",
        ] {
            assert_eq!(Column::titled(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn the_template_has_what_is_needed_and_nothing_unknown() {
        assert!(TEMPLATE.iter().all(|title| Column::titled(title).is_some()));
        assert!(NEEDED.iter().all(|title| TEMPLATE.contains(title)));
    }
}
