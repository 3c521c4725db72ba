//! The sentences a person reads of a verdict: one for each finding, act and notice.

use super::answers::Check;
use super::findings::{Call, CitedRule, Finding, NextAct, Notice, Reason};
use super::size::conformity::Conformity;
use super::size::words::{limit_words, needed_words, unbroken};
use crate::rules::choose::Staleness;
use crate::rules::facts::Holder;
use crate::rules::words::InWords;
use crate::rules::{Mark, MeasuredDimension, Topic};

/// Stated once on every verdict.
pub const NOT_LEGAL_ADVICE: &str =
    "Not legal advice: the official rule, the agency and a physical gauge decide, not this screen.";

impl Call {
    /// The word of the verdict.
    pub fn word(self) -> &'static str {
        match self {
            Self::Keep => "Keep",
            Self::Release => "Release",
            Self::Gauge => "Gauge it by hand",
        }
    }
}

impl Check {
    /// The question in one line.
    pub fn question(self) -> &'static str {
        match self {
            Self::Kind => "Which kind is it?",
            Self::Season => "Is the water open for it today?",
            Self::Sex => "Male or female?",
            Self::Maturity => "Is the female mature?",
            Self::Eggs => "Does it carry eggs?",
            Self::Shell => "Is the shell hard?",
            Self::Claws => "Whole crab, or claws?",
            Self::Size => "Is it of size?",
        }
    }

    /// What the check is about, within a sentence.
    fn noun(self) -> &'static str {
        match self {
            Self::Kind => "the kind",
            Self::Season => "whether the water is open",
            Self::Sex => "the sex",
            Self::Maturity => "whether the female is mature",
            Self::Eggs => "the eggs",
            Self::Shell => "the shell",
            Self::Claws => "the claws",
            Self::Size => "the size",
        }
    }
}

impl Topic {
    /// What the topic is called within a sentence.
    pub fn noun(self) -> &'static str {
        match self {
            Self::Take => "whether it may be taken",
            Self::MinSize => "size",
            Self::MaxSize => "largest size",
            Self::Dimension => "how the size is measured",
            Self::Landmarks => "measuring points",
            Self::Sex => "sex",
            Self::Eggs => "eggs",
            Self::Shell => "shell condition",
            Self::Parts => "claws and whole crabs",
            Self::Limit => "daily limit",
            Self::Holder => "who holds the limit",
            Self::Season => "season",
            Self::Record => "catch record",
            Self::Gear => "gear",
            Self::Licence => "licence",
            Self::Possession => "possession",
            Self::Invasive => "invasive species",
        }
    }
}

