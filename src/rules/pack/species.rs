//! Kinds of crab: names, tell-tales and what the measuring core must know of each.

use std::sync::OnceLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::cited::Mark;

/// The built-in table.
const BUILT_IN: &str = include_str!("../../../www/rules/species.json");

/// The prior of the shell edge's height where a species has none of its own: edge height is k of the
/// width. From memory: a cancrid's body is about a third as deep as it is wide, its edge a little above
/// the middle, and the legs lift it. Nobody has measured it yet.
pub const DEFAULT_HEIGHT: HeightPrior = HeightPrior { k: 0.21, u: 0.035 };

/// One kind of crab.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpeciesInfo {
    /// Short name: `dungeness`, `red-rock`, `blue`, `brown`, `green`, ...
    pub id: String,
    /// Names people use, the commonest first.
    pub names: Vec<String>,
    /// Scientific name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub scientific: String,
    /// Lateral teeth on each side, the last one the outermost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub teeth: Option<Grounded<u8>>,
    /// Height of the shell's edge above the ground.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Grounded<HeightPrior>>,
    /// Widths that living crabs have, in mm: outside it, the points are wrong.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<Grounded<WidthRange>>,
    /// Notch width as a share of tip width: only to warn of wrong points, never to convert.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notch_of_tips: Option<Grounded<Share>>,
    /// What tells it from others.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tell_tales: Vec<Grounded<String>>,
    /// Species it is taken for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub look_alikes: Vec<String>,
}

impl SpeciesInfo {
    /// The name to show.
    pub fn name(&self) -> &str {
        self.names.first().map_or(&self.id, |name| name)
    }

    /// The prior of the edge's height, its own or the general one.
    pub fn height_prior(&self) -> HeightPrior {
        self.height.as_ref().map_or(DEFAULT_HEIGHT, |height| height.value)
    }
}

/// A fact of the species table with its ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Grounded<T> {
    /// The fact.
    pub value: T,
    /// Where it comes from: a source, or "common practice".
    pub source: String,
    /// How it was had.
    pub mark: Mark,
}

/// Edge height is `k` of the width, with standard uncertainty `u`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HeightPrior {
    /// Share of the width.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub k: f64,
    /// Standard uncertainty of `k`.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub u: f64,
}

/// A range of widths in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WidthRange {
    /// Smallest that is likely to be met.
    #[schemars(range(min = 1.0, max = 1000.0))]
    pub from: f64,
    /// Largest.
    #[schemars(range(min = 1.0, max = 1000.0))]
    pub to: f64,
}

/// A ratio with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Share {
    /// The ratio.
    #[schemars(range(min = 0.1, max = 1.0))]
    pub ratio: f64,
    /// Its standard uncertainty.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub u: f64,
}

/// The species the program knows by itself; packs bring more.
pub fn built_in_species() -> Vec<SpeciesInfo> {
    table().to_vec()
}

/// The built-in species `id`.
pub fn species(id: &str) -> Option<SpeciesInfo> {
    table().iter().find(|species| species.id == id).cloned()
}

fn table() -> &'static [SpeciesInfo] {
    static TABLE: OnceLock<Vec<SpeciesInfo>> = OnceLock::new();
    TABLE.get_or_init(|| {
        serde_json::from_str(BUILT_IN).expect("the table is part of the program and read in its tests")
    })
}
