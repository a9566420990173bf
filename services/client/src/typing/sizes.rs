//! Numbers as they are typed: `14`, `14/15`, `12x10`, `16'4`, `36cm`, `4.9m`, `15%`, `60deg`.

use serde_json::{Map, Value, json};

use super::Misread;

/// The members of a document.
pub(super) type Members = Map<String, Value>;

/// What is written behind a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Inches,
    Feet,
    Centimetres,
    Metres,
    Percent,
    Degrees,
}

/// One number, perhaps in feet with further inches.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Number {
    pub(super) whole: String,
    pub(super) inches: Option<String>,
    /// Whether the mark of feet stood behind it.
    pub(super) feet_mark: bool,
}

/// Numbers that belong together, and their unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Size {
    pub(super) numbers: Vec<Number>,
    /// Whether they are width by thickness.
    pub(super) by: bool,
    pub(super) unit: Option<Unit>,
    typed: String,
}

/// The two systems of measuring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum System {
    InchFoot,
    Metric,
}

const UNITS: [(&str, Unit); 8] = [
    ("cm", Unit::Centimetres),
    ("in", Unit::Inches),
    ("ft", Unit::Feet),
    ("m", Unit::Metres),
    ("%", Unit::Percent),
    ("degrees", Unit::Degrees),
    ("deg", Unit::Degrees),
    ("°", Unit::Degrees),
];

impl Size {
    /// Reads a number as it was typed.
    pub(super) fn read(typed: &str) -> Result<Self, Misread> {
        let lower = typed.to_lowercase();
        if lower.ends_with("mm") {
            return Err(Misread::new(format!(
                "{typed}: type centimetres, as in 36cm, and metres, as in 4.9m"
            )));
        }
        let unit = UNITS.iter().find_map(|(end, unit)| Some((lower.strip_suffix(end)?, *unit)));
        let (numbers, unit) = unit.map_or((lower.as_str(), None), |(rest, unit)| (rest, Some(unit)));
        let by = numbers.contains('x');
        let parts = numbers.split(if by { 'x' } else { '/' });
        let wrong =
            || Misread::new(format!("{typed} is no size: type numbers as in 14, 14.5, 14/15, 12x10 or 16'4"));
        let numbers: Option<Vec<Number>> = parts.map(number).collect();
        let size = Self { numbers: numbers.ok_or_else(wrong)?, by, unit, typed: typed.to_owned() };
        if by && size.numbers.len() != 2 { Err(wrong()) } else { Ok(size) }
    }

    /// The system that its unit is of, if it has one.
    pub(super) fn system(&self) -> Option<System> {
        match self.unit {
            Some(Unit::Centimetres | Unit::Metres) => Some(System::Metric),
            Some(Unit::Inches | Unit::Feet) => Some(System::InchFoot),
            Some(Unit::Percent | Unit::Degrees) => None,
            None => self.is_in_feet().then_some(System::InchFoot),
        }
    }

    fn is_in_feet(&self) -> bool {
        self.numbers.iter().any(|number| number.feet_mark)
    }

    /// Whether it can be nothing but a length.
    pub(super) fn is_length(&self) -> bool {
        self.is_in_feet() || matches!(self.unit, Some(Unit::Feet | Unit::Metres))
    }

    fn wrong(&self, wanted: &str) -> Misread {
        Misread::new(format!("{}: here goes {wanted}", self.typed))
    }

    /// Readings across the wood.
    pub(super) fn readings(&self) -> Result<Value, Misread> {
        if self.by || self.is_length() || self.unit == Some(Unit::Percent) {
            return Err(self.wrong("a diameter, as in 14, or two readings of it, as in 14/15"));
        }
        Ok(json!(self.numbers.iter().map(|number| &number.whole).collect::<Vec<_>>()))
    }

    /// A single number that is no length in feet and inches.
    pub(super) fn single(&self) -> Result<&str, Misread> {
        match self.numbers.as_slice() {
            [number] if number.inches.is_none() => Ok(&number.whole),
            _ => Err(self.wrong("a single number; feet with a decimal point, as in 2.5")),
        }
    }

    /// Width by thickness.
    pub(super) fn pair(&self) -> Result<(&str, &str), Misread> {
        match self.numbers.as_slice() {
            [width, thickness] if self.by && !self.is_in_feet() => Ok((&width.whole, &thickness.whole)),
            _ => Err(self.wrong("width by thickness, as in 12x10")),
        }
    }

    /// A length, under names that begin like this: `length_ft` and `length_in`, or `length_m`.
    pub(super) fn length(&self, begin: &str, system: System, members: &mut Members) -> Result<(), Misread> {
        let [number] = self.numbers.as_slice() else {
            return Err(self.wrong("one length, as in 16 or 16'4; half inches go with a point, as in 14.5"));
        };
        if matches!(self.unit, Some(Unit::Inches | Unit::Centimetres | Unit::Percent | Unit::Degrees)) {
            return Err(self.wrong("a length, as in 16 or 16'4"));
        }
        match system {
            System::Metric => {
                let _none = members.insert(format!("{begin}_m"), json!(number.whole));
            }
            System::InchFoot => {
                let _none = members.insert(format!("{begin}_ft"), json!(number.whole));
                let inches = number.inches.as_ref();
                members.extend(inches.map(|inches| (format!("{begin}_in"), json!(inches))));
            }
        }
        Ok(())
    }

    /// The heights of a pile.
    pub(super) fn heights(&self, system: System) -> Result<(&'static str, Value), Misread> {
        if self.by {
            return Err(self.wrong("heights, as in high 4'2/4"));
        }
        Ok(match system {
            System::Metric => {
                ("heights_m", json!(self.numbers.iter().map(|number| &number.whole).collect::<Vec<_>>()))
            }
            System::InchFoot => {
                let height = |number: &Number| match &number.inches {
                    Some(inches) => json!({"feet": number.whole, "inches": inches}),
                    None => json!({"feet": number.whole}),
                };
                ("heights", json!(self.numbers.iter().map(height).collect::<Vec<_>>()))
            }
        })
    }
}

fn number(text: &str) -> Option<Number> {
    let (whole, inches) = match text.split_once('\'') {
        None => (text, None),
        Some((feet, inches)) => (feet, Some(inches)),
    };
    let inches_given = inches.filter(|inches| !inches.is_empty());
    Some(Number {
        whole: decimal(whole)?,
        inches: inches_given.map(|inches| decimal(inches).ok_or(())).transpose().ok()?,
        feet_mark: inches.is_some(),
    })
}

/// A decimal number with a digit before its point.
fn decimal(text: &str) -> Option<String> {
    let (whole, part) = text.split_once('.').map_or((text, None), |(whole, part)| (whole, Some(part)));
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let given = !whole.is_empty() || part.is_some_and(|part| !part.is_empty());
    if !given || !digits(whole) || !part.is_none_or(|part| digits(part) && !part.is_empty()) {
        return None;
    }
    let whole = if whole.is_empty() { "0" } else { whole };
    Some(part.map_or_else(|| whole.to_owned(), |part| format!("{whole}.{part}")))
}
