//! What the person answers at the checks.

use serde::{Deserialize, Serialize};

use crate::rules::when::{Maturity, Sex, Stage};

/// An answer to one check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer<T> {
    /// Not asked yet, or taken back.
    #[default]
    Unanswered,
    /// The person looked and is not sure.
    NotSure,
    /// The person is sure.
    Given(T),
}

impl<T> Answer<T> {
    /// The answer, where there is one.
    pub fn given(&self) -> Option<&T> {
        match self {
            Self::Given(value) => Some(value),
            Self::Unanswered | Self::NotSure => None,
        }
    }
}

/// The answers so far, in any order.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Answers {
    /// Kind: a species id.
    pub kind: Answer<String>,
    /// Whether the water is open for the kind on the day, as the person looked it up.
    pub open: Answer<bool>,
    /// Sex, by the abdomen.
    pub sex: Answer<Sex>,
    /// Maturity of a female, by the abdomen.
    pub maturity: Answer<Maturity>,
    /// Eggs under the abdomen.
    pub eggs: Answer<Eggs>,
    /// Shell, by the finger.
    pub shell: Answer<Stage>,
    /// What is to be kept.
    pub parts: Answer<Parts>,
}

/// Eggs under the abdomen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Eggs {
    /// None.
    None,
    /// Yellow to orange.
    Light,
    /// Brown to black.
    Dark,
    /// Signs that eggs or the egg pouch were removed.
    Removed,
}

/// What is to be kept of the crab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Parts {
    /// The whole crab.
    Whole,
    /// The right claw.
    RightClaw,
    /// The left claw, or both.
    LeftClaw,
}

/// The checks, in the order of a practised hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Check {
    /// Which kind is it?
    Kind,
    /// Is the water open for it on this day?
    Season,
    /// Male or female?
    Sex,
    /// Is the female mature?
    Maturity,
    /// Does it carry eggs?
    Eggs,
    /// Is the shell hard?
    Shell,
    /// The whole crab, or claws?
    Claws,
    /// How wide is it?
    Size,
}

impl Check {
    /// All checks in order.
    pub const ALL: [Self; 8] = [
        Self::Kind,
        Self::Season,
        Self::Sex,
        Self::Maturity,
        Self::Eggs,
        Self::Shell,
        Self::Claws,
        Self::Size,
    ];
}
