//! Where a fact was read, and how surely: no fact of a rule stands without this.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::dates::DateText;
use super::when::When;

/// How a fact was had.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// The text of an official source, or a plain copy of one, was really read.
    Seen,
    /// Known, or seen only in an unofficial text; the source says where it should be found.
    Memory,
    /// Not settled: there is a rule, not known here, or it is not known whether there is one.
    Unknown,
}

/// A text that facts were read in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Title of the text.
    pub title: String,
    /// Section, or where on the page.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub section: String,
    /// Date or edition as the text itself states it ("page undated" where it states none).
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// Year of `date`, where it has one: from it the age is told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1800, max = 2200))]
    pub year: Option<i16>,
    /// Address of the text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub address: String,
}

impl Source {
    /// Title, section and date, as far as they are known.
    pub fn named(&self) -> String {
        let parts = [&self.title, &self.section, &self.date];
        let parts: Vec<&str> =
            parts.into_iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
        parts.join(", ")
    }
}

/// A fact with where and how surely it was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cited<T> {
    /// For which crabs and days it holds; absent: for all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub when: Option<When>,
    /// The fact; absent exactly when it is not known (`mark` is then `unknown`).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<T>,
    /// How it was had.
    pub mark: Mark,
    /// Key of its source in the pack's `sources`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// What the source says besides, or what was inferred.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// When it was last checked, where that differs from the pack's date.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub checked: Option<Date>,
}

impl<T> Cited<T> {
    /// A fact that holds for all crabs and days.
    pub fn new(value: T, mark: Mark, source: &str) -> Self {
        Self {
            when: None,
            value: Some(value),
            mark,
            source: Some(source.to_owned()),
            note: None,
            checked: None,
        }
    }

    /// The value with its mark; `None` when it is not known.
    pub fn known(&self) -> Option<&T> {
        if self.mark == Mark::Unknown { None } else { self.value.as_ref() }
    }
}

impl<T: Serialize> Cited<T> {
    /// The value with the crabs and days it holds for, as a confirmation names it: whatever words it is told in.
    pub fn value_key(&self) -> String {
        key_of(&(&self.when, self.known()))
    }
}

/// A value as a key: its JSON, whose order is that of the type.
pub(in crate::rules) fn key_of<T: Serialize>(value: &T) -> String {
    // Only maps with keys that are no text cannot be written, and no fact has one.
    serde_json::to_string(value).unwrap_or_default()
}

/// A person's word that they read facts in the official rule. It holds for the named facts with the values they
/// had then, in the edition of the pack they stood in, and no longer than `until`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Confirmation {
    /// Which facts.
    pub facts: Vec<FactRef>,
    /// Who confirmed.
    pub who: String,
    /// When.
    #[schemars(with = "DateText")]
    pub when: Date,
    /// The last day it holds for: the end of the season it was given in, a year later at most.
    #[schemars(with = "DateText")]
    pub until: Date,
}

/// Rules are set anew with the calendar nearly everywhere (common practice): no word on them holds longer.
pub const LONGEST_CONFIRMATION_DAYS: i64 = 365;

impl Confirmation {
    /// True when it holds for a catch on `date`.
    pub fn holds_on(&self, date: Date) -> bool {
        let days = |from: Date, to: Date| i64::from((to - from).get_days());
        date <= self.until
            && days(self.when, date) <= LONGEST_CONFIRMATION_DAYS
            && days(date, self.when) <= LONGEST_CONFIRMATION_DAYS
    }

    /// True when it names `fact`.
    pub fn names(&self, fact: &FactRef) -> bool {
        self.facts.iter().any(|known| known.is_same(fact))
    }
}

/// Names one fact by its rule and its value.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FactRef {
    /// Pack.
    pub pack: String,
    /// When the pack was last checked: a pack that was checked anew is another edition.
    #[schemars(with = "DateText")]
    pub edition: Date,
    /// Area in force.
    pub area: String,
    /// Species.
    pub species: String,
    /// What about.
    pub topic: Topic,
    /// The value, as [`Cited::value_key`] and its like give it.
    pub value: String,
    /// The fact in words, to be shown: they name nothing.
    pub words: String,
}

impl FactRef {
    /// True when both name the same fact, in whatever words.
    pub fn is_same(&self, other: &Self) -> bool {
        let named = |fact: &Self| {
            let Self { pack, edition, area, species, topic, value, words: _ } = fact.clone();
            (pack, edition, area, species, topic, value)
        };
        named(self) == named(other)
    }
}

/// What a fact is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    /// Whether it may be taken at all.
    Take,
    /// Smallest size.
    MinSize,
    /// Largest size.
    MaxSize,
    /// Which distance is measured.
    Dimension,
    /// Between which points.
    Landmarks,
    /// Sexes.
    Sex,
    /// Eggs.
    Eggs,
    /// Shell condition.
    Shell,
    /// Whole crabs or claws.
    Parts,
    /// Daily or possession limit.
    Limit,
    /// Who holds the limit.
    Holder,
    /// Open and closed times.
    Season,
    /// The official catch record.
    Record,
    /// Gear.
    Gear,
    /// Licence.
    Licence,
    /// Possession.
    Possession,
    /// Duties about an invasive species.
    Invasive,
}
