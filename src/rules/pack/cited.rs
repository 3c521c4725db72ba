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

/// A person's word that they read facts in the official rule. It holds for the named facts as they were
/// worded then: a pack that changes a figure asks again.
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
}

/// Names one fact as it was worded: pack, area, species, topic, words.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FactRef {
    /// Pack.
    pub pack: String,
    /// Area in force.
    pub area: String,
    /// Species.
    pub species: String,
    /// What about.
    pub topic: Topic,
    /// The fact in words, with its figure as published.
    pub words: String,
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
