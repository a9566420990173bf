//! The model of a paper: what stands on it and in which order, before anything is set.
//!
//! A paper is made from a reply of the API and from nothing else. Every figure on it is the text of a value of that
//! reply; nothing is computed here. Both setters, [`crate::html`] and [`crate::pdf`], are given the same paper, so that
//! the page on the screen and the one in the hand cannot say different things.

use crate::table::Table;

/// A paper.
///
/// ```
/// use papers::Paper;
/// let paper = Paper::new("Pay statement", "Asa Thornby", "Upper fork outfit");
/// assert_eq!(paper.name(), "Pay statement: Asa Thornby");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// What kind of paper it is: `Pay statement`.
    pub title: String,
    /// Whose it is, or what it is about: a name, the number of a ticket.
    pub subject: String,
    /// The outfit whose books it comes from.
    pub outfit: String,
    /// Which days it is about, for the head of every page; empty where the subject says it all.
    pub span: String,
    /// What it is called as a file, without its ending.
    pub file_name: String,
    /// That it does not count, or not yet; none for a paper that counts.
    pub standing: Option<Standing>,
    /// What its reader wants first, in large figures.
    pub leads: Vec<Lead>,
    /// What it is about, below its title.
    pub facts: Vec<Fact>,
    /// Its sections, in order.
    pub sections: Vec<Section>,
}

impl Paper {
    /// A paper with a title and nothing on it yet.
    #[must_use]
    pub fn new(title: &str, subject: &str, outfit: &str) -> Self {
        Self {
            title: title.to_owned(),
            subject: subject.to_owned(),
            outfit: outfit.to_owned(),
            span: String::new(),
            file_name: crate::words::file_name(&[title, subject]),
            standing: None,
            leads: Vec::new(),
            facts: Vec::new(),
            sections: Vec::new(),
        }
    }

    /// What it is and whose: the name of the document.
    #[must_use]
    pub fn name(&self) -> String {
        if self.subject.is_empty() { self.title.clone() } else { format!("{}: {}", self.title, self.subject) }
    }
}

/// That a paper does not count, or not yet. It stands in words at the top, and goes through every page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// In a word or two: `Void`, `Draft`.
    pub word: String,
    /// What that means, and where to look instead.
    pub says: String,
    /// Whether it is crossed out, because it counts no more.
    pub struck: bool,
}

/// A figure that is set large.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lead {
    /// What it is.
    pub name: String,
    /// The figure.
    pub figure: String,
    /// What it means, in a sentence; may be empty.
    pub says: String,
}

/// Something known, by its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// What.
    pub name: String,
    /// How it is.
    pub says: String,
}

impl Fact {
    /// A fact.
    pub fn new(name: impl Into<String>, says: impl Into<String>) -> Self {
        Self { name: name.into(), says: says.into() }
    }
}

/// A section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Its place in the page's address.
    pub id: String,
    /// Its heading.
    pub title: String,
    /// What stands below.
    pub blocks: Vec<Block>,
}

impl Section {
    /// A section.
    pub fn new(id: impl Into<String>, title: impl Into<String>, blocks: Vec<Block>) -> Self {
        Self { id: id.into(), title: title.into(), blocks }
    }
}

/// What a section is put together from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A heading within the section.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// A paragraph that begins with words in bold.
    Warning(String, String),
    /// Sentences, each by itself.
    Points(Vec<String>),
    /// What is known, by name.
    Facts(Vec<Fact>),
    /// Rows and columns.
    Table(Table),
    /// Amounts below one another that foot.
    Sums(Vec<Sum>),
    /// A drawing of figures that stand in the table after it.
    Chart(Chart),
    /// Lines for people to sign on, each with who signs there.
    Signatures(Vec<String>),
}

/// An amount in a column that foots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sum {
    /// What it is.
    pub name: String,
    /// The amount, with its sign.
    pub amount: String,
    /// Whether it is what the ones above come to.
    pub total: bool,
}

impl Sum {
    /// An amount that is counted in.
    pub fn part(name: impl Into<String>, amount: impl ToString) -> Self {
        Self { name: name.into(), amount: amount.to_string(), total: false }
    }

    /// What the amounts above come to.
    pub fn total(name: impl Into<String>, amount: impl ToString) -> Self {
        Self { name: name.into(), amount: amount.to_string(), total: true }
    }
}

/// A drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chart {
    /// What it shows.
    pub title: String,
    /// What is to be seen in it, in words.
    pub says: String,
    /// The drawing, as SVG that needs nothing from outside.
    pub svg: String,
    /// How wide it is, in tenths of its own unit.
    pub width_tenths: i64,
    /// How high it is, likewise.
    pub height_tenths: i64,
}
