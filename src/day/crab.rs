//! A crab that was sorted, as the book keeps it.

use serde::{Deserialize, Serialize};

use super::picture::Picture;
use super::rows::{Id, Moment};
use crate::decide::{Call, Eggs, GaugeReading, Parts, Traits};
use crate::terms::{Dimension, Placement};
use crate::units::Millimetres;

/// A crab that was sorted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CrabEntry {
    /// When.
    pub at: Moment,
    /// Where.
    pub water: Water,
    /// Species id, `other` for a kind without a rule; none: nobody looked.
    pub kind: Option<String>,
    /// What was answered of it.
    #[serde(default)]
    pub traits: Traits,
    /// What else was looked at.
    #[serde(default)]
    pub checks: Checks,
    /// What became of it.
    pub end: End,
    /// The verdict it had, where there was one.
    #[serde(default)]
    pub verdict: Option<Told>,
    /// The width from photos.
    #[serde(default)]
    pub width: Option<EntryWidth>,
    /// What the gauge said.
    #[serde(default)]
    pub gauge: Option<GaugeReading>,
    /// The pull it came with.
    #[serde(default)]
    pub pull: Option<Id>,
    /// What was measured in its photos.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pictures: Vec<Picture>,
}

impl CrabEntry {
    /// A crab of which nothing is known but its kind, who kept it and when.
    pub fn kept(kind: Option<&str>, by: Id, at: Moment) -> Self {
        Self {
            at,
            water: Water::default(),
            kind: kind.map(str::to_owned),
            traits: Traits::default(),
            checks: Checks::default(),
            end: End::Kept { by, despite: None },
            verdict: None,
            width: None,
            gauge: None,
            pull: None,
            pictures: Vec::new(),
        }
    }
}

/// What was looked at besides; none: nobody said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Checks {
    /// Eggs.
    pub eggs: Option<Eggs>,
    /// The whole crab, or a claw of it.
    pub parts: Option<Parts>,
    /// The water was looked up for the kind on the day, as open or as closed.
    pub said_open: Option<bool>,
    /// Where the card lay in its photos.
    pub placement: Option<Placement>,
}

/// A water, as its pack names it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Water {
    /// Pack.
    pub pack: String,
    /// Area.
    pub area: String,
    /// Name.
    pub name: String,
}

/// What became of a crab.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum End {
    /// Kept.
    Kept {
        /// By whom.
        by: Id,
        /// Why, where the page had not said keep: it stays flagged.
        #[serde(default)]
        despite: Option<String>,
    },
    /// Let go.
    Released(Why),
}

/// Why a crab was let go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// A female.
    Female,
    /// With eggs.
    Eggs,
    /// A soft shell.
    Soft,
    /// Too small.
    Short,
    /// Another kind.
    OtherKind,
    /// A claw is missing.
    OneClaw,
    /// It could be kept and is not wanted.
    NotNeeded,
    /// As the verdict said.
    Verdict,
}

/// The verdict a crab had when it was sorted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// Keep, release or gauge.
    pub call: Call,
    /// The deciding reason, as it was told.
    pub reason: String,
}

/// A width from photos, with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct EntryWidth {
    /// Which distance.
    pub dimension: Dimension,
    /// The width.
    pub width: Millimetres,
    /// Its standard uncertainty.
    pub u: Millimetres,
    /// From so many photos.
    pub photos: u32,
}