impl Reason {
    /// The reason in one sentence, with the rule it rests on.
    pub fn sentence(&self) -> String {
        let rule = self.rule.as_ref();
        let by = |text: String| match rule {
            Some(rule) if rule.mark == Mark::Unknown && rule.source.is_none() => text,
            Some(rule) => format!("{text}; the rule here: {}", stop(&rule.words)),
            None => text,
        };
        match &self.finding {
            Finding::MayNotBeTaken { species } => by(format!("{species} may not be taken here")),
            Finding::NoRuleForThisKind { species } => {
                format!("This pack has no rule here for {species}: look it up, and until then let it go.")
            }
            Finding::Invasive { species, words } => format!("{species} is an invasive species. {words}"),
            Finding::ClosedSeason { words } => format!("The season is closed here: {}", stop(words)),
            Finding::ClosedToday { words } => format!("The water is closed on this day: {}", stop(words)),
            Finding::ClosedAtThisHour { words, about: Some(about) } => {
                format!("The water is closed at this hour: {} Open today from about {about}.", stop(words))
            }
            Finding::ClosedAtThisHour { words, about: None } => {
                format!("The water is closed at this hour: {}", stop(words))
            }
            Finding::SaidClosed => {
                "You looked it up: the water is closed for this kind on this day.".to_owned()
            }
            Finding::LimitReached { kept, limit, holder } => format!(
                "The limit is reached: {kept} kept, and {limit} is the limit of {}.",
                match holder {
                    Holder::Person => "a person".to_owned(),
                    other => format!("a {}", other.in_words()),
                }
            ),
            Finding::LimitForSome { kept, limit, condition, is_to_say } => {
                let say = if *is_to_say { ". Say who has a licence, under People and pots" } else { "" };
                by(format!(
                    "{kept} kept, and {limit} is the limit for: {condition}. If that is you, it goes back{say}"
                ))
            }
            Finding::WrongSex { found } => by(format!("It is {found}")),
            Finding::SexFits { found } => by(format!("It is {found}")),
            Finding::CarriesEggs if is_absent(rule) => {
                "It carries eggs. This pack does not say what holds here; nearly everywhere it goes back."
                    .to_owned()
            }
            Finding::CarriesEggs => by("It carries eggs".to_owned()),
            Finding::EggsRemoved if is_absent(rule) => {
                "Its eggs were removed. This pack does not say what holds here; let it go.".to_owned()
            }
            Finding::EggsRemoved => by("Its eggs were removed".to_owned()),
            Finding::EggsAllowed => by("Its eggs do not forbid keeping it".to_owned()),
            Finding::SoftShell { words } => by(format!("Its shell is {words}")),
            Finding::ShellFits => by("Its shell is hard enough".to_owned()),
            Finding::PartNotAllowed => by("This part may not be kept".to_owned()),
            Finding::PartsFit => by("What is kept is allowed".to_owned()),
            Finding::SizeByPhoto { width_mm, u_mm, size, conformity, zones, .. } => {
                let sense = match conformity {
                    Conformity::Conforms => "Of size by the photo",
                    Conformity::Fails if size.min.is_some_and(|min| *width_mm < min.0) => {
                        "Too small by the photo"
                    }
                    Conformity::Fails => "Too large by the photo",
                    Conformity::GaugeByHand => "Too close to tell by the photo",
                };
                let found = unbroken(&format!("{width_mm:.1} ± {u_mm:.1} mm"));
                let needed = match conformity {
                    Conformity::GaugeByHand => needed_words(*size, zones),
                    Conformity::Conforms | Conformity::Fails => String::new(),
                };
                format!("{sense}: {found}{needed}; the rule: {}.", limit_words(*size, rule))
            }
            Finding::SizeByGauge { reading, is_of_size: true } => by(format!("It is of size: {reading}")),
            Finding::SizeByGauge { reading, is_of_size: false } => {
                by(format!("It is not of size: {reading}"))
            }
            Finding::NoSizeLimit => by("No size is prescribed".to_owned()),
            Finding::NotByPhoto { dimension: MeasuredDimension::NotStated } => by(
                "The source does not say between which points the size is measured, so a photo cannot tell"
                    .to_owned(),
            ),
            Finding::NotByPhoto { dimension } => {
                by(format!("The size is measured {}, which a photo cannot tell", dimension.in_words()))
            }
            Finding::GaugeOfOneLimit => {
                by("The gauge says that it is not too small, and there is a largest size \
                                            too: read its width on a ruler or a caliper, and enter that"
                    .to_owned())
            }
            Finding::GaugeAgainstPhoto { width_mm, u_mm } => by(format!(
                "The gauge says of size, the photo {width_mm:.1} \u{b1} {u_mm:.1} mm: one of them is of another crab, \
                 or wrong. Gauge it once more, and take out the photo where the gauge is right"
            )),
            Finding::WrongPointsLikely => {
                by("The points look like the tips, and the rule measures between the notches: between the \
                 notches it may be short"
                    .to_owned())
            }
            Finding::UnlikelyWidth { width_mm } => by(format!("{width_mm:.0} mm is a size that no crab has")),
            Finding::NotSure { check } => {
                format!("You are not sure of {}: when in doubt, let it go.", check.noun())
            }
            Finding::NotConfirmed { topic } => by(format!(
                "{} rule not confirmed: check the official rule, then confirm it here",
                capital(topic.noun())
            )),
            Finding::NotKnown { topic } => format!(
                "The rule here on {} is not known to this pack: look it up in the official rule.",
                topic.noun()
            ),
            Finding::PartsDiffer { closed } => {
                format!("Parts of this water are closed on this day: {}", stop(closed))
            }
        }
    }
}

