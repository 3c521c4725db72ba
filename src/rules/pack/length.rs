//! A length as a rule publishes it: an exact rational with its unit, never re-rounded.

use std::cmp::Ordering;
use std::fmt;
use std::str::FromStr;

use num_rational::Ratio;
use serde::{Deserialize, Serialize};

use crate::units::Millimetres;

/// Largest numerator or denominator that is read: beyond any crab, and small enough that no product of
/// two of them overflows.
const LARGEST_TERM: i64 = 1_000_000;

/// The units that rules are published in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// Inch: exactly 25.4 mm.
    Inch,
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
}

impl LengthUnit {
    /// As it is written behind a figure.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
        }
    }

    /// Exact millimetres in one unit.
    fn mm(self) -> Ratio<i64> {
        match self {
            Self::Inch => Ratio::new(127, 5),
            Self::Millimetre => Ratio::from_integer(1),
            Self::Centimetre => Ratio::from_integer(10),
        }
    }
}

/// An exact length in the unit of its source, such as `25/4 in` or `165 mm`.
///
/// Read from `25/4 in`, `6 1/4 in`, `4.75 in`, `115 mm`, `6.5 cm`; written as a fraction. Two lengths are
/// equal when they are equally long, whatever their units.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Length {
    value: Ratio<i64>,
    unit: LengthUnit,
}

impl Length {
    /// `numerator`/`denominator` units; `None` when negative, zero-divided or absurdly large.
    pub fn new(numerator: i64, denominator: i64, unit: LengthUnit) -> Option<Self> {
        let is_sane = (0..=LARGEST_TERM).contains(&numerator) && (1..=LARGEST_TERM).contains(&denominator);
        is_sane.then(|| Self { value: Ratio::new(numerator, denominator), unit })
    }

    /// The unit it was published in.
    pub fn unit(self) -> LengthUnit {
        self.unit
    }

    /// Exact millimetres: 25.4 to the inch.
    pub fn exact_mm(self) -> Ratio<i64> {
        self.value * self.unit.mm()
    }

    /// Millimetres as the nearest floating-point number.
    pub fn millimetres(self) -> Millimetres {
        let exact = self.exact_mm();
        Millimetres(*exact.numer() as f64 / *exact.denom() as f64)
    }
}

impl PartialEq for Length {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Length {}

impl PartialOrd for Length {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Length {
    fn cmp(&self, other: &Self) -> Ordering {
        self.exact_mm().cmp(&other.exact_mm())
    }
}

/// As people read it: inches as a mixed fraction (`6 1/4 in`), metric as a decimal where it ends.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.value.trunc(), self.value.fract());
        let unit = self.unit.symbol();
        if rest == Ratio::from_integer(0) {
            return write!(f, "{} {unit}", whole.numer());
        }
        let (tenths, hundredths) = (rest * Ratio::from_integer(10), rest * Ratio::from_integer(100));
        match (self.unit, whole.numer()) {
            (LengthUnit::Millimetre | LengthUnit::Centimetre, whole) if tenths.is_integer() => {
                write!(f, "{whole}.{} {unit}", tenths.numer())
            }
            (LengthUnit::Millimetre | LengthUnit::Centimetre, whole) if hundredths.is_integer() => {
                write!(f, "{whole}.{:02} {unit}", hundredths.numer())
            }
            (_, 0) => write!(f, "{}/{} {unit}", rest.numer(), rest.denom()),
            (_, whole) => write!(f, "{whole} {}/{} {unit}", rest.numer(), rest.denom()),
        }
    }
}

/// A text that is not a length.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a length: write a number and a unit, such as `6 1/4 in`, `25/4 in` or `115 mm`")]
pub struct NotALength(pub String);

impl FromStr for Length {
    type Err = NotALength;

    fn from_str(text: &str) -> Result<Self, NotALength> {
        parse(text.trim()).ok_or_else(|| NotALength(text.chars().take(40).collect()))
    }
}

impl TryFrom<String> for Length {
    type Error = NotALength;

