//! What rules say of the official catch record: when it is due, what goes on it, on which card.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::when::DayOfYear;

/// A duty about the official catch record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordDuty {
    /// When it is due.
    pub due: RecordTime,
    /// What goes on it, and when, in words.
    pub words: String,
    /// The cards of the record, where the day of the catch says on which it goes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cards: Option<RecordCards>,
}

/// Cards of the record that follow one another in every year.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordCards {
    /// The first day of the first card.
    pub from: DayOfYear,
    /// The cards in order: each begins the day after the one before it ends.
    #[schemars(length(min = 1))]
    pub cards: Vec<RecordCard>,
}

/// A card of the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordCard {
    /// What it is called: "summer card".
    pub name: String,
    /// The last day whose catch goes on it.
    pub to: DayOfYear,
}

impl RecordCards {
    /// The card for a catch on `day`; none on days that no card covers.
    pub fn on(&self, day: Date) -> Option<&RecordCard> {
        if day < self.from.in_year(day.year())? {
            return None;
        }
        self.cards.iter().find(|card| card.to.in_year(day.year()).is_some_and(|last| day <= last))
    }
}

/// When a record duty is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RecordTime {
    /// At once, before the trap is set again.
    AtOnce,
    /// On the same day.
    SameDay,
    /// By a date of the year.
    ByDate,
    /// To know, with nothing to do at the crab.
    ToKnow,
    /// The source says that no record is required.
    NotRequired,
}