impl Reason {
    /// What stands behind the sentence, for who asks; most sentences are the whole of it.
    pub fn detail(&self) -> Option<String> {
        match &self.finding {
            Finding::SizeByPhoto { probability, .. } => Some(format!(
                "Chance of being of size: {}. The ± is a standard uncertainty: two times in three the true \
                 width lies within it.",
                percent(*probability)
            )),
            _ => None,
        }
    }
}

impl CitedRule {
    /// Where the rule was read, in one line.
    pub fn citation(&self) -> String {
        let mut parts = vec![match (&self.own, self.mark) {
            (Some(own), _) => format!("{}'s own rule of {}", own.who, own.when),
            (None, Mark::Seen) => "Read in the source".to_owned(),
            (None, Mark::Memory) => "From memory, not read in the source".to_owned(),
            (None, Mark::Unknown) => "Not known".to_owned(),
        }];
        if let Some(source) = &self.source {
            let all = [&source.title, &source.section, &source.date];
            parts.extend(all.into_iter().filter(|text| !text.is_empty()).cloned());
        }
        if let Some((who, when)) = &self.confirmed {
            parts.push(format!("confirmed by {who} on {when}"));
        }
        parts.join(", ")
    }
}

impl NextAct {
    /// The act in a sentence or two.
    pub fn sentence(&self) -> String {
        match self {
            Self::ReleaseGently => {
                "Let it go gently, where it was caught: hold it low over the water, belly \
                                    down, and let it slide in; do not throw it."
                    .to_owned()
            }
            Self::WriteRecord { words } => format!("Write it down now: {}", stop(words)),
            Self::KeepWhole => "Keep it whole, with its back shell on, until you are home.".to_owned(),
            Self::ClawThenRelease => {
                "Only the claw may be kept: the crab goes back at once, alive.".to_owned()
            }
            Self::UseGauge { words, .. } => format!("Gauge it by hand: {words}."),
            Self::ConfirmRule { facts } => {
                let words: Vec<&str> = facts.iter().map(|fact| fact.words.as_str()).collect();
                format!("Check the official rule, then confirm here: {}.", words.join("; "))
            }
            Self::LookUp { topic } => format!("Look up the official rule on {}.", topic.noun()),
            Self::ChoosePart => "Choose the part of the water that you are in.".to_owned(),
            Self::LookAgain { check } => {
                format!("Look once more at {}, or ask someone who knows.", check.noun())
            }
            Self::Report { words } => format!("Report it. {}", stop(words)),
            Self::DoNotKill => {
                "Do not kill it unless the agency says so: look-alikes die by mistake.".to_owned()
            }
            Self::DoNotKeepAlive => "Do not keep or carry it alive.".to_owned(),
            Self::DoNotPutBack => "Do not put it back in the water.".to_owned(),
            Self::Kill => "It must not live on: follow the agency's words.".to_owned(),
            Self::WaitForTheSeason => "Look up when this water opens.".to_owned(),
        }
    }
}

impl NextAct {
    /// How exactly, for who asks; most sentences are the whole of it.
    pub fn detail(&self) -> Option<String> {
        match self {
            Self::UseGauge { landmarks: Some(landmarks), .. } => Some(stop(landmarks)),
            _ => None,
        }
    }
}

