//! How papers write names of files, scales, and what is not there.

/// A name for a file from words: small letters, digits, and a low line between words. What is in other letters is left out.
///
/// ```
/// assert_eq!(papers::words::file_name(&["Pay statement", "Åsa O'Neil", "2031-06-07"]), "pay_statement_sa_o_neil_2031-06-07");
/// assert_eq!(papers::words::file_name(&["山"]), "paper");
/// ```
#[must_use]
pub fn file_name(parts: &[&str]) -> String {
    let mut name = String::new();
    for letter in parts.join(" ").chars() {
        if letter.is_ascii_alphanumeric() || letter == '-' {
            name.push(letter.to_ascii_lowercase());
        } else if !name.is_empty() && !name.ends_with('_') && letter.is_ascii() {
            name.push('_');
        }
    }
    let name: String = name.trim_matches('_').chars().take(80).collect();
    if name.is_empty() { "paper".to_owned() } else { name }
}

/// What papers about the scale say of themselves, where the reply does not say it.
pub(crate) const CAUTION: &str = "This is arithmetic from what was measured and from the contracts' terms, not legal advice. Who \
may scale, and what must be paid, is for local law and licensed professionals to decide.";

/// A name's first letter as a capital.
///
/// ```
/// assert_eq!(papers::words::capital("felling"), "Felling");
/// ```
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
