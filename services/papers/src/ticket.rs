//! The scale ticket: every stick as it was read, what each contract's scale makes of it, and who did the work.

use scaling::Piece;
use wire::words::{day, defects, numbers, refused, sizes, turn};
use wire::{ContractScale, PieceScaleView, TicketReference, TicketState, TicketView};

use crate::paper::{Block, Fact, Paper, Section, Standing};
use crate::table::{Cell, Column, Table};
use crate::words::{CAUTION, capital, file_name};

/// As many contracts as have their figures beside one another.
const SCALES_BESIDE: usize = 3;

/// The paper of a ticket, from a reply that shows it scaled; of one that shows less there is less.
///
/// A ticket that was corrected or is void says so at the top and is crossed out on every page.
///
/// ```
/// let view = serde_json::from_str(r#"{
///     "ticket_id": "0197a000-0000-7000-8000-000000000001", "state": "standing", "piece_count": 1,
///     "pieces_shown": "scaled", "accepted_by": "Ida Berg", "accepted_at": "2031-06-02T12:00:00Z",
///     "ticket": {"book": "N", "number": 12, "job_id": "0197a000-0000-7000-8000-000000000002",
///         "landing_id": "0197a000-0000-7000-8000-000000000003", "scaled_on": "2031-06-02", "scaler": "Ida Berg",
///         "pieces": [{"product": "log", "species": "fir", "small_diameter_in": ["13", "14"], "length_ft": "16"}]}
/// }"#)?;
/// assert_eq!(papers::ticket(&view).name(), "Scale ticket: N 12");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn ticket(view: &TicketView) -> Paper {
    let ticket = &view.ticket;
    let name = format!("{} {}", ticket.book, ticket.number);
    let outfit = view.named.as_ref().map(|named| named.outfit_name.as_str()).unwrap_or_default();
    let mut paper = Paper::new("Scale ticket", &name, outfit);
    paper.span = format!("Scaled {} by {}", day(ticket.scaled_on), ticket.scaler);
    paper.file_name = file_name(&["scale ticket", ticket.book.as_str(), &ticket.number.to_string()]);
    paper.standing = standing(view);
    paper.facts = facts(view);
    paper.sections = [work(view), sticks(view), totals(view), rates(view), open(view), signing(view)]
        .into_iter()
        .flatten()
        .collect();
    paper
}

fn reference(ticket: &TicketReference) -> String {
    format!("{} {}", ticket.book, ticket.number)
}

fn standing(view: &TicketView) -> Option<Standing> {
    let named = view.named.as_ref();
    match view.state {
        TicketState::Standing => None,
        TicketState::Corrected => {
            let by = named.and_then(|named| named.corrected_by.as_ref()).map(reference);
            let by = by.or(view.corrected_by.map(|id| id.to_string())).unwrap_or_default();
            let says = format!("This ticket counts no more. Ticket {by} took its place.");
            Some(Standing { word: "Corrected".to_owned(), says, struck: true })
        }
        TicketState::Void => {
            let of = named.and_then(|named| named.corrects.as_ref()).map(reference);
            let of = of.or(view.corrects.map(|id| id.to_string())).unwrap_or_default();
            let says =
                format!("This ticket holds nothing. It took the place of ticket {of}, which counts no more.");
            Some(Standing { word: "Void".to_owned(), says, struck: true })
        }
    }
}

fn facts(view: &TicketView) -> Vec<Fact> {
    let ticket = &view.ticket;
    let mut facts =
        vec![Fact::new("Scaled on", day(ticket.scaled_on)), Fact::new("Scaler", ticket.scaler.as_str())];
    if let Some(named) = &view.named {
        let certificate = named.certificate.clone().unwrap_or_else(|| "none is filed for the day".to_owned());
        facts.push(Fact::new("Certificate of the scaler", certificate));
        facts.push(Fact::new("Job", &named.job_name));
        facts.push(Fact::new("Landing", &named.landing_name));
        facts.extend(named.mill_name.clone().map(|mill| Fact::new("Delivered to", mill)));
        facts.extend(named.corrects.as_ref().map(|wrong| Fact::new("Takes the place of", reference(wrong))));
    }
    facts.extend(view.correction_reason.clone().map(|reason| Fact::new("Because", reason)));
    facts.extend(turn(ticket).map(|turn| Fact::new("Turn", capital(&turn))));
    facts.push(Fact::new("Sticks", view.piece_count.to_string()));
    facts.extend(ticket.remarks.as_ref().map(|remarks| Fact::new("Remarks", remarks.as_str())));
    facts.extend(
        ticket.measured_at.map(|at| Fact::new("Measured at, by the scaler's device", at.to_string())),
    );
    facts.push(Fact::new("Accepted", format!("{}, from {}", view.accepted_at, view.accepted_by)));
    if view.late {
        facts.push(Fact::new("Came late", "its week was posted already: it is settled as an adjustment"));
    }
    facts.push(Fact::new("Ticket", view.ticket_id.to_string()));
    facts
}