impl Notice {
    /// The notice in a sentence or two.
    pub fn sentence(&self) -> String {
        match self {
            Self::PackStale(Staleness::OlderThanASeason { days }) => format!(
                "These rules were last checked {days} days before this date, more than a season: look up the \
                 rules of this season."
            ),
            Self::PackStale(Staleness::OutsideItsSeason) => {
                "The date lies outside the season these rules were made for: look up the rules of the day."
                    .to_owned()
            }
            Self::PackStale(Staleness::BeforeItsCheck) => {
                "The date lies more than a year before these rules were checked.".to_owned()
            }
            Self::SourceOld { years, title } => {
                format!("The source is {years} years old ({title}): look for a newer one.")
            }
            Self::OwnRule { who, when, why } => {
                format!("This is a person's own rule, not the pack's: {who}, {when}, {why}.")
            }
            Self::ConfirmedBy { who, when } => {
                format!("Confirmed in the official rule by {who} on {when}.")
            }
            Self::SeasonInDoubt { words } => {
                format!("Whether the water is open today is not known here: look it up. {}", stop(words))
            }
            Self::SaidOpen => "You looked it up: the water is open for this kind on this day.".to_owned(),
            Self::SeasonNotKnown => {
                "Whether the water is open today is not known here, nor are emergency closures: look it up."
                    .to_owned()
            }
            Self::SeasonWords { words } => format!("On the times of this water: {}", stop(words)),
            Self::MaleWithEggs => {
                "You said a male, and eggs: only females carry eggs. Turn it over and look at both again."
                    .to_owned()
            }
            Self::InvasiveKind { words } => format!("This kind is invasive here. {}", stop(words)),
            Self::HourNotKnown { words } => format!("Mind the hours: {}", stop(words)),
            Self::NightSoon { words, minutes } => {
                format!("The water closes in about {minutes} minutes: {}", stop(words))
            }
            Self::LimitNotKnown => "The daily limit is not known here: look it up.".to_owned(),
            Self::LimitFromMemory { words } => format!("The limit is from memory, look it up: {words}."),
            Self::LimitLast { words } => format!("This one fills the limit: {words}."),
            Self::LimitNotCounted { words } => format!("Mind this limit, it is not counted here: {words}."),
            Self::EarlierDaysNotCounted { words } => format!(
                "Crabs of earlier days, in a cooler or a freezer, count too, and are not counted here: {words}. \
                 Say how many you hold."
            ),
            Self::LimitWithCondition { words } => format!("For some there is this limit: {words}."),
            Self::LicenceNotSaid => LICENCE_NOT_SAID.to_owned(),
            Self::NoLicence { words } if words.is_empty() => {
                "You have no licence for this water, as you said: the limit of those without holds."
                    .to_owned()
            }
            Self::NoLicence { words } => format!(
                "You have no licence for this water, as you said: the limit of those without holds. The rule says of licences: {}",
                stop(words)
            ),
            Self::PointsLookLikeTips => {
                "The points look like the tips; the rule measures between the notches: check them.".to_owned()
            }
            Self::PointsLookLikeNotches => {
                "The points look like the notches; the rule measures between the tips: check them.".to_owned()
            }
            Self::UnlikelyWidth { width_mm } => {
                format!("{width_mm:.0} mm is a size this kind is not known to have: check kind and points.")
            }
            Self::WrongDimensionMeasured => {
                "The photo was measured between other points than this rule names: measure again.".to_owned()
            }
        }
    }
}

/// Said where a limit hangs on a licence of which nothing is said.
pub const LICENCE_NOT_SAID: &str =
    "Say who has a licence, under People and pots: until then the strictest limit holds.";

fn is_absent(rule: Option<&CitedRule>) -> bool {
    rule.is_some_and(|rule| rule.mark == Mark::Unknown && rule.source.is_none())
}

/// `text` with a full stop at its end.
fn stop(text: &str) -> String {
    let text = text.trim_end();
    if text.ends_with(['.', '!', '?']) { text.to_owned() } else { format!("{text}.") }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// A probability that never reads as certain.
fn percent(probability: f64) -> String {
    let value = 100.0 * probability;
    if value < 0.1 {
        "under 0.1 %".to_owned()
    } else if value > 99.9 {
        "over 99.9 %".to_owned()
    } else {
        format!("{value:.1} %")
    }
}
