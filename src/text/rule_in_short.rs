//! What decides at a water on a day, as a person would tell it: a line for each matter, without its sources.

use jiff::civil::Date;

use crate::rules::facts::{Bound, SizeRule, Take};
use crate::rules::when::When;
use crate::rules::words::InWords;
use crate::rules::{Cited, Confirmation, Mark, RuleInForce, Topic};

/// One matter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortLine {
    /// What about.
    pub topic: Topic,
    /// What the rule says of it.
    pub words: String,
    /// Every figure in it was read in its source, by us or by a person who said so.
    pub is_seen: bool,
}

/// What a rule says of a crab on `date`, in the order of the checks; what it says nothing of is left out.
pub fn rule_in_short(rule: &RuleInForce, date: Date, confirmations: &[Confirmation]) -> Vec<ShortLine> {
    let facts = &rule.facts;
    let mut lines = Vec::new();
    let mut tell = |topic, words: String, is_seen| {
        let is_new = !words.is_empty()
            && !lines.iter().any(|line: &ShortLine| line.topic == topic && line.words == words);
        if is_new {
            lines.push(ShortLine { topic, words, is_seen });
        }
    };
    for fact in now(&facts.take, date).filter(|fact| fact.known() != Some(&Take::Allowed)) {
        tell(Topic::Take, words_of(fact), fact.mark == Mark::Seen);
    }
    for size in facts.sizes.iter().filter(|size| holds(size.when.as_ref(), date)) {
        let bounds = [&size.min, &size.max].into_iter().flatten();
        let is_seen =
            bounds.map(|bound| bound.mark).chain([size.dimension.mark]).all(|mark| mark == Mark::Seen);
        tell(Topic::MinSize, size_in_short(size), is_seen);
    }
    for fact in now(&facts.sex, date) {
        tell(Topic::Sex, words_of(fact), fact.mark == Mark::Seen);
    }
    for fact in now(&facts.eggs, date) {
        tell(Topic::Eggs, words_of(fact), fact.mark == Mark::Seen);
    }
    for fact in now(&facts.shell, date) {
        tell(Topic::Shell, words_of(fact), fact.mark == Mark::Seen);
    }
    for fact in now(&facts.parts, date) {
        tell(Topic::Parts, words_of(fact), fact.mark == Mark::Seen);
    }
    for limit in &facts.limits {
        let is_seen = [limit.amount.mark, limit.holder.mark].iter().all(|mark| *mark == Mark::Seen);
        tell(Topic::Limit, limit.in_words(), is_seen);
    }
    // The first says which crabs go on whose card, and when; what else a record asks stands below with its source.
    for fact in now(&facts.record, date).take(1) {
        tell(Topic::Record, words_of(fact), fact.mark == Mark::Seen);
    }
    for line in &mut lines {
        line.is_seen |= is_confirmed(rule, line.topic, date, confirmations);
    }
    lines
}

/// True where a person confirmed all that a line on `topic` rests on and that was not read in its source.
fn is_confirmed(rule: &RuleInForce, topic: Topic, date: Date, confirmations: &[Confirmation]) -> bool {
    let of_size = [Topic::MinSize, Topic::MaxSize, Topic::Dimension];
    let is_its = |of: Topic| of == topic || (topic == Topic::MinSize && of_size.contains(&of));
    rule.lines().into_iter().filter(|fact| is_its(fact.topic) && fact.mark != Mark::Seen).all(|fact| {
        let named = rule.fact_ref(fact.topic, &fact.value, &fact.said);
        rule.confirmation(&named, date, confirmations).is_some()
    })
}

/// The facts that are not for other days of the year.
fn now<T>(facts: &[Cited<T>], date: Date) -> impl Iterator<Item = &Cited<T>> {
    facts.iter().filter(move |fact| holds(fact.when.as_ref(), date))
}

fn holds(when: Option<&When>, date: Date) -> bool {
    when.and_then(|when| when.days).is_none_or(|days| days.contains(date))
}

fn words_of<T: InWords>(fact: &Cited<T>) -> String {
    let words = fact.known().map_or_else(|| "not known: look it up".to_owned(), InWords::in_words);
    match crabs_of(fact.when.as_ref()) {
        Some(crabs) => format!("{crabs}: {words}"),
        None => words,
    }
}

/// For which crabs, where not for all: the day is this one.
fn crabs_of(when: Option<&When>) -> Option<String> {
    let crabs = When { days: None, ..when?.clone() }.in_words();
    (!crabs.is_empty()).then_some(crabs)
}

