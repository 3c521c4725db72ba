//! What rules say of gear: how much of it, how large its parts are, when it is out of the water.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::cited::Cited;
use super::facts::{Facts, Holder, PublishedLength};
use super::season::Night;
use super::when::DayOfYear;

/// What a rule says of gear.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum GearRule {
    /// How much of it may be used at once.
    Most(GearLimit),
    /// How large a part of it is.
    Figure(GearFigure),
    /// Days on which it is out of the water.
    Out(GearOut),
    /// Nights in which it is let be.
    Night(GearNight),
    /// Anything else, in words.
    Words(String),
}

/// So many units of gear for each holder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GearLimit {
    /// So many at most.
    #[schemars(range(min = 1))]
    pub most: u32,
    /// Of what: "pots or traps".
    pub what: String,
    /// For whom; absent: the source does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per: Option<Holder>,
}

/// How large a part of the gear is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GearFigure {
    /// Which part: "escape rings, inside".
    pub part: String,
    /// So many of it; absent: the source names no number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1))]
    pub count: Option<u32>,
    /// How large.
    pub size: GearSize,
    /// What else the source says of it: where it sits, of which gear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub more: Option<String>,
}

/// How large a part of the gear is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum GearSize {
    /// So long at least.
    AtLeast(PublishedLength),
    /// So long.
    Of(PublishedLength),
    /// So many cubic feet at most.
    AtMostCubicFeet(u32),
}

/// Days of every year on which gear is out of the water.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GearOut {
    /// Which gear.
    pub out_of_water: String,
    /// The first day.
    pub from: DayOfYear,
    /// So many days, the first among them.
    #[schemars(range(min = 1, max = 366))]
    pub days: u32,
}

/// Nights in which gear is let be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GearNight {
    /// What is not tended then.
    pub not_tended: String,
    /// The night.
    pub night: Night,
}

impl Facts {
    /// How many pots `persons` on one boat may have out: the narrowest of the counts; none where no count is known.
    pub fn most_pots(&self, persons: u32) -> Option<u32> {
        let count = |fact: &Cited<GearRule>| match fact.known()? {
            GearRule::Figure(_) | GearRule::Out(_) | GearRule::Night(_) | GearRule::Words(_) => None,
            GearRule::Most(limit) => match limit.per? {
                Holder::Person | Holder::Licence => Some(limit.most.saturating_mul(persons)),
                Holder::Boat => Some(limit.most),
                Holder::Household | Holder::Container | Holder::Gear => None,
            },
        };
        self.gear.iter().filter_map(count).min()
    }
}
