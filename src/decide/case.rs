//! All that a decision rests on.

use jiff::civil::{Date, Time};
use serde::{Deserialize, Serialize};

use super::answers::Answers;
use super::size::conformity::Risk;
use super::size::measured::MeasuredWidth;
use crate::rules::facts::Holder;
use crate::rules::when::{Maturity, Sex, Stage, When};
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
    /// What the person's gauge or caliper says: it settles the size, unless a photo shows the opposite.
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
    OfSize,
    /// The crab is not of size by the gauge.
    NotOfSize,
    /// A reading of the distance that the rule names.
    Reads(Length),
}

/// What is kept already, by holder and species.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct CatchSoFar {
    /// An entry for each holder and species with anything kept, and more where crabs of one species differ in what
    /// was answered of them; a holder without an entry was not counted.
    pub kept: Vec<KeptCount>,
    /// Holders whose catch is counted at all, also where nothing is kept yet.
    pub counted: Vec<Holder>,
    /// What the person said of their licence for this water.
    pub licence: LicenceWord,
    /// What is said of the licence of each aboard, the person among them; empty: who is aboard is not known.
    pub aboard: Vec<LicenceWord>,
}

/// What is said of a person's licence for the water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LicenceWord {
    /// Nothing.
    #[default]
    NotSaid,
    /// They hold it.
    Held,
    /// They hold none.
    NotHeld,
    /// None is asked of them; for which limits they count as licensed is not known.
    NeedsNone,
}

impl CatchSoFar {
    /// A person's catch of one species today; of earlier days nothing is said.
    pub fn of_person(species: &str, today: u32) -> Self {
        let kept = KeptCount {
            holder: Holder::Person,
            species: species.to_owned(),
            traits: Traits::default(),
            today,
            earlier: None,
        };
        Self { kept: vec![kept], counted: vec![Holder::Person], ..Self::default() }
    }

    /// True when the catch of `holder` is counted.
    pub fn counts(&self, holder: Holder) -> bool {
        self.counted.contains(&holder) || self.kept.iter().any(|kept| kept.holder == holder)
    }
}

/// What limits on a part of the catch ask of a crab that is kept; none: not answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Traits {
    /// Sex.
    pub sex: Option<Sex>,
    /// Maturity of a female.
    pub maturity: Option<Maturity>,
    /// Shell.
    pub stage: Option<Stage>,
}

impl Traits {
    /// What was answered of a crab.
    pub fn of(answers: &Answers) -> Self {
        Self {
            sex: answers.sex.given().copied(),
            maturity: answers.maturity.given().copied(),
            stage: answers.shell.given().copied(),
        }
    }

    /// True unless what was answered says that it is no crab of `when`: the day aside.
    pub fn may_be(&self, when: Option<&When>) -> bool {
        let Some(when) = when else { return true };
        let female = when.maturity.map(|_| Sex::Female);
        self.sex.is_none_or(|sex| when.sex.or(female).is_none_or(|wanted| wanted == sex))
            && self.maturity.is_none_or(|found| when.maturity.is_none_or(|wanted| wanted == found))
            && self.stage.is_none_or(|stage| when.stage.is_empty() || when.stage.contains(&stage))
    }
}

/// Crabs of one species that one holder has.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptCount {
    /// Who or what holds them.
    pub holder: Holder,
    /// Species id.
    pub species: String,
    /// What was answered of them.
    #[serde(default)]
    pub traits: Traits,
    /// Kept today.
    pub today: u32,
    /// Of earlier days and still held, in a cooler or a freezer; none said: not known.
    pub earlier: Option<u32>,
}
