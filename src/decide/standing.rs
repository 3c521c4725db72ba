//! How a crab stands to one topic of the rule.

use serde::{Deserialize, Serialize};

use super::answers::{Answer, Check};
use super::case::Case;
use super::findings::{CitedRule, Reason};
use crate::rules::choose::needs_confirmation;
use crate::rules::when::{Maturity, Sex, When};
use crate::rules::words::InWords;
use crate::rules::{Cited, FactRef, Mark, Source, Topic};

/// How the crab stands to one topic.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Standing {
    /// The rule says nothing that matters here.
    Silent,
    /// It meets the rule.
    Meets(Reason),
    /// It fails the rule: this alone settles it.
    Fails(Reason),
    /// A check must be answered first.
    Open(Check),
    /// The person is not sure of a check that matters.
    Unsure(Check),
    /// It would do, but the rule is not known or not confirmed.
    Unclear(Reason, Vec<FactRef>),
    /// Only a gauge can tell.
    Gauge(Reason),
}

/// State of a check, to be shown in a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CheckState {
    /// Nothing here depends on it.
    NotNeeded,
    /// To be answered.
    Open,
    /// Answered, and the crab may be kept by it.
    Passed,
    /// Answered, and the crab goes back by it.
    Failed,
    /// The person is not sure.
    Unsure,
    /// Left to the gauge or to the official rule.
    Undecided,
}

/// Whether a fact's conditions hold for the crab.
pub(super) enum Fit {
    Yes,
    No,
    Ask(Check),
    Unsure(Check),
}

impl Case<'_> {
    /// Whether `when` holds for the crab on the day, as far as it is answered.
    pub(super) fn fit(&self, when: Option<&When>) -> Fit {
        let Some(when) = when else { return Fit::Yes };
        if when.days.is_some_and(|days| !days.contains(self.date)) {
            return Fit::No;
        }
        let wants_female = when.maturity.map(|_| Sex::Female);
        if let (Some(sex), Some(female)) = (when.sex, wants_female)
            && sex != female
        {
            return Fit::No;
        }
        let sex = when
            .sex
            .or(wants_female)
            .map_or(Fit::Yes, |wanted| compare(self.answers.sex, Check::Sex, |sex: Sex| sex == wanted));
        let maturity = when.maturity.map_or(Fit::Yes, |wanted| {
            compare(self.answers.maturity, Check::Maturity, |maturity: Maturity| maturity == wanted)
        });
        let stage = if when.stage.is_empty() {
            Fit::Yes
        } else {
            compare(self.answers.shell, Check::Shell, |stage| when.stage.contains(&stage))
        };
        // A condition that surely fails settles it, whatever else is open.
        let all = [sex, maturity, stage];
        if all.iter().any(|fit| matches!(fit, Fit::No)) {
            return Fit::No;
        }
        all.into_iter().find(|fit| !matches!(fit, Fit::Yes)).unwrap_or(Fit::Yes)
    }

    /// A fact as a verdict cites it.
    pub(super) fn cite<T>(&self, topic: Topic, fact: &Cited<T>, value: String, words: String) -> CitedRule {
        self.cite_as(topic, fact.mark, self.rule.source_of(fact), fact.note.clone(), value, words)
    }

    /// A fact in its own words.
    pub(super) fn cite_words<T: InWords + Serialize>(&self, topic: Topic, fact: &Cited<T>) -> CitedRule {
        let words = fact.known().map_or_else(|| "not known".to_owned(), InWords::in_words);
        self.cite(topic, fact, fact.value_key(), words)
    }

    /// The absence of a fact.
    pub(super) fn cite_absence(&self, topic: Topic) -> CitedRule {
        let words = "no rule that forbids keeping this one".to_owned();
        self.cite_as(topic, Mark::Unknown, None, None, String::new(), words)
    }

    /// The fact that a confirmation of `rule` names.
    pub(super) fn fact_of(&self, rule: &CitedRule) -> FactRef {
        self.rule.fact_ref(rule.topic, &rule.value, &rule.words)
    }

    fn cite_as(
        &self,
        topic: Topic,
        mark: Mark,
        source: Option<&Source>,
        note: Option<String>,
        value: String,
        words: String,
    ) -> CitedRule {
        let fact = self.rule.fact_ref(topic, &value, &words);
        let confirmed = self.rule.confirmation(&fact, self.date, self.confirmations);
        CitedRule {
            topic,
            area: self.rule.area_name.clone(),
            value,
            mark,
            source: source.cloned(),
            note,
            own: self.rule.own.clone(),
            confirmed: confirmed.map(|confirmation| (confirmation.who.clone(), confirmation.when)),
            words,
        }
    }
}

/// True when keep may rest on this fact.
pub(super) fn is_firm(rule: &CitedRule) -> bool {
    !needs_confirmation(rule.mark) || rule.confirmed.is_some()
}

fn compare<T: Copy>(answer: Answer<T>, check: Check, holds: impl Fn(T) -> bool) -> Fit {
    match answer {
        Answer::Unanswered => Fit::Ask(check),
        Answer::NotSure => Fit::Unsure(check),
        Answer::Given(value) if holds(value) => Fit::Yes,
        Answer::Given(_) => Fit::No,
    }
}

/// The standing of a topic with several facts: what settles it first, then what keeps it open.
pub(super) fn worst(standings: Vec<Standing>) -> Standing {
    let rank = |standing: &Standing| match standing {
        Standing::Fails(_) => 0,
        Standing::Unsure(_) => 1,
        Standing::Open(_) => 2,
        Standing::Unclear(..) => 3,
        Standing::Gauge(_) => 4,
        Standing::Meets(_) => 5,
        Standing::Silent => 6,
    };
    standings.into_iter().min_by_key(rank).unwrap_or(Standing::Silent)
}
