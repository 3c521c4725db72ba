//! Rules in words: each kind of fact with its figure as published, and in [`report`] a whole pack read out.

pub mod report;

use crate::rules::Cited;
use crate::rules::facts::{
    Amount, Bound, DayName, Duty, EggRule, GearFigure, GearNight, GearOut, GearRule, GearSize, Holder,
    Invasive, Limit, MeasuredDimension, PartsRule, Period, RecordDuty, Season, SexRule, ShellRule, SizeRule,
    Take,
};
use crate::rules::when::{Maturity, Sex, Stage, When};

/// Text from outside as one line for a terminal: what would move the cursor, end the line or turn the direction of
/// reading is shown as a mark, so that no file can pass its words for the program's.
pub fn on_one_line(text: &str) -> String {
    let is_turning = |c: char| matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}');
    text.chars()
        .map(|c| if c.is_control() || is_turning(c) { char::REPLACEMENT_CHARACTER } else { c })
        .collect()
}

/// A fact that can be read out.
pub trait InWords {
    /// The fact in a few words.
    fn in_words(&self) -> String;
}

impl InWords for String {
    fn in_words(&self) -> String {
        self.clone()
    }
}

impl InWords for Take {
    fn in_words(&self) -> String {
        match self {
            Self::Allowed => "may be taken",
            Self::Forbidden => "may not be taken",
        }
        .to_owned()
    }
}

impl InWords for MeasuredDimension {
    fn in_words(&self) -> String {
        match self {
            Self::Notch => "between the notches just in front of the outermost points",
            Self::Tips => "between the tips of the outermost points",
            Self::Widest => "across the widest part of the shell",
            Self::Length => "along the midline of the shell",
            Self::Claw => "along the claw",
            Self::NotStated => "the source does not say between which points",
        }
        .to_owned()
    }
}

impl InWords for Bound {
    fn in_words(&self) -> String {
        match self {
            Self::None => "none prescribed".to_owned(),
            Self::At(length) => length.published.clone(),
        }
    }
}

impl InWords for SexRule {
    fn in_words(&self) -> String {
        match self {
            Self::MalesOnly => "males only",
            Self::Either => "either sex",
            Self::NoImmatureFemales => "no immature females",
            Self::NoMatureFemales => "no mature females",
            Self::FemalesOnly => "females only",
        }
        .to_owned()
    }
}

impl InWords for EggRule {
    fn in_words(&self) -> String {
        match self {
            Self::Release => "crabs with eggs go back",
            Self::ReleaseAlsoWhenRemoved => "crabs with eggs, or with the eggs removed, go back",
            Self::ReleaseWhenDark => "crabs with dark eggs go back",
            Self::MayBeKept => "crabs with eggs may be kept",
        }
        .to_owned()
    }
}

impl InWords for ShellRule {
    fn in_words(&self) -> String {
        match self {
            Self::HardOnly => "hard shells only",
            Self::Any => "any shell condition",
        }
        .to_owned()
    }
}

impl InWords for PartsRule {
    fn in_words(&self) -> String {
        match self {
            Self::WholeOnly => "whole crabs only, no loose claws",
            Self::ClawsOnly => "claws only: the crab goes back",
            Self::RightClawOnly => "the right claw only: the crab goes back",
            Self::Any => "whole crabs or claws",
        }
        .to_owned()
    }
}

impl InWords for Amount {
    fn in_words(&self) -> String {
        match self {
            Self::Unlimited => "no limit".to_owned(),
            Self::Crabs(1) => "1 crab".to_owned(),
            Self::Crabs(count) => format!("{count} crabs"),
            Self::Volume(volume) => volume.clone(),
        }
    }
}

impl InWords for Holder {
    fn in_words(&self) -> String {
        match self {
            Self::Person => "person",
            Self::Boat => "boat",
            Self::Licence => "licence",
            Self::Household => "household",
            Self::Container => "container",
            Self::Gear => "unit of gear",
        }
        .to_owned()
    }
}

impl InWords for GearRule {
    fn in_words(&self) -> String {
        match self {
            Self::Most(limit) => {
                let whose = limit.per.map_or_else(
                    || "; for whom is not stated".to_owned(),
                    |per| format!(" per {}", per.in_words()),
                );
                format!("at most {} {}{whose}", limit.most, limit.what)
            }
            Self::Figure(GearFigure { part, count, size, more }) => {
                let count = count.map(|count| format!("{count} ")).unwrap_or_default();
                let size = match size {
                    GearSize::AtLeast(length) => format!("at least {}", length.published),
                    GearSize::Of(length) => length.published.clone(),
                    GearSize::AtMostCubicFeet(1) => "at most 1 cubic foot".to_owned(),
                    GearSize::AtMostCubicFeet(feet) => format!("at most {feet} cubic feet"),
                };
                let more = more.as_ref().map(|more| format!("; {more}")).unwrap_or_default();
                format!("{count}{part}: {size}{more}")
            }
            Self::Out(GearOut { out_of_water, from, days }) => {
                format!("{out_of_water} out of the water for {days} days from the {from}")
            }
            Self::Night(GearNight { not_tended, night }) => {
                let minutes = |minutes: i32, before: &str, after: &str| match minutes {
                    0 => String::new(),
                    early if early < 0 => format!("{} minutes {before} ", -early),
                    late => format!("{late} minutes {after} "),
                };
                let from = minutes(night.minutes_after_sunset, "before", "after");
                let to = minutes(night.minutes_before_sunrise, "after", "before");
                format!("{not_tended} not tended from {from}sunset to {to}sunrise")
            }
            Self::Words(words) => words.clone(),
        }
    }
}

