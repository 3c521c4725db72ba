//! What rules say: the values of cited facts.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::cited::{Cited, key_of};
pub use super::gear::{GearFigure, GearLimit, GearNight, GearOut, GearRule, GearSize};
use super::length::Length;
pub use super::record::{RecordCard, RecordCards, RecordDuty, RecordTime};
pub use super::season::{DateSpan, DayName, Hours, Night, Season, SeasonEffect};
use super::when::When;
use crate::terms::Dimension;

/// All facts about one kind of crab in one area. An empty list: the pack says nothing of it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Facts {
    /// Whether it may be taken at all.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub take: Vec<Cited<Take>>,
    /// Sizes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sizes: Vec<SizeRule>,
    /// Sexes that may be kept.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sex: Vec<Cited<SexRule>>,
    /// Crabs with eggs.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub eggs: Vec<Cited<EggRule>>,
    /// Condition of the shell.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub shell: Vec<Cited<ShellRule>>,
    /// Whole crabs or claws.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Cited<PartsRule>>,
    /// Daily and possession limits.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<Limit>,
    /// Open and closed times.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub season: Vec<Cited<Season>>,
    /// What must go on the official catch record, and when.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub record: Vec<Cited<RecordDuty>>,
    /// Gear: how much of it, and what else is asked of it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub gear: Vec<Cited<GearRule>>,
    /// Licence, in words.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub licence: Vec<Cited<String>>,
    /// Possession, in words.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub possession: Vec<Cited<String>>,
    /// Duties about an invasive species.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub invasive: Vec<Cited<Invasive>>,
}

/// Whether a kind may be taken at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Take {
    /// It may.
    Allowed,
    /// It may not: every one goes back.
    Forbidden,
}

/// Which distance a rule measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum MeasuredDimension {
    /// Between the notches in front of the outermost points: the points are left out.
    Notch,
    /// Between the tips of the points or spines.
    Tips,
    /// Across the widest part of a shell without long spines.
    Widest,
    /// Along the midline of the shell.
    Length,
    /// Along a claw.
    Claw,
    /// The source does not say.
    NotStated,
}

impl MeasuredDimension {
    /// The distance a photo can measure, where it can.
    pub fn by_photo(self) -> Option<Dimension> {
        match self {
            Self::Notch => Some(Dimension::Notch),
            Self::Tips => Some(Dimension::Tips),
            Self::Widest => Some(Dimension::Widest),
            Self::Length | Self::Claw | Self::NotStated => None,
        }
    }
}

/// Sizes for the crabs and days of `when`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SizeRule {
    /// For which crabs and days; absent: for all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub when: Option<When>,
    /// Which distance.
    pub dimension: Cited<MeasuredDimension>,
    /// Between which points, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub landmarks: Option<Cited<String>>,
    /// Smallest size that may be kept; absent: the pack says nothing of one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub min: Option<Cited<Bound>>,
    /// Largest size that may be kept; absent: the pack says nothing of one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max: Option<Cited<Bound>>,
}

impl SizeRule {
    /// A bound as a confirmation names it: the figure, the distance it is a figure of, and for which crabs and days.
    pub fn bound_key(&self, bound: &Cited<Bound>) -> String {
        let figure = bound.known().map(|bound| match bound {
            Bound::None => None,
            Bound::At(length) => Some(length.exact),
        });
        key_of(&(&self.when, self.dimension.known(), figure))
    }

    /// The distance as a confirmation names it.
    pub fn dimension_key(&self) -> String {
        key_of(&(&self.when, self.dimension.known()))
    }
}

/// A size limit, or the statement that there is none.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Bound {
    /// The source prescribes none.
    None,
    /// This size.
    At(PublishedLength),
}

/// A size as published and as an exact number.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PublishedLength {
    /// Exact.
    pub exact: Length,
    /// As the source prints it, with its unit.
    pub published: String,
}