fn size_in_short(size: &SizeRule) -> String {
    let figure = |sense: &str, bound: &Option<Cited<Bound>>| match bound.as_ref()?.known() {
        None => Some(format!("{sense} a size that is not known")),
        Some(Bound::None) => None,
        Some(at) => Some(format!("{sense} {}", at.in_words())),
    };
    let figures: Vec<String> =
        [figure("at least", &size.min), figure("at most", &size.max)].into_iter().flatten().collect();
    let words = if figures.is_empty() {
        "no size limit".to_owned()
    } else {
        let dimension = size
            .dimension
            .known()
            .map_or_else(|| "measured as nobody knows here".to_owned(), InWords::in_words);
        format!("{}, {dimension}", figures.join(", "))
    };
    match crabs_of(size.when.as_ref()) {
        Some(crabs) => format!("{crabs}: {words}"),
        None => words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// The figures of Washington's rule as the pack has them, whose sources stand in it.
    #[test]
    fn what_decides_is_told_once_in_the_order_of_the_checks() {
        let pack = crate::rules::built_in_pack();
        let rule = RuleInForce::find(&pack, "puget-sound", "dungeness").expect("a rule");
        let lines = rule_in_short(&rule, date(2026, 7, 4), &[]);
        let topics: Vec<Topic> = lines.iter().map(|line| line.topic).collect();
        let first = |topic| {
            topics
                .iter()
                .position(|found| *found == topic)
                .unwrap_or_else(|| panic!("{topic:?} in {topics:?}"))
        };
        assert!(first(Topic::MinSize) < first(Topic::Sex) && first(Topic::Sex) < first(Topic::Shell));
        assert!(first(Topic::Shell) < first(Topic::Limit) && first(Topic::Limit) < first(Topic::Record));
        let size = &lines[first(Topic::MinSize)].words;
        assert!(size.contains("at least 6 1/4 in") && size.contains("notches"), "{size}");
        assert_eq!(lines[first(Topic::Sex)].words, "males only");
        for (at, line) in lines.iter().enumerate() {
            assert!(!lines[..at].contains(line), "twice: {line:?}");
        }
    }

    /// A size for other days of the year is no part of today.
    #[test]
    fn what_holds_on_other_days_only_is_left_out() {
        let pack = crate::rules::built_in_pack();
        let mut rule = RuleInForce::find(&pack, "puget-sound", "dungeness").expect("a rule");
        let when: When =
            serde_json::from_str(r#"{ "days": { "from": "12-01", "to": "01-31" } }"#).expect("a span");
        rule.facts.sex.iter_mut().for_each(|fact| fact.when = Some(when.clone()));
        let has_sex = |day| rule_in_short(&rule, day, &[]).iter().any(|line| line.topic == Topic::Sex);
        assert!(has_sex(date(2026, 12, 24)) && has_sex(date(2027, 1, 2)));
        assert!(!has_sex(date(2026, 7, 4)));
        let told = rule_in_short(&rule, date(2026, 12, 24), &[]);
        assert!(told.iter().any(|line| line.words == "males only"), "the days are today's: {told:?}");
    }

    /// Once a person confirmed every figure of a line it is no longer told as not confirmed; one of them is not enough.
    #[test]
    fn what_a_person_confirmed_is_told_as_such() {
        let text = include_str!("../../www/rules/uk-sct.json");
        let pack = crate::rules::read_pack(text).expect("a pack");
        let rule = RuleInForce::find(&pack, "except-shetland", "brown").expect("a rule");
        let day = date(2026, 7, 15);
        let is_seen = |confirmations: &[Confirmation]| {
            let lines = rule_in_short(&rule, day, confirmations);
            lines.iter().find(|line| line.topic == Topic::MinSize).expect("a size").is_seen
        };
        let confirmations: Vec<Confirmation> = rule
            .confirmable(day, &[])
            .into_iter()
            .map(|fact| Confirmation {
                facts: vec![fact],
                who: "Ann".into(),
                when: day,
                until: rule.confirmed_until(day, day),
            })
            .collect();
        assert!(!is_seen(&[]), "the pack's size was read by nobody: another kind for this test");
        assert!(is_seen(&confirmations));
        for left_out in 0..confirmations.len() {
            let mut fewer = confirmations.clone();
            let fact = fewer.remove(left_out).facts.remove(0);
            let is_of_size = [Topic::MinSize, Topic::MaxSize, Topic::Dimension].contains(&fact.topic);
            assert_eq!(is_seen(&fewer), !is_of_size, "{fact:?}");
        }
    }
}