/// Who did what to which sticks; none where the crews are not to be seen.
fn work(view: &TicketView) -> Option<Section> {
    let crews = &view.named.as_ref()?.crews;
    if crews.is_empty() || view.ticket.work.is_empty() {
        return None;
    }
    let heads =
        [Column::words("Task"), Column::words("Crew"), Column::words("Sticks"), Column::figures("Parts")];
    let mut table = Table::new("table-work", "By task and crew", heads);
    for entry in &view.ticket.work {
        let crew = crews.iter().find(|crew| crew.crew_id == entry.crew_id);
        let crew = crew.map_or_else(|| entry.crew_id.to_string(), |crew| crew.name.clone());
        let pieces = entry.pieces.as_ref().map_or_else(|| "all others".to_owned(), |pieces| numbers(pieces));
        table.row([
            Cell::head(capital(entry.task.name())),
            Cell::words(crew),
            Cell::words(pieces),
            Cell::maybe(entry.parts),
        ]);
    }
    Some(Section::new("work", "Who did the work", vec![Block::Table(table)]))
}

/// The letter of a scale: A, B, C, and a number where there are no more letters.
fn letter(place: usize) -> String {
    match u8::try_from(place).ok().and_then(|place| b'A'.checked_add(place)).filter(u8::is_ascii_uppercase) {
        Some(letter) => char::from(letter).to_string(),
        None => place.saturating_add(1).to_string(),
    }
}

/// In what a contract scales the sticks of a ticket, where it is one unit.
fn one_unit(scale: &ContractScale) -> Option<&'static str> {
    match scale.totals.as_slice() {
        [one] => Some(one.unit.words()),
        _ => None,
    }
}

fn sticks(view: &TicketView) -> Option<Section> {
    if view.ticket.pieces.is_empty() {
        let says = match view.state {
            TicketState::Void => "None: it voids the ticket whose place it takes.",
            _ => "They are not shown here.",
        };
        return Some(Section::new("sticks", "Sticks", vec![Block::Paragraph(says.to_owned())]));
    }
    let scales: Vec<(String, &ContractScale)> =
        view.scaled.iter().enumerate().map(|(place, scale)| (letter(place), scale)).collect();
    let mut blocks = Vec::new();
    if !scales.is_empty() {
        let named = scales.iter().map(|(letter, scale)| {
            let unit = one_unit(scale).map(|unit| format!(", {unit}")).unwrap_or_default();
            format!("Scale {letter}: {}{unit}", scale.contract_title)
        });
        blocks.push(Block::Points(named.collect()));
    }
    let mut beside = scales.chunks(SCALES_BESIDE);
    blocks.push(Block::Table(measured(view, beside.next().unwrap_or_default())));
    for (place, scales) in (2_usize..).zip(beside) {
        blocks.push(Block::Table(further(view, place, scales)));
    }
    Some(Section::new("sticks", "Sticks", blocks))
}

fn figure_heads(scales: &[(String, &ContractScale)]) -> Vec<Column> {
    let heads =
        scales.iter().flat_map(|(letter, _)| [format!("Gross\u{a0}{letter}"), format!("Net\u{a0}{letter}")]);
    heads.map(Column::figures).collect()
}

/// What was read of every stick, with the first scales beside it.
fn measured(view: &TicketView, scales: &[(String, &ContractScale)]) -> Table {
    let mut heads = vec![
        Column::words("Stick"),
        Column::words("Timber"),
        Column::words("Measured"),
        Column::words("Defects"),
    ];
    heads.extend(figure_heads(scales));
    let mut table = Table::new("table-sticks", "As measured, and as scaled", heads);
    for (number, piece) in (1_u16..).zip(&view.ticket.pieces) {
        let mut cells = vec![
            Cell::head(number),
            Cell::words(timber(piece)),
            Cell::words(sizes(piece).join(", ")),
            Cell::words(defects(piece).unwrap_or_default()),
        ];
        cells.extend(figures(number, scales));
        table.row(cells);
        table.remark(marks(piece));
        table.remark(refused(piece).map(|why| format!("Refused: {why}.")).unwrap_or_default());
        for remark in culls(number, scales) {
            table.remark(remark);
        }
    }
    table
}

/// The same sticks on further scales.
fn further(view: &TicketView, place: usize, scales: &[(String, &ContractScale)]) -> Table {
    let mut heads = vec![Column::words("Stick"), Column::words("Timber")];
    heads.extend(figure_heads(scales));
    let mut table = Table::new(format!("table-sticks-{place}"), "The same sticks on further scales", heads);
    for (number, piece) in (1_u16..).zip(&view.ticket.pieces) {
        let mut cells = vec![Cell::head(number), Cell::words(timber(piece))];
        cells.extend(figures(number, scales));
        table.row(cells);
        for remark in culls(number, scales) {
            table.remark(remark);
        }
    }
    table
}