impl PublishedLength {
    /// A size printed as `text`; `None` when it is not a length.
    pub fn parse(text: &str) -> Option<Self> {
        Some(Self { exact: text.parse().ok()?, published: text.trim().to_owned() })
    }
}

/// Sexes that may be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SexRule {
    /// Males only.
    MalesOnly,
    /// Either sex.
    Either,
    /// Males and mature females.
    NoImmatureFemales,
    /// Males and immature females.
    NoMatureFemales,
    /// Females only.
    FemalesOnly,
}

/// Crabs with eggs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum EggRule {
    /// Back at once.
    Release,
    /// Back at once, and so are females whose eggs or egg pouch were removed.
    ReleaseAlsoWhenRemoved,
    /// Back at once when the eggs are dark (brown to black).
    ReleaseWhenDark,
    /// May be kept.
    MayBeKept,
}

/// Condition of the shell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ShellRule {
    /// Hard shells only.
    HardOnly,
    /// Any condition.
    Any,
}

/// Whole crabs or parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PartsRule {
    /// The whole crab or none of it.
    WholeOnly,
    /// Claws only: the crab goes back.
    ClawsOnly,
    /// The right claw only: the crab goes back.
    RightClawOnly,
    /// Either.
    Any,
}

/// A daily or possession limit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Limit {
    /// How many or how much; its `when` says which crabs count.
    pub amount: Cited<Amount>,
    /// Who holds it.
    pub holder: Cited<Holder>,
    /// Over what time.
    pub per: Period,
    /// Other species that count towards the same limit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub together_with: Vec<String>,
    /// For whom only, in words ("unlicensed person"); absent: for everybody.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// What `condition` asks of licences; absent: nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by_licence: Option<LicenceCondition>,
}

/// What the condition of a limit asks of licences.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LicenceCondition {
    /// For those with the licence that the water asks for, or for those without.
    pub licence: LicenceAsked,
    /// Of how many aboard it is asked, all of whom must meet it; absent: of the person alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aboard: Option<CountAboard>,
    /// The condition asks for more than that, in its words: whether that is met, no program knows.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub and_more: bool,
}

/// With a licence or without.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LicenceAsked {
    /// With.
    Held,
    /// Without.
    NotHeld,
}

/// So many persons aboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CountAboard {
    /// One.
    One,
    /// Two or more.
    TwoOrMore,
}

impl Limit {
    /// The limit as a confirmation names it.
    pub fn amount_key(&self) -> String {
        // What is asked of licences stands in the words of the condition already.
        let Self { amount, holder, per, together_with, condition, by_licence: _ } = self;
        key_of(&(&amount.when, amount.known(), holder.known(), per, together_with, condition))
    }
}

/// How many or how much.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Amount {
    /// No limit is prescribed.
    Unlimited,
    /// So many crabs (or claws, where only claws are kept).
    Crabs(u32),
    /// A volume, in words with its unit: `1 bushel`, `10 gallons`.
    Volume(String),
}

/// Who or what holds a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Holder {
    /// Each person.
    Person,
    /// Each boat, however many are aboard.
    Boat,
    /// Each licence.
    Licence,
    /// Each household.
    Household,
    /// Each container.
    Container,
    /// Each unit of gear.
    Gear,
}

/// Over what time a limit counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Period {
    /// Each day.
    Day,
    /// In possession at any time.
    Possession,
    /// Each year.
    Year,
}

/// Duties about an invasive species: they differ from place to place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Invasive {
    /// Keep it.
    pub keep: Duty,
    /// Keep or carry it alive.
    pub keep_alive: Duty,
    /// Kill it.
    pub kill: Duty,
    /// Put it back in the water.
    pub put_back: Duty,
    /// Report it.
    pub report: Duty,
    /// In words, as the source has it.
    pub words: String,
}

/// Whether something must, may or must not be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Duty {
    /// It must.
    Must,
    /// It may.
    May,
    /// It must not.
    MustNot,
    /// The source does not say.
    NotStated,
}
