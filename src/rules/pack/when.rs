//! For which crabs and days a fact holds: sex, maturity, stage, part of the year.

use std::fmt;
use std::str::FromStr;

use jiff::civil::{Date, Weekday};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Sex of a crab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Sex {
    /// Narrow abdomen.
    Male,
    /// Broad abdomen.
    Female,
}

/// Whether a female is mature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Maturity {
    /// Rounded abdomen.
    Mature,
    /// Triangular abdomen.
    Immature,
}

/// Where a crab stands between two moults.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Hard shell.
    Hard,
    /// Soft shell: flexes under a finger.
    Soft,
    /// About to moult: a soft shell has formed under the hard one.
    Peeler,
}

/// Conditions of a fact; all that are given must hold.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct When {
    /// Of this sex.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sex: Option<Sex>,
    /// Females of this maturity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maturity: Option<Maturity>,
    /// In one of these stages; empty: in any.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stage: Vec<Stage>,
    /// Between these days of every year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<YearSpan>,
}

/// A part of every year, both days included; may run over New Year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct YearSpan {
    /// First day.
    pub from: DayOfYear,
    /// Last day.
    pub to: DayOfYear,
}

impl YearSpan {
    /// True when `date` lies in the span. A day that a year does not have ends the day before it.
    pub fn contains(self, date: Date) -> bool {
        let (from, to) = (self.from.in_year(date.year()), self.to.in_year(date.year()));
        match (from, to) {
            (Some(from), Some(to)) if from <= to => (from..=to).contains(&date),
            (Some(from), Some(to)) => date >= from || date <= to,
            _ => false,
        }
    }
}

/// A day of any year: `07-15`, or the nth weekday of a month: `11-sat1` (first Saturday of November).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum DayOfYear {
    /// Day of a month.
    Fixed {
        /// 1 to 12.
        month: i8,
        /// 1 to 31.
        day: i8,
    },
    /// The nth weekday of a month.
    Nth {
        /// 1 to 12.
        month: i8,
        /// 1 to 4.
        nth: i8,
        /// Which weekday.
        weekday: Weekday,
    },
}

impl DayOfYear {
    /// Its date in `year`; 29 February of a common year is the 28th.
    pub fn in_year(self, year: i16) -> Option<Date> {
        match self {
            Self::Fixed { month, day } => {
                let first = Date::new(year, month, 1).ok()?;
                Date::new(year, month, day.min(first.days_in_month())).ok()
            }
            Self::Nth { month, nth, weekday } => {
                Date::new(year, month, 1).ok()?.nth_weekday_of_month(nth, weekday).ok()
            }
        }
    }
}

const WEEKDAYS: [(&str, Weekday); 7] = [
    ("mon", Weekday::Monday),
    ("tue", Weekday::Tuesday),
    ("wed", Weekday::Wednesday),
    ("thu", Weekday::Thursday),
    ("fri", Weekday::Friday),
    ("sat", Weekday::Saturday),
    ("sun", Weekday::Sunday),
];

/// A text that is not a day of the year.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a day of the year: write `07-15`, or `11-sat1` for the first Saturday of November")]
pub struct NotADay(pub String);

impl FromStr for DayOfYear {
    type Err = NotADay;

    fn from_str(text: &str) -> Result<Self, NotADay> {
        let parse = || -> Option<Self> {
            let (month, day) = text.split_once('-')?;
            let month = two_digits(month).filter(|month| (1..=12).contains(month))?;
            if let Some(day) = two_digits(day) {
                // 2024 is a leap year: 02-29 is a day of the year.
                let longest = Date::new(2024, month, 1).ok()?.days_in_month();
                return (1..=longest).contains(&day).then_some(Self::Fixed { month, day });
            }
            let name = day.get(..3)?;
            let nth = match day.get(3..)? {
                "1" => 1,
                "2" => 2,
                "3" => 3,
                "4" => 4,
                _ => return None,
            };
            let &(_, weekday) = WEEKDAYS.iter().find(|(known, _)| *known == name)?;
            Some(Self::Nth { month, nth, weekday })
        };
        parse().ok_or_else(|| NotADay(text.chars().take(40).collect()))
    }
}

fn two_digits(text: &str) -> Option<i8> {
    (text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit())).then(|| text.parse().ok()).flatten()
}

impl TryFrom<String> for DayOfYear {
    type Error = NotADay;

    fn try_from(text: String) -> Result<Self, NotADay> {
        text.parse()
    }
}

impl From<DayOfYear> for String {
    fn from(day: DayOfYear) -> Self {
        match day {
            DayOfYear::Fixed { month, day } => format!("{month:02}-{day:02}"),
            DayOfYear::Nth { month, nth, weekday } => {
                let name =
                    WEEKDAYS.iter().find(|(_, known)| *known == weekday).map_or("mon", |(name, _)| name);
                format!("{month:02}-{name}{nth}")
            }
        }
    }
}

/// As people read it: `15 July`, `first Saturday of November`.
impl fmt::Display for DayOfYear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Fixed { month, day } => write!(f, "{day} {}", month_name(month)),
            Self::Nth { month, nth, weekday } => {
                let order = ["first", "second", "third", "fourth"];
                let order = usize::try_from(nth - 1).ok().and_then(|at| order.get(at)).unwrap_or(&"last");
                write!(f, "{order} {weekday:?} of {}", month_name(month))
            }
        }
    }
}

fn month_name(month: i8) -> &'static str {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    usize::try_from(month - 1).ok().and_then(|at| NAMES.get(at)).unwrap_or(&"January")
}

impl JsonSchema for DayOfYear {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "DayOfYear".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "format": "day-of-year",
            "description": "A day of any year: `07-15`, or `11-sat1` for the first Saturday of November."
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(year: i16, month: i8, day: i8) -> Date {
        Date::new(year, month, day).expect("a date")
    }

    /// Source: the Gregorian calendar; 7 November 2026 is a Saturday (checked with GNU date).
    #[test]
    fn nth_weekdays_are_found() {
        let day: DayOfYear = "11-sat1".parse().expect("a day");
        assert_eq!(day.in_year(2026), Some(date(2026, 11, 7)));
        assert_eq!(day.to_string(), "first Saturday of November");
        assert_eq!(String::from(day), "11-sat1");
    }

    #[test]
    fn spans_run_over_new_year_and_include_both_ends() {
        let span = |from: &str, to: &str| YearSpan {
            from: from.parse().expect("a day"),
            to: to.parse().expect("a day"),
        };
        let winter = span("11-sat1", "06-30");
        assert!(winter.contains(date(2026, 11, 7)) && winter.contains(date(2026, 6, 30)));
        assert!(!winter.contains(date(2026, 11, 6)) && !winter.contains(date(2026, 7, 1)));
        let early = span("04-01", "07-14");
        assert!(early.contains(date(2026, 7, 14)) && !early.contains(date(2026, 7, 15)));
        assert!(span("02-01", "02-29").contains(date(2026, 2, 28)));
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for text in ["", "7-15", "13-01", "02-30", "00-01", "11-sat5", "11-sät1", "11-", "0715", "11-sat"] {
            assert!(text.parse::<DayOfYear>().is_err(), "{text}");
        }
    }
}
