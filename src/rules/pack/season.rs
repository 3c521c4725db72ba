//! Open and closed times of a rule: parts of the year, dates, weekdays, hours, the night.

use jiff::civil::{Date, Time};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::dates::{DateText, TimeText};
use super::when::YearSpan;

/// An open or closed time. All parts that are given must hold together; how entries combine is said in
/// `rules::choose::combine` and `open`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Season {
    /// Open, closed, or set by order.
    pub effect: SeasonEffect,
    /// For whom or what only, in words ("pots", "from a vessel"): shown, never applied; absent: for everybody.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// These days of every year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<YearSpan>,
    /// These dates only: one year's season.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dates: Option<DateSpan>,
    /// These weekdays.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weekdays: Vec<DayName>,
    /// These hours of the day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// The night, from sunset to sunrise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub night: Option<Night>,
    /// In words, as the source has it.
    pub words: String,
}

/// What a season entry does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SeasonEffect {
    /// Open then, and closed outside the days or dates of all `open` entries.
    Open,
    /// Open then only: closed at every other time, whatever other entries open. An order that shortens or delays a
    /// season.
    OpenOnly,
    /// Closed then.
    Closed,
    /// Set anew by order each time: must be looked up.
    ByOrder,
    /// In words only, such as history: shown, never applied.
    Words,
}

/// Dates of one year, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DateSpan {
    /// First date.
    #[schemars(with = "DateText")]
    pub from: Date,
    /// Last date.
    #[schemars(with = "DateText")]
    pub to: Date,
}

/// Hours of the day, local time; may run over midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hours {
    /// From.
    #[schemars(with = "TimeText")]
    pub from: Time,
    /// Until.
    #[schemars(with = "TimeText")]
    pub to: Time,
}

/// The night, with the minutes by which the rule shifts its ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Night {
    /// Begins so many minutes after sunset (negative: before).
    #[schemars(range(min = -180, max = 180))]
    pub minutes_after_sunset: i32,
    /// Ends so many minutes before sunrise (negative: after).
    #[schemars(range(min = -180, max = 180))]
    pub minutes_before_sunrise: i32,
}

/// A day of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum DayName {
    Monday,
    Tuesday,
    Wednesday,
    Thursday,
    Friday,
    Saturday,
    Sunday,
}

impl DayName {
    /// Weekday of `date`.
    pub fn of(date: Date) -> Self {
        use jiff::civil::Weekday;
        match date.weekday() {
            Weekday::Monday => Self::Monday,
            Weekday::Tuesday => Self::Tuesday,
            Weekday::Wednesday => Self::Wednesday,
            Weekday::Thursday => Self::Thursday,
            Weekday::Friday => Self::Friday,
            Weekday::Saturday => Self::Saturday,
            Weekday::Sunday => Self::Sunday,
        }
    }
}
