//! Documents read back by a program of somebody else's: poppler's `pdftotext`, `pdffonts` and `pdfinfo`. Where they are not
//! there the checks on documents are skipped, and say so.

use std::io::Write;
use std::process::{Command, Stdio};

/// A document as it is read back.
#[derive(Debug)]
pub struct Document {
    /// The pages, each in its lines, without the head and the foot.
    pub pages: Vec<Vec<String>>,
    /// The head of each page.
    pub heads: Vec<String>,
    /// The foot of each page.
    pub feet: Vec<String>,
}

/// Whether poppler's programs are there; says so loudly where they are not.
pub fn can_read() -> bool {
    let there =
        Command::new("pdftotext").arg("-v").stderr(Stdio::null()).stdout(Stdio::null()).status().is_ok();
    if !there {
        eprintln!(
            "SKIPPED: what stands in PDF documents is not checked: there is no pdftotext (poppler-utils)"
        );
    }
    there
}

/// What a program says of a document that it is given.
pub fn told(program: &str, arguments: &[&str], document: &[u8]) -> String {
    let mut child = Command::new(program)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{program}: {error}"));
    let mut input = child.stdin.take().expect("an input");
    let document = document.to_vec();
    let writing = std::thread::spawn(move || input.write_all(&document));
    let output = child.wait_with_output().expect("it ends");
    writing.join().expect("it was written").expect("it was read");
    assert!(output.status.success(), "{program}: {output:?}");
    let complaints = String::from_utf8(output.stderr).expect("text");
    // Poppler takes the mark that nothing about the tags is suspect (ISO 32000-1, table 321) for one of another type.
    let complaint = complaints.lines().find(|line| !line.is_empty() && !line.contains("Suspects"));
    assert_eq!(complaint, None, "{program}");
    String::from_utf8(output.stdout).expect("text")
}

impl Document {
    /// Reads one back.
    pub fn read(bytes: &[u8]) -> Self {
        assert!(bytes.starts_with(b"%PDF-1.7"), "this is no document");
        let text = told("pdftotext", &["-layout", "-", "-"], bytes);
        let (mut pages, mut heads, mut feet) = (Vec::new(), Vec::new(), Vec::new());
        for page in text.split_terminator('\u{c}') {
            let mut lines: Vec<_> =
                page.lines().filter(|line| !line.trim().is_empty()).map(str::to_owned).collect();
            assert!(lines.len() >= 3, "a page with nothing on it: {page}");
            heads.push(lines.remove(0));
            feet.push(lines.pop().expect("a foot"));
            pages.push(lines);
        }
        Self { pages, heads, feet }
    }

    /// All of it, page after page.
    pub fn text(&self) -> String {
        self.pages.iter().flatten().map(|line| format!("{line}\n")).collect()
    }
}

/// Every font of a document is in it, and only as much of it as is used.
pub fn fonts_are_in_it(bytes: &[u8]) {
    let told = told("pdffonts", &["-"], bytes);
    let fonts: Vec<&str> = told.lines().skip(2).collect();
    assert!(!fonts.is_empty(), "{told}");
    for font in fonts {
        let words: Vec<&str> = font.split_whitespace().collect();
        // … emb sub uni object ID
        let [embedded, subset, unicode] = [5, 4, 3].map(|from_end| words[words.len() - from_end]);
        assert_eq!([embedded, subset, unicode], ["yes"; 3], "{told}");
        assert!(font.contains("LibertinusSerif"), "{told}");
    }
}

#[test]
fn a_head_and_a_foot_are_taken_off_each_page() {
    if can_read() {
        let paper = papers::Paper::new("Pay statement", "Asa", "Outfit");
        let bytes = papers::pdf(&paper, papers::PaperSize::A4).expect("it can be set");
        let document = Document::read(&bytes);
        assert_eq!((document.pages.len(), document.feet.len()), (1, 1));
        assert!(document.heads[0].contains("Pay statement: Asa"), "{document:?}");
        assert!(document.feet[0].contains("Page 1 of 1"), "{document:?}");
        fonts_are_in_it(&bytes);
    }
}
