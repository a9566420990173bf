//! Reads a stick from a line.

use kernel::Product;
use scaling::Piece;
use serde_json::{Value, json};

use super::Misread;
use super::defect;
use super::parts::Words;
use super::sizes::{Members, Size, System};
use super::token::{Token, parts};

/// What a line may leave out.
#[derive(Clone, Copy, Debug, Default)]
pub struct Context<'a> {
    /// The stick before.
    pub before: Option<&'a Piece>,
    /// Whether numbers of logs and piles without a unit are in centimetres and metres.
    pub metric: bool,
}

/// What a line can begin with, and the product it means.
pub(super) const PRODUCTS: [(&str, Product); 5] = [
    ("log", Product::Log),
    ("hewn", Product::HewnTimber),
    ("tie", Product::Tie),
    ("pole", Product::Pole),
    ("pile", Product::RankedPile),
];

/// Words that mean something behind the species.
pub(super) const KEYWORDS: [&str; 20] = [
    "small", "middle", "large", "butt", "length", "grade", "marks", "no", "from", "wane", "ordered", "score",
    "bent", "askew", "refused", "round", "top", "high", "sticks", "x",
];

/// Words that a text follows, which may look like a number.
const TEXTS: [&str; 5] = ["grade", "marks", "no", "from", "refused"];

/// Reads a stick from a line.
///
/// # Errors
///
/// [`Misread`], which says what to type.
pub fn read(line: &str, context: &Context<'_>) -> Result<Piece, Misread> {
    let parts = parts(line)?;
    let (head, defects) = parts.split_first().ok_or_else(|| Misread::new("nothing was typed"))?;
    let mut words = Words::new(head);
    let product = product(&mut words, context);
    let mut members = Members::new();
    members.insert("product".to_owned(), json!(product.name()));
    species(&mut words, context, &mut members)?;
    let mut stick =
        Stick { product, system: system(head, product, context)?, members, sizes: 0, section: None };
    while let Some(token) = words.peek() {
        match token.number() {
            Some(typed) => {
                let _number = words.next();
                stick.bare(&Size::read(typed)?)?;
            }
            None => stick.named(&mut words)?,
        }
    }
    stick.end_section();
    stick.length_as_before(context);
    let system = stick.system;
    let defects: Vec<Value> = defects
        .iter()
        .filter(|part| !part.is_empty())
        .map(|part| defect::read(part, system))
        .collect::<Result<_, _>>()?;
    if !defects.is_empty() {
        if matches!(product, Product::Tie | Product::Pole) {
            let what = product.words();
            return Err(Misread::new(format!("of a {what} no defects are written: type refused and why")));
        }
        stick.members.insert("defects".to_owned(), Value::Array(defects));
    }
    serde_json::from_value(Value::Object(stick.members)).map_err(|error| Misread::of_document(&error))
}

fn product(words: &mut Words<'_>, context: &Context<'_>) -> Product {
    let first = words.peek().and_then(Token::word);
    match PRODUCTS.iter().find(|(word, _)| first.as_deref() == Some(*word)) {
        Some((_, product)) => {
            let _word = words.next();
            *product
        }
        None => context.before.map_or(Product::Log, Piece::product),
    }
}

fn species(words: &mut Words<'_>, context: &Context<'_>, members: &mut Members) -> Result<(), Misread> {
    let mut named = Vec::new();
    if let Some(Token::Quoted(text)) = words.peek() {
        let _text = words.next();
        named.push(text.clone());
    } else {
        while let Some(word) = words.peek().filter(|token| is_of_a_name(token)) {
            named.push(word.text().to_owned());
            let _word = words.next();
        }
    }
    let before = context.before.map(|piece| piece.species().as_str().to_owned());
    let species = if named.is_empty() { before } else { Some(named.join(" ")) };
    members.extend(species.map(|species| ("species".to_owned(), json!(species))));
    Ok(())
}

fn is_of_a_name(token: &Token) -> bool {
    token.word().is_some_and(|word| !KEYWORDS.contains(&word.as_str()))
}

