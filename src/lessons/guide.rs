//! The checks of a rule, one after the other, for the person who leads a group through them, and for the printed sheet.

use crate::decide::Check;
use crate::rules::facts::SexRule;
use crate::rules::when::When;
use crate::rules::words::report::ReportLine;
use crate::rules::{Mark, MeasuredDimension, RuleInForce, Topic};
use crate::text::check_words;

/// One check of the guide.
#[derive(Debug, Clone, PartialEq)]
pub struct GuideStep {
    /// Which check; none for what is settled after the crab: limit and record.
    pub check: Option<Check>,
    /// Its name in a word or two.
    pub name: &'static str,
    /// The question to ask.
    pub question: &'static str,
    /// How to look, feel or press.
    pub how: String,
    /// What to do when nobody is sure.
    pub not_sure: &'static str,
    /// What the rule says of it, with its source.
    pub rule: Vec<RuleSays>,
    /// Between which points the size is measured.
    pub dimensions: Vec<MeasuredDimension>,
}

/// One line of the rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleSays {
    /// What it is about.
    pub about: String,
    /// The fact in words.
    pub words: String,
    /// How it was had, where it was not read in the source.
    pub doubt: Option<&'static str>,
    /// Where it was read.
    pub source: String,
}

/// The steps for `rule`, in the order of a practised hand. Every fact of the rule on a check stands in one of them.
pub fn guide(rule: &RuleInForce) -> Vec<GuideStep> {
    let lines = rule.lines();
    let mut steps: Vec<GuideStep> = Check::ALL
        .into_iter()
        .filter(|check| *check != Check::Maturity || asks_maturity(rule))
        .map(|check| {
            let words = check_words(check);
            GuideStep {
                check: Some(check),
                name: words.name,
                question: words.question,
                how: if check == Check::Kind { marks(rule) } else { None }
                    .unwrap_or_else(|| words.more.to_owned()),
                not_sure: words.not_sure,
                rule: said(&lines, |topic| check_of(topic) == Some(check)),
                dimensions: if check == Check::Size { dimensions(rule) } else { Vec::new() },
            }
        })
        .collect();
    steps.push(GuideStep {
        check: None,
        name: "Limit and record",
        question: "How many may each person keep, and what is written down?",
        how: "Count for each person. Write what the rule asks for before the next pot goes in.".into(),
        not_sure: "Look it up before anything more is kept.",
        rule: said(&lines, |topic| check_of(topic).is_none()),
        dimensions: Vec::new(),
    });
    steps
}

/// What tells the rule's kind from others: of a shell without teeth no tooth is asked for.
fn marks(rule: &RuleInForce) -> Option<String> {
    let marks: Vec<&str> =
        rule.species_info.as_ref()?.tell_tales.iter().map(|tell| tell.value.as_str()).collect();
    (!marks.is_empty()).then(|| format!("{} Colour alone misleads: look at both claws.", marks.join(" ")))
}

/// The check that a topic of the rule belongs to.
fn check_of(topic: Topic) -> Option<Check> {
    match topic {
        Topic::Take | Topic::Invasive => Some(Check::Kind),
        Topic::Season => Some(Check::Season),
        Topic::Sex => Some(Check::Sex),
        Topic::Eggs => Some(Check::Eggs),
        Topic::Shell => Some(Check::Shell),
        Topic::Parts => Some(Check::Claws),
        Topic::MinSize | Topic::MaxSize | Topic::Dimension | Topic::Landmarks => Some(Check::Size),
        Topic::Limit | Topic::Holder | Topic::Record | Topic::Gear | Topic::Licence | Topic::Possession => {
            None
        }
    }
}

fn said(lines: &[ReportLine], is_wanted: impl Fn(Topic) -> bool) -> Vec<RuleSays> {
    let mut found: Vec<RuleSays> = Vec::new();
    for line in lines.iter().filter(|line| is_wanted(line.topic)) {
        let doubt = match line.mark {
            Mark::Seen => None,
            Mark::Memory => Some("from memory: look it up"),
            Mark::Unknown => Some("not known: look it up"),
        };
        let says = RuleSays {
            about: line.topic.noun().to_owned(),
            words: line.words.clone(),
            doubt,
            source: line.source.clone(),
        };
        // Two crabs of one size rule bring the same line twice.
        if !found.contains(&says) {
            found.push(says);
        }
    }
    found
}

fn dimensions(rule: &RuleInForce) -> Vec<MeasuredDimension> {
    let mut found = Vec::new();
    for dimension in rule.facts.sizes.iter().filter_map(|size| size.dimension.known()) {
        if !found.contains(dimension) {
            found.push(*dimension);
        }
    }
    found
}

/// Whether anything in the rule depends on a female's maturity.
fn asks_maturity(rule: &RuleInForce) -> bool {
    let facts = &rule.facts;
    let names = |when: &Option<When>| when.as_ref().is_some_and(|when| when.maturity.is_some());
    let by_sex = facts.sex.iter().filter_map(|fact| fact.known());
    by_sex.copied().any(|sex| matches!(sex, SexRule::NoImmatureFemales | SexRule::NoMatureFemales))
        || facts.sizes.iter().any(|size| names(&size.when))
        || facts.sex.iter().any(|fact| names(&fact.when))
        || facts.eggs.iter().any(|fact| names(&fact.when))
        || facts.take.iter().any(|fact| names(&fact.when))
}
