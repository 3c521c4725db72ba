//! What a pack is made of: one jurisdiction, its areas, their rules and sources.
//!
//! [`Pack`] is the file as a whole. Below it, from the outside in: [`facts`] of a rule, each one [`cited`],
//! holding for the crabs and days of [`when`], with its [`season`] and its [`length`] as published; and the
//! [`species`] that packs speak of.

pub mod cited;
pub mod dates;
pub mod facts;
pub mod gear;
pub mod length;
pub mod record;
pub mod season;
pub mod species;
pub mod when;

use std::collections::BTreeMap;

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use self::cited::{Cited, Mark, Source};
use self::dates::DateText;
use self::facts::{DateSpan, Facts};
use self::species::SpeciesInfo;

/// Format of the packs this program reads.
pub const PACK_FORMAT: u32 = 1;

/// Species id of facts that hold for every crab of an area.
pub const ANY_CRAB: &str = "any-crab";

/// Species id of a kind that the water's list does not name: no pack has a rule for it.
pub const OTHER_KIND: &str = "other";

/// The rules of one jurisdiction, as a file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// Version of this form: 1.
    #[schemars(range(min = 1, max = 1))]
    pub format: u32,
    /// Short name of the pack: small letters, digits and hyphens, such as `us-wa`.
    pub id: String,
    /// Country in words.
    pub country: String,
    /// Jurisdiction code, such as `US-WA`.
    pub jurisdiction: String,
    /// Jurisdiction in words.
    pub name: String,
    /// When the pack was last checked against its sources.
    #[schemars(with = "DateText")]
    pub checked: Date,
    /// The season the pack is known to be right for, where it is made for one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub season: Option<DateSpan>,
    /// A coarse box round its waters, only to suggest them from a position: never a boundary of the rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub extent: Option<Extent>,
    /// Set when a person made or adjusted the pack: it is then marked as their own on every verdict.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own: Option<OwnNote>,
    /// What else a reader should know.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// The texts that facts were read in, by key.
    pub sources: BTreeMap<String, Source>,
    /// Species that the built-in table does not have.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub species: Vec<SpeciesInfo>,
    /// Waters, as the sources name them.
    pub areas: Vec<Area>,
}

/// Who made or adjusted a rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnNote {
    /// Who.
    pub who: String,
    /// When.
    #[schemars(with = "DateText")]
    pub when: Date,
    /// Why ("emergency order of 3 August").
    pub why: String,
}

/// A water with rules of its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Area {
    /// Short name: small letters, digits and hyphens.
    pub id: String,
    /// The area as its source names it.
    pub name: String,
    /// The water in a word or two, for choosing ("Puget Sound").
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub water: String,
    /// Other words that people look for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also_called: Vec<String>,
    /// Parts and towns of it, as a source names them: the search finds it by them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub places: Vec<Cited<String>>,
    /// The area whose facts hold here too, where this one says nothing of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<String>,
    /// A point in the area, for sunrise and sunset and for a suggestion.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
    /// What holds here, by species.
    pub rules: Vec<SpeciesRule>,
}

/// A point on the map.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Degrees north.
    #[schemars(range(min = -90.0, max = 90.0))]
    pub latitude_deg: f64,
    /// Degrees east.
    #[schemars(range(min = -180.0, max = 180.0))]
    pub longitude_deg: f64,
}

/// A box on the map. Where `west_deg` is greater than `east_deg` it runs over the 180th meridian.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Extent {
    /// Southern edge, degrees north.
    #[schemars(range(min = -90.0, max = 90.0))]
    pub south_deg: f64,
    /// Northern edge, degrees north.
    #[schemars(range(min = -90.0, max = 90.0))]
    pub north_deg: f64,
    /// Western edge, degrees east.
    #[schemars(range(min = -180.0, max = 180.0))]
    pub west_deg: f64,
    /// Eastern edge, degrees east.
    #[schemars(range(min = -180.0, max = 180.0))]
    pub east_deg: f64,
    /// How it was had.
    pub mark: Mark,
}

impl Extent {
    /// True when a position lies in the box.
    pub fn contains(self, at: Place) -> bool {
        let east = if self.west_deg <= self.east_deg {
            (self.west_deg..=self.east_deg).contains(&at.longitude_deg)
        } else {
            at.longitude_deg >= self.west_deg || at.longitude_deg <= self.east_deg
        };
        east && (self.south_deg..=self.north_deg).contains(&at.latitude_deg)
    }
}

/// The facts about one species in an area.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpeciesRule {
    /// Species id, or `any-crab` for facts about every crab of the area.
    pub species: String,
    /// Set when a person made or adjusted this rule: marked as their own on every verdict.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own: Option<OwnNote>,
    /// What was observed about the rule, in free words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub observed: Option<String>,
    /// The facts.
    pub facts: Facts,
}

impl Pack {
    /// The area named `id`.
    pub fn area(&self, id: &str) -> Option<&Area> {
        self.areas.iter().find(|area| area.id == id)
    }

    /// `area` and the areas around it, the innermost first. Ends where a chain turns back on itself.
    pub fn chain<'a>(&'a self, area: &'a Area) -> Vec<&'a Area> {
        let mut chain = vec![area];
        let mut current = area;
        while let Some(next) = current.within.as_deref().and_then(|id| self.area(id)) {
            if chain.iter().any(|known| known.id == next.id) {
                break;
            }
            chain.push(next);
            current = next;
        }
        chain
    }
}