/// The system the stick is measured in: as its units say, or as bare numbers go.
fn system(head: &[Token], product: Product, context: &Context<'_>) -> Result<System, Misread> {
    let mut found = None;
    let mut before = None;
    for token in head {
        let is_text =
            before.replace(token).and_then(Token::word).is_some_and(|word| TEXTS.contains(&word.as_str()));
        let Some(typed) = token.number().filter(|_| !is_text) else { continue };
        // What is no size is told where it stands.
        let Some(system) = Size::read(typed).ok().and_then(|size| size.system()) else { continue };
        if found.is_some_and(|before| before != system) {
            return Err(Misread::new(
                "inches or feet and centimetres or metres on one stick: type one of the two",
            ));
        }
        found = Some(system);
    }
    let takes_metric = matches!(product, Product::Log | Product::RankedPile);
    if found == Some(System::Metric) && !takes_metric {
        return Err(Misread::new(format!("a {} is measured in inches and feet", product.words())));
    }
    let bare = if context.metric && takes_metric { System::Metric } else { System::InchFoot };
    Ok(found.unwrap_or(bare))
}

/// A stick as far as it was read.
struct Stick {
    product: Product,
    system: System,
    members: Members,
    /// How many numbers stood without a word before them.
    sizes: usize,
    /// The section of a hewn timber that wane belongs to.
    section: Option<(&'static str, Value)>,
}

impl Stick {
    fn set(&mut self, member: &str, value: Value) -> Result<(), Misread> {
        match self.members.insert(member.to_owned(), value) {
            None => Ok(()),
            Some(_) => {
                let says = member.trim_end_matches("_in").trim_end_matches("_cm").replace('_', " ");
                Err(Misread::new(format!("{says} is given twice: which of the two?")))
            }
        }
    }

    /// A number without a word before it.
    fn bare(&mut self, size: &Size) -> Result<(), Misread> {
        let first = self.sizes == 0;
        self.sizes += 1;
        match (self.product, first) {
            (Product::Log, true) if size.is_length() => self.length(size),
            (Product::Log, true) => self.readings("small", size),
            (Product::HewnTimber, true) if size.by => self.begin_section("small_end", size),
            (Product::Tie, true) if size.by => {
                let (width, thickness) = size.pair()?;
                self.set("width_in", json!(width))?;
                self.set("thickness_in", json!(thickness))
            }
            (Product::Pole | Product::RankedPile, true) => self.length(size),
            _ => self.length(size),
        }
    }

    fn length(&mut self, size: &Size) -> Result<(), Misread> {
        if self.members.contains_key("length_ft") || self.members.contains_key("length_m") {
            return Err(Misread::new(
                "there are two lengths: readings of one end go with a stroke, as in 14/15",
            ));
        }
        size.length("length", self.system, &mut self.members)
    }

    fn readings(&mut self, place: &str, size: &Size) -> Result<(), Misread> {
        let unit = if self.system == System::Metric { "cm" } else { "in" };
        self.set(&format!("{place}_diameter_{unit}"), size.readings()?)
    }

    fn begin_section(&mut self, place: &'static str, size: &Size) -> Result<(), Misread> {
        self.end_section();
        let (width, thickness) = size.pair()?;
        if self.members.contains_key(place) {
            return Err(Misread::new(format!("the {} is given twice", place.replace('_', " "))));
        }
        self.section = Some((place, json!({"width_in": width, "thickness_in": thickness})));
        Ok(())
    }

    fn end_section(&mut self) {
        if let Some((place, section)) = self.section.take() {
            self.members.insert(place.to_owned(), section);
        }
    }

    fn wane(&mut self, size: &Size) -> Result<(), Misread> {
        let (width, thickness) = size.pair()?;
        let corner = json!({"width_in": width, "thickness_in": thickness});
        let section = self.section.as_mut().and_then(|(_, section)| section.as_object_mut());
        let section = section
            .ok_or_else(|| Misread::new("wane goes behind the section it is on, as in 12x10 wane 2x1"))?;
        let corners = section.entry("wane").or_insert_with(|| json!([]));
        corners.as_array_mut().into_iter().for_each(|corners| corners.push(corner.clone()));
        Ok(())
    }