fn timber(piece: &Piece) -> String {
    let grade = piece.grade().map(|grade| format!(", grade {grade}")).unwrap_or_default();
    format!("{} {}{grade}", piece.species(), piece.product().words())
}

fn marks(piece: &Piece) -> String {
    let mut says = Vec::new();
    says.extend(piece.marks().map(|marks| format!("marked {marks}")));
    says.extend(piece.stick_number().map(|number| format!("stick number {number}")));
    says.extend(piece.hewn_from().map(|number| format!("hewn from {number}")));
    if says.is_empty() { String::new() } else { capital(&format!("{}.", says.join(", "))) }
}

fn of_piece(scale: &ContractScale, number: u16) -> Option<&PieceScaleView> {
    scale.pieces.iter().find(|piece| piece.piece == number)
}

/// Gross and net by each scale; with the unit where a contract has more than one.
fn figures(number: u16, scales: &[(String, &ContractScale)]) -> Vec<Cell> {
    let of_scale = |(_, scale): &(String, &ContractScale)| {
        let piece = of_piece(scale, number);
        let in_units = |figure: kernel::Fixed| match piece.and_then(|piece| piece.unit) {
            Some(unit) if one_unit(scale).is_none() => format!("{figure} {}", unit.words()),
            _ => figure.to_string(),
        };
        [piece.and_then(|piece| piece.gross), piece.and_then(|piece| piece.net)]
            .map(|one| Cell::maybe(one.map(in_units)))
    };
    scales.iter().flat_map(of_scale).collect()
}

fn culls(number: u16, scales: &[(String, &ContractScale)]) -> Vec<String> {
    let cull = |(letter, scale): &(String, &ContractScale)| {
        let why = of_piece(scale, number)?.cull.as_ref()?;
        Some(format!("Cull on scale {letter}: {why}."))
    };
    scales.iter().filter_map(cull).collect()
}

/// What each scale adds up to.
fn totals(view: &TicketView) -> Option<Section> {
    let heads = [
        Column::words("Scale"),
        Column::words("Unit"),
        Column::figures("Sticks"),
        Column::figures("Culls"),
        Column::figures("Gross"),
        Column::figures("Net"),
    ];
    let mut table = Table::new("table-totals", "All sticks of the ticket", heads);
    for (place, scale) in view.scaled.iter().enumerate() {
        for total in &scale.totals {
            table.row([
                Cell::head(format!("{}: {}", letter(place), scale.contract_title)),
                Cell::words(total.unit.words()),
                Cell::figure(total.pieces),
                Cell::figure(total.culls),
                Cell::figure(total.gross),
                Cell::figure(total.net),
            ]);
        }
    }
    (!table.rows.is_empty()).then(|| Section::new("totals", "Gross and net", vec![Block::Table(table)]))
}

/// What is counted under which rate. Prices are not for the ticket.
fn rates(view: &TicketView) -> Option<Section> {
    let heads = [
        Column::words("Contract"),
        Column::words("Rate"),
        Column::figures("Quantity"),
        Column::words("Sticks"),
    ];
    let mut table = Table::new("table-rates", "Quantities by rate", heads);
    for scale in &view.scaled {
        for accrual in &scale.accruals {
            table.row([
                Cell::head(&scale.contract_title),
                Cell::words(format!("{}. {}: {}", accrual.rate_number, accrual.task, accrual.rate_name)),
                Cell::figure(accrual.quantity),
                Cell::words(numbers(&accrual.pieces)),
            ]);
        }
    }
    (!table.rows.is_empty()).then(|| Section::new("rates", "What it counts for", vec![Block::Table(table)]))
}

/// What nothing pays for, and what was set aside.
fn open(view: &TicketView) -> Option<Section> {
    let stick = |piece: Option<u16>, none: &str| {
        piece.map_or_else(|| none.to_owned(), |piece| format!("stick {piece}"))
    };
    let mut says: Vec<_> = view
        .unpriced
        .iter()
        .map(|one| format!("{}, {}: {}.", capital(one.task.name()), stick(one.piece, "the turn"), one.says))
        .collect();
    says.extend(view.set_aside.iter().map(|one| {
        let stick = stick(one.piece, "every stick");
        format!("Set aside: {}, {stick}: {} ({}).", one.task, one.reason, one.made_by)
    }));
    if says.is_empty() {
        return None;
    }
    Some(Section::new("open", "Not paid by a rate", vec![Block::Points(says)]))
}

fn signing(view: &TicketView) -> Option<Section> {
    let mut names = vec![format!("Scaler: {}", view.ticket.scaler), "For the crew".to_owned()];
    if let Some(mill) = view.named.as_ref().and_then(|named| named.mill_name.as_ref()) {
        names.push(format!("Received for {mill}"));
    }
    let blocks = vec![Block::Signatures(names), Block::Paragraph(CAUTION.to_owned())];
    Some(Section::new("signed", "Signed", blocks))
}
