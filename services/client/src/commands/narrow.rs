//! Text for a narrow terminal: nothing is wider than forty columns.

/// As wide as a phone's terminal shows a line at a size that can be read outdoors.
pub(crate) const COLUMNS: usize = 40;

/// A text in lines of at most forty columns; every line but the first begins with so many blanks.
pub(crate) fn lines(text: &str, hanging: usize) -> String {
    let mut set = String::new();
    for paragraph in text.lines() {
        let indent: String = paragraph.chars().take_while(|letter| *letter == ' ').collect();
        let mut line = indent.clone();
        let mut is_blank = true;
        for word in paragraph.split_whitespace().flat_map(pieces) {
            let gap = usize::from(!is_blank);
            if !is_blank && width(&line) + gap + width(&word) > COLUMNS {
                set.push_str(&line);
                set.push('\n');
                line = format!("{indent}{}", " ".repeat(hanging));
                is_blank = true;
            }
            if !is_blank {
                line.push(' ');
            }
            line.push_str(&word);
            is_blank = false;
        }
        set.push_str(&line);
        set.push('\n');
    }
    set
}

/// How many columns a text takes; of the letters of our trade each takes one.
pub(crate) fn width(text: &str) -> usize {
    text.chars().count()
}

/// A word, broken where it is wider than the terminal: an address, an id.
fn pieces(word: &str) -> Vec<String> {
    const LONGEST: usize = 32;
    let letters: Vec<char> = word.chars().collect();
    letters.chunks(LONGEST).map(|chunk| chunk.iter().collect::<String>()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_forty_columns() {
        let id = "0197a000-0000-7000-8000-000000000001";
        let text = format!("  accepted as {id}, and nothing pays yet for 2 tasks; {}", "word ".repeat(20));
        let set = lines(&text, 4);
        assert!(set.lines().all(|line| width(line) <= COLUMNS), "{set}");
        assert!(set.lines().skip(1).all(|line| line.starts_with("      ")), "{set}");
        assert_eq!(lines("short", 2), "short\n");
        assert_eq!(lines("", 2), "");
        assert_eq!(lines("a\n\nb", 2), "a\n\nb\n");
    }
}