    fn try_from(text: String) -> Result<Self, NotALength> {
        text.parse()
    }
}

impl From<Length> for String {
    fn from(length: Length) -> Self {
        let (value, unit) = (length.value, length.unit.symbol());
        if value.is_integer() {
            format!("{} {unit}", value.numer())
        } else {
            format!("{}/{} {unit}", value.numer(), value.denom())
        }
    }
}

impl schemars::JsonSchema for Length {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Length".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "format": "length",
            "description": "An exact length with its unit: `25/4 in`, `6 1/4 in`, `4.75 in`, `115 mm`, `6.5 cm`."
        })
    }
}

fn parse(text: &str) -> Option<Length> {
    let at = text.find(|c: char| c.is_ascii_alphabetic() || c == '"')?;
    let (figures, unit) = text.split_at(at);
    let unit = match unit.trim() {
        "in" | "inch" | "inches" | "\"" => LengthUnit::Inch,
        "mm" => LengthUnit::Millimetre,
        "cm" => LengthUnit::Centimetre,
        _ => return None,
    };
    let mut parts = figures.split_whitespace();
    let (first, second) = (parts.next()?, parts.next());
    if parts.next().is_some() {
        return None;
    }
    let value = match second {
        None => number(first)?,
        // `6 5/4` is a slip of the hand: which of its figures is wrong nobody knows.
        Some(fraction) if fraction.contains('/') => {
            let part = number(fraction).filter(|part| *part < Ratio::from_integer(1))?;
            Ratio::from_integer(whole(first)?) + part
        }
        Some(_) => return None,
    };
    Length::new(*value.numer(), *value.denom(), unit)
}

/// `6`, `25/4` or `4.75`.
fn number(text: &str) -> Option<Ratio<i64>> {
    if let Some((above, below)) = text.split_once('/') {
        let (above, below) = (whole(above)?, whole(below)?);
        return (below != 0).then(|| Ratio::new(above, below));
    }
    match text.split_once('.') {
        None => Some(Ratio::from_integer(whole(text)?)),
        Some((ones, decimals)) if decimals.len() <= 4 => {
            let scale = 10_i64.pow(u32::try_from(decimals.len()).ok()?);
            Some(Ratio::from_integer(whole(ones)?) + Ratio::new(whole(decimals)?, scale))
        }
        Some(_) => None,
    }
}

fn whole(digits: &str) -> Option<i64> {
    let is_plain = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    is_plain.then(|| digits.parse().ok()).flatten().filter(|&value| value <= LARGEST_TERM)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, mm: (i64, i64), shown: &str) {
        let length: Length = text.parse().expect("a length");
        assert_eq!(length.exact_mm(), Ratio::new(mm.0, mm.1), "{text}");
        assert_eq!(length.to_string(), shown);
        assert_eq!(Ok(length), String::from(length).parse());
    }

    /// Source: 1 in = 25.4 mm exactly (international yard and pound agreement, 1959); the products by hand.
    #[test]
    fn published_sizes_stay_exact() {
        check("6 1/4 in", (15875, 100), "6 1/4 in");
        check("25/4 in", (15875, 100), "6 1/4 in");
        check("13/2 in", (1651, 10), "6 1/2 in");
        check("4.75 in", (12065, 100), "4 3/4 in");
        check("5 in", (127, 1), "5 in");
        check("165 mm", (165, 1), "165 mm");
        check("6.5 cm", (65, 1), "6.5 cm");
        check("3/4 in", (1905, 100), "3/4 in");
        check("158.75 mm", (15875, 100), "158.75 mm");
        check("125.03 mm", (12503, 100), "125.03 mm");
    }

    #[test]
    fn what_is_no_length_is_refused() {
        for text in [
            "",
            "6",
            "in",
            "6 in in",
            "-5 in",
            "1/0 in",
            "6 1 in",
            "5 1/4 ft",
            "9999999 mm",
            "1e3 mm",
            "½ in",
        ] {
            assert!(text.parse::<Length>().is_err(), "{text}");
        }
    }
}
