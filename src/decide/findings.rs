//! What a verdict says: the call, findings with their rules, next acts, notices.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::answers::Check;
use super::size::conformity::{Conformity, GreyZone, Size};
use crate::rules::choose::Staleness;
use crate::rules::facts::Holder;
use crate::rules::pack::OwnNote;
use crate::rules::{FactRef, Mark, MeasuredDimension, Source, Topic};

/// The three answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Call {
    /// It may be kept by the rule shown.
    Keep,
    /// It goes back.
    Release,
    /// Gauge it by hand, or read the rule: this program cannot tell.
    Gauge,
}

/// A finding with the rule it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reason {
    /// What was found.
    pub finding: Finding,
    /// By which rule.
    pub rule: Option<CitedRule>,
}

/// A fact of the rule as a verdict cites it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CitedRule {
    /// What about.
    pub topic: Topic,
    /// The area as its source names it.
    pub area: String,
    /// The fact in words, with its figure as published.
    pub words: String,
    /// Its value, as a confirmation names it.
    pub value: String,
    /// How it was had.
    pub mark: Mark,
    /// Where.
    pub source: Option<Source>,
    /// What the source says besides.
    pub note: Option<String>,
    /// Set when the rule is a person's own.
    pub own: Option<OwnNote>,
    /// Who confirmed the fact in the official rule, and when.
    pub confirmed: Option<(String, Date)>,
}

/// What was found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "each finding has its sentence in `words`")]
pub enum Finding {
    MayNotBeTaken {
        species: String,
    },
    NoRuleForThisKind {
        species: String,
    },
    Invasive {
        species: String,
        words: String,
    },
    ClosedSeason {
        words: String,
    },
    ClosedToday {
        words: String,
    },
    ClosedAtThisHour {
        words: String,
        about: Option<String>,
    },
    /// The person looked it up: closed.
    SaidClosed,
    LimitReached {
        kept: u32,
        limit: u32,
        holder: Holder,
    },
    /// As many are kept as a limit has that holds for some only, and whether it is this person's is not known, or not
    /// said.
    LimitForSome {
        kept: u32,
        limit: u32,
        condition: String,
        is_to_say: bool,
    },
    WrongSex {
        found: String,
    },
    SexFits {
        found: String,
    },
    CarriesEggs,
    EggsRemoved,
    EggsAllowed,
    SoftShell {
        words: String,
    },
    ShellFits,
    PartNotAllowed,
    PartsFit,
    /// By the photo.
    SizeByPhoto {
        width_mm: f64,
        u_mm: f64,
        probability: f64,
        size: Size,
        conformity: Conformity,
        zones: Vec<GreyZone>,
    },
    /// By the person's gauge.
    SizeByGauge {
        reading: String,
        is_of_size: bool,
    },
    NoSizeLimit,
    /// The rule's distance cannot be measured in a photo.
    NotByPhoto {
        dimension: MeasuredDimension,
    },
    /// The gauge says of size, and the rule has a largest size as well.
    GaugeOfOneLimit,
    /// The gauge says of size, and a photo of it not.
    GaugeAgainstPhoto {
        width_mm: f64,
        u_mm: f64,
    },
    /// The points look like those of another distance, and that would change the answer.
    WrongPointsLikely,
    /// No crab is so large or so small: something else was measured, or the unit is another.
    UnlikelyWidth {
        width_mm: f64,
    },
    /// The person is not sure.
    NotSure {
        check: Check,
    },
    /// The rule is known from memory, not confirmed.
    NotConfirmed {
        topic: Topic,
    },
    /// The rule is not known.
    NotKnown {
        topic: Topic,
    },
    /// Some parts of the chosen water are closed, others are not.
    PartsDiffer {
        closed: String,
    },
}

/// What to do next.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "each act has its sentence in `words`")]
pub enum NextAct {
    ReleaseGently,
    WriteRecord { words: String },
    KeepWhole,
    ClawThenRelease,
    UseGauge { words: String, landmarks: Option<String>, dimension: Option<MeasuredDimension> },
    ConfirmRule { facts: Vec<FactRef> },
    LookUp { topic: Topic },
    ChoosePart,
    LookAgain { check: Check },
    Report { words: String },
    DoNotKill,
    DoNotKeepAlive,
    DoNotPutBack,
    Kill,
    WaitForTheSeason,
}

/// Things to know that do not decide.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "each notice has its sentence in `words`")]
pub enum Notice {
    PackStale(Staleness),
    SourceOld {
        years: i16,
        title: String,
    },
    OwnRule {
        who: String,
        when: Date,
        why: String,
    },
    ConfirmedBy {
        who: String,
        when: Date,
    },
    /// Times that are not known to open the water today, by the pack: the person must look them up.
    SeasonInDoubt {
        words: String,
    },
    SeasonNotKnown,
    /// The person looked the season up: open on this day.
    SaidOpen,
    /// What the pack says of the times besides.
    SeasonWords {
        words: String,
    },
    MaleWithEggs,
    InvasiveKind {
        words: String,
    },
    HourNotKnown {
        words: String,
    },
    NightSoon {
        words: String,
        minutes: i64,
    },
    LimitNotKnown,
    LimitFromMemory {
        words: String,
    },
    LimitLast {
        words: String,
    },
    LimitNotCounted {
        words: String,
    },
    EarlierDaysNotCounted {
        words: String,
    },
    LimitWithCondition {
        words: String,
    },
    LicenceNotSaid,
    NoLicence {
        words: String,
    },
    PointsLookLikeTips,
    PointsLookLikeNotches,
    UnlikelyWidth {
        width_mm: f64,
    },
    WrongDimensionMeasured,
}

impl Notice {
    /// True when the notice says something of a crab that goes back.
    pub(super) fn matters_at_release(&self) -> bool {
        match self {
            Self::PackStale(_)
            | Self::SourceOld { .. }
            | Self::OwnRule { .. }
            | Self::ConfirmedBy { .. }
            | Self::MaleWithEggs
            | Self::InvasiveKind { .. }
            | Self::PointsLookLikeTips
            | Self::PointsLookLikeNotches
            | Self::UnlikelyWidth { .. }
            | Self::WrongDimensionMeasured => true,
            Self::SeasonInDoubt { .. }
            | Self::SeasonNotKnown
            | Self::SaidOpen
            | Self::SeasonWords { .. }
            | Self::HourNotKnown { .. }
            | Self::NightSoon { .. }
            | Self::LimitNotKnown
            | Self::LimitFromMemory { .. }
            | Self::LimitLast { .. }
            | Self::LimitNotCounted { .. }
            | Self::EarlierDaysNotCounted { .. }
            | Self::LimitWithCondition { .. }
            | Self::LicenceNotSaid
            | Self::NoLicence { .. } => false,
        }
    }
}
