//! The journal as plain-text double entry, the form that the open manuals of general-purpose accounting tools describe:
//! a dated line for each entry, below it an indented line for each posting with the account and, after two blanks or
//! more, the amount with its currency. Debits are above zero, credits below.

use super::Handover;
use crate::books::account_titles::account_title;
use crate::books::names::Names;

/// The journal as text; every line ends with a line break.
#[must_use]
pub fn plain_text(journal: &Handover<'_>, names: &Names) -> String {
    let day = |day: Option<jiff::civil::Date>, otherwise: &str| {
        day.map_or_else(|| otherwise.to_owned(), |day| day.to_string())
    };
    let (from, to) = (day(journal.from, "the beginning"), day(journal.to, "the end"));
    let mut text = format!("; Journal of {}\n", on_one_line(journal.outfit_name));
    text.push_str(&format!("; Entries dated from {from} to {to}, amounts in {}\n", journal.currency));
    text.push_str("; Debits are above zero, credits below. In names, % and two digits stand for a sign.\n");
    for entry in journal.entries {
        // The id stands where a cheque's number would; what follows it is never read for anything but words.
        text.push_str(&format!("\n{} * ({}) {}\n", entry.dated, entry.id, on_one_line(&entry.says)));
        let postings: Vec<_> = entry
            .postings
            .iter()
            .map(|(account, minor)| (account_title(*account, names), journal.money(*minor).to_string()))
            .collect();
        let titles = postings.iter().map(|(title, _)| title.chars().count()).max().unwrap_or(0);
        let amounts = postings.iter().map(|(_, amount)| amount.chars().count()).max().unwrap_or(0);
        for (title, amount) in &postings {
            text.push_str(&format!("    {title:<titles$}  {amount:>amounts$}\n"));
        }
    }
    text
}

/// Words for people as they may stand after a date: on one line, with single blanks, and without the semicolon, after
/// which some tools read a remark.
fn on_one_line(says: &str) -> String {
    let words: Vec<_> = says.split(|letter: char| letter.is_whitespace() || letter.is_control()).collect();
    let words: Vec<_> = words.into_iter().filter(|word| !word.is_empty()).collect();
    words.join(" ").replace(';', ",")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cannot_end_their_line_or_begin_a_remark() {
        assert_eq!(on_one_line("paid\n2026-01-01 * (x)  ; not so"), "paid 2026-01-01 * (x) , not so");
        assert_eq!(on_one_line("hard\u{a0}\u{2028}blanks"), "hard blanks");
    }
}
