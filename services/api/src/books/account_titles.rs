//! What accounts are called in the journal and in everything it is exported to.

use settlement::{Account, Payee};

use super::names::Names;

/// The title of an account in plain accounting terms: its class, what it is for, and whose it is, each after a colon.
///
/// Programs read titles, so names in them are written so that they cannot be taken for anything else: colons,
/// semicolons, number signs, percent signs and every blank but a single one between words stand as `%` and two
/// hexadecimal digits for each byte (as RFC 3986 writes them in addresses). Different names stay different; what has no
/// name is called `#` and its id.
#[must_use]
pub fn account_title(account: Account, names: &Names) -> String {
    let heading = account.class().heading();
    let payee = |payee: Payee| {
        let id = match payee {
            Payee::Worker(worker) => worker.to_string(),
            Payee::Mill(mill) => mill.to_string(),
        };
        own_name(&names.payee(payee).name, &id)
    };
    let rest = match account {
        Account::WorkExpense(task) => format!("Work:{}", task.name()),
        Account::WageExpense(supplement) => format!("Wages:{}", supplement.name().replace('_', " ")),
        Account::PayableToWorker(worker) => format!("Wages payable:{}", payee(Payee::Worker(worker))),
        Account::HoldbackPayable(worker) => format!("Holdback:{}", payee(Payee::Worker(worker))),
        Account::AdvanceToWorker(worker) => format!("Advances:{}", payee(Payee::Worker(worker))),
        Account::ChargesRecovered(kind) => format!("Charges recovered:{}", kind.name()),
        Account::ReceivableFromMill(mill) => format!("Receivable:{}", payee(Payee::Mill(mill))),
        Account::TimberIncome => "Timber".to_owned(),
        Account::Cash => "Cash".to_owned(),
    };
    format!("{heading}:{rest}")
}

/// A name as a part of a title; the id where there is none.
fn own_name(name: &str, id: &str) -> String {
    if name.is_empty() {
        return format!("#{id}");
    }
    let mut title = String::with_capacity(name.len());
    let mut letters = name.chars().peekable();
    while let Some(letter) = letters.next() {
        let between_words =
            letter == ' ' && !title.is_empty() && !title.ends_with(' ') && letters.peek().is_some();
        let separates = letter.is_whitespace() || letter.is_control() || ":;#%".contains(letter);
        if between_words || !separates {
            title.push(letter);
        } else {
            for byte in letter.encode_utf8(&mut [0; 4]).bytes() {
                title.push_str(&format!("%{byte:02X}"));
            }
        }
    }
    title
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn names_are_written_so_that_they_end_where_they_should() {
        for (name, title) in [
            ("Otto Lind", "Otto Lind"),
            ("Lind  Otto", "Lind %20Otto"),
            (" Lind ", "%20Lind%20"),
            ("Lind: Otto; hewer", "Lind%3A Otto%3B hewer"),
            ("100% Lind #2", "100%25 Lind %232"),
            ("two\nlines\tand a tab", "two%0Alines%09and a tab"),
            ("hard\u{a0}blank", "hard%C2%A0blank"),
            ("Åse Bjørk", "Åse Bjørk"),
            ("", "#7"),
        ] {
            assert_eq!(own_name(name, "7"), title);
        }
    }

    /// Whatever letters names are made of, no two of them become one title.
    #[test]
    fn different_names_stay_different() {
        let letters = ["a", " ", ":", ";", "%", "#", "%3A", "%20", "\u{a0}", "\n"];
        let mut names = BTreeSet::new();
        let mut titles = BTreeSet::new();
        for first in letters {
            for second in letters {
                for third in letters {
                    let name = format!("{first}{second}{third}");
                    titles.insert(own_name(&name, "7"));
                    names.insert(name);
                }
            }
        }
        assert_eq!(titles.len(), names.len());
        for title in &titles {
            assert!(!title.contains("  ") && !title.contains([':', ';', '\n', '\t']), "{title}");
            assert_eq!(title.trim(), title);
        }
    }
}