    /// A word and what follows it.
    fn named(&mut self, words: &mut Words<'_>) -> Result<(), Misread> {
        let token = words.next().map(|token| token.text().to_owned()).unwrap_or_default();
        let word = token.to_lowercase();
        let text = |member: &'static str| (member, true);
        let of_all = match word.as_str() {
            "grade" => Some(text("grade")),
            "marks" => Some(text("marks")),
            "no" => Some(text("stick_number")),
            "refused" if self.product != Product::Log => Some(text("refused")),
            "from" if matches!(self.product, Product::HewnTimber | Product::Tie) => Some(text("hewn_from")),
            _ => None,
        };
        if let Some((member, _)) = of_all {
            let value = json!(words.text(&word)?);
            return self.set(member, value);
        }
        if word == "length" {
            let size = words.size(&word)?;
            return self.length(&size);
        }
        match self.product {
            Product::Log if matches!(word.as_str(), "small" | "middle" | "large" | "butt") => {
                let size = words.size(&word)?;
                self.readings(&word, &size)
            }
            Product::HewnTimber => self.of_hewn(&word, words),
            Product::Tie if word == "round" => self.single("log_diameter_in", &word, words),
            Product::Tie => self.of_faces(&word, words),
            Product::Pole if word == "top" => self.single("top_diameter_in", &word, words),
            Product::RankedPile if word == "high" => {
                let (member, heights) = words.size(&word)?.heights(self.system)?;
                self.set(member, heights)
            }
            Product::RankedPile if word == "sticks" => {
                let size = words.size(&word)?;
                size.length("stick_length", self.system, &mut self.members)
            }
            _ => Err(self.unknown(&token)),
        }
    }

    fn of_hewn(&mut self, word: &str, words: &mut Words<'_>) -> Result<(), Misread> {
        let place = match word {
            "small" => "small_end",
            "middle" => "middle",
            "large" => "large_end",
            "wane" => return self.wane(&words.size(word)?),
            "ordered" => return self.ordered(words),
            _ => return self.of_faces(word, words),
        };
        let size = words.size(word)?;
        self.begin_section(place, &size)
    }

    fn ordered(&mut self, words: &mut Words<'_>) -> Result<(), Misread> {
        if words.take("wide") {
            return self.single("ordered_width_in", "wide", words);
        }
        if words.take("thick") {
            return self.single("ordered_thickness_in", "thick", words);
        }
        let size = words.size("ordered")?;
        let (width, thickness) = size.pair()?;
        self.set("ordered_width_in", json!(width))?;
        self.set("ordered_thickness_in", json!(thickness))
    }

    /// What is looked at on hewn faces.
    fn of_faces(&mut self, word: &str, words: &mut Words<'_>) -> Result<(), Misread> {
        match word {
            "score" => self.single("score_mark_depth_in", word, words),
            "bent" => self.single("straightness_in", word, words),
            "askew" => self.single("out_of_square_in", word, words),
            _ => Err(self.unknown(word)),
        }
    }

    fn single(&mut self, member: &str, word: &str, words: &mut Words<'_>) -> Result<(), Misread> {
        let size = words.size(word)?;
        self.set(member, json!(size.single()?))
    }

    fn unknown(&self, word: &str) -> Misread {
        Misread::new(format!(
            "\"{word}\" is not understood of a {}: a defect goes behind a comma; h helps",
            self.product.words()
        ))
    }

    /// The length of the stick before, where none was typed and it was measured the same way.
    fn length_as_before(&mut self, context: &Context<'_>) {
        let Some(before) = context.before.filter(|before| before.product() == self.product) else { return };
        if self.members.contains_key("length_ft") || self.members.contains_key("length_m") {
            return;
        }
        let Ok(Value::Object(known)) = serde_json::to_value(before) else { return };
        let names: &[&str] = match self.system {
            System::InchFoot => &["length_ft", "length_in"],
            System::Metric => &["length_m"],
        };
        for name in names {
            self.members.extend(known.get(*name).map(|value| ((*name).to_owned(), value.clone())));
        }
    }
}
