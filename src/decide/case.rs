//! All that a decision rests on.

use jiff::civil::{Date, Time};
use serde::{Deserialize, Serialize};

use super::answers::Answers;
use super::conformity::Risk;
use super::measured::MeasuredWidth;
use crate::rules::facts::Holder;
use crate::rules::{Confirmation, Length, RuleInForce};

/// One crab before the rule.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// What holds for the answered kind here; for [`crate::rules::pack::ANY_CRAB`] before it is answered.
    pub rule: &'a RuleInForce,
    /// The day.
    pub date: Date,
    /// The local time, where it is known: for waters closed by the hour.
    pub clock: Option<LocalClock>,
    /// The answers so far.
    pub answers: &'a Answers,
    /// The width from a photo.
    pub measured: Option<&'a MeasuredWidth>,
    /// What the person's gauge or caliper says: it settles the size.
    pub gauge: Option<&'a GaugeReading>,
    /// What is kept already.
    pub catch: &'a CatchSoFar,
    /// What persons have read in the official rule.
    pub confirmations: &'a [Confirmation],
    /// The risks that are accepted.
    pub risk: Risk,
}

/// A local time and its shift from UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct LocalClock {
    /// Time of the day.
    pub time: Time,
    /// Minutes by which local time is ahead of UTC (negative in the Americas).
    pub utc_offset_minutes: i32,
}

/// What a gauge or caliper in the person's hand says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GaugeReading {
    /// The crab is of size by the gauge.
    Passes,
    /// The crab is not of size by the gauge.
    Fails,
    /// A reading of the distance that the rule names.
    Reads(Length),
}

/// What is kept already, by holder and species.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct CatchSoFar {
    /// One entry for each holder and species with anything kept; a holder without an entry was not counted.
    pub kept: Vec<KeptCount>,
    /// Holders whose catch is counted at all, also where nothing is kept yet.
    pub counted: Vec<Holder>,
}

impl CatchSoFar {
    /// A person's catch of one species today; of earlier days nothing is said.
    pub fn of_person(species: &str, today: u32) -> Self {
        let kept = KeptCount { holder: Holder::Person, species: species.to_owned(), today, earlier: None };
        Self { kept: vec![kept], counted: vec![Holder::Person] }
    }

    /// True when the catch of `holder` is counted.
    pub fn counts(&self, holder: Holder) -> bool {
        self.counted.contains(&holder) || self.kept.iter().any(|kept| kept.holder == holder)
    }
}

/// Crabs of one species that one holder has.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptCount {
    /// Who or what holds them.
    pub holder: Holder,
    /// Species id.
    pub species: String,
    /// Kept today.
    pub today: u32,
    /// Of earlier days and still held, in a cooler or a freezer; none said: not known.
    pub earlier: Option<u32>,
}