impl InWords for Period {
    fn in_words(&self) -> String {
        match self {
            Self::Day => "a day",
            Self::Possession => "in possession",
            Self::Year => "a year",
        }
        .to_owned()
    }
}

impl InWords for Limit {
    fn in_words(&self) -> String {
        let amount = self.amount.known().map_or_else(|| "not known".to_owned(), InWords::in_words);
        let holder = self
            .holder
            .known()
            .map_or_else(|| "(holder not known)".to_owned(), |holder| format!("per {}", holder.in_words()));
        let mut words = format!("{amount} {holder} {}", self.per.in_words());
        if !self.together_with.is_empty() {
            words += &format!(", together with {}", self.together_with.join(", "));
        }
        if let Some(condition) = &self.condition {
            words += &format!(" ({condition})");
        }
        words
    }
}

impl InWords for Season {
    fn in_words(&self) -> String {
        self.words.clone()
    }
}

impl InWords for DayName {
    fn in_words(&self) -> String {
        format!("{self:?}")
    }
}

impl InWords for RecordDuty {
    fn in_words(&self) -> String {
        self.words.clone()
    }
}

impl InWords for Invasive {
    fn in_words(&self) -> String {
        self.words.clone()
    }
}

impl InWords for Duty {
    fn in_words(&self) -> String {
        match self {
            Self::Must => "must",
            Self::May => "may",
            Self::MustNot => "must not",
            Self::NotStated => "not stated",
        }
        .to_owned()
    }
}

impl InWords for When {
    fn in_words(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        parts.extend(self.stage.iter().map(|stage| {
            match stage {
                Stage::Hard => "hard",
                Stage::Soft => "soft",
                Stage::Peeler => "peeler",
            }
            .to_owned()
        }));
        parts.extend(self.maturity.map(|maturity| {
            match maturity {
                Maturity::Mature => "mature",
                Maturity::Immature => "immature",
            }
            .to_owned()
        }));
        parts.extend(self.sex.map(|sex| {
            match sex {
                Sex::Male => "male",
                Sex::Female => "female",
            }
            .to_owned()
        }));
        parts.extend(self.days.map(|days| format!("{} to {}", days.from, days.to)));
        parts.join(", ")
    }
}

impl SizeRule {
    /// The smallest size in words, with the crabs and days it holds for.
    pub fn min_words(&self) -> Option<String> {
        self.min.as_ref().map(|min| self.bound_words("at least", min.known()))
    }

    /// The largest size in words, with the crabs and days it holds for.
    pub fn max_words(&self) -> Option<String> {
        self.max.as_ref().map(|max| self.bound_words("at most", max.known()))
    }

    /// The size with its figures and distance, told apart from the others beside it.
    pub fn words(&self) -> String {
        let figure = |sense: &str, bound: &Option<Cited<Bound>>| {
            bound.as_ref().map(|bound| match bound.known() {
                None => format!("{sense} a size that is not known"),
                Some(Bound::None) => format!("{sense} any size"),
                Some(at) => format!("{sense} {}", at.in_words()),
            })
        };
        let figures: Vec<String> =
            [figure("at least", &self.min), figure("at most", &self.max)].into_iter().flatten().collect();
        let figures = if figures.is_empty() { "no figure".to_owned() } else { figures.join(", ") };
        let when = self.when.as_ref().map(InWords::in_words).filter(|words| !words.is_empty());
        let dimension = self.dimension.known().map_or_else(|| "not known how".to_owned(), InWords::in_words);
        format!("{}: {figures}, {dimension}", when.unwrap_or_else(|| "all crabs".to_owned()))
    }

    fn bound_words(&self, sense: &str, bound: Option<&Bound>) -> String {
        let figure = match bound {
            None => "not known".to_owned(),
            Some(Bound::None) => "no size prescribed".to_owned(),
            Some(at) => format!("{sense} {}", at.in_words()),
        };
        match self.when.as_ref().map(InWords::in_words).filter(|words| !words.is_empty()) {
            Some(when) => format!("{figure} ({when})"),
            None => figure,
        }
    }
}
